"""Which pack follows from the gap that an assembler measured with a known pack."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trainer.core.measure.chain import MeasuredClearance
from trainer.core.measure.packs import MOST_SHIMS, StockShim
from trainer.core.measure.rests import GapReading, MeasuredGap, is_shim, list_rests
from trainer.core.measure.shims import choose_pack
from trainer.session.bench import Bench
from trainer.session.sheet import Condition, Group, PackAdvice, PartLine
from trainer.session.sheet_entries import Entries
from trainer.session.sheet_plan import SET_BY_SHIMS
from trainer.session.shims import check_readings
from trainer.session.typed import USUAL_THICKNESSES, read_stock


def advise_pack(
    bench: Bench,
    entries: Entries,
    parts: Sequence[PartLine],
    stock: Sequence[StockShim],
    unit: str = "mm",
) -> PackAdvice | None:
    """Say which pack follows from one measured gap with a known pack; a trial fit goes before what was found.

    A gap that has adjusting screws of its own is set by them after the pack, so the pack does not follow it.

    Raises:
        RefusalError: a measured gap is none that this pump can have.
    """
    build = bench.build
    if all(one.name != SET_BY_SHIMS for one in build.clearances):
        return None
    is_trial = bool(entries.trial_gap)
    readings = entries.trial_gap or entries.found.readings.get(Group.GAPS, {}).get(SET_BY_SHIMS, ())
    pack = entries.trial_pack_mm if is_trial else entries.pack_found_mm
    if not readings or not pack:
        return None
    by_screws = [one.name for one in build.clearances if one.adjusted_by is not None]
    clearances = [one for one in bench.clearances if one.name not in by_screws]
    gap = min(reading.value_mm for reading in readings)
    off = entries.gauges_mm.get(entries.found.gauges.get(Group.GAPS, ""), 0.0)
    others = () if is_trial else tuple(_list_others(clearances, entries))
    found = MeasuredGap(gap, pack, off, others)
    check_readings(clearances, SET_BY_SHIMS, found, unit)
    usual = read_stock(USUAL_THICKNESSES)
    answer = choose_pack(clearances, SET_BY_SHIMS, stock, found, MOST_SHIMS, usual)
    renewed = {part.place for part in parts if part.condition is Condition.RENEW}
    behind = {
        build.pieces[link.piece].place.name
        for link in bench.clearance(SET_BY_SHIMS).chain
        if not is_shim(link)
    }
    return PackAdvice(
        SET_BY_SHIMS,
        gap,
        pack,
        is_trial,
        answer.aim_mm,
        answer.ideal_mm,
        answer.best.shims_mm,
        answer.best.result_mm,
        answer.best.chance,
        answer.fits,
        tuple(one.name for one in answer.best.moved if not one.is_inside),
        answer.to_order,
        () if is_trial else tuple(sorted(renewed & behind)),
        tuple(by_screws),
    )


def _list_others(clearances: Sequence[MeasuredClearance], entries: Entries) -> Iterator[GapReading]:
    """List what else was measured, of all that the pack moves, while the pack as found was in."""
    moved = {rest.name for rest in list_rests(clearances, SET_BY_SHIMS)} - {SET_BY_SHIMS}
    for group in (Group.GAPS, Group.OTHER):
        off = entries.gauges_mm.get(entries.found.gauges.get(group, ""), 0.0)
        for name, readings in entries.found.readings.get(group, {}).items():
            if name in moved:
                yield GapReading(name, min(one.value_mm for one in readings), off)
