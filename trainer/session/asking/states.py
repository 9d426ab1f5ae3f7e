"""How a pump may stand while a question is asked, and what stays on it as long as one part does."""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping
from functools import lru_cache

from trainer.core.order.reach import is_sane
from trainer.core.order.state import State, TakenOff
from trainer.core.order.teardown import Step
from trainer.session.asking.benches import MOST_KEPT
from trainer.session.bench import Bench

DONE_BESIDES = 0.25
"""Chance of each step that does not have to be done that it is, so that a pump does not always stand alike."""


def is_plain(step: Step) -> bool:
    """Is a step what a fitter does without a second thought: nothing joined leaves, and nothing speaks against it?"""
    return not any(taken.as_unit or taken.cautions for taken in step.taken)


def draw_state(bench: Bench, part: str, chance: random.Random) -> State:
    """Draw a state in which a part can come off next: all is off that has to be, and some more by chance.

    Where that does not free it, for there are parts of which any one will do, all is off that a good order takes off
    before it.

    part: one that has a step of its own in the order of the bench.
    """
    number = next(n for n, step in enumerate(bench.order.steps) if step.part == part)
    before, must = bench.order.steps[:number], find_first(bench)[part]
    chosen = [step for step in before if chance.random() < DONE_BESIDES or step.part in must]
    drawn = _do_steps(bench, chosen)
    first = bench.order.steps[number].taken[0]
    found = drawn.find(first.piece)
    return drawn if found is not None and _is_as_good(found, first) else _do_steps(bench, before)


def _do_steps(bench: Bench, steps: Iterable[Step]) -> State:
    """Do steps one after another; one that would now be another move than it was is left."""
    state = State(bench.assembly, bench.blocking)
    for step in steps:
        for taken in step.taken:
            found = state.find(taken.piece)
            if found is not None and _is_as_good(found, taken):
                state.take(taken.piece)
    return state


def _is_as_good(found: TakenOff, meant: TakenOff) -> bool:
    """Is a move no more joined and no more ill-advised than the one that was meant?"""
    return found.as_unit <= meant.as_unit and set(found.cautions) <= set(meant.cautions)


@lru_cache(maxsize=MOST_KEPT)
def find_left_with(bench: Bench) -> Mapping[str, State]:
    """Find by part the state in which all is off that can come off as long as nothing of that part does.

    What is not off in it comes after the part in every order: taking single pieces off never adds a
    constraint, so whatever can come off does in whichever order it is tried.
    """
    return {part: strip(bench, keep=names) for part, names in bench.build.places.items()}


def strip(bench: Bench, keep: Iterable[str] = ()) -> State:
    """Take off all that a fitter would, pieces by themselves before units that leave joined, and leave what is kept."""
    state, kept = State(bench.assembly, bench.blocking), set(keep)
    names = [name for step in bench.order.steps for name in step.pieces]
    left = [name for name in (*names, *bench.order.stuck) if name not in kept]
    while _strip_once(state, left, units=False) or _strip_once(state, left, units=True):
        pass
    return state


def _strip_once(state: State, left: list[str], *, units: bool) -> bool:
    """Try each piece that is left once, of the units one; say whether anything came off."""
    before = len(left)
    for name in tuple(left):
        found = state.find(name)
        if found is not None and found.as_unit <= units and is_sane(state, found):
            state.take(name)
            left.remove(name)
            if units:
                break
    return len(left) < before


@lru_cache(maxsize=MOST_KEPT)
def find_waiting(bench: Bench) -> Mapping[str, frozenset[str]]:
    """Find by part the parts of which nothing comes off before that part does; what never comes off is in none."""
    places = bench.build.places
    whole = set(strip(bench).off)
    waiting = {}
    for part, state in find_left_with(bench).items():
        off = set(state.off)
        waiting[part] = frozenset(
            other
            for other, names in places.items()
            if other != part and not off & set(names) and set(names) <= whole
        )
    return waiting


@lru_cache(maxsize=MOST_KEPT)
def find_first(bench: Bench) -> Mapping[str, frozenset[str]]:
    """Find by part the parts that have to come off before anything of it can."""
    waiting = find_waiting(bench)
    return {
        part: frozenset(first for first, later in waiting.items() if part in later)
        for part in bench.build.places
    }
