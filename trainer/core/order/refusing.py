"""Why a piece cannot come off yet: what holds it, what is in its way after what travel, what would free it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from models.spec.assembly import Hold
from trainer.core.order.answers import Held, Refused, Way
from trainer.core.order.blocking import REACH_MM
from trainer.core.order.directions import Direction
from trainer.core.order.masks import Masks, is_held, union


def refuse(
    masks: Masks, piece: int, lot: int, freed: int, ways_out: Mapping[str, Direction]
) -> Refused:
    """Tell why a piece that cannot come off its lot cannot.

    Args:
        masks: of the assembly.
        piece: its number.
        lot: mask of what lies with it.
        freed: mask of what has been taken off.
        ways_out: the way in which each piece comes out in the end, as far as known, in that order; the
            refusal is told along its own, and what must go first in this order.
    """
    body = masks.body(piece, masks.load(piece, lot, freed))
    natural = ways_out.get(masks.names[piece])
    found: dict[str, dict[str, None]] = {}
    holders = 0
    for hold in _list_active(masks, body.mask, lot):
        present = masks.mask(hold.present)
        outside = present & ~body.mask or present
        holders |= outside if len(hold.present) == 1 else _first(outside)
        for by in masks.named(outside):
            found.setdefault(hold.joint, {})[by] = None
    held = tuple(Held(joint, tuple(by)) for joint, by in found.items())
    rest = lot & ~body.mask & ~masks.stretched[piece]
    until, _ = min(
        ((bars & rest | holders, way) for bars, way in body.ways(masks)),
        key=lambda option: (
            option[0].bit_count(),
            option[1].direction != natural,
            sum(masks.bulk[i] for i in masks.numbers(option[0])),
        ),
    )
    way = min(
        find_barred_ways(masks, piece, body.mask, lot),
        key=lambda way: (
            way.direction != natural,
            _count_apart(masks, way.blocked_by),
            -way.travel_mm,
        ),
        default=None,
    )
    turn = {name: i for i, name in enumerate(ways_out)}
    first = sorted(masks.named(until), key=lambda name: turn.get(name, len(turn)))
    return Refused(masks.names[piece], held, way, tuple(first))


def find_obstacles(masks: Masks, piece: int, lot: int, freed: int) -> tuple[str, ...]:
    """Name everything whose going could help to free a piece.

    That is what holds it or bars any of its ways, the least barred way first, then what carries any
    of these, or the piece itself, away.
    """
    body = masks.body(piece, masks.load(piece, lot, freed))
    found: dict[str, None] = {}
    for hold in _list_active(masks, body.mask, lot):
        found |= dict.fromkeys(masks.named(masks.mask(hold.present | hold.members) & lot))
    rest = lot & ~body.mask & ~masks.stretched[piece]
    for bars, _ in sorted(body.ways(masks), key=lambda way: (way[0] & rest).bit_count()):
        found |= dict.fromkeys(masks.named(bars & rest))
    concerned = masks.mask(found) | body.mask
    for other, reach in enumerate(masks.reach):
        if reach & concerned and lot >> other & 1:
            found.setdefault(masks.names[other])
    found.pop(masks.names[piece], None)
    return tuple(found)


def find_stop(masks: Masks, piece: int, lot: int, freed: int) -> int:
    """Find pieces, as a mask, that keep this one where it is as long as all of them lie with it.

    0 when no few of them tell: then only trying again can. For a piece that cannot come off now.
    """
    body = masks.body(piece, masks.load(piece, lot, freed))
    if is_held(body, lot):
        for present, others in body.unbolted:
            if not present & ~lot and others & lot:
                return body.mask | present | _first(others & lot)
        for by, members in masks.fastened[piece]:
            bulkier = members & lot & masks.bulkier[piece]
            if by & lot and bulkier:
                return body.mask | _first(by & lot) | _first(bulkier)
        return 0
    rest = lot & ~body.mask & ~masks.stretched[piece]
    return union(_first(bars & rest) for bars, _ in body.ways(masks)) | body.mask


def _count_apart(masks: Masks, names: Iterable[str]) -> int:
    """Count pieces, those that ride on another of them left out: one move takes them along."""
    there = set(names)
    return sum(
        not any(carry.carrier in there for carry in masks.carriers[masks.number[name]])
        for name in there
    )


def _first(mask: int) -> int:
    """Give the lowest bit of a mask."""
    return mask & -mask


def _list_active(masks: Masks, moving: int, lot: int) -> list[Hold]:
    """List the holds that keep something of `moving` on something that stays."""
    found = dict[Hold, None]()
    for i in sorted(masks.numbers(moving), key=masks.names.__getitem__):
        for hold in masks.holds[i]:
            present = masks.mask(hold.present)
            if present & ~lot == 0 and masks.mask(hold.members) & lot & ~moving:
                found[hold] = None
    return list(found)


def find_barred_ways(masks: Masks, piece: int, moving: int, lot: int) -> Iterable[Way]:
    """Yield every direction in which something is in the way: the nearest, and what else within its own length."""
    table = masks.blocking
    own = np.fromiter(masks.numbers(moving), np.intp)
    rest = np.fromiter(masks.numbers(lot & ~moving & ~masks.stretched[piece]), np.intp)
    size = table.high[own].max(axis=0) - table.low[own].min(axis=0)
    for d, direction in enumerate(table.directions):
        if moving & ~masks.asked[d]:
            continue
        travel = table.travel_mm[d][own].min(axis=0)
        hits = sorted(rest[np.isfinite(travel[rest])], key=lambda i: (travel[i], i))
        if hits:
            nearest_mm = float(travel[hits[0]])
            length_mm = float(size @ np.abs(direction.vector)) + REACH_MM
            near = [i for i in hits if travel[i] <= max(length_mm, nearest_mm)]
            yield Way(direction, tuple(masks.names[i] for i in near), nearest_mm)
