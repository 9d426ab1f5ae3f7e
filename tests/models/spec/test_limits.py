"""Limit tables read whole or not at all; every fault is named with its place and remedy."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from models.builds import make_named_build
from models.spec.build import TABLES
from models.spec.errors import ContentError
from models.spec.limits import LIMIT_COLUMNS, read_limits

HEADING = ",".join(LIMIT_COLUMNS)
PUMP = "end-suction/100-250"


def write(tmp_path: Path, *rows: str) -> Path:
    folder = tmp_path / "limits"
    folder.mkdir()
    (folder / "gaps.toml").write_text('[sources]\npractice = "common practice"\n', encoding="utf-8")
    (folder / "gaps.csv").write_text("\n".join([HEADING, *rows]) + "\n", encoding="utf-8")
    return tmp_path


def test_a_band_begins_at_its_first_size_and_ends_before_its_last(tmp_path: Path) -> None:
    tables = write(
        tmp_path, "a,gap,0,250,0.4,0.5,0.8,mm,practice", "b,gap,250,400,20,30,40,um,practice"
    )
    small, large = read_limits(tables)["gap"]
    assert (small.from_mm, small.below_mm, large.from_mm) == (0.0, 250.0, 250.0)
    assert large.required.nominal == pytest.approx(0.03)
    assert str(small.required.source) == "limits/gaps.csv:2 (common practice)"


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("a,gap,0,250,0.4,0.5,0.8,mm,hearsay", ":2:28: source 'hearsay' is unknown"),
        ("a,gap,0,250,0.4,0.5,0.8,furlong,practice", "unit 'furlong' is unknown"),
        ("a,gap,250,250,0.4,0.5,0.8,mm,practice", "the band ends at 250 mm, where it begins"),
        ("a,gap,0,250,0.8,0.5,0.4,mm,practice", "most 0.4 is below least 0.8. swap them"),
        ("a,gap,0,250,0.5,0.5,0.5,mm,practice", "leave room between them"),
        ("a,gap,0,250,0.5,0.4,0.8,mm,practice", "aim 0.4 lies outside"),
        ("a,gap,0,250,0.5,,0.8,mm,practice", "aim is missing"),
        ("a,gap,0,250,nan,0.5,0.8,mm,practice", "least is nan"),
    ],
)
def test_a_wrong_row_is_refused_with_place_and_remedy(tmp_path: Path, row: str, told: str) -> None:
    with pytest.raises(ContentError) as refused:
        read_limits(write(tmp_path, row))
    assert told in str(refused.value)


def test_bands_with_a_hole_between_them_are_refused(tmp_path: Path) -> None:
    rows = ("a,gap,0,250,0.4,0.5,0.8,mm,practice", "b,gap,260,400,0.4,0.5,0.8,mm,practice")
    with pytest.raises(ContentError, match="its band before ends at 250 mm"):
        read_limits(write(tmp_path, *rows))


def test_a_pump_larger_than_every_band_is_told_which_table_lacks_it(tmp_path: Path) -> None:
    tables = tmp_path / "tables"
    shutil.copytree(TABLES, tables)
    rings = tables / "limits" / "wear-rings.csv"
    kept = [
        line for line in rings.read_text(encoding="utf-8").splitlines() if "ring-125" not in line
    ]
    text = "\n".join(kept).replace("ring-150,wear-ring,150,175", "ring-150,wear-ring,125,135")
    lines = [line for line in text.splitlines() if not line.startswith(("ring-175", "ring-2"))]
    rings.write_text("\n".join(lines) + "\n", encoding="utf-8")
    build = make_named_build(PUMP, tables=tables)
    with pytest.raises(
        ContentError, match=r"limits/wear-rings\.csv: says nothing of wear-ring at 139\.9"
    ):
        build.find_requirement(build.clearance("wear-ring"))


def test_the_size_tables_own_row_comes_before_the_band() -> None:
    large = make_named_build("end-suction/125-315")
    required = large.find_requirement(large.clearance("back-vane"))
    assert str(required.source).startswith("sizes/end-suction/125-315.csv:")
    band = large.find_limit("back-vane", 315.0)
    assert (required.nominal, band.nominal) == (0.5, 0.8)
