"""Reading a standard table: columns carry their units, every fault at once."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from models.spec.build import TABLES
from models.spec.errors import ContentError, Fault
from models.spec.standard import list_standards, read_standard

TOML = 'source = "made up"\nlarger = [["outside_mm", "bore_mm"]]\n'
HEADING = "designation,bore_mm,bore_lower_um,bore_upper_um,outside_mm"


def _write(folder: Path, table: str | bytes, toml: str = TOML) -> Path:
    (folder / "standard").mkdir(exist_ok=True)
    raw = table if isinstance(table, bytes) else table.encode()
    (folder / "standard" / "rings.csv").write_bytes(raw)
    (folder / "standard" / "rings.toml").write_text(toml, encoding="utf-8")
    return folder


def _faults(folder: Path, table: str) -> tuple[Fault, ...]:
    with pytest.raises(ContentError) as caught:
        read_standard(_write(folder, table), "rings")
    return caught.value.faults


def test_deviation_columns_give_limits_and_not_dimensions(tmp_path: Path) -> None:
    items = read_standard(_write(tmp_path, f"{HEADING}\nsmall,40,-12,3,90\n"), "rings")
    assert set(items["small"]) == {"bore", "outside"}
    bore = items["small"]["bore"]
    assert (bore.nominal, bore.lower, bore.upper) == pytest.approx((40.0, 39.988, 40.003))
    assert (bore.source.file, bore.source.line) == ("standard/rings.csv", 2)


def test_underscores_in_a_column_become_dashes_in_the_key(tmp_path: Path) -> None:
    table = "designation,bolt_circle_mm\none,125\n"
    items = read_standard(_write(tmp_path, table, 'source = "made up"\n'), "rings")
    assert items["one"]["bolt-circle"].key == "bolt-circle"


def test_every_fault_is_told_at_once(tmp_path: Path) -> None:
    rows = ["a,40,0,-12,90", "b,,0,0,90", "c,ten,0,0,90", "d,95,0,0,90", "a,1,0,0,2", "e,1,2"]
    table = "\n".join([HEADING, *rows])
    found = {(fault.line, fault.column) for fault in _faults(tmp_path, table)}
    assert found == {(2, 8), (3, 3), (4, 3), (5, 10), (6, 1), (7, 1)}


def test_a_column_without_a_unit_is_told(tmp_path: Path) -> None:
    (fault,) = _faults(tmp_path, "designation,bore\na,40\n")
    assert (fault.line, fault.column) == (1, 13)
    assert "no unit suffix" in fault.what


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(
        st.sampled_from(
            [HEADING, "\n", ",", "a", "40", "nan", "_mm", "bore_lower_um", "x_um", "\x00"]
        ),
        max_size=14,
    )
)
def test_garbage_is_read_or_refused_but_never_crashes(tmp_path: Path, scraps: list[str]) -> None:
    folder = _write(tmp_path, "".join(scraps))
    named = True
    try:
        read_standard(folder, "rings")
    except ContentError as error:
        named = bool(error.faults)
    assert named


STEPPED = {"tolerance-grades", "fundamental-deviations"}
"""Tables by size step: the first begins at nothing, and a deviation may lie below it."""


@pytest.mark.parametrize("name", list_standards(TABLES))
def test_every_standard_table_of_the_house_reads(name: str) -> None:
    items = read_standard(TABLES, name)
    assert items
    for row in items.values():
        for dimension in row.values():
            assert dimension.lower <= dimension.upper
            assert dimension.nominal > 0 or name in STEPPED
            assert dimension.source.title
