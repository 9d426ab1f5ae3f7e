"""Volumes, weights and centres of gravity against closed forms, against the meshes, and against plain sums."""

from __future__ import annotations

import json
import math
import shutil
from pathlib import Path
from typing import Any

import pytest
import trimesh
from click.testing import CliRunner

from models.solids import tessellate
from models.solids.memory import FactMemory
from models.solids.weighing import HOIST_KG, Weight, add_weights, weigh_build
from models.spec.build import TABLES, Build
from models.spec.errors import ContentError
from models.spec.materials import read_densities
from models.spec.turning import find_rotation, find_shift_mm
from tests.models.parts.test_volumes import EXACT, FORMS
from trainer.console import make_console
from trainer.words import load_words

MESH_SHARE = 0.003
CENTRE_SHARE = 0.0005
"""How far the centre of a mesh may lie off, as a share of the part's longest side."""
FINE_RAD = 0.1


@pytest.fixture(scope="module")
def weights(pump: Build) -> dict[str, Weight]:
    return {one.name: one for one in weigh_build(pump, read_densities(TABLES), FactMemory())}


@pytest.mark.parametrize("name", FORMS)
def test_a_plain_part_has_the_volume_of_its_closed_form(
    pump: Build, weights: dict[str, Weight], name: str
) -> None:
    row = {key: float(value) for key, value in pump.pieces[name].row.items()}
    assert weights[name].volume_mm3 == pytest.approx(FORMS[name](row), rel=EXACT)


@pytest.mark.parametrize("place", ["shim", "casing-gasket", "cap-gasket"])
def test_a_flat_ring_has_its_centre_on_the_axis_midway_between_its_sides(
    pump: Build, weights: dict[str, Weight], place: str
) -> None:
    ends = [float(pump.position(place, side)) for side in ("suction-end", "drive-end")]
    at = weights[pump.pieces_at(place)[-1]].centre_mm
    assert at == pytest.approx((sum(ends) / 2, 0.0, 0.0), abs=1e-5)


def test_studs_on_a_circle_have_their_common_centre_on_the_axis(
    pump: Build, weights: dict[str, Weight]
) -> None:
    studs = tuple(weights[name] for name in pump.pieces_at("bracket-stud"))
    together = add_weights("studs", studs)
    ends = [float(pump.position("bracket-stud", end)) for end in ("inner-end", "outer-end")]
    assert together.centre_mm == pytest.approx((sum(ends) / 2, 0.0, 0.0), abs=1e-5)
    assert math.hypot(*studs[0].centre_mm[1:]) > 100.0


def test_every_part_has_the_volume_and_the_centre_of_a_fine_closed_mesh(
    pump: Build,
    solids: dict[str, Any],
    weights: dict[str, Weight],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # facets as coarse as a picture's take half a percent off a thin round bar
    monkeypatch.setattr(tessellate, "TURN_RAD", FINE_RAD)
    pieces = [piece for name, piece in pump.pieces.items() if name in solids]
    assert {piece.part.kind for piece in pieces} == {p.part.kind for p in pump.pieces.values()}
    for piece in pieces:
        made = tessellate.make_mesh(solids[piece.name])
        mesh = trimesh.Trimesh(made.points, made.triangles, process=False)
        one = weights[piece.name]
        assert mesh.volume == pytest.approx(one.volume_mm3, rel=MESH_SHARE), piece.name
        there = find_rotation(piece.pose) @ mesh.center_mass + find_shift_mm(piece.pose)
        off_mm = CENTRE_SHARE * float(mesh.extents.max())
        assert there == pytest.approx(one.centre_mm, abs=off_mm), piece.name


def test_the_whole_is_the_sum_of_its_pieces_and_balances_about_its_centre(
    pump: Build, weights: dict[str, Weight]
) -> None:
    whole = add_weights(pump.name, tuple(weights.values()))
    assert whole.mass_kg == pytest.approx(math.fsum(one.mass_kg for one in weights.values()))
    assert whole.volume_mm3 == pytest.approx(math.fsum(o.volume_mm3 for o in weights.values()))
    for axis in range(3):
        moment = math.fsum(
            one.mass_kg * (one.centre_mm[axis] - whole.centre_mm[axis]) for one in weights.values()
        )
        assert moment == pytest.approx(0.0, abs=1e-6)


def test_what_needs_a_hoist_says_so_in_its_caution(pump: Build, weights: dict[str, Weight]) -> None:
    heavy = {pump.pieces[one.name].place.name for one in weights.values() if one.needs_hoist}
    assert {"volute", "bearing-housing"} <= heavy
    for place in heavy:
        told = load_words().say(f"part.{place}.caution").lower()
        assert "sling" in told or "hoist" in told, place


def test_weight_is_volume_times_the_density_of_the_material(
    pump: Build, weights: dict[str, Weight]
) -> None:
    iron, one = read_densities(TABLES)[pump.pieces["volute"].part.material], weights["volute"]
    assert one.mass_kg == pytest.approx(one.volume_mm3 * 1e-9 * iron)
    assert one.needs_hoist
    assert not weights["impeller-key"].needs_hoist
    assert Weight("limit", 1.0, HOIST_KG + 0.001, (0.0, 0.0, 0.0)).needs_hoist


def test_what_was_weighed_once_is_remembered_and_a_change_is_weighed_again(
    pump: Build, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []

    def measure(key: str, _piece: object, memory: FactMemory | None) -> tuple[float, ...]:
        assert memory is not None
        fact = memory.find(key)
        if fact is None:
            asked.append(key)
            fact = (1.0, 0.0, 0.0, 0.0)
            memory.learn(key, fact)
        return fact

    monkeypatch.setattr("models.solids.weighing._find_volume", measure)
    for _ in range(2):
        weigh_build(pump, read_densities(TABLES), FactMemory(tmp_path))
    assert len(asked) == len(set(asked)) < len(pump.pieces)


def test_a_wrong_density_is_reported_with_file_and_line(tmp_path: Path) -> None:
    path = tmp_path / "materials.csv"
    shutil.copy(TABLES / "materials.csv", path)
    text = path.read_text(encoding="utf-8")
    path.write_text(
        text.replace("bronze,8930", "bronze,-1").replace("brass,", "brasss,"), encoding="utf-8"
    )
    with pytest.raises(ContentError) as caught:
        read_densities(tmp_path)
    told = str(caught.value)
    assert "materials.csv:9" in told
    assert "no part is of 'brasss'" in told
    assert "has no row for brass" in told


def test_scripts_and_people_are_told_the_same(weights: dict[str, Weight]) -> None:
    arguments = ["mass", "end-suction/100-250"]
    told = json.loads(CliRunner().invoke(make_console(), [*arguments, "--json"]).stdout)
    assert {one["name"]: one["mass_kg"] for one in told["pieces"]} == pytest.approx(
        {name: one.mass_kg for name, one in weights.items()}
    )
    shown = CliRunner().invoke(make_console(), arguments).stdout
    assert f"{told['whole']['mass_kg']:.1f} kg" in shown
    assert "use a hoist" in shown
