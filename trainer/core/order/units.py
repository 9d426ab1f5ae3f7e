"""Units: what leaves joined, led by its main body (the volute with its cover on, back pull-out)."""

from __future__ import annotations

from collections.abc import Iterator

from trainer.core.order.masks import MOST_KEPT, Body, Masks, Unit, is_held, union


def can_lead(masks: Masks, body: Body, lot: int) -> bool:
    """Say whether a held piece might lead a unit: bolted only (a clamped O-ring never leads), to nothing bulkier."""
    if masks.tied(body.piece, lot) & masks.bulkier[body.piece]:
        return False
    return not any(not present & ~lot and others & lot for present, others in body.unbolted)


def find_unit(masks: Masks, body: Body, lot: int, freed: int) -> Unit | None:
    """Grow a held piece to the unit that it is the main body of; None when it heads none.

    A unit is all that joints tie together and all that this pushes along: back pull-out takes the
    shaft and the impeller with the bearing housing, though no bolt joins them. Of the ways to go, one
    that leaves nothing loose, then the one that takes least along.

    Args:
        masks: of the assembly.
        body: the piece that is asked for, with what moves with it.
        lot: mask of what lies with it.
        freed: mask of what has been taken off.
    """
    if not can_lead(masks, body, lot):
        return None
    piece, key = body.piece, (body.piece, lot, freed & lot)
    if key not in masks.units:
        if len(masks.units) >= MOST_KEPT:
            masks.units.clear()
        found = [
            Unit(unit, direction, _loosens(masks, unit, lot, freed))
            for direction, unit in _grow_units(masks, piece, body.mask, lot, freed)
        ]
        masks.units[key] = min(
            found, key=lambda unit: (unit.is_loose, unit.mask.bit_count()), default=None
        )
    return masks.units[key]


def find_whole(masks: Masks, leader: int, apart_from: int, lot: int, freed: int) -> int:
    """Find all that joints would still tie to a piece when it is unbolted from another, as a mask.

    Nothing bulkier is in it, for it leads nothing bulkier; nor is a fastener that also binds what is
    not in it, such as the clip of a hose that leads away.
    """
    bolts = union(by for by, members in masks.fastened[apart_from])
    rest = lot & ~(bolts | 1 << apart_from | masks.bulkier[leader])
    whole = _grow(masks, leader, 1 << leader, rest, freed, -1)
    away = lot & ~whole
    return whole & ~union(
        1 << i for i in masks.numbers(whole) if any(bound & away for bound in masks.fastens[i])
    )


def _grow_units(
    masks: Masks, piece: int, moving: int, lot: int, freed: int
) -> Iterator[tuple[int, int]]:
    """Yield direction and unit for each direction in which the piece is the bulkiest of what would leave."""
    tied = _grow(masks, piece, moving, lot, freed, -1)
    if tied & masks.bulkier[piece] or tied == lot:
        return
    for direction, asked in enumerate(masks.asked):
        unit = _grow(masks, piece, tied, lot, freed, direction)
        if unit != lot and not unit & (masks.bulkier[piece] | ~asked):
            yield direction, unit


def _grow(masks: Masks, piece: int, start: int, lot: int, freed: int, direction: int) -> int:
    """Add all that is tied to or rides on what moves, and, unless the direction is -1, what that meets.

    Stops short when anything bulkier than the piece is in it, or the whole lot is.
    """
    bulkier = masks.bulkier[piece]
    grown, todo = start, start
    while todo and grown != lot and not grown & bulkier:
        low = todo & -todo
        i = low.bit_length() - 1
        added = masks.tied(i, lot) | masks.load(i, lot, freed)
        if direction >= 0:
            added |= masks.met(direction, i) & lot
        todo = (todo | added & ~grown) & ~low
        grown |= added
    return grown


def _loosens(masks: Masks, unit: int, lot: int, freed: int) -> bool:
    """Say whether parting a unit from the rest of its lot leaves anything loose on either side that was not."""
    return any(
        _is_loose(masks, i, part, freed) and not _is_loose(masks, i, lot, freed)
        for part in (unit, lot & ~unit)
        for i in masks.numbers(part)
    )


def _is_loose(masks: Masks, piece: int, lot: int, freed: int) -> bool:
    """Say whether nothing in a lot carries, holds or bars a piece, and it fastens nothing there."""
    if masks.carried_by[piece] & lot:
        return False
    if any(lot & members == members for members in masks.fastens[piece]):
        return False
    body = masks.body(piece, masks.load(piece, lot, freed))
    rest = lot & ~body.mask
    return not is_held(body, lot) and any(not bars & rest for bars, _ in body.ways(masks))
