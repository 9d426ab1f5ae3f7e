"""What is typed about gaps and shims: readings, gauges, packs; and what cannot be meant, asked back with its unit."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.spec.errors import ContentError, RefusalError
from trainer.core.measure.packs import StockShim
from trainer.core.measure.rests import GAUGE, GapReading, MeasuredGap
from trainer.core.measure.spread import Method
from trainer.session.bench import Bench, open_bench
from trainer.session.shims import (
    SHIMS,
    answer_shims,
    find_pack_spread,
    read_found,
    read_reading,
    read_shims_mm,
)
from trainer.session.typed import DEPOT_DRAWER, USUAL_THICKNESSES, read_stock

REAR = "back-vane"
PACK = (0.5, 0.3, 0.2)


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250")


@pytest.fixture(scope="module")
def drawer() -> tuple[StockShim, ...]:
    return read_stock(DEPOT_DRAWER)


@pytest.mark.parametrize(
    ("text", "gap", "gauge"),
    [
        ("0.62", 0.62, 0.0),
        ("24.4thou", 0.61976, 0.0),
        ("0.62+-0.02", 0.62, 0.02),
        ("0.62mm+-1thou", 0.62, 0.0254),
        ("0.66/0.62/0.70/0.64+-0.01", 0.62, 0.01),
    ],
)
def test_reading_with_unit_gauge_and_four_places(text: str, gap: float, gauge: float) -> None:
    read = read_reading(REAR, text)
    assert (read.gap_mm, read.gauge_mm) == pytest.approx((gap, gauge))


def test_readings_and_pack_make_what_was_found() -> None:
    found = read_found(("0.62", "front-gap = 3.1+-0.1"), "0.5,0.3", REAR)
    assert found == MeasuredGap(0.62, (0.5, 0.3), 0.0, (GapReading("front-gap", 3.1, 0.1),))
    assert read_found((), None, REAR) is None
    assert read_found((f"{REAR}=0.62",), "20thou", REAR) == MeasuredGap(0.62, (0.508,))


@pytest.mark.parametrize(
    ("gaps", "pack", "hint"),
    [
        (("0.6",), None, "give --gap and --with-pack together"),
        ((), "0.5", "give --gap and --with-pack together"),
        (("0.6", "0.7"), "0.5", "is given twice"),
        (("front-gap=3",), "0.5", "add --gap VALUE"),
        (("1,250",), "0.5", "write 1.250 or 1250"),
        (("nan",), "0.5", "finite"),
        (("0.6+--0.1",), "0.5", "off by no less than zero"),
        (("0.4/0.62",), "0.5", "do not shim it away"),
        (("0.6",), "0,5", "write a decimal point"),
        (("0.6",), "-0.5", "is no shim"),
        (("0.6",), "20", r"is it in thou\? Then write 20thou"),
        (("0.6",), "500", r"is it in micrometres\? Then write 500um"),
        (("0.6",), "", "no thickness is given"),
    ],
)
def test_what_cannot_be_meant_is_refused_with_what_to_write(
    gaps: tuple[str, ...], pack: str | None, hint: str
) -> None:
    with pytest.raises(RefusalError, match=hint):
        read_found(gaps, pack, REAR)


@given(st.lists(st.text(max_size=20), max_size=3), st.none() | st.text(max_size=20))
def test_anything_typed_is_a_finding_or_refused(gaps: list[str], pack: str | None) -> None:
    try:
        found = read_found(gaps, pack, REAR)
    except RefusalError:
        return
    assert found is None or all(0.0 < shim <= 3.0 for shim in found.pack_mm)


@pytest.mark.parametrize(
    ("name", "gap", "hint"),
    [
        (REAR, 24.0, r"is it in thou\? Then write 24thou"),
        (REAR, 620.0, r"is it in micrometres\? Then write 620um"),
        (REAR, 4000.0, "measure again"),
        ("seal-length", 1.48, r"is it in inches\? Then write 1\.48in"),
    ],
)
def test_gap_outside_what_is_possible_is_asked_back_with_its_unit(
    bench: Bench, drawer: tuple[StockShim, ...], name: str, gap: float, hint: str
) -> None:
    other = () if name == REAR else (GapReading(name, gap),)
    found = MeasuredGap(gap if name == REAR else 0.6, PACK, 0.0, other)
    with pytest.raises(RefusalError, match=hint):
        answer_shims(bench, REAR, drawer, found)


@given(st.floats(-1.5, 3.0))
def test_gap_of_a_worn_pump_is_believed(gap: float) -> None:
    worn = open_bench("end-suction/100-250")
    answer = answer_shims(worn, REAR, [StockShim(0.5, 0.01, 4)], MeasuredGap(gap, PACK))
    assert answer.ideal_mm == pytest.approx(1.0 + 0.5 - gap)


def test_millimetres_and_thousandths_make_the_same_answer(
    bench: Bench, drawer: tuple[StockShim, ...]
) -> None:
    one = read_found(("0.7112",), "0.508,0.254", REAR)
    other = read_found(("28thou",), "20thou,0.01in", REAR)
    assert answer_shims(bench, REAR, drawer, one).best.shims_mm == pytest.approx(
        answer_shims(bench, REAR, drawer, other).best.shims_mm
    )


def test_usual_thicknesses_can_be_ordered(bench: Bench) -> None:
    assert len(read_stock(USUAL_THICKNESSES)) >= 10
    answer = answer_shims(bench, REAR, [StockShim(0.05, 0.005, 1)])
    assert not answer.fits
    assert answer.ordered is not None
    assert answer.to_order
    assert answer.ordered.result_mm == pytest.approx(0.6, abs=0.05)


# ------------------------------------------------------------------ stock lists
@pytest.mark.parametrize(
    ("row", "hint"),
    [
        ("0.5,,0.01,4", "the unit is missing"),
        ("0.5,mm,0.01,-4", "cannot be negative"),
        ("nan,mm,0.01,4", "finite"),
        ("0,5,mm,0.01,4", "decimal point, not a comma"),
        ("20,mm,0.4,4", "is 20 in thou or um"),
        ("0.5,mm,0.5,4", "no less than the thickness"),
        ("0,mm,0.01,4", "above zero"),
        ("0.5,mm,-0.01,4", "cannot be negative"),
        ("0.5,furlong,0.01,4", "unit 'furlong' is unknown"),
    ],
)
def test_row_of_a_stock_list_that_cannot_be_is_refused_with_its_line(
    tmp_path: Path, row: str, hint: str
) -> None:
    file = tmp_path / "drawer.csv"
    file.write_text(f"thickness,unit,tolerance,in_drawer\n{row}\n", encoding="utf-8")
    with pytest.raises(ContentError, match=hint) as caught:
        read_stock(file)
    assert caught.value.faults[0].line == 2


def test_stock_list_without_any_unit_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "drawer.csv"
    file.write_text("thickness,tolerance,in_drawer\n0.5,0.01,4\n", encoding="utf-8")
    with pytest.raises(ContentError, match="write thickness,unit,tolerance,in_drawer"):
        read_stock(file)


# ------------------------------------------------------------------ the spread with the pack in
def test_spread_with_the_pack_says_the_same_chance(
    bench: Bench, drawer: tuple[StockShim, ...]
) -> None:
    for found in (None, MeasuredGap(0.7, PACK, 0.02)):
        answer = answer_shims(bench, REAR, drawer, found)
        spreads, shares = find_pack_spread(bench, answer, drawer, found, np.random.default_rng(1))
        exact = next(one for one in spreads if one.method is Method.EXACT)
        assert exact.inside == pytest.approx(answer.best.alone, abs=2e-3)
        assert exact.mean_mm == pytest.approx(answer.best.result_mm)
        assert sum(shares.values()) == pytest.approx(1.0)
        assert shares[SHIMS] > 0.0
        assert ((GAUGE, REAR) in shares) == (found is not None)


def test_shims_of_a_pack_are_read_in_any_unit() -> None:
    assert read_shims_mm("0.5, 10thou+300um") == pytest.approx((0.5, 0.254, 0.3))
