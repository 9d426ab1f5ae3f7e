"""Answer the assembler: which shims, how sure, and what else they move; read what was measured on the pump."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from models.spec.errors import RefusalError
from models.spec.length import Term
from models.spec.units import UNITS_MM
from models.systems.inspection_cover import FEELER_SPREAD_MM
from trainer.core.measure.chain import MeasuredClearance
from trainer.core.measure.packs import MOST_SHIMS, StockShim
from trainer.core.measure.rests import GapReading, MeasuredGap, Rest, list_rests
from trainer.core.measure.shims import ShimAnswer, choose_pack, make_shim_spread
from trainer.core.measure.spread import Spread, compare_sums
from trainer.session.bench import Bench
from trainer.session.typed import (
    GAUGE_SIGN,
    THICKEST_MM,
    USUAL_THICKNESSES,
    read_length_mm,
    read_lengths_mm,
    read_stock,
    say_length,
    say_range,
)

BEYOND_MM = 3.0
"""How far a gap of a worn or reworked pump may lie beyond what its drawing allows at worst (common practice)."""
READINGS_SIGN = "/"
SPOKEN_UNITS = {"mm": "millimetres", "in": "inches", "thou": "thou", "um": "micrometres"}
SHIMS: Term = ("shims", "thickness")


def answer_shims(
    bench: Bench,
    clearance: str,
    stock: Sequence[StockShim],
    found: MeasuredGap | None = None,
    most: int = MOST_SHIMS,
) -> ShimAnswer:
    """Choose the pack for a clearance of a bench, measured values of the bench included.

    Raises:
        RefusalError: unknown clearance (with near matches), one that shims do not move, a gap that this pump
            cannot have, or as `choose_pack`.
    """
    name = bench.clearance(clearance).name
    if found is not None:
        check_readings(bench.clearances, name, found)
    return choose_pack(bench.clearances, name, stock, found, most, read_stock(USUAL_THICKNESSES))


def read_found(gaps: Sequence[str], with_pack: str | None, clearance: str) -> MeasuredGap | None:
    """Read gaps as typed: VALUE for the clearance to set, NAME=VALUE for others, and the pack that was in.

    VALUE may be several readings round the circle with "/" between (the least counts), and may say behind
    "+-" by how much the gauge may be off.

    Raises:
        RefusalError: no pack with the gaps or no gap with the pack, a gap named twice, no gap for the
            clearance to set, or what `read_reading` and `read_shims_mm` refuse.
    """
    if not gaps and with_pack is None:
        return None
    if not gaps or with_pack is None:
        raise RefusalError(
            "a measured gap needs the pack that was in, and a pack its gap: give --gap and --with-pack together"
        )
    readings: dict[str, GapReading] = {}
    for text in gaps:
        name, equals, value = text.rpartition("=")
        name = name.strip() if equals else clearance
        if name in readings:
            raise RefusalError(f"--gap {text}: the gap {name} is given twice; give it once")
        readings[name] = read_reading(name, value)
    if clearance not in readings:
        raise RefusalError(
            f"--gap: {clearance} is the clearance to set, and its gap is not given; add --gap VALUE"
        )
    target = readings.pop(clearance)
    return MeasuredGap(
        target.gap_mm, read_shims_mm(with_pack), target.gauge_mm, tuple(readings.values())
    )


def read_reading(name: str, text: str) -> GapReading:
    """Read what feelers said of a gap: one value or several round the circle, and how far off they may be.

    Raises:
        RefusalError: no length, a gauge below zero, or readings that differ so much that a part is crooked.
    """
    values, is_gauged, gauge = text.partition(GAUGE_SIGN)
    try:
        read = [read_length_mm(value) for value in values.split(READINGS_SIGN)]
        off = read_length_mm(gauge) if is_gauged else 0.0
    except RefusalError as error:
        more = f"several readings stand with {READINGS_SIGN} between, like 0.62/0.60"
        raise RefusalError(f"--gap {text}: {error}; {more}") from None
    if off < 0.0:
        raise RefusalError(
            f"--gap {text}: a gauge is off by no less than zero; write {GAUGE_SIGN}0.02"
        )
    if max(read) - min(read) > FEELER_SPREAD_MM:
        raise RefusalError(
            f"--gap {text}: the readings of {name} differ by {max(read) - min(read):.3f} mm, more than "
            f"{FEELER_SPREAD_MM:g} mm: a part is crooked. Find which one; do not shim it away"
        )
    return GapReading(name, min(read), off)


def read_shims_mm(text: str) -> tuple[float, ...]:
    """Read the shims of a pack. Raises RefusalError for one that no shim is as thick as."""
    shims = read_lengths_mm(text)
    for thickness in shims:
        if thickness <= 0.0:
            raise RefusalError(
                f"--with-pack {text}: a shim of {thickness:g} mm is no shim; separate shims by commas "
                "and write a decimal point, like 0.5,0.3"
            )
        if thickness > THICKEST_MM:
            asked = ask_unit(thickness, (0.0, THICKEST_MM))
            raise RefusalError(f"--with-pack {text}: no shim is {thickness:g} mm thick{asked}")
    return shims


def check_readings(
    clearances: Sequence[MeasuredClearance], name: str, found: MeasuredGap, unit: str = "mm"
) -> None:
    """Check that every measured gap is one that this pump can have; lengths are told in `unit`.

    Raises:
        RefusalError: one is not, asking whether it was meant in another unit.
    """
    rests = {rest.name: rest for rest in list_rests(clearances, name)}
    for reading in (GapReading(name, found.gap_mm), *found.others):
        rest = rests.get(reading.name)
        if rest is None:
            continue  # choose_pack says that there is no such gap, or that shims do not move it
        low, high = _find_possible(rest, sum(found.pack_mm))
        if not low <= reading.gap_mm <= high:
            asked = ask_unit(reading.gap_mm, (low, high), unit)
            raise RefusalError(
                f"gap {reading.name}: {say_length(reading.gap_mm, unit)} is outside what this pump can have "
                f"with that pack, {say_range(round(low, 1), round(high, 1), unit)}{asked}"
            )


def find_possible_mm(bench: Bench, name: str, pack_mm: Sequence[float]) -> tuple[float, float]:
    """Find between what a gap can lie with a pack in, mm. Raises RefusalError for one that shims do not move."""
    low, high = _find_possible(list_rests(bench.clearances, name)[0], sum(pack_mm))
    return max(low, 0.0), high


def _find_possible(rest: Rest, pack_mm: float) -> tuple[float, float]:
    """Find between what a gap can lie, mm, however worn or reworked the parts are."""
    middle = rest.base_mm + rest.sensitivity * pack_mm
    low = middle + sum(one.low_mm for one in rest.contributors) - BEYOND_MM
    return low, middle + sum(one.high_mm for one in rest.contributors) + BEYOND_MM


def ask_unit(value_mm: float, possible_mm: tuple[float, float], unit: str = "mm") -> str:
    """Ask whether a bare number was meant in another unit than it was read in: one in which it is possible, if any is."""
    number = value_mm / UNITS_MM[unit]
    likely = find_likely_unit(number, possible_mm, unit)
    if not likely:
        return "; measure again"
    return f"; is it in {SPOKEN_UNITS[likely]}? Then write {number:g}{likely}"


def find_likely_unit(number: float, possible_mm: tuple[float, float], unit: str) -> str:
    """Find in which other unit a number would be a possible length; "" for none.

    Of several the largest, for it is the likelier slip.
    """
    low, high = possible_mm
    likely = [
        other
        for other, size in UNITS_MM.items()
        if other != unit and number and low <= number * size <= high
    ]
    return max(likely, key=UNITS_MM.__getitem__, default="")


def find_pack_spread(
    bench: Bench,
    answer: ShimAnswer,
    stock: Sequence[StockShim],
    found: MeasuredGap | None,
    chance: np.random.Generator,
) -> tuple[tuple[Spread, ...], dict[Term, float]]:
    """Find how far the clearance strays with the best pack in, by all methods, and who spreads it by which share.

    What the shims do stands under SHIMS, what the gauge does under ("gauge", clearance). Raises RefusalError
    as `list_rests` does.
    """
    rest = list_rests(bench.clearances, answer.clearance, found)[0]
    shims = make_shim_spread(answer, rest, stock)
    base = rest.base_mm + rest.sensitivity * answer.best.total_mm
    spreads = compare_sums(base, (*rest.contributors, *shims), rest.required_mm, chance)
    parts = {term: one.scale(s).sigma_mm ** 2 for term, one, s in rest.terms}
    parts[SHIMS] = sum(one.sigma_mm**2 for one in shims)
    whole = sum(parts.values()) or 1.0
    return spreads, {term: part / whole for term, part in parts.items()}
