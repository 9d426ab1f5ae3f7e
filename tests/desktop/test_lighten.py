"""Light stand-ins keep the part's own corners and normals, and are made once."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from models.spec.assembly import Assembly, AssemblyPiece
from models.spec.mesh import Mesh
from trainer.desktop.picture.lighten import (
    FEW,
    decimate,
    keep_meshes,
    lighten_assembly,
    make_light_key,
)

Rows = np.ndarray


def make_ball(radius_mm: float, shift_mm: float = 0.0, rows: int = 40) -> Mesh:
    """A ball of 4 × rows² triangles, its poles left open so that no corner is named twice."""
    height = np.linspace(0.1, np.pi - 0.1, rows)
    turn = np.linspace(0.0, 2 * np.pi, 2 * rows, endpoint=False)
    up, round_ = np.meshgrid(height, turn, indexing="ij")
    normals = np.stack(
        [np.sin(up) * np.cos(round_), np.sin(up) * np.sin(round_), np.cos(up)], axis=-1
    ).reshape(-1, 3)
    corner = np.arange(rows * 2 * rows).reshape(rows, 2 * rows)
    here, beside = corner[:-1], np.roll(corner, -1, axis=1)[:-1]
    below, aslant = corner[1:], np.roll(corner, -1, axis=1)[1:]
    triangles = np.concatenate(
        [np.stack([here, below, aslant], -1), np.stack([here, aslant, beside], -1)]
    ).reshape(-1, 3)
    points = radius_mm * normals + [shift_mm, 0.0, 0.0]
    return Mesh(
        points.astype(np.float32),
        normals.astype(np.float32),
        triangles.astype(np.int32),
        np.zeros((0, 3), np.float32),
        np.zeros((0, 2), np.int32),
    )


def make_drum(radius_mm: float = 60.0, length_mm: float = 40.0, sides: int = 240) -> Mesh:
    """A closed drum whose points are split along both rims, as exact normals do it."""
    turn = np.linspace(0.0, 2 * np.pi, sides, endpoint=False)
    round_ = np.stack([np.zeros(sides), np.cos(turn), np.sin(turn)], axis=1)
    points: list[Rows] = []
    normals: list[Rows] = []
    triangles: list[Rows] = []
    here = np.arange(sides)
    beside = np.roll(here, -1)
    for x_mm, facing in ((0.0, -1.0), (length_mm, 1.0)):
        first = sum(len(part) for part in points)
        points += [radius_mm * round_ + [x_mm, 0, 0], np.array([[x_mm, 0.0, 0.0]])]
        normals += [np.tile([facing, 0.0, 0.0], (sides + 1, 1))]
        fan = np.stack([here, beside, np.full(sides, sides)], 1) + first
        triangles.append(fan if facing > 0 else fan[:, ::-1])
    first = sum(len(part) for part in points)
    points += [radius_mm * round_, radius_mm * round_ + [length_mm, 0, 0]]
    normals += [round_, round_]
    low, high = here + first, here + first + sides
    low_next, high_next = beside + first, beside + first + sides
    triangles += [np.stack([low, low_next, high], 1), np.stack([high, low_next, high_next], 1)]
    return Mesh(
        np.concatenate(points).astype(np.float32),
        np.concatenate(normals).astype(np.float32),
        np.concatenate(triangles).astype(np.int32),
        np.zeros((0, 3), np.float32),
        np.zeros((0, 2), np.int32),
    )


def make_assembly(*meshes: Mesh) -> Assembly:
    pieces = tuple(
        AssemblyPiece(f"ball-{n}", "ball", "ball", "bronze", "wet-end", mesh)
        for n, mesh in enumerate(meshes)
    )
    return Assembly("balls", pieces)


def test_stand_in_uses_corners_of_the_whole_and_far_fewer_triangles() -> None:
    ball = make_ball(50.0)
    triangles = decimate(ball)
    assert len(triangles) < 0.35 * len(ball.triangles)
    assert triangles.min() >= 0
    assert triangles.max() < len(ball.points)
    sides = ball.points[triangles]
    facing = np.cross(sides[:, 1] - sides[:, 0], sides[:, 2] - sides[:, 0])
    outwards = np.einsum("ij,ij->i", facing, ball.normals[triangles].sum(axis=1))
    assert np.mean(outwards > 0) > 0.999, "triangles face outwards as before"


def test_rim_of_a_face_is_left_alone_so_that_no_gap_opens() -> None:
    ball = make_ball(50.0)
    rim = np.concatenate([np.arange(80), np.arange(80) + 39 * 80])
    assert set(rim) <= set(decimate(ball).ravel().tolist())


def test_a_closed_part_stays_closed_and_keeps_its_shape() -> None:
    drum = make_drum()
    triangles = decimate(drum)
    assert len(triangles) < 0.35 * len(drum.triangles)
    spots = {tuple(spot): n for n, spot in enumerate(np.unique(drum.points.round(3), axis=0))}
    welded = np.array([spots[tuple(point)] for point in drum.points.round(3)])[triangles]
    sides = np.sort(
        np.concatenate([welded[:, [0, 1]], welded[:, [1, 2]], welded[:, [2, 0]]]), axis=1
    )
    assert (np.unique(sides, axis=0, return_counts=True)[1] == 2).all(), "no gap opens at a rim"
    corner = drum.points[triangles].astype(float)
    volume = np.einsum("tx,tx->t", corner[:, 0], np.cross(corner[:, 1], corner[:, 2])).sum() / 6.0
    # A drum's volume is its end times its length; the stand-in is inscribed.
    assert 0.97 < volume / (np.pi * 60.0**2 * 40.0) < 1.0


def test_a_stand_in_has_edges_of_its_own_where_faces_meet_at_an_angle(tmp_path: Path) -> None:
    light = lighten_assembly(make_assembly(make_drum()), {}, tmp_path).pieces[0].mesh
    ends = light.edge_points[light.edges]
    assert 20 < len(ends) < 300
    assert np.isin(np.round(ends[..., 0], 3), (0.0, 40.0)).all(), "on the rims and nowhere else"
    assert np.allclose(np.linalg.norm(ends[..., 1:], axis=-1), 60.0, atol=1e-3)


def test_a_moved_part_has_the_same_stand_in() -> None:
    assert make_light_key(make_ball(50.0)) == make_light_key(make_ball(50.0, shift_mm=7.0))
    assert make_light_key(make_ball(50.0)) != make_light_key(make_ball(50.0, rows=41))


def test_stand_ins_are_made_once_and_read_again(tmp_path: Path) -> None:
    ball, small = make_ball(50.0), make_ball(5.0, rows=7)
    assert len(small.triangles) < FEW < len(ball.triangles)
    first = lighten_assembly(make_assembly(ball, small), {}, tmp_path)
    (file,) = tmp_path.glob("*.npz")
    made = file.stat().st_mtime_ns
    again = lighten_assembly(make_assembly(ball, small), {}, tmp_path)
    assert file.stat().st_mtime_ns == made
    assert len(first.pieces[0].mesh.triangles) == len(again.pieces[0].mesh.triangles)
    assert len(first.pieces[0].mesh.triangles) < len(ball.triangles)
    assert first.pieces[1].mesh is small
    file.write_bytes(b"spoilt")
    mended = lighten_assembly(make_assembly(ball, small), {}, tmp_path)
    assert np.array_equal(mended.pieces[0].mesh.triangles, first.pieces[0].mesh.triangles)


def test_pieces_that_did_not_move_keep_their_mesh_objects() -> None:
    before = make_assembly(make_ball(50.0, rows=8), make_ball(5.0, rows=8))
    moved = make_ball(5.0, shift_mm=0.1, rows=8)
    after = keep_meshes(make_assembly(make_ball(50.0, rows=8), moved), before)
    assert after.pieces[0].mesh is before.pieces[0].mesh
    assert after.pieces[1].mesh is moved
