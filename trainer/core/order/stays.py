"""Take an assembly apart around a piece that stays put, each part along the way its fasteners leave."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from models.spec.assembly import Assembly
from trainer.core.order.blocking import Blocking
from trainer.core.order.guess import Kind
from trainer.core.order.state import State, TakenOff
from trainer.core.order.teardown import Order, Step

ALONG = 0.996
"""Cosine of 5 degrees: a fastener's axis this near to x, y or z counts as along it."""


def keep_base(assembly: Assembly, blocking: Blocking, order: Order, base: str) -> Order:
    """Take all but the base off, in the given order as far as it goes; the base itself stays."""
    state = State(assembly, blocking)
    waiting = [name for step in order.steps for name in step.pieces if name != base]
    waiting += [name for name in order.stuck if name != base]
    steps: list[tuple[str, list[TakenOff]]] = []
    while True:
        last = steps[-1][1][-1] if steps else None
        part = assembly.by_name[last.piece].part if last else ""
        found = _take_next(state, assembly, waiting, part)
        if found is None:
            break
        waiting.remove(found.piece)
        own = assembly.by_name[found.piece].part
        if last is not None and own == part and last.direction == found.direction:
            steps[-1][1].append(found)
        else:
            steps.append((own, [found]))
    return Order(tuple(Step(part, tuple(taken)) for part, taken in steps), tuple(waiting))


def _take_next(
    state: State, assembly: Assembly, waiting: Sequence[str], part: str
) -> TakenOff | None:
    """Take the next of the set that is being taken, or else a loose washer, or else the first that is free."""

    def rank(name: str) -> int:
        piece = assembly.by_name[name]
        return 0 if piece.part == part else 1 if piece.kind == Kind.WASHER else 2

    # sorting keeps the order of what ranks alike
    tried = sorted(waiting, key=rank)
    return next((found for name in tried if (found := state.try_take(name))), None)


def prefer_ways(blocking: Blocking, axes: Sequence[tuple[float, float, float]]) -> Blocking:
    """Put the ways in the order in which they are to be tried: along most fasteners first, upwards before downwards.

    What can leave in several ways then leaves as its fasteners do.
    """
    lines = [abs(np.array(axis) @ np.eye(3)) for axis in axes]
    votes = np.sum([line > ALONG for line in lines], axis=0) if lines else np.zeros(3)
    pairs = sorted(range(3), key=lambda k: (-votes[k], -k))
    order = [2 * k + i for k in pairs for i in ((1, 0) if k == 2 else (0, 1))]
    order += range(6, len(blocking.directions))
    place = np.argsort(order).astype(np.int32)
    asides = replace(
        blocking.asides, first=place[blocking.asides.first], then=place[blocking.asides.then]
    )
    return replace(
        blocking,
        travel_mm=blocking.travel_mm[order],
        clear_mm=blocking.clear_mm[order],
        directions=tuple(blocking.directions[i] for i in order),
        asked=None if blocking.asked is None else blocking.asked[order],
        asides=asides,
    )
