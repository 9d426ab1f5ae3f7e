"""A piece that is pulled one way or another by hand: how far it gets, what stops it, whether it is off then."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from trainer.core.order.answers import Refused, TakenOff
from trainer.core.order.blocking import REACH_MM
from trainer.core.order.directions import Direction
from trainer.core.order.masks import Masks, is_held
from trainer.core.order.refusing import find_barred_ways, refuse


@dataclass(frozen=True, slots=True)
class Pull:
    """What becomes of a piece in one direction.

    found: what is told of it, for this very direction. moving: the piece with all that goes along.
    stop_mm: how far until it meets something; inf where it never does, 0 where a joint holds it.
    off_mm: how far until it may be let go and is off; inf where it does not come off this way.
    """

    direction: Direction
    found: TakenOff | Refused
    moving: frozenset[str]
    stop_mm: float = math.inf
    off_mm: float = math.inf

    @property
    def piece(self) -> str:
        """The piece that is pulled."""
        return self.found.piece

    @property
    def comes_off(self) -> bool:
        """It can be taken off this way."""
        return isinstance(self.found, TakenOff)

    @property
    def is_held(self) -> bool:
        """A joint holds it, so that it does not move at all."""
        return isinstance(self.found, Refused) and bool(self.found.held)

    @property
    def hindrance(self) -> frozenset[str]:
        """The pieces that stop it: what holds the joint, or the first that is met."""
        return self.found.hindrance if isinstance(self.found, Refused) else frozenset()


def find_pulls(
    masks: Masks,
    piece: int,
    lot: int,
    freed: int,
    found: TakenOff | None,
    ways_out: Mapping[str, Direction],
) -> tuple[Pull, ...]:
    """Find what becomes of a piece in every direction in which it is tried, the way it comes off first.

    Args:
        masks: of the assembly.
        piece: its number.
        lot: mask of what lies with it.
        freed: mask of what has been taken off.
        found: how it comes off now; None when it cannot.
        ways_out: the way in which each piece comes out in the end, as far as known.
    """
    body = masks.body(piece, masks.load(piece, lot, freed))
    refused = None if found else refuse(masks, piece, lot, freed, ways_out)
    natural = _find_natural(masks.names[piece], found, refused, ways_out)
    asked = [
        direction
        for number, direction in enumerate(masks.blocking.directions)
        if not body.mask & ~masks.asked[number]
    ]
    asked.sort(key=lambda direction: direction != natural)
    if is_held(body, lot):
        joint = refused or refuse(masks, piece, lot, freed, ways_out)
        still = frozenset(masks.named(body.mask))
        return tuple(
            _lead(masks, found, one)
            if found and found.direction == one
            # What would free it stands in the sentence of its own way only.
            else Pull(
                one,
                joint if one == natural and not found else Refused(joint.piece, joint.held, None),
                still,
                0.0,
            )
            for one in asked
        )
    barred = {way.direction: way for way in find_barred_ways(masks, piece, body.mask, lot)}
    drawn = _find_drawn(masks, piece, body.mask, lot)
    moving = frozenset(masks.named(body.mask))
    pulls = []
    for one in asked:
        way = barred.get(one)
        stop_mm = way.travel_mm if way else math.inf
        aside, draw_mm = drawn.get(one, (None, math.inf))
        if found and (way is None or aside):
            off_mm = draw_mm if way else _find_length_mm(masks, moving, one)
            told = replace(found, direction=one, aside=aside if way else None)
            pulls.append(Pull(one, told, moving, stop_mm, off_mm))
        elif way is not None:
            until = refused.until if refused and one == natural else ()
            pulls.append(Pull(one, Refused(masks.names[piece], (), way, until), moving, stop_mm))
    return tuple(pulls)


def _find_natural(
    piece: str,
    found: TakenOff | None,
    refused: Refused | None,
    ways_out: Mapping[str, Direction],
) -> Direction | None:
    """Find the way that a piece is pulled first: as it comes off now, else as it is told to be barred, else in the end."""
    if found:
        return found.direction
    if refused and refused.way:
        return refused.way.direction
    return ways_out.get(piece)


def _lead(masks: Masks, found: TakenOff, direction: Direction) -> Pull:
    """Pull a piece that leads others off, still joined to them."""
    off_mm = _find_length_mm(masks, found.along, direction)
    return Pull(direction, found, found.along, math.inf, off_mm)


def _find_drawn(
    masks: Masks, piece: int, moving: int, lot: int
) -> dict[Direction, tuple[Direction, float]]:
    """Find by direction where a body can go aside once it is drawn along it, and how far it must be drawn, in mm."""
    rest = lot & ~moving
    found: dict[Direction, tuple[Direction, float]] = {}
    for bars, way in masks.body(piece, moving).ways(masks):
        if way.aside is not None and not bars & rest:
            best = found.get(way.direction)
            if best is None or way.draw_mm < best[1]:
                found[way.direction] = (way.aside, way.draw_mm)
    return found


def _find_length_mm(masks: Masks, moving: frozenset[str], direction: Direction) -> float:
    """Find how long what moves is along a direction: by so much it has left its place."""
    own = [masks.number[name] for name in moving]
    table = masks.blocking
    size = table.high[own].max(axis=0) - table.low[own].min(axis=0)
    return float(size @ np.abs(direction.vector)) + REACH_MM
