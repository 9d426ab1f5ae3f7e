"""A new size is one CSV and no code: a changed copy of a table under another name is a pump of its own."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from models.builds import list_builds, make_named_build
from models.solids.cache import MeshCache
from models.solids.keys import make_key
from models.spec.build import TABLES
from trainer.session.bench import Bench, open_bench

SIZES = Path("sizes") / "end-suction"
PUMP, NEW = "end-suction/100-250", "end-suction/100-248"
CHANGED = {"impeller.outside-diameter": "248"}
"""A trimmed impeller, the commonest reason for another size in one casing."""


@pytest.fixture(scope="module")
def tables(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("new-size") / "tables"
    shutil.copytree(TABLES, folder)
    lines = (folder / SIZES / "100-250.csv").read_text(encoding="utf-8").splitlines()
    left = dict(CHANGED)
    for i, line in enumerate(lines):
        cells = line.split(",")
        if cells[0] in left:
            cells[1] = left.pop(cells[0])
            lines[i] = ",".join(cells)
    assert not left
    (folder / SIZES / "100-248.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return folder


def test_the_new_size_is_listed_and_builds_with_every_value_of_every_option(tables: Path) -> None:
    assert NEW in list_builds(tables)
    assert NEW not in list_builds(TABLES)
    for option, values in list_builds(tables)[NEW].option_values().items():
        for value in values:
            build = make_named_build(NEW, {option: value}, tables=tables)
            assert build.options[option] == value
            assert build.pieces["impeller"].dimensions["outside-diameter"].nominal == 248.0


def test_only_what_uses_the_changed_rows_is_another_solid(tables: Path) -> None:
    usual, new = make_named_build(PUMP), make_named_build(NEW, tables=tables)
    assert set(usual.pieces) == set(new.pieces)
    other = {n for n, one in new.pieces.items() if make_key(one) != make_key(usual.pieces[n])}
    assert other == {"impeller"}


def test_the_new_size_gets_meshes_and_comes_apart(tables: Path) -> None:
    bench: Bench = open_bench(NEW, {"bracket": "open"}, tables=tables)
    assert len(bench.assembly.pieces) == len(bench.build.pieces)
    mesh = bench.assembly.by_name["impeller"].mesh
    outside_mm = float(bench.build.diameter("impeller", "outside"))
    assert float(abs(mesh.points[:, 1:]).max()) == pytest.approx(outside_mm / 2, abs=0.06)
    taken = [name for step in bench.order.steps for name in step.pieces]
    assert not bench.order.stuck
    assert set(taken) <= set(bench.build.pieces)
    assert MeshCache().has(make_key(bench.build.pieces["impeller"]))


def test_a_folder_of_tables_is_read_as_it_is_now_though_our_own_are_read_once(
    tables: Path, tmp_path: Path
) -> None:
    shutil.copytree(tables, tmp_path / "tables")
    one, other = make_named_build(PUMP), make_named_build(PUMP)
    assert one.size.parts["impeller"] is other.size.parts["impeller"]
    table = tmp_path / "tables" / SIZES / "100-248.csv"
    for diameter in ("248", "247"):
        table.write_text(
            table.read_text(encoding="utf-8").replace(
                "outside-diameter,248,", f"outside-diameter,{diameter},"
            ),
            encoding="utf-8",
        )
        made = make_named_build(NEW, tables=tmp_path / "tables")
        assert made.pieces["impeller"].dimensions["outside-diameter"].nominal == float(diameter)
