"""The law of tolerance of the rays, meshes that are not closed, and what must make no difference."""

from __future__ import annotations

import math
import os
import subprocess
import sys
from typing import TYPE_CHECKING

import numpy as np
import pytest
import trimesh

from models.spec.mesh import Mesh
from trainer.core.order.blocking import Blocking, find_blocking
from trainer.core.order.directions import SIX, Direction
from trainer.core.order.spacing import SHIFT_MM, STEP_MM, TILE, find_strides, lay_tiles

if TYPE_CHECKING:
    from pathlib import Path

    from tests.core.order.conftest import Shop

DRIVE, SUCTION, UP = Direction.DRIVE, Direction.SUCTION, Direction.UP
NEVER_SEEN_MM = 2 * SHIFT_MM * math.cos(math.radians(45))
ALWAYS_SEEN_MM = 2 * SHIFT_MM
AXIAL_MM = 0.1


def travel_mm(found: Blocking, direction: Direction, moved: str, other: str) -> float:
    at = SIX.index(direction), found.names.index(moved), found.names.index(other)
    return float(found.travel_mm[at])


def measure(shop: Shop, **meshes: Mesh) -> Blocking:
    return find_blocking(shop.assemble(meshes))


def turn_coarse(sides: int, *outline: tuple[float, float]) -> Mesh:
    """Turn an outline of (radius, x) into a body of that many flat sides, its corners on the circle."""
    body = trimesh.creation.revolve(np.array([*outline, outline[0]], float), sections=sides)
    if body.volume < 0:
        body.invert()
    points = body.vertices[:, [2, 0, 1]].astype(np.float32)
    none = np.zeros((0, 3), np.float32), np.zeros((0, 2), np.int32)
    return Mesh(points, points, body.faces.astype(np.int32), *none)


def tube(sides: int, start: float, end: float, inner: float, outer: float) -> Mesh:
    return turn_coarse(sides, (inner, start), (outer, start), (outer, end), (inner, end))


def find_sagitta_mm(radius_mm: float, sides: int) -> float:
    return radius_mm * (1 - math.cos(math.pi / sides))


def count_sides(radius_mm: float, sagitta_mm: float) -> int:
    return math.ceil(math.pi / math.acos(1 - sagitta_mm / radius_mm))


@pytest.mark.parametrize("share", [0.0, 0.5, 0.95])
@pytest.mark.parametrize("radius_mm", [6.0, 20.0, 60.0, 180.0])
def test_interference_and_facets_below_the_law_never_bar_the_way(
    shop: Shop, radius_mm: float, share: float
) -> None:
    """share: how much of what the law allows is facets; the rest is interference. Sides do not match."""
    allowed_mm = NEVER_SEEN_MM - 0.01
    sides = count_sides(radius_mm, max(share * allowed_mm / 2, 0.002))
    interference_mm = allowed_mm - 2 * find_sagitta_mm(radius_mm, sides)
    shaft = tube(sides, -30, 60, 0, radius_mm)
    ring = tube(sides + 7, 0, 12, radius_mm - interference_mm, radius_mm + 8)
    found = measure(shop, ring=ring, shaft=shaft)
    assert travel_mm(found, DRIVE, "ring", "shaft") == math.inf
    assert travel_mm(found, SUCTION, "ring", "shaft") == math.inf


@pytest.mark.parametrize("sagitta_mm", [0.002, 0.02, 0.1])
@pytest.mark.parametrize("radius_mm", [4.0, 20.0, 60.0, 180.0])
def test_shoulder_above_the_law_is_seen_whatever_the_facets(
    shop: Shop, radius_mm: float, sagitta_mm: float
) -> None:
    sides = count_sides(radius_mm, sagitta_mm)
    high = radius_mm + ALWAYS_SEEN_MM + 2 * sagitta_mm + 0.05
    shaft = turn_coarse(
        sides, (0, -30), (radius_mm, -30), (radius_mm, 19), (high, 19), (high, 60), (0, 60)
    )
    ring = tube(sides + 7, 0, 12, radius_mm, radius_mm + 8)
    found = measure(shop, ring=ring, shaft=shaft)
    assert travel_mm(found, DRIVE, "ring", "shaft") == pytest.approx(7, abs=1e-3)


@pytest.mark.parametrize("half_angle_deg", [10.0, 20.0, 45.0, 70.0])
@pytest.mark.parametrize("gap_mm", [0.25, 5.0])
def test_cone_travels_to_its_seat_exactly(shop: Shop, gap_mm: float, half_angle_deg: float) -> None:
    slope = math.tan(math.radians(half_angle_deg))
    far = 30 + 20 / slope
    cone = shop.turned((0, 0), (30, 0), (30, 30), (10, far), (0, far))
    seat = shop.turned((10, far + gap_mm), (30, 30 + gap_mm), (45, 30 + gap_mm), (45, far + 30),
                       (10, far + 30))  # fmt: skip
    found = measure(shop, cone=cone, seat=seat)
    assert travel_mm(found, DRIVE, "cone", "seat") == pytest.approx(gap_mm, abs=AXIAL_MM)
    assert travel_mm(found, SUCTION, "cone", "seat") == math.inf


@pytest.mark.parametrize("half_angle_deg", [30.0, 45.0, 70.0])
@pytest.mark.parametrize("radius_mm", [8.0, 30.0, 100.0])
def test_corner_that_runs_onto_a_cone_is_met_where_it_meets(
    shop: Shop, radius_mm: float, half_angle_deg: float
) -> None:
    """A sharp bore meets a cone at the bore's radius, which no copy of any ray sees."""
    reach = radius_mm - 3, radius_mm + 3
    length = (reach[1] - reach[0]) / math.tan(math.radians(half_angle_deg))
    shaft = shop.turned((0, -40), (reach[0], -40), (reach[0], 20), (reach[1], 20 + length),
                        (reach[1], 60), (0, 60))  # fmt: skip
    ring = shop.turned((radius_mm, 0), (radius_mm + 9, 0), (radius_mm + 9, 8), (radius_mm, 8))
    found = measure(shop, ring=ring, shaft=shaft)
    right = 20 + length / 2 - 8
    assert travel_mm(found, DRIVE, "ring", "shaft") == pytest.approx(right, abs=AXIAL_MM)


@pytest.mark.parametrize("fit_mm", [0.05, 0.25, 1.0, 5.0])
def test_ring_moves_across_its_shaft_by_the_gap_between(shop: Shop, fit_mm: float) -> None:
    ring, shaft = tube(200, 0, 10, 40 + fit_mm, 60), tube(193, -30, 50, 0, 40)
    found = measure(shop, ring=ring, shaft=shaft)
    for direction in (Direction.LEFT, Direction.RIGHT, Direction.UP, Direction.DOWN):
        assert travel_mm(found, direction, "ring", "shaft") == pytest.approx(fit_mm, abs=0.1)


@pytest.mark.parametrize(("squeeze_mm", "room_mm"), [(0.0, 0.7), (0.05, 0.7), (0.4, 0.0)])
def test_o_ring_in_its_groove_is_trapped_along_the_shaft(
    shop: Shop, squeeze_mm: float, room_mm: float
) -> None:
    """A ring of round section on a groove's floor. Squeezed beyond the law it overlaps, and is held at once."""
    section_mm, floor_mm = 1.7, 50.0
    middle_mm = floor_mm + section_mm - squeeze_mm
    ring = trimesh.creation.torus(middle_mm, section_mm, major_sections=180, minor_sections=48)
    ring.apply_transform(np.eye(4)[[2, 0, 1, 3]])
    none = np.zeros((0, 3), np.float32), np.zeros((0, 2), np.int32)
    points = ring.vertices.astype(np.float32)
    o_ring = Mesh(points, points, ring.faces.astype(np.int32), *none)
    half = section_mm + 0.7
    spigot = shop.turned((0, -20), (53, -20), (53, -half), (floor_mm, -half), (floor_mm, half),
                         (53, half), (53, 20), (0, 20))  # fmt: skip
    found = measure(shop, o_ring=o_ring, spigot=spigot)
    for direction in (DRIVE, SUCTION):
        assert travel_mm(found, direction, "o_ring", "spigot") == pytest.approx(
            room_mm, abs=AXIAL_MM
        )


def test_sound_bodies_have_no_unsound_ray_even_where_bodies_of_one_piece_overlap(
    shop: Shop,
) -> None:
    pair = shop.join(shop.box((0, 0, 0), (10, 20, 20)), shop.box((6, 5, 5), (16, 25, 25)))
    found = measure(
        shop, pair=pair, wall=shop.box((19, 0, 0), (25, 30, 30)), rod=shop.tube(-9, -2, 30)
    )
    assert found.unsound.tolist() == [0.0, 0.0, 0.0]
    assert travel_mm(found, DRIVE, "pair", "wall") == pytest.approx(3, abs=1e-3)


def test_inside_out_body_still_bars_the_way_and_is_told(shop: Shop) -> None:
    block = shop.box((0, 0, 0), (10, 20, 20))
    turned = Mesh(
        block.points, block.normals, block.triangles[:, ::-1].copy(), block.edge_points, block.edges
    )
    found = measure(shop, block=turned, wall=shop.box((14, 0, 0), (20, 20, 20)))
    assert found.unsound.tolist() == [1.0, 0.0]
    assert travel_mm(found, DRIVE, "block", "wall") == pytest.approx(4, abs=1e-3)


def test_hole_in_a_mesh_is_told_by_its_share_of_rays_and_the_rest_still_bars(shop: Shop) -> None:
    """Of 360 wedges of the tube's drive end one is missing: one part in 360 along the shaft."""
    ring = shop.tube(0, 10, outside=80, bore=40)
    corners = ring.points[ring.triangles]
    on_end = (corners[:, :, 0] > 9.9).all(axis=1)
    wedge = np.flatnonzero(on_end)[:1]
    holed = Mesh(
        ring.points,
        ring.normals,
        np.delete(ring.triangles, wedge, axis=0),
        ring.edge_points,
        ring.edges,
    )
    found = measure(shop, ring=holed, flange=shop.tube(13, 20, outside=80, bore=40))
    assert 0 < found.unsound[0] < 0.01
    assert found.unsound[1] == 0
    assert travel_mm(found, DRIVE, "ring", "flange") == pytest.approx(3, abs=1e-3)


def test_body_without_one_side_is_told_as_unsound(shop: Shop) -> None:
    block = shop.box((0, 0, 0), (10, 20, 20))
    at_end = (block.points[block.triangles][:, :, 0] == 10).all(axis=1)
    open_box = Mesh(
        block.points, block.normals, block.triangles[~at_end], block.edge_points, block.edges
    )
    found = measure(shop, block=open_box, wall=shop.box((14, 0, 0), (20, 20, 20)))
    assert found.unsound[0] > 0.3


def test_number_of_cores_makes_no_difference(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    meshes = {
        "ring": shop.tube(0, 10, outside=60, bore=40),
        "shaft": shop.turned((0, -30), (20, -30), (20, 15), (23, 15), (23, 80), (0, 80)),
        "stud": shop.turned((22, -5), (25, -5), (25, 30), (22, 30)),
        "wall": shop.box((14, -30, -30), (20, 50, 50)),
    }
    tables = []
    for cores in (1, 2, 5):
        monkeypatch.setattr(os, "cpu_count", lambda cores=cores: cores)
        tables.append(measure(shop, **meshes))
    for other in tables[1:]:
        assert np.array_equal(tables[0].travel_mm, other.travel_mm)
        assert np.array_equal(tables[0].clear_mm, other.clear_mm)


def test_strip_of_five_hundredths_round_a_part_meets_ten_rays() -> None:
    width_mm = np.geomspace(8, 700, 200)
    spacing_mm = STEP_MM * find_strides(width_mm)
    assert (np.pi * width_mm * 0.05 / spacing_mm**2 > 10).all()


def test_tile_is_as_fine_as_its_smallest_part_and_not_asked_of_one_alone() -> None:
    side = STEP_MM * TILE
    boxes = np.array([[0.1, 0.1, 3 * side - 1, side - 1], [side + 1, 1, 2 * side - 1, side - 1],
                      [1, 1, side - 1, side - 1]])  # fmt: skip
    asked = np.array([True, True, True])
    tiles = lay_tiles(boxes, np.array([0, 1, 2], np.int32), np.array([8, 1, 4], np.int32), asked)
    assert tiles.stride[-3:, -1].tolist() == [4, 1, 0]
    none_asked = lay_tiles(
        boxes[:2], np.array([0, 1], np.int32), np.array([8, 1], np.int32), ~asked
    )
    assert not none_asked.stride.any()


@pytest.mark.parametrize("told", [True, False])
def test_compiled_loops_are_kept_beside_the_meshes_unless_told_otherwise(
    tmp_path: Path, told: bool
) -> None:
    around = {**os.environ, "XDG_CACHE_HOME": str(tmp_path / "own")}
    around.pop("NUMBA_CACHE_DIR", None)
    if told:
        around["NUMBA_CACHE_DIR"] = str(tmp_path / "told")
    code = "import trainer.core.order.compiled, numba; print(numba.config.CACHE_DIR)"
    where = subprocess.run(
        [sys.executable, "-c", code], env=around, check=True, capture_output=True, text=True
    )
    folder = tmp_path / "told" if told else tmp_path / "own" / "pumpwright" / "compiled"
    assert where.stdout.strip().startswith(str(folder))
