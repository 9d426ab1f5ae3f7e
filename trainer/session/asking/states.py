"""How a pump may stand while a question is asked, and what stays on it as long as one part does."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from models.spec.joint import JointKind
from trainer.core.order.reach import MOST_LEADERS, Allowed, is_sane
from trainer.core.order.state import State, TakenOff
from trainer.core.order.teardown import Step
from trainer.session.asking.benches import once_a_bench
from trainer.session.bench import Bench

DONE_BESIDES = (0.25, 0.5, 0.75)
"""Chance of each step that does not have to be done that it is; the next where too little was done to free a part."""
MOST_UNITS = 2
"""Units that are led off one after another before the rest is taken apart."""


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
    first = bench.order.steps[number].taken[0]
    for share in DONE_BESIDES:
        chosen = [step for step in before if chance.random() < share or step.part in must]
        drawn = _do_steps(bench, chosen)
        found = drawn.find(first.piece)
        if found is not None and _is_as_good(found, first):
            return drawn
    return _do_steps(bench, before)


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


# ------------------------------------------------------------------ what waits for what
@dataclass(frozen=True, slots=True)
class Waits:
    """What becomes of a pump of which one part is left alone.

    parts: those of which nothing comes off then, in whatever way. free: those that come off all the same, by moves
    that a fitter would make. left: all off that a fitter would take off so, to be looked at.
    What comes off by an ill-advised move only is in neither.
    """

    parts: frozenset[str]
    free: frozenset[str]
    left: State


@once_a_bench
def find_waits(bench: Bench) -> Mapping[str, Waits]:
    """Find by part what waits for it.

    Taking single pieces off never adds a constraint, so one order of them is as good as another; but what is drawn
    out whole comes no more when it has been stripped. So besides taking off whatever comes, units are led off first,
    one after another, in every way that opens when the fasteners of one joint are off.
    """
    places = bench.build.places
    leads = _list_leads(bench, State(bench.assembly, bench.blocking), MOST_UNITS)
    ends = {part for part, names in places.items() if not _is_any_off(names, _list_ways(bench, leads))}  # fmt: skip
    return {part: _find_waits_for(bench, leads, part, ends) for part in places}


def _find_waits_for(
    bench: Bench, leads: Sequence[Sequence[Lead]], part: str, ends: set[str]
) -> Waits:
    """Find what waits for one part. ends: parts that never come off."""
    kept = frozenset(bench.build.places[part])
    others = {name: names for name, names in bench.build.places.items() if name != part}
    sane = list(_list_ways(bench, leads, kept))
    free = frozenset(name for name, names in others.items() if _is_any_off(names, sane))
    left = others.keys() - free - ends
    ways = [*sane, *_list_ways(bench, (), kept, is_any)] if left else sane
    stuck = frozenset(name for name in left if _is_stuck(others[name], ways))
    return Waits(stuck, free, sane[0])


def _list_ways(
    bench: Bench,
    leads: Sequence[Sequence[Lead]],
    kept: frozenset[str] = frozenset(),
    allowed: Allowed = is_sane,
) -> Iterator[State]:
    """List how a pump can stand in the end, of which some pieces are left alone; no more than one where all else is off."""
    for lead in ((), *leads):
        way = strip(bench, kept, lead, allowed=allowed)
        if way is not None:
            yield way
            if len(way.off) + len(kept) == len(bench.blocking.names):
                return
    yield _strip_eagerly(bench, kept, allowed)


@once_a_bench
def find_first(bench: Bench) -> Mapping[str, frozenset[str]]:
    """Find by part the parts that have to come off before anything of it can."""
    waits = find_waits(bench)
    return {
        part: frozenset(first for first, one in waits.items() if part in one.parts)
        for part in bench.build.places
    }


def _is_any_off(names: Iterable[str], ways: Iterable[State]) -> bool:
    return any(name in state.off for state in ways for name in names)


def _is_stuck(names: Iterable[str], ways: Iterable[State]) -> bool:
    """Is none of a part's pieces off, nor able to come off, whichever way was gone?"""
    return not any(name in way.off or way.find(name) for way in ways for name in names)


def is_any(_state: State, _taken: TakenOff) -> bool:
    """Allow every move that can be made, ill-advised or not."""
    return True


Lead = tuple[str, str]
"""A part whose pieces are taken off, and the piece that then leads a unit off."""


def _list_leads(bench: Bench, state: State, deep: int) -> list[tuple[Lead, ...]]:
    """List the units that can be led off when the fasteners of one joint are off, and again after that."""
    masks, found = state.masks, list[tuple[Lead, ...]]()
    bulky = sorted(bench.blocking.names, key=lambda name: -masks.bulk[masks.number[name]])
    for part in _list_fasteners(bench) if deep else ():
        loose = state.copy()
        if not all(_take(loose, name, is_sane) for name in bench.build.places[part]):
            continue
        for leader in bulky[:MOST_LEADERS]:
            led = loose.find(leader)
            if led is not None and led.as_unit and is_sane(loose, led):
                after = loose.copy()
                after.take(leader)
                rest = _list_leads(bench, after, deep - 1)
                found += [((part, leader),), *(((part, leader), *more) for more in rest)]
    return found


def _list_fasteners(bench: Bench) -> list[str]:
    bolted = (joint for joint in bench.build.joints if joint.kind is JointKind.BOLTED)
    fasteners = dict.fromkeys(place for joint in bolted for place in joint.fasteners)
    return [place for place in fasteners if place in bench.build.places]


def strip(
    bench: Bench, keep: frozenset[str], leads: Sequence[Lead], *, allowed: Allowed
) -> State | None:
    """Lead units off, then take off all that comes, pieces by themselves before further units; None where one does not."""
    state = State(bench.assembly, bench.blocking)
    for part, leader in leads:
        names = (*bench.build.places[part], leader)
        if keep & set(names) or not all(_take(state, name, allowed) for name in names):
            return None
    left = _list_left(bench, keep, state)
    while _strip_once(state, left, allowed, units=False) or _strip_once(
        state, left, allowed, units=True
    ):
        pass
    return state


def _strip_eagerly(bench: Bench, keep: frozenset[str], allowed: Allowed) -> State:
    """Take off whatever comes, in the order of the bench, units too."""
    state = State(bench.assembly, bench.blocking)
    left = _list_left(bench, keep, state)
    while came := [name for name in left if _take(state, name, allowed)]:
        left = [name for name in left if name not in came]
    return state


def _list_left(bench: Bench, keep: frozenset[str], state: State) -> list[str]:
    names = [name for step in bench.order.steps for name in step.pieces]
    gone = keep | set(state.off)
    return [name for name in (*names, *bench.order.stuck) if name not in gone]


def _take(state: State, name: str, allowed: Allowed) -> bool:
    """Take a piece off if it comes by a move that is allowed; say whether it is off."""
    found = None if name in state.off else state.find(name)
    if found is not None and allowed(state, found):
        state.take(name)
        return True
    return name in state.off


def _strip_once(state: State, left: list[str], allowed: Allowed, *, units: bool) -> bool:
    """Try each piece that is left once, of the units one; say whether anything came off."""
    before = len(left)
    for name in tuple(left):
        found = state.find(name)
        if found is not None and found.as_unit <= units and allowed(state, found):
            state.take(name)
            left.remove(name)
            if units:
                break
    return len(left) < before
