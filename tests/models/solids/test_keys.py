"""One changed dimension gives new keys to the parts that use it, and to no others."""

from __future__ import annotations

import ast
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

import models.parts
from models.builds import make_named_build
from models.solids.keys import find_imports, make_key
from models.spec.build import Build

PUMP = "end-suction/100-250"
MakeTables = Callable[[Mapping[str, Mapping[str, str]]], Path]

# the row, its new nominal, the places whose solids use it: themselves or by what they span
CHANGES = [
    ("wear-ring.bore", "140.6", {"wear-ring"}),
    ("shaft.seal-diameter", "38.02", {"shaft", "face-o-ring"}),
    (
        "shaft.inboard-diameter",
        "40.001",
        {
            "bath-seal",
            "oil-seal-inboard",
            "garter-of-bath-seal",
            "garter-of-oil-seal-inboard",
            "shaft",
        },
    ),
    ("volute.bore", "270.01", {"volute", "cover-o-ring"}),
    ("pack.shim-1", "0.6", {"shim", "seal-spring"}),
    ("casing-gasket.thickness", "1.1", {"casing-gasket"}),
    ("casing-stud.item", "M10", {"volute"}),
    ("impeller.vane-count", "7", {"impeller"}),
    ("bearing-inboard.item", "6208", {"bearing-inboard"}),
]


def _keys(build: Build) -> dict[str, str]:
    return {name: make_key(piece) for name, piece in build.pieces.items()}


@pytest.mark.parametrize(("row", "nominal", "places"), CHANGES)
def test_a_changed_row_renews_only_what_uses_it(
    pump: Build, make_tables: MakeTables, row: str, nominal: str, places: set[str]
) -> None:
    before = _keys(pump)
    after_build = make_named_build(PUMP, tables=make_tables({row: {"nominal": nominal}}))
    after = _keys(after_build)
    changed = {pump.pieces[n].place.name for n in before if before[n] != after[n]}
    assert changed == places


def test_equal_pieces_share_a_key_and_different_ones_do_not(pump: Build) -> None:
    keys = _keys(pump)
    studs = [keys[name] for name in pump.pieces_at("cover-stud")]
    assert len(studs) == 8
    assert len(set(studs)) == 1
    assert keys["cover-stud-1"] != keys["bracket-stud-1"]
    assert keys["shim-1"] != keys["shim-2"]


def test_one_measured_stud_gets_a_key_of_its_own(pump: Build) -> None:
    build = make_named_build(PUMP, measured={("cover-stud-3", "length"): 54.2})
    before, after = _keys(pump), _keys(build)
    assert [name for name in before if before[name] != after[name]] == ["cover-stud-3"]


def test_both_brackets_differ_though_their_dimensions_are_the_same(
    pump: Build, open_pump: Build
) -> None:
    one, other = _keys(pump), _keys(open_pump)
    changed = {name for name in one.keys() & other.keys() if one[name] != other[name]}
    assert "bracket" in changed
    assert changed <= {"bracket", "back-plate"}


def test_a_key_is_a_plain_file_name(pump: Build) -> None:
    for key in _keys(pump).values():
        assert len(key) == 64
        assert set(key) <= set("0123456789abcdef")


def test_imports_are_found_as_the_language_itself_finds_them() -> None:
    files = sorted(Path(models.parts.__file__).parent.glob("*.py"))
    assert len(files) > 30
    for file in files:
        source = file.read_text(encoding="utf-8")
        nodes = [one for one in ast.walk(ast.parse(source)) if isinstance(one, ast.ImportFrom)]
        ours = [one for one in nodes if (one.module or "").startswith("models.parts")]
        meant = {f"{one.module}.{name.name}" for one in ours for name in one.names}
        assert find_imports(source) == meant | {one.module for one in ours}, file.name
