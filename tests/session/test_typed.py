"""What people type: lengths, packs, measured values, stock lists, orders."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.builds import make_named_build
from models.spec.errors import ContentError, RefusalError
from trainer.core.measure.packs import MICROMETER_MM
from trainer.session.typed import (
    DEPOT_DRAWER,
    make_pack,
    read_length_mm,
    read_lengths_mm,
    read_measured,
    read_order_lines,
    read_stock,
)

INCH_MM = 25.4


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("0.5", 0.5),
        (" 0.5 mm", 0.5),
        ("20thou", 0.508),
        ("0.02in", 0.508),
        ("15um", 0.015),
        ("-0.1", -0.1),
        ("5e-1", 0.5),
        ("0,62", 0.62),
        ("-,5 mm", -0.5),
        ("330,02mm", 330.02),
        ("0,508", 0.508),
    ],
)
def test_length_with_and_without_unit(text: str, mm: float) -> None:
    assert read_length_mm(text) == pytest.approx(mm)


@given(st.floats(0.001, 100))
def test_thousandths_of_an_inch_and_millimetres_agree(inches: float) -> None:
    assert read_length_mm(f"{inches * 1000}thou") == pytest.approx(inches * INCH_MM)
    assert read_length_mm(f"{inches}in") == pytest.approx(inches * INCH_MM)


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("1,250", "write 1.250 or 1250"),
        ("0,5,3", "not a length"),
        ("1.000,5", "not a length"),
        ("thick", "not a length"),
        ("nan", "finite"),
        ("inf", "finite"),
        ("", "not a length"),
        ("1 yard", "not a length"),
    ],
)
def test_no_length_is_refused_with_what_to_write(text: str, hint: str) -> None:
    with pytest.raises(RefusalError, match=hint):
        read_length_mm(text)


@given(st.text(max_size=20))
def test_anything_typed_is_a_finite_length_or_refused(text: str) -> None:
    try:
        read = read_length_mm(text)
    except RefusalError:
        return
    assert math.isfinite(read)


def test_packs_and_measured_values() -> None:
    assert read_lengths_mm("0.5, 0.3+0.2 10thou") == pytest.approx((0.5, 0.3, 0.2, 0.254))
    values, gauges = read_measured(("shaft.overhang=330.02", "shim-1.thickness=20thou+-0.005"))
    assert values == {
        ("shaft", "overhang"): 330.02,
        ("shim-1", "thickness"): pytest.approx(0.508),
    }
    assert gauges == {("shim-1", "thickness"): 0.005}
    assert [shim.nominal for shim in make_pack((0.5, 0.3))] == [0.5, 0.3]
    by_packet, measured = make_pack((0.508, 0.473))
    assert by_packet.upper - by_packet.nominal == pytest.approx(0.8 * 0.0254), "as the packet says"
    assert str(by_packet.source).startswith("stock/depot-drawer.csv:13 ")
    assert measured.upper - measured.nominal == pytest.approx(MICROMETER_MM)
    assert measured.sigma == pytest.approx(MICROMETER_MM / math.sqrt(3.0)), "JCGM 100:2008 4.3.7"
    for bad in ((), (0.0,), (-0.2,)):
        with pytest.raises(RefusalError):
            make_pack(bad)
    for text in (
        "shaft.overhang",
        "overhang=3",
        "shaft.overhang=",
        "shaft.overhang=3+-",
        "shaft.overhang=3+--1",
    ):
        with pytest.raises(RefusalError):
            read_measured((text,))


def test_depot_drawer_mixes_millimetres_and_thousandths() -> None:
    stock = read_stock(DEPOT_DRAWER)
    assert {round(shim.thickness_mm, 4) for shim in stock} >= {0.05, 1.0, 0.254, 0.508}
    assert all(shim.in_drawer > 0 for shim in stock)


def test_every_fault_of_a_stock_list_is_named_with_its_place(tmp_path: Path) -> None:
    file = tmp_path / "drawer.csv"
    lines = [
        "thickness,unit,tolerance,in_drawer",
        "0.5,mm,0.01,4",
        "-0.3,mm,0.01,2",
        "0.2,cm,0.01,2",
        "0.1,mm,x,2",
        "0.1,mm,0.01,1.5",
        "0,2,mm,0.01,3",
    ]
    file.write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(ContentError) as caught:
        read_stock(file)
    assert [(fault.line, fault.column) for fault in caught.value.faults] == [
        (3, 1),
        (4, 5),
        (5, 8),
        (6, 13),
        (7, 1),
    ]


@given(st.binary(max_size=200))
def test_garbage_is_no_stock_list(tmp_path_factory: pytest.TempPathFactory, raw: bytes) -> None:
    file = tmp_path_factory.mktemp("drawer") / "drawer.csv"
    file.write_bytes(raw)
    with pytest.raises(ContentError):
        read_stock(file)


def test_order_lines_pass_over_remarks_and_name_every_stranger(tmp_path: Path) -> None:
    build = make_named_build("end-suction/100-250")
    file = tmp_path / "order.txt"
    file.write_text("# mine\n\ncover-nut\nimpeller\n", encoding="utf-8")
    assert read_order_lines(file, build) == ["cover-nut", "impeller"]
    file.write_text("cover-nutt\nimpeller\nshaftt\n", encoding="utf-8")
    with pytest.raises(ContentError) as caught:
        read_order_lines(file, build)
    assert [fault.line for fault in caught.value.faults] == [1, 3]
    assert "cover-nut" in str(caught.value)


def test_order_of_too_many_lines_is_refused_and_not_cut_short(tmp_path: Path) -> None:
    file = tmp_path / "order.txt"
    file.write_text("cover-nut\n" * 5001, encoding="utf-8")
    with pytest.raises(ContentError, match="5001 lines"):
        read_order_lines(file, make_named_build("end-suction/100-250"))
