"""The demonstration pump, its solids, and folders of tables with a row changed: made once, used by many tests."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Protocol

import pytest

from models.builds import make_named_build
from models.spec.build import TABLES, Build
from models.spec.face import Face, bore, journal, plane
from models.spec.family import Family
from models.spec.making import make_build
from models.spec.part import Material, Numbers, Part, Row, Solid

PUMP = "end-suction/100-250"
COLUMNS = ("dimension", "nominal", "lower_deviation", "upper_deviation", "unit")

Changes = Mapping[str, Mapping[str, str]]
"""New cell text by row key and column name."""


@pytest.hookimpl(tryfirst=True)  # before the workers share the tests out among themselves
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Keep the tests of all solids in one process: the kernel takes longer to make them than the tests to ask them."""
    for item in items:
        if "solids" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.xdist_group("solids"))


@pytest.fixture(scope="session")
def pump() -> Build:
    return make_named_build(PUMP)


@pytest.fixture(scope="session")
def open_pump() -> Build:
    return make_named_build(PUMP, {"bracket": "open"})


@pytest.fixture(scope="session")
def solids(pump: Build, open_pump: Build) -> dict[str, Any]:
    """Give the solid of every different piece of both brackets, by the name of its first piece."""
    from models.solids.keys import make_key
    from models.solids.shape import make_shape

    made: dict[str, Any] = {}
    seen: set[str] = set()
    for build, prefix in ((pump, ""), (open_pump, "open-")):
        for piece in build.pieces.values():
            key = make_key(piece)
            if key not in seen:
                seen.add(key)
                made[prefix + piece.name] = make_shape(piece)
    return made


class MakeTables(Protocol):
    def __call__(self, changes: Changes, pump: str = ...) -> Path: ...


@pytest.fixture
def make_tables(tmp_path: Path) -> MakeTables:
    """Copy the tables and change cells of a pump's size table."""

    def make(changes: Changes, pump: str = PUMP) -> Path:
        folder = tmp_path / f"tables-{len(list(tmp_path.iterdir()))}"
        shutil.copytree(TABLES, folder)
        path = folder / "sizes" / f"{pump}.csv"
        lines = path.read_text(encoding="utf-8").splitlines()
        left = dict(changes)
        for i, line in enumerate(lines):
            cells = line.split(",")
            for column, text in left.pop(cells[0], {}).items():
                cells[COLUMNS.index(column)] = text
            lines[i] = ",".join(cells)
        assert not left, f"no such rows to change: {', '.join(left)}"
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        return folder

    return make


def _ring_faces(row: Row) -> Mapping[str, Face]:
    middle = float(row["length"]) / 2
    return {
        "low": plane(0.0, -1),
        "high": plane(row["length"], +1),
        "bore": bore(row["bore"], middle),
        "outside": journal(row["outside"], middle),
    }


def _ring_shape(at: Numbers, row: Numbers) -> Solid:
    from models.parts import forms

    return forms.tube(row["outside"], row["bore"], 0, at["high"])


@pytest.fixture(scope="session")
def ring() -> Part:
    """A plain ring: the smallest part that has planes, a bore and an outside."""
    return Part("ring", _ring_faces, _ring_shape, Material.CAST_IRON)


@pytest.fixture
def make_tiny(tmp_path: Path) -> Callable[[Family, Mapping[str, float]], Build]:
    """Make a build of a made-up family from its dimensions in mm, each within a tenth of it."""

    def make(
        family: Family, numbers: Mapping[str, float], options: Mapping[str, str] | None = None
    ) -> Build:
        folder = tmp_path / "tiny"
        (folder / "sizes" / family.name).mkdir(parents=True, exist_ok=True)
        (folder / "standard").mkdir(exist_ok=True)
        (folder / "sizes" / f"{family.name}.toml").write_text('[sources]\nbench = "made up"\n')
        rows = [f"{key},{value},-0.1,0.1,mm,normal,bench" for key, value in numbers.items()]
        heading = "dimension,nominal,lower_deviation,upper_deviation,unit,distribution,source"
        table = "\n".join([heading, *rows])
        (folder / "sizes" / family.name / "a.csv").write_text(table, encoding="utf-8")
        return make_build(family, "a", options, tables=folder)

    return make
