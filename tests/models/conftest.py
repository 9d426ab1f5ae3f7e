"""The demonstration pump, its solids, and folders of tables with a row changed: made once, used by many tests."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from models.pumps import make_named_build
from models.spec.build import TABLES, Build

PUMP = "end-suction/100-250"
COLUMNS = ("dimension", "nominal", "lower_deviation", "upper_deviation", "unit")

Changes = Mapping[str, Mapping[str, str]]
"""New cell text by row key and column name."""


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


@pytest.fixture
def make_tables(tmp_path: Path) -> Callable[[Changes], Path]:
    """Copy the tables and change cells of the pump's size table."""

    def make(changes: Changes) -> Path:
        folder = tmp_path / f"tables-{len(list(tmp_path.iterdir()))}"
        shutil.copytree(TABLES, folder)
        path = folder / "sizes" / f"{PUMP}.csv"
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
