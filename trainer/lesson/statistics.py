"""Say how good questions are, from what a class answered: how hard, how well they part strong from weak, how reliably together.

Scores run from 0 to 1; an item of which part can be right is counted by its part. What is `nan` was not answered.
Variances are those of the population throughout (divided by n): with the sample's variance of the totals beside
the population's p(1-p) of the items, KR-20 comes out too high.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from trainer.lesson.outcome import Help, Outcome

Scores = npt.NDArray[np.float64]

FEW_FOR_DIFFICULTY = 30
"""Fewer answers leave the difficulty open by more than 0.17 either way. Common practice; the figure is computed."""
FEW_FOR_DISCRIMINATION = 100
"""Fewer answers leave a discrimination near 0 open by more than 0.2 either way. Common practice; computed, too."""
FEW_FOR_RELIABILITY = 30
"""Common practice."""
SURE_Z = 1.959964
"""Quantile of the normal distribution that leaves 95 % between itself and its negative."""
STEP = 1e-12


class Doubt(StrEnum):
    """Why a figure is not to be leant on."""

    FEW_FOR_DIFFICULTY = "few-for-difficulty"
    FEW_FOR_DISCRIMINATION = "few-for-discrimination"
    FEW_FOR_RELIABILITY = "few-for-reliability"
    ALL_ALIKE = "all-alike"
    ONE_ITEM = "one-item"
    NOBODY_ANSWERED_ALL = "nobody-answered-all"
    PARTS_THE_WRONG_WAY = "parts-the-wrong-way"


@dataclass(frozen=True, slots=True)
class ScoreTable:
    """Scores of persons (rows) at items (columns); nan where one was not answered."""

    persons: tuple[str, ...]
    items: tuple[str, ...]
    scores: Scores


@dataclass(frozen=True, slots=True)
class ItemFigures:
    """How one item did.

    count: persons who answered it. difficulty: their mean score, so that a high one is easy; lies: its 95 % interval.
    all_right: share of them with full marks. discrimination: correlation of its score with the mean score at the
    others, nothing where it has none; between: its 95 % interval (Fisher's transformation).
    """

    item: str
    count: int
    difficulty: float
    lies: tuple[float, float]
    all_right: float
    discrimination: float | None
    between: tuple[float, float] | None
    doubts: tuple[Doubt, ...]


@dataclass(frozen=True, slots=True)
class Reliability:
    """How reliably items measure together, over those persons who answered them all.

    alpha: Cronbach's; of items that are right or wrong it is KR-20. error: standard error of measurement, in items.
    """

    persons: int
    items: int
    alpha: float | None
    error: float | None
    doubts: tuple[Doubt, ...]


def make_table(outcomes: Iterable[Outcome]) -> ScoreTable:
    """Make a table of the answers that `keep_first` keeps.

    outcomes: in the order in which they were given.
    """
    first = {(one.person, one.item): one.score for one in keep_first(outcomes)}
    persons = tuple(dict.fromkeys(person for person, _ in first))
    items = tuple(sorted({item for _, item in first}))
    rows = {person: row for row, person in enumerate(persons)}
    columns = {item: column for column, item in enumerate(items)}
    scores = np.full((len(persons), len(items)), np.nan)
    for (person, item), score in first.items():
        scores[rows[person], columns[item]] = score
    return ScoreTable(persons, items, scores)


def keep_first(outcomes: Iterable[Outcome]) -> list[Outcome]:
    """Keep each person's first unaided answer to each item: what is answered again was learnt in between.

    Beside hints and worked examples an item is another one: easier, and with fewer choices.
    """
    first: dict[tuple[str, str], Outcome] = {}
    for outcome in outcomes:
        if outcome.help is Help.UNAIDED:
            first.setdefault((outcome.person, outcome.item), outcome)
    return list(first.values())


def find_figures(table: ScoreTable) -> tuple[ItemFigures, ...]:
    """Find difficulty and discrimination of every item of a table."""
    return tuple(_find_item(item, table.scores, column) for column, item in enumerate(table.items))


def _find_item(item: str, scores: Scores, column: int) -> ItemFigures:
    own = scores[:, column]
    answered = own[~np.isnan(own)]
    count, difficulty = len(answered), float(answered.mean())
    lies = find_mean_interval(difficulty, count)
    all_right = float(np.mean(answered >= 1.0 - STEP))
    known = item, count, difficulty, lies, all_right
    rest = find_rest_scores(scores, column)
    both = ~np.isnan(own) & ~np.isnan(rest)
    discrimination = correlate(own[both], rest[both])
    doubts = [Doubt.FEW_FOR_DIFFICULTY] if count < FEW_FOR_DIFFICULTY else []
    if discrimination is None:
        doubts.append(Doubt.ALL_ALIKE)
        return ItemFigures(*known, None, None, tuple(doubts))
    pairs = int(both.sum())
    between = find_interval(discrimination, pairs)
    if pairs < FEW_FOR_DISCRIMINATION:
        doubts.append(Doubt.FEW_FOR_DISCRIMINATION)
    if between is not None and between[1] < 0.0:
        doubts.append(Doubt.PARTS_THE_WRONG_WAY)
    return ItemFigures(*known, discrimination, between, tuple(doubts))


def find_reliability(table: ScoreTable) -> Reliability:
    """Find Cronbach's alpha over the persons who answered every item; of right-or-wrong items it is KR-20."""
    whole = table.scores[~np.isnan(table.scores).any(axis=1)]
    persons, items = whole.shape
    if items < 2:
        return Reliability(persons, items, None, None, (Doubt.ONE_ITEM,))
    if persons < 2:
        return Reliability(persons, items, None, None, (Doubt.NOBODY_ANSWERED_ALL,))
    doubts = (Doubt.FEW_FOR_RELIABILITY,) if persons < FEW_FOR_RELIABILITY else ()
    total = find_variance(whole.sum(axis=1))
    if total < STEP:
        return Reliability(persons, items, None, None, (*doubts, Doubt.ALL_ALIKE))
    parts = sum(find_variance(whole[:, column]) for column in range(items))
    alpha = items / (items - 1) * (1.0 - parts / total)
    error = math.sqrt(total * max(0.0, 1.0 - alpha))
    return Reliability(persons, items, float(alpha), error, doubts)


def find_rest_scores(scores: Scores, column: int) -> Scores:
    """Find each person's mean score at the other items that the person answered; nan where there is none."""
    others = np.delete(scores, column, axis=1)
    counts = (~np.isnan(others)).sum(axis=1)
    sums = np.nansum(others, axis=1)
    return np.where(counts > 0, sums / np.maximum(counts, 1), np.nan)


def find_variance(values: Scores) -> float:
    """Find the variance of the population: the mean square of the distances from the mean."""
    return float(np.mean((values - values.mean()) ** 2))


def correlate(one: npt.ArrayLike, other: npt.ArrayLike) -> float | None:
    """Correlate two rows of numbers (Pearson; point-biserial where one is 0 or 1); nothing where one never varies."""
    first, second = np.asarray(one, dtype=float), np.asarray(other, dtype=float)
    if len(first) < 2:
        return None
    first, second = first - first.mean(), second - second.mean()
    size = math.sqrt(float(first @ first) * float(second @ second))
    return float(first @ second) / size if size > STEP else None


def correlate_ranks(one: npt.ArrayLike, other: npt.ArrayLike) -> float | None:
    """Correlate the ranks of two rows of numbers (Spearman); equal ones share the mean of their ranks."""
    return correlate(_rank(one), _rank(other))


def _rank(values: npt.ArrayLike) -> Scores:
    row = np.asarray(values, dtype=float)
    _, places, counts = np.unique(row, return_inverse=True, return_counts=True)
    ends = np.cumsum(counts)
    ranks: Scores = (ends - (counts - 1) / 2.0)[places]
    return ranks


def find_mean_interval(mean: float, count: int) -> tuple[float, float]:
    """Find the 95 % interval of a mean of scores from 0 to 1, by Wilson's rule for shares.

    It has a width even where all scores are alike. Scores that are partly right vary less than shares of the same
    mean, so for them it is on the safe side.

    Source: E. B. Wilson, Journal of the American Statistical Association 22 (1927), from memory.
    """
    spread = SURE_Z**2 / count
    middle = (mean + spread / 2.0) / (1.0 + spread)
    half = SURE_Z * math.sqrt(mean * (1.0 - mean) / count + spread / (4.0 * count)) / (1.0 + spread)
    return max(0.0, middle - half), min(1.0, middle + half)


def find_interval(correlation: float, count: int) -> tuple[float, float] | None:
    """Find the 95 % interval of a correlation by Fisher's transformation; nothing for three pairs or fewer.

    Source: R. A. Fisher, Biometrika 10 (1915), from memory.
    """
    if count <= 3 or abs(correlation) >= 1.0:
        return None
    middle, half = math.atanh(correlation), SURE_Z / math.sqrt(count - 3)
    return math.tanh(middle - half), math.tanh(middle + half)


# ------------------------------------------------------------------ wrong choices, broken orders
@dataclass(frozen=True, slots=True)
class ChoiceUse:
    """How often one choice of a field was offered and taken; rest: mean score elsewhere of those who took it.

    A choice that was right for one learner and wrong for another, as the question was drawn, is two.
    """

    item: str
    field: str
    choice: str
    is_right: bool
    offered: int
    taken: int
    rest: float | None

    @property
    def share(self) -> float:
        """How often it was taken of the times that it was offered."""
        return self.taken / self.offered


def count_choices(outcomes: Sequence[Outcome]) -> tuple[ChoiceUse, ...]:
    """Count which choices were offered and taken, the most often taken wrong ones of each item first."""
    firsts = keep_first(outcomes)
    rests = _find_rests(firsts)
    offered: dict[tuple[str, str, str, bool], int] = {}
    takers: dict[tuple[str, str, str, bool], list[float]] = {}
    for outcome in firsts:
        for field in outcome.fields:
            for choice in field.offered:
                key = (outcome.item, field.name, choice, choice in field.right)
                offered[key] = offered.get(key, 0) + 1
                if choice in field.taken:
                    takers.setdefault(key, []).append(rests[outcome.person, outcome.item])
    used = [
        ChoiceUse(*key, times, len(takers.get(key, ())), _mean(takers.get(key, ())))
        for key, times in offered.items()
    ]
    return tuple(sorted(used, key=lambda use: (use.item, use.field, use.is_right, -use.share)))


@dataclass(frozen=True, slots=True)
class Broken:
    """How often a line was given before another that has to come first, of the times that both were asked."""

    item: str
    first: str
    then: str
    broken: int
    asked: int


def count_broken(outcomes: Sequence[Outcome]) -> tuple[Broken, ...]:
    """Count what was put before what it has to follow, the most often broken first."""
    firsts = keep_first(outcomes)
    broken: dict[tuple[str, str, str], int] = {}
    for outcome in firsts:
        for field in outcome.fields:
            for first, then in field.broken:
                key = (outcome.item, first, then)
                broken[key] = broken.get(key, 0) + 1
    counted = [
        Broken(item, first, then, times, _count_asked(firsts, item, first, then))
        for (item, first, then), times in broken.items()
    ]
    return tuple(
        sorted(counted, key=lambda one: (-one.broken, -one.broken / one.asked, one.item, one.first))
    )


def _count_asked(outcomes: Iterable[Outcome], item: str, first: str, then: str) -> int:
    return sum(
        outcome.item == item and any({first, then} <= set(field.lines) for field in outcome.fields)
        for outcome in outcomes
    )


def _find_rests(outcomes: Iterable[Outcome]) -> Mapping[tuple[str, str], float]:
    table = make_table(outcomes)
    found: dict[tuple[str, str], float] = {}
    for column, item in enumerate(table.items):
        rest = find_rest_scores(table.scores, column)
        found |= {(person, item): float(rest[row]) for row, person in enumerate(table.persons)}
    return found


def _mean(values: Sequence[float]) -> float | None:
    known = [value for value in values if not math.isnan(value)]
    return sum(known) / len(known) if known else None
