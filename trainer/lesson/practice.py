"""The rules of practice: what is due, what is weak, what comes next, and how much help stands beside it.

* **Retrieval first**: what was met before is asked before anything is told. (Roediger and Karpicke, Psychological
  Science 17, 2006, from memory.)
* **Spaced**: by `spacing`.
* **Interleaved**: of what may come next, it is the first that is neither of the kind just asked nor about the same
  kind of part. (Rohrer and Taylor, Instructional Science 35, 2007, from memory.)
* **Fading**: what is worked out begins with a worked example of another one and hints, then has hints alone until
  one is all right, then nothing; two in a row that are lost bring the hints back. Facts are learnt by recalling
  them: those are asked unaided from the first. (Renkl and Atkinson, Educational Psychologist 38, 2003, from memory.)
"""

from __future__ import annotations

import random
from bisect import insort
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from enum import StrEnum

from trainer.lesson.kinds import SKILLS, QuestionKind, Skill
from trainer.lesson.marking import FULL, ROUNDING
from trainer.lesson.outcome import Help, Outcome
from trainer.lesson.spacing import (
    AGAIN_AFTER,
    Memory,
    Recall,
    find_chance,
    find_usual_s,
    judge_recall,
    remember,
)

WORKED_OUT = frozenset(
    {Skill.KNOW_ORDER, Skill.SET_CLEARANCES, Skill.CHOOSE_COMPONENTS, Skill.JUDGE_FAULTS}
)
"""Skills whose questions are worked out; what parts are called and are for is recalled."""
LOST_IN_A_ROW = 2
WEAK_BELOW = 0.7
"""Chance of recall below which something is weak. Our own choice, well below the aim."""
MOST_NEW_A_DAY = 20
"""New questions begun in a day, so that what comes back stays little. Common practice."""


@dataclass(frozen=True, slots=True)
class Subject:
    """One thing that can be asked. topic: the kind of part that it is about, to be interleaved by."""

    kind: QuestionKind
    subject: str
    topic: str

    @property
    def item(self) -> str:
        """Name it as `Item.key` does: KIND/SUBJECT."""
        return f"{self.kind}/{self.subject}"

    @property
    def skill(self) -> Skill:
        """The skill it shows."""
        return SKILLS[self.kind]


@dataclass(frozen=True, slots=True)
class Learnt:
    """What answers have made of one item. tries: answers; lost: those that were lost; last: how the last one went.

    seen: when it was answered last. memory and last are nothing where all answers were given beside worked examples.
    """

    item: str
    tries: int
    lost: int
    last: Recall | None
    memory: Memory | None
    seen: datetime

    @property
    def due(self) -> datetime:
        """When it comes back; what was only seen beside a worked example has soon to be recalled a first time."""
        return self.memory.due if self.memory is not None else self.seen + AGAIN_AFTER

    def find_chance(self, now: datetime) -> float:
        """Find the chance that it would be known now; 0 where it was lost last and not recalled since."""
        if self.memory is None or self.last is Recall.LOST:
            return 0.0
        return find_chance(self.memory, now)


@dataclass(frozen=True, slots=True)
class History:
    """All that follows from a learner's answers.

    outcomes: by when they were given. learnt: by item. times_s: by form the times of right unaided answers, rising.
    """

    outcomes: tuple[Outcome, ...] = ()
    learnt: Mapping[str, Learnt] = field(default_factory=dict)
    times_s: Mapping[str, tuple[float, ...]] = field(default_factory=dict)

    @property
    def usual_s(self) -> Mapping[str, float]:
        """Usual seconds by form, where known."""
        usual = {form: find_usual_s(times) for form, times in self.times_s.items()}
        return {form: seconds for form, seconds in usual.items() if seconds is not None}


def fold_outcomes(outcomes: Iterable[Outcome], before: History | None = None) -> History:
    """Fold a learner's answers, in whatever order they are handed over, into what is known of the learner.

    before: what others were folded into. Where all that is new was given later, only that is folded.
    """
    before = before or History()
    new = sorted(outcomes, key=lambda one: one.when)
    if before.outcomes and new and new[0].when < before.outcomes[-1].when:
        return fold_outcomes([*before.outcomes, *new])
    learnt = dict(before.learnt)
    times_s = {form: list(times) for form, times in before.times_s.items()}
    for outcome in new:
        times = times_s.setdefault(outcome.form, [])
        recall = judge_recall(outcome, find_usual_s(times))
        learnt[outcome.item] = _learn(learnt.get(outcome.item), recall, outcome)
        if outcome.seconds is not None and _is_all_right(outcome) and outcome.help is Help.UNAIDED:
            insort(times, outcome.seconds)
    rising = {form: tuple(times) for form, times in times_s.items()}
    return History((*before.outcomes, *new), learnt, rising)


def _learn(known: Learnt | None, recall: Recall | None, outcome: Outcome) -> Learnt:
    before = known or Learnt(outcome.item, 0, 0, None, None, outcome.when)
    tries, when = before.tries + 1, outcome.when
    if recall is None:
        return replace(before, tries=tries, seen=when)
    memory = remember(before.memory, recall, when)
    lost = before.lost + (recall is Recall.LOST)
    return Learnt(outcome.item, tries, lost, recall, memory, when)


def _is_all_right(outcome: Outcome) -> bool:
    return outcome.score >= FULL - ROUNDING


# ------------------------------------------------------------------ help
def choose_help(kind: QuestionKind, outcomes: Sequence[Outcome]) -> Help:
    """Choose what stands beside the next question of a kind.

    outcomes: the learner's, by when they were given; those of other kinds do not count.
    """
    if SKILLS[kind] not in WORKED_OUT:
        return Help.UNAIDED
    own = [one for one in outcomes if one.kind == kind]
    if not own:
        return Help.EXAMPLE
    chosen, lost = Help.HINTED, 0
    for one in own:
        lost = lost + 1 if judge_recall(one, None) is Recall.LOST else 0
        if one.help is not Help.EXAMPLE and _is_all_right(one):
            chosen = Help.UNAIDED
        if lost >= LOST_IN_A_ROW:
            chosen = Help.HINTED
    return chosen


# ------------------------------------------------------------------ what is due, weak, next
class Why(StrEnum):
    """Why something comes next."""

    DUE = "due"
    NEW = "new"
    AHEAD = "ahead"


@dataclass(frozen=True, slots=True)
class Next:
    """What comes next, why, and with what help."""

    subject: Subject
    why: Why
    help: Help


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a learner stands with a pool of subjects.

    due: to be asked now, what is most forgotten first. later: due before the day ends, but not yet. weak: asked, not
    only seen worked out, and hardly known; the weakest first. new: never asked. next_due: when the first of all that was seen comes back.
    """

    due: tuple[Subject, ...]
    later: tuple[Subject, ...]
    weak: tuple[Subject, ...]
    new: tuple[Subject, ...]
    new_today: int
    next_due: datetime | None


def find_standing(pool: Sequence[Subject], history: History, now: datetime) -> Standing:
    """Find what is due, weak and new. now: in the time zone whose day is meant."""
    known = {subject: history.learnt[subject.item] for subject in pool if subject.item in history.learnt}  # fmt: skip
    dues = {subject: learnt.due for subject, learnt in known.items()}
    chances = {subject: learnt.find_chance(now) for subject, learnt in known.items()}
    tomorrow = now.replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=1)
    by_chance = sorted(known, key=lambda subject: (chances[subject], dues[subject]))
    return Standing(
        due=tuple(subject for subject in by_chance if dues[subject] <= now),
        later=tuple(subject for subject in by_chance if now < dues[subject] < tomorrow),
        weak=tuple(one for one in by_chance if known[one].memory and chances[one] < WEAK_BELOW),
        new=tuple(subject for subject in pool if subject not in known),
        new_today=_count_new(history.outcomes, now),
        next_due=min(dues.values(), default=None),
    )


def _count_new(outcomes: Iterable[Outcome], now: datetime) -> int:
    first: dict[str, datetime] = {}
    for outcome in outcomes:
        first.setdefault(outcome.item, outcome.when)
    return sum(when.astimezone(now.tzinfo).date() == now.date() for when in first.values())


def choose_next(
    pool: Sequence[Subject],
    history: History,
    now: datetime,
    chance: random.Random,
    *,
    asked: Sequence[Subject] = (),
    ahead: bool = False,
) -> Next | None:
    """Choose what comes next: what is due, then what is new, then, with `ahead`, what comes back soonest.

    Args:
        pool: all that can be asked.
        history: the learner's.
        now: in the time zone whose day is meant.
        chance: draws among new subjects.
        asked: what was asked in this sitting, the last one last.
        ahead: whether something is wanted though nothing is due.
    """
    standing = find_standing(pool, history, now)
    fresh = _sort_new(standing.new, asked, chance) if standing.new_today < MOST_NEW_A_DAY else []
    rest = sorted(
        (one for one in pool if one.item in history.learnt and one not in standing.due),
        key=lambda one: history.learnt[one.item].due,
    )
    tiers = [(Why.DUE, list(standing.due)), (Why.NEW, fresh)]
    if ahead:
        beyond = _sort_new(standing.new, asked, chance)
        tiers += [(Why.AHEAD, rest), (Why.AHEAD, beyond)]
    for why, tier in tiers:
        if tier:
            chosen = interleave(tier, asked)
            return Next(chosen, why, choose_help(chosen.kind, history.outcomes))
    return None


def interleave(tier: Sequence[Subject], asked: Sequence[Subject]) -> Subject:
    """Give the first that differs from the last one asked in kind and topic; else in topic, in kind; else the first."""
    if not asked:
        return tier[0]
    last = asked[-1]

    def count_alike(one: Subject) -> tuple[bool, bool]:
        return one.topic == last.topic, one.kind == last.kind

    others = [one for one in tier if one != last] or list(tier)
    return min(others, key=count_alike)


def _sort_new(
    new: Sequence[Subject], asked: Sequence[Subject], chance: random.Random
) -> list[Subject]:
    """Sort new subjects so that every skill, and in it every kind, has its turn."""
    skills, kinds = Counter(one.skill for one in asked), Counter(one.kind for one in asked)
    drawn = {kind: chance.random() for kind in sorted({one.kind for one in new})}
    shuffled = list(new)
    chance.shuffle(shuffled)
    return sorted(shuffled, key=lambda one: (skills[one.skill], kinds[one.kind], drawn[one.kind]))


# ------------------------------------------------------------------ the map of mastery
@dataclass(frozen=True, slots=True)
class Mastery:
    """How far a learner is with one skill.

    there_are: items of the skill in the pool. seen: of them, answered at least once. recall: mean chance, 0 to 1,
    that one of the seen would be known now; nothing where none was seen. known: mean chance over all there are, what
    was never seen counting 0.
    """

    skill: Skill
    there_are: int
    seen: int
    recall: float | None
    known: float


def map_mastery(pool: Sequence[Subject], history: History, now: datetime) -> tuple[Mastery, ...]:
    """Map how far a learner is, skill by skill; a skill of which the pool has nothing is left out."""
    found = []
    for skill in Skill:
        own = [subject for subject in pool if subject.skill is skill]
        if not own:
            continue
        chances = [
            history.learnt[one.item].find_chance(now) for one in own if one.item in history.learnt
        ]
        recall = sum(chances) / len(chances) if chances else None
        found.append(Mastery(skill, len(own), len(chances), recall, sum(chances) / len(own)))
    return tuple(found)
