"""Make an order question of somebody's assembly: numbered items in shuffled order, and one right order as the key."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from models.spec.cells import read_cells
from models.spec.errors import ContentError, Fault, say_near
from trainer.core.order.teardown import Step
from trainer.session.step_bench import StepBench

MOST_LINES = 2000


@dataclass(frozen=True, slots=True)
class Item:
    """What a learner puts in order: pieces of one part that come off together, under one number."""

    number: int
    part: str
    pieces: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StepQuestion:
    """The items by rising number, and one right order with the steps it stands for."""

    items: tuple[Item, ...]
    order: tuple[Item, ...]
    steps: tuple[Step, ...]


def make_step_question(bench: StepBench) -> StepQuestion:
    """Number the steps of the teardown order in a shuffled way that is the same every time for the same file."""
    steps = bench.order.steps
    numbers = list(range(1, len(steps) + 1))
    chance = random.Random(bench.step.digest)
    while len(numbers) > 1 and numbers == sorted(numbers):
        chance.shuffle(numbers)
    order = tuple(
        Item(number, step.part, step.pieces) for number, step in zip(numbers, steps, strict=True)
    )
    return StepQuestion(tuple(sorted(order, key=lambda item: item.number)), order, steps)


def read_step_lines(path: Path, bench: StepBench) -> list[tuple[str, ...]]:
    """Read an order to be marked: a piece, a part, or a number of the question a line; # starts a remark.

    A part may be called as the file's list calls it, or as the form does.

    Raises:
        ContentError: unreadable, or names nobody knows, each with its line.
    """
    shown = str(path)
    rows = read_cells(path, shown)
    items = {str(item.number): item.pieces for item in make_step_question(bench).items}
    told = {
        name: pieces
        for part, pieces in bench.sets.items()
        for name in (bench.said(part).name, bench.said(part).many)
        if name
    }
    known = told | {name: (name,) for name in bench.assembly.by_name} | dict(bench.sets)
    faults: list[Fault] = []
    groups: list[tuple[str, ...]] = []
    if len(rows) > MOST_LINES:
        what = f"has {len(rows)} lines; an order has {MOST_LINES} at most"
        raise ContentError([Fault(shown, MOST_LINES + 1, 0, what, "name each piece once")])
    for row in rows:
        for cell in row:
            if row[0].text.startswith("#") or not cell.text:
                continue
            found = known.get(cell.text) or items.get(cell.text)
            if found is None:
                what = f"no piece, part or number of the question is called {cell.text!r}"
                faults.append(
                    Fault(shown, cell.line, cell.column, what, say_near(cell.text, known))
                )
            else:
                groups.append(found)
    if not groups and not faults:
        faults.append(Fault(shown, 1, 0, "names no piece", "write one piece or part a line"))
    if faults:
        raise ContentError(faults)
    return groups


def count_kinds(items: Sequence[Item]) -> int:
    """Count the different parts that are asked for."""
    return len({item.part for item in items})
