"""The duty table: every size has one, a wrong one is told with file, line and column, a changed one stays in bounds."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.builds import list_builds
from models.spec.build import TABLES
from models.spec.duty import NAMES, change_duty, read_duties, read_duty, read_duty_source
from models.spec.errors import ContentError, RefusalError

PUMPS = [name for name in list_builds() if name.startswith(("end-suction/", "self-priming/"))]
HEADING = f"size,{','.join(NAMES)}"
ROW = "100,80,90,20,1475,998,1,0,0.5,0.36,7,0,3,16000,45,25,0.75,0.12"


@pytest.mark.parametrize("name", PUMPS)
def test_every_pump_has_a_duty(name: str) -> None:
    family, size = name.split("/")
    assert read_duty(TABLES, family, size).speed_rpm > 0
    assert "Saltmarsh" in read_duty_source(TABLES, family)


def test_an_exhibit_has_none_and_is_told_so() -> None:
    with pytest.raises(RefusalError, match="choose a whole pump"):
        read_duty(TABLES, "packing", "38")


def _write(folder: Path, *lines: str) -> Path:
    (folder / "duty").mkdir()
    (folder / "duty" / "some.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return folder


def test_every_fault_of_a_table_is_told_at_once(tmp_path: Path) -> None:
    bad = ROW.replace("1475", "147500").replace(",7,", ",x,")
    with pytest.raises(ContentError) as caught:
        read_duties(_write(tmp_path, HEADING, bad), "some")
    told = str(caught.value)
    assert "duty/some.csv:2:14: speed_rpm is 147500. give a value from 100 to 6000" in told
    assert "impeller_mass_kg is 'x', not a number" in told


def test_comma_decimals_and_a_missing_size_are_told(tmp_path: Path) -> None:
    with pytest.raises(ContentError, match="decimal point, not a comma"):
        read_duties(_write(tmp_path, HEADING, ROW.replace("0.5", "0,5")), "some")
    with pytest.raises(ContentError, match="no row for the size 999"):
        read_duty(TABLES, "end-suction", "999")


def test_another_heading_is_told(tmp_path: Path) -> None:
    with pytest.raises(ContentError, match="write size,flow_m3_per_h"):
        read_duties(_write(tmp_path, "size,flow", "1,2"), "some")


def test_changes_stay_in_bounds_and_names_are_known() -> None:
    duty = read_duty(TABLES, "end-suction", "100-250")
    assert change_duty(duty, {"speed_rpm": 1475.0}).speed_rpm == 1475.0
    with pytest.raises(RefusalError, match="did you mean speed_rpm"):
        change_duty(duty, {"speed": 1475.0})
    with pytest.raises(RefusalError, match="speed_rpm is nan"):
        change_duty(duty, {"speed_rpm": float("nan")})
