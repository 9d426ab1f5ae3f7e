"""Choose few combinations of options in which every two values that go together stand side by side."""

from __future__ import annotations

import csv
import itertools
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from models.spec.choosing import find_clashes
from models.spec.errors import ContentError, Fault
from models.spec.family import Family

Choice = Mapping[str, str]
"""A value for every option of a family."""
Pair = frozenset[tuple[str, str]]
"""Two (option, value) of different options; of a family with one option, one."""

MOST_COMBINATIONS = 500
"""Valid combinations up to which each can be built, and up to which a family of that many needs no stored list."""


def has_many(family: Family) -> bool:
    """Say whether a family has so many valid combinations that a stored covering list stands for them."""
    return next(itertools.islice(list_choices(family), MOST_COMBINATIONS, None), None) is not None


def find_covering(tables: Path, family: Family) -> list[dict[str, str]]:
    """Give a family's covering list: the stored one of many combinations, one made now of few. Raises ContentError."""
    return read_covering(tables, family) if has_many(family) else make_covering(family)


def list_choices(family: Family, fixed: Choice | None = None) -> Iterator[dict[str, str]]:
    """List every valid combination of options, those that agree with `fixed`, the usual values first."""
    return _complete(family, dict(fixed or {}), family.option_values())


def list_pairs(choice: Choice) -> set[Pair]:
    """List every two values that stand side by side in a combination."""
    size = min(2, len(choice))
    return {frozenset(pair) for pair in itertools.combinations(choice.items(), size)}


def list_allowed_pairs(family: Family) -> list[Pair]:
    """List every two values that stand side by side in at least one valid combination, in the family's order."""
    values = [[(name, value) for value in found] for name, found in family.option_values().items()]
    return [
        frozenset(pair)
        for chosen in itertools.combinations(values, min(2, len(values)))
        for pair in itertools.product(*chosen)
        if next(list_choices(family, dict(pair)), None) is not None
    ]


def make_covering(family: Family) -> list[dict[str, str]]:
    """Make a list of valid combinations that covers every allowed pair, the usual one first.

    Greedy: each next combination starts from a pair that none has yet, and every further option
    takes the value that brings most pairs that none has yet. Always the same for the same family.
    """
    covering: list[dict[str, str]] = []
    left = dict.fromkeys(list_allowed_pairs(family))
    start: Choice = {}
    while True:
        choice = next(_complete(family, dict(start), family.option_values(), left))
        covering.append(choice)
        for pair in list_pairs(choice):
            left.pop(pair, None)
        if not left:
            return covering
        start = dict(next(iter(left)))


def fill_values(covering: Sequence[Choice], have: Sequence[Choice] = ()) -> list[Choice]:
    """Choose further combinations until every value of a covering list stands in one of these or of those one has.

    Greedy: always the combination with most values that none has yet, the first of equals.
    """
    left = {pair for choice in covering for pair in choice.items()}
    left = left.difference(*(choice.items() for choice in have))
    chosen: list[Choice] = []
    while left:
        chosen.append(max(covering, key=lambda choice: len(left & choice.items())))
        left -= chosen[-1].items()
    return chosen


def _complete(
    family: Family,
    chosen: dict[str, str],
    values: Mapping[str, list[str]],
    wanted: Mapping[Pair, None] | None = None,
) -> Iterator[dict[str, str]]:
    """Complete a choice in every valid way; values that bring most wanted pairs first."""
    if next(find_clashes(family, chosen), None) is not None:
        return
    name = next((name for name in values if name not in chosen), None)
    if name is None:
        yield {name: chosen[name] for name in values}
        return
    ordered = values[name]
    if wanted is not None and len(values) > 1:
        ordered = sorted(ordered, key=lambda value: -_count_new(chosen, (name, value), wanted))
    for value in ordered:
        yield from _complete(family, {**chosen, name: value}, values, wanted)


def _count_new(chosen: Choice, added: tuple[str, str], wanted: Mapping[Pair, None]) -> int:
    return sum(frozenset({one, added}) in wanted for one in chosen.items())


def read_covering(tables: Path, family: Family) -> list[dict[str, str]]:
    """Read the stored covering list of a family.

    Raises:
        ContentError: it is missing, or was made for other options.
    """
    shown = f"coverings/{family.name}.csv"
    remedy = f"make it anew: python -m models.coverings {family.name}"
    try:
        text = (tables / shown).read_text(encoding="utf-8")
    except FileNotFoundError:
        raise ContentError([Fault(shown, 0, 0, "is missing", remedy)]) from None
    rows = list(csv.reader(text.splitlines()))
    values = family.option_values()
    faults = []
    if not rows or rows[0] != list(values):
        faults.append(Fault(shown, 1, 1, "names other options than the family", remedy))
    else:
        for line, row in enumerate(rows[1:], start=2):
            if len(row) != len(values) or any(
                cell not in known for cell, known in zip(row, values.values(), strict=True)
            ):
                faults.append(Fault(shown, line, 1, "has a value that no option has", remedy))
    if faults:
        raise ContentError(faults)
    return [dict(zip(rows[0], row, strict=True)) for row in rows[1:]]


def write_covering(tables: Path, family: Family) -> Path:
    """Make the covering list of a family anew and store it. Raises OSError when the disk refuses."""
    path = tables / "coverings" / f"{family.name}.csv"
    path.parent.mkdir(parents=True, exist_ok=True)
    names = list(family.option_values())
    lines = [names, *([choice[name] for name in names] for choice in make_covering(family))]
    path.write_text("".join(",".join(line) + "\n" for line in lines), encoding="utf-8")
    return path
