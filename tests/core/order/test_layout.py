"""The exploded layout: on its own line, clear of all else, beside what it left, and steady when an option changes."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

import manifold3d
import numpy as np
import pytest
import trimesh

from models.spec.assembly import Assembly
from models.spec.mesh import Mesh
from tests.shown_builds import BUILDS, PUMP
from trainer.core.order.blocking import find_blocking
from trainer.core.order.hanging import AIR_STEP, find_air_mm
from trainer.core.order.layout import Layout, make_layout
from trainer.core.order.sight import SIGHTS, find_sight, make_sight
from trainer.core.order.teardown import Order, find_order
from trainer.session.bench import Bench, open_bench

if TYPE_CHECKING:
    from tests.core.order.conftest import Shop

ALONG_MM = 1e-6
SHARED_MM3 = 1e-3
"""Less than this is rounding."""


@pytest.fixture(
    scope="module", params=BUILDS, ids=lambda chosen: "-".join(chosen.values()) or "usual"
)
def bench(request: pytest.FixtureRequest) -> Bench:
    return open_bench(PUMP, request.param)


def lay_out(assembly: Assembly) -> tuple[Order, Layout]:
    blocking = find_blocking(assembly)
    order = find_order(assembly, blocking)
    assert order.stuck == ()
    return order, make_layout(order, blocking, assembly)


def make_flanged_joint(shop: Shop) -> Assembly:
    """Make a body with a cover on four bolts, and a ring, a shaft and its key within."""
    round_it = [
        np.array([0.0, 40 * np.cos(turn), 40 * np.sin(turn)])
        for turn in np.radians([45, 135, 225, 315])
    ]
    bolts = {
        f"bolt-{n + 1}": shop.join(
            shop.tube(40, 60, 8.0).moved(np.eye(3), at),
            shop.tube(60, 66, 14.0).moved(np.eye(3), at),
        )
        for n, at in enumerate(round_it)
    }
    holes = [shop.tube(40, 70, 8.4).moved(np.eye(3), at) for at in round_it]
    meshes = {
        "body": drill(shop.tube(0, 50, 100, 60), holes),
        "cover": drill(shop.tube(50, 60, 100, 22), holes),
        "ring": shop.tube(30, 48, 58, 22),
        "shaft": shop.join(
            drill(shop.tube(-40, 28, 20), [shop.box((-30, -3, 6), (-20, 3, 14))]),
            shop.tube(28, 30, 50),
        ),
        "key": shop.box((-30, -3, 6), (-20, 3, 14)),
        **bolts,
    }
    return shop.assemble(meshes, shop.bolt(("body", "cover"), bolts))


def weld(mesh: Mesh) -> trimesh.Trimesh:
    body = trimesh.Trimesh(mesh.points, mesh.triangles)
    body.merge_vertices(merge_norm=True)
    return body


def drill(mesh: Mesh, holes: list[Mesh]) -> Mesh:
    """Take other bodies out of one."""
    left = trimesh.boolean.difference([weld(mesh), *map(weld, holes)])
    return Mesh(
        np.asarray(left.vertices, np.float32),
        np.asarray(left.vertex_normals, np.float32),
        np.asarray(left.faces, np.int32),
        mesh.edge_points,
        mesh.edges,
    )


def find_flat(assembly: Assembly, layout: Layout) -> Mapping[str, np.ndarray]:
    """Project every piece, where it stands apart, into the picture plane of the layout: (n, 2) mm."""
    offsets = layout.offsets_at(1.0)
    return {
        piece.name: (piece.mesh.points + offsets[piece.name]) @ layout.sight.plane.T
        for piece in assembly.pieces
    }


def find_meeting_outlines(flat: Mapping[str, np.ndarray]) -> list[tuple[str, str]]:
    """Find pairs whose convex outlines meet: no edge of either has the other wholly beyond it."""
    hulls = {name: _find_hull(points) for name, points in flat.items()}
    return [
        (a, b)
        for a, b in itertools.combinations(hulls, 2)
        if not (_parts(hulls[a], hulls[b]) or _parts(hulls[b], hulls[a]))
    ]


def _find_hull(points: np.ndarray) -> np.ndarray:
    from scipy.spatial import ConvexHull

    return np.asarray(points[ConvexHull(points).vertices], np.float64)


def _parts(one: np.ndarray, other: np.ndarray) -> bool:
    edges = np.roll(one, -1, axis=0) - one
    outward = np.stack([edges[:, 1], -edges[:, 0]], axis=1)
    beyond = (other[None] - one[:, None]) @ outward[:, :, None]
    return bool((beyond[..., 0].min(axis=1) > 0.0).any())


def check_lines(order: Order, layout: Layout) -> None:
    """Check that every piece stands on the line along which it left its support, on the side it left to."""
    offsets = layout.offsets_at(1.0)
    for taken in (taken for step in order.steps for taken in step.taken):
        if taken.piece in layout.supports:
            apart = offsets[taken.piece] - offsets[layout.supports[taken.piece]]
            along = float(apart @ taken.direction.vector)
            assert along > 0.0, taken.piece
            assert np.allclose(apart, along * taken.direction.vector, atol=ALONG_MM), taken.piece


def make_solid(mesh: Mesh, shift: np.ndarray) -> manifold3d.Manifold:
    body = weld(mesh)
    made = manifold3d.Manifold(
        manifold3d.Mesh((body.vertices + shift).astype(np.float32), body.faces.astype(np.uint32))
    )
    assert made.status() == manifold3d.Error.NoError
    return made


def find_shared(
    assembly: Assembly, offsets: Mapping[str, np.ndarray], known: dict[str, manifold3d.Manifold]
) -> Iterator[tuple[str, str]]:
    """Find pairs moved against each other whose solids share volume, by an exact cut of the meshes; boxes first."""
    names = [piece.name for piece in assembly.pieces]
    low = np.array([assembly.by_name[name].mesh.bounds[0] + offsets[name] for name in names])
    high = np.array([assembly.by_name[name].mesh.bounds[1] + offsets[name] for name in names])
    there = np.array([offsets[name] for name in names])
    meet = ((low[:, None] < high) & (low < high[:, None])).all(axis=2)
    meet &= (np.abs(there[:, None] - there) > 0.01).any(axis=2) | ~there.any()
    for i, j in np.argwhere(np.triu(meet, 1)):
        solids = []
        for k in (i, j):
            if names[k] not in known:
                known[names[k]] = make_solid(assembly.by_name[names[k]].mesh, np.zeros(3))
            solids.append(known[names[k]].translate(tuple(there[k])))
        if (solids[0] ^ solids[1]).volume() > SHARED_MM3:
            yield names[i], names[j]


# ---------------------------------------------------------------------- every build of the house
def test_no_two_outlines_of_a_build_meet_in_the_picture(bench: Bench) -> None:
    assert find_meeting_outlines(find_flat(bench.assembly, bench.layout)) == []


def test_no_two_solids_of_a_build_share_volume_after_any_step(bench: Bench) -> None:
    known: dict[str, manifold3d.Manifold] = {}
    home = {piece.name: np.zeros(3) for piece in bench.assembly.pieces}
    assert next(find_shared(bench.assembly, home, known)), (
        "pressed together they do, or this is blind"
    )
    steps = len(bench.order.steps)
    shared = {
        number: found
        for number in range(1, steps + 1)
        if (
            found := list(
                find_shared(bench.assembly, bench.layout.offsets_at(number / steps), known)
            )
        )
    }
    assert shared == {}


def test_every_piece_of_a_build_stands_on_the_line_it_left_by(bench: Bench) -> None:
    check_lines(bench.order, bench.layout)
    roots = [name for name in bench.layout.names if name not in bench.layout.supports]
    assert len(roots) < 6, "what stays last of a sub-assembly sits on nothing"


def test_a_build_is_compact(bench: Bench) -> None:
    """Laid end to end with no air and no depth the parts would need this; a fair layout stays within twice that."""
    flat = find_flat(bench.assembly, bench.layout)
    length = np.ptp(np.concatenate(list(flat.values()))[:, 0])
    sets = {piece.part: flat[piece.name] for piece in bench.assembly.pieces}
    assert length < 1.6 * sum(np.ptp(points[:, 0]) for points in sets.values())


def find_gaps(bench: Bench, names: set[str]) -> dict[str, tuple[str, np.ndarray]]:
    """Find by piece what it stands off and how far, (3,) mm, where both are among the names."""
    offsets = bench.layout.offsets_at(1.0)
    return {
        name: (support, offsets[name] - offsets[support])
        for name, support in bench.layout.supports.items()
        if name in names and support in names
    }


@pytest.mark.parametrize(
    ("chosen", "most_moved"),
    [
        ({"lubrication": "grease"}, 0),
        ({"bearings": "double-row-and-roller"}, 0),
        ({"drive-end": "coupling-hub"}, 0),
        # The impeller, its sleeve and the cover have other outlines to clear.
        ({"fixing": "acme"}, 5),
    ],
)
def test_an_option_moves_only_what_it_must(chosen: dict[str, str], most_moved: int) -> None:
    """What has the same shape stands as far off the same support; only what others come to lie before may move."""
    usual, other = open_bench(PUMP, {}), open_bench(PUMP, chosen)
    shapes = [
        {piece.name: piece.mesh.points.tobytes() for piece in bench.assembly.pieces}
        for bench in (usual, other)
    ]
    same = {name for name in shapes[0] if shapes[0][name] == shapes[1].get(name)}
    gaps = [find_gaps(bench, same) for bench in (usual, other)]
    assert len(gaps[0]) > 70, "or this is blind"
    moved = {
        name
        for name, (support, gap) in gaps[0].items()
        if name not in gaps[1]
        or gaps[1][name][0] != support
        or not np.allclose(gaps[1][name][1], gap, atol=ALONG_MM)
    }
    assert len(moved) <= most_moved, sorted(moved)


def test_sizes_that_differ_little_have_the_same_air() -> None:
    assert find_air_mm(900.0) == find_air_mm(960.0) > 0.0
    sizes = np.geomspace(1.0, 1e4, 400)
    airs = [find_air_mm(float(size)) for size in sizes]
    assert airs == sorted(airs)
    shares = np.array(airs) / sizes
    assert (shares.max() / shares.min()) == pytest.approx(AIR_STEP, rel=0.05)
    assert len(set(airs)) == round(np.log(1e4) / np.log(AIR_STEP)) + 1


# ---------------------------------------------------------------------- made-up assemblies
def test_bolts_stay_by_the_cover_they_held(shop: Shop) -> None:
    assembly = make_flanged_joint(shop)
    order, layout = lay_out(assembly)
    check_lines(order, layout)
    assert find_meeting_outlines(find_flat(assembly, layout)) == []
    assert {layout.supports[f"bolt-{n}"] for n in (1, 2, 3, 4)} == {"cover"}
    assert len({tuple(layout.offsets_at(1.0)[f"bolt-{n}"]) for n in (1, 2, 3, 4)}) == 1


def test_a_key_stands_over_its_keyway_wherever_the_shaft_goes(shop: Shop) -> None:
    assembly = make_flanged_joint(shop)
    _, layout = lay_out(assembly)
    offsets = layout.offsets_at(1.0)
    apart = offsets["key"] - offsets["shaft"]
    assert np.linalg.norm(offsets["shaft"]) > 0.0
    assert np.allclose(apart[:2], 0.0)
    assert apart[2] > 0.0


def test_half_way_apart_the_first_half_of_the_steps_is_done(shop: Shop) -> None:
    order, layout = lay_out(make_flanged_joint(shop))
    first, last = order.steps[0].pieces[0], order.steps[-1].pieces[0]
    assert np.allclose(layout.offsets_at(0.0)[first], 0.0)
    half = layout.offsets_at(1.0 / len(order.steps))
    assert np.allclose(half[first], layout.steps[0][0].shift)
    assert np.allclose(half[last], 0.0)
    seats = layout.seats_at(1.0)
    assert np.allclose(seats["bolt-1"], layout.offsets_at(1.0)["cover"])


def test_tilted_plugs_leave_along_their_own_axis_and_stay_by_what_they_left(shop: Shop) -> None:
    tilt = np.radians(35.0)
    turn = np.array([[np.cos(tilt), 0, np.sin(tilt)], [0, 1, 0], [-np.sin(tilt), 0, np.cos(tilt)]])
    homes = [np.array([81.0 * n, 0.0, 0.0]) for n in range(3)]
    plugs = {
        f"plug-{n + 1}": shop.tube(30, 60, 10).moved(turn, home) for n, home in enumerate(homes)
    }
    bodies = {
        f"body-{n + 1}": drill(
            shop.box((-40, -40, -40), (40, 40, 40)),
            [shop.tube(30, 80, 10.4).moved(turn, np.zeros(3))],
        ).moved(np.eye(3), home)
        for n, home in enumerate(homes)
    }
    axis = (float(turn[0, 0]), float(turn[1, 0]), float(turn[2, 0]))
    assembly = shop.assemble({**bodies, **plugs})
    pieces = tuple(
        replace(piece, axis=axis) if piece.name in plugs else piece for piece in assembly.pieces
    )
    assembly = replace(assembly, pieces=pieces)
    order, layout = lay_out(assembly)
    check_lines(order, layout)
    offsets = layout.offsets_at(1.0)
    assert np.ptp([offsets[name][0] for name in bodies]) > 100.0, "the bodies have parted"
    for plug, body in zip(plugs, bodies, strict=True):
        assert layout.supports[plug] == body
        apart = offsets[plug] - offsets[body]
        assert np.allclose(apart / np.linalg.norm(apart), axis, atol=1e-3)
        assert np.linalg.norm(apart) < 60.0, "twice its length, wherever its body went"
    assert find_meeting_outlines(find_flat(assembly, layout)) == []


def test_shims_on_top_of_each_other_are_strung_up_singly(shop: Shop) -> None:
    shims = {f"shim-{n}": shop.tube(n - 1.0, n, 40, 20) for n in (1, 2, 3)}
    assembly = shop.assemble(
        {"post": shop.join(shop.tube(-30, 0, 60), shop.tube(0, 30, 19)), **shims}
    )
    order, layout = lay_out(assembly)
    check_lines(order, layout)
    assert find_meeting_outlines(find_flat(assembly, layout)) == []
    places = [layout.offsets_at(1.0)[name][0] for name in shims]
    assert places == sorted(places)
    assert len(set(places)) == 3


def test_without_meshes_boxes_keep_apart(shop: Shop) -> None:
    assembly = make_flanged_joint(shop)
    blocking = find_blocking(assembly)
    layout = make_layout(find_order(assembly, blocking), blocking)
    assert find_meeting_outlines(find_flat(assembly, layout)) == []


@pytest.mark.parametrize("main", range(3))
def test_the_eye_stands_so_that_discs_are_slim_and_no_move_is_end_on(main: int) -> None:
    axis = np.eye(3)[main]
    others = [np.eye(3)[k] for k in range(3)]
    sight = find_sight([axis, axis, -axis, axis, *others])
    assert abs(sight.towards @ axis) < 0.35, "an ellipse a third as wide as high at most"
    assert abs(sight.towards @ axis) > 0.1, "and not a bare line"
    for other in others:
        assert np.linalg.norm(sight.plane @ other) > 0.25


def test_an_order_without_moves_is_seen_as_usual() -> None:
    assert np.allclose(find_sight([]).towards, make_sight(SIGHTS[0]).towards)
