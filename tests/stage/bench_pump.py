"""A made-up pump of turned and drawn shapes, so that the stage can be tested before any solid exists.

Not the pump that is taught: only its proportions, in millimetres.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly, AssemblyPiece
from models.spec.mesh import Mesh

Floats = npt.NDArray[np.float64]


def make_turned(  # noqa: C901 - one loop over the profile, kept in one place
    profile: Sequence[tuple[float, float]], sides: int = 96
) -> Mesh:
    """Turn a closed profile of (x, radius) about the x axis."""
    corners = np.array(profile, dtype=np.float64)
    following = np.roll(corners, -1, axis=0)
    if float((corners[:, 0] * following[:, 1] - following[:, 0] * corners[:, 1]).sum()) < 0.0:
        corners = corners[::-1]
        following = np.roll(corners, -1, axis=0)
    turns = np.linspace(0.0, 2.0 * math.pi, sides + 1)
    cos, sin = np.cos(turns), np.sin(turns)
    points: list[Floats] = []
    normals: list[Floats] = []
    triangles: list[tuple[int, int, int]] = []
    edge_points: list[Floats] = []
    edges: list[npt.NDArray[np.int64]] = []
    base = 0
    for (x0, r0), (x1, r1) in zip(corners, following, strict=True):
        along = np.array([x1 - x0, r1 - r0])
        out = np.array([along[1], -along[0]]) / np.linalg.norm(along)
        for x, r in ((x0, r0), (x1, r1)):
            points.append(np.stack([np.full_like(cos, x), r * cos, r * sin], axis=1))
            normals.append(
                np.stack([np.full_like(cos, out[0]), out[1] * cos, out[1] * sin], axis=1)
            )
        for i in range(sides):
            a, b, c, d = base + i, base + i + 1, base + sides + 1 + i, base + sides + 2 + i
            if r0 > 0.0:
                triangles.append((a, d, b) if r1 > 0.0 else (a, c, b))
            if r1 > 0.0:
                triangles.append((a, c, d))
        base += 2 * (sides + 1)
    for x, r in corners:
        if r > 0.0:
            start = len(edge_points) * (sides + 1)
            edge_points.append(np.stack([np.full_like(cos, x), r * cos, r * sin], axis=1))
            edges.append(np.stack([np.arange(sides) + start, np.arange(sides) + start + 1], axis=1))
    return _make(
        np.concatenate(points),
        np.concatenate(normals),
        triangles,
        np.concatenate(edge_points),
        np.concatenate(edges),
    )


def make_prism(corners_yz: Sequence[tuple[float, float]], x0: float, x1: float) -> Mesh:
    """Draw a convex outline in y and z along x."""
    ring = np.array(corners_yz, dtype=np.float64)
    count = len(ring)
    points: list[tuple[float, float, float]] = []
    normals: list[tuple[float, ...]] = []
    triangles: list[tuple[int, int, int]] = []
    for x, way in ((x0, -1.0), (x1, 1.0)):
        first = len(points)
        points += [(x, y, z) for y, z in ring]
        normals += [(way, 0.0, 0.0)] * count
        fan = [(first, first + i, first + i + 1) for i in range(1, count - 1)]
        triangles += fan if way > 0 else [(a, c, b) for a, b, c in fan]
    for i in range(count):
        (y0, z0), (y1, z1) = ring[i], ring[(i + 1) % count]
        out = np.array([0.0, z1 - z0, -(y1 - y0)])
        out /= np.linalg.norm(out)
        first = len(points)
        points += [(x0, y0, z0), (x0, y1, z1), (x1, y1, z1), (x1, y0, z0)]
        normals += [tuple(out)] * 4
        triangles += [(first, first + 1, first + 2), (first, first + 2, first + 3)]
    edge_points = [(x, y, z) for x in (x0, x1) for y, z in ring]
    edges = [(i, (i + 1) % count) for i in range(count)]
    edges += [(i + count, (i + 1) % count + count) for i in range(count)] + [
        (i, i + count) for i in range(count)
    ]
    return _make(
        np.array(points), np.array(normals), triangles, np.array(edge_points), np.array(edges)
    )


def make_hexagon(across_flats: float, x0: float, x1: float) -> Mesh:
    reach = across_flats / math.sqrt(3.0)
    return make_prism(
        [(reach * math.cos(a), reach * math.sin(a)) for a in np.arange(6) * math.pi / 3], x0, x1
    )


def make_bench_pump() -> Assembly:
    """Make about forty pieces with the proportions of a small end-suction pump."""
    pieces: list[AssemblyPiece] = []

    def add(
        name: str, kind: str, material: str, mesh: Mesh, part: str = "", group: str = "wet-end"
    ) -> None:
        pieces.append(AssemblyPiece(name, part or name, kind, material, group, mesh))

    add(
        "volute",
        "volute",
        "cast-iron",
        make_turned(
            [
                (0, 128),
                (0, 105),
                (8, 105),
                (8, 132),
                (52, 132),
                (52, 116),
                (64, 116),
                (64, 160),
                (52, 160),
                (52, 150),
                (8, 150),
                (8, 160),
                (0, 160),
            ]
        ),
    )
    pipe = make_turned([(0, 40), (165, 40), (165, 75), (150, 75), (150, 50), (0, 50)])
    add(
        "discharge-pipe",
        "pipe",
        "cast-iron",
        pipe.moved(np.array([[0, 0, -1.0], [0, 1, 0], [1, 0, 0]]), np.array([30.0, 90.0, 118.0])),
    )
    add(
        "suction-cover",
        "suction-cover",
        "cast-iron",
        make_turned(
            [
                (-75, 100),
                (-75, 52),
                (6, 52),
                (6, 62),
                (10, 62),
                (10, 104),
                (0, 104),
                (0, 160),
                (-14, 160),
                (-14, 66),
                (-60, 66),
                (-60, 100),
            ]
        ),
    )
    add(
        "wear-ring",
        "wear-ring",
        "bronze",
        make_turned([(-4, 62.02), (-4, 55), (10, 55), (10, 62.02)]),
    )
    add(
        "impeller",
        "impeller",
        "bronze",
        make_turned(
            [
                (12, 54.7),
                (-4, 54.7),
                (-4, 46),
                (14, 46),
                (38, 60),
                (38, 24),
                (20, 24),
                (20, 14),
                (50, 14),
                (50, 26),
                (46, 26),
                (46, 125),
                (30, 125),
                (12, 125),
            ]
        ),
    )
    add(
        "impeller-key",
        "key",
        "carbon-steel",
        make_prism([(-4, 9), (4, 9), (4, 17), (-4, 17)], 24, 46),
    )
    add(
        "shim-1",
        "shim",
        "stainless",
        make_turned([(50, 25), (50, 14), (51, 14), (51, 25)][::-1]),
        "shim",
    )
    add(
        "shim-2",
        "shim",
        "brass",
        make_turned([(51, 25), (51, 14), (51.5, 14), (51.5, 25)][::-1]),
        "shim",
    )
    add(
        "retaining-washer",
        "retaining-washer",
        "stainless",
        make_turned([(16, 23), (16, 8), (20, 8), (20, 23)]),
    )
    add("impeller-screw", "hex-screw", "stainless", make_hexagon(19, 6, 16))
    add(
        "back-plate",
        "back-plate",
        "cast-iron",
        make_turned(
            [
                (52, 116),
                (52, 30),
                (60, 30),
                (60, 38),
                (88, 38),
                (88, 60),
                (72, 60),
                (72, 150),
                (64, 150),
                (64, 116),
            ]
        ),
    )
    add(
        "casing-gasket",
        "casing-gasket",
        "gasket-fibre",
        make_turned([(52, 131.9), (52, 117), (52.8, 117), (52.8, 131.9)]),
    )
    add(
        "seal-seat",
        "seal-seat",
        "silicon-carbide",
        make_turned([(74, 37.9), (74, 18), (86, 18), (86, 37.9)]),
    )
    add(
        "seal-face",
        "seal-face",
        "carbon",
        make_turned([(64, 26), (64, 15.1), (74, 15.1), (74, 26)]),
    )
    add(
        "bracket",
        "bracket",
        "cast-iron",
        make_turned(
            [
                (72, 150),
                (72, 62),
                (88, 62),
                (88, 130),
                (190, 82),
                (190, 60),
                (204, 60),
                (204, 100),
                (190, 100),
                (92, 146),
                (92, 150),
            ]
        ),
    )
    add(
        "shaft",
        "shaft",
        "alloy-steel",
        make_turned(
            [
                (18, 0),
                (470, 0),
                (470, 16),
                (390, 16),
                (390, 20),
                (290, 20),
                (290, 25),
                (240, 25),
                (240, 20),
                (120, 20),
                (120, 15),
                (51.5, 15),
                (51.5, 13.9),
                (18, 13.9),
            ]
        ),
    )
    add(
        "bearing-housing",
        "bearing-housing",
        "ductile-iron",
        make_turned(
            [
                (204, 100),
                (204, 47),
                (350, 47),
                (350, 85),
                (335, 85),
                (335, 62),
                (216, 62),
                (216, 100),
            ]
        ),
    )
    for name, x in (("bearing-inboard", 220.0), ("bearing-outboard", 305.0)):
        add(
            f"{name}-outer",
            "ring",
            "bearing-steel",
            make_turned([(x, 46.9), (x, 38), (x + 22, 38), (x + 22, 46.9)][::-1]),
            name,
        )
        inside = 20.0
        add(
            f"{name}-inner",
            "ring",
            "bearing-steel",
            make_turned([(x, 29), (x, inside), (x + 22, inside), (x + 22, 29)][::-1]),
            name,
        )
    add(
        "bearing-cap",
        "bearing-cap",
        "cast-iron",
        make_turned([(350, 85), (350, 24), (362, 24), (362, 60), (362, 85)]),
    )
    add(
        "oil-seal",
        "lip-seal",
        "nitrile",
        make_turned([(206, 46.9), (206, 20.2), (214, 20.2), (214, 46.9)]),
    )
    add(
        "coupling-key",
        "key",
        "carbon-steel",
        make_prism([(-5, 11), (5, 11), (5, 20), (-5, 20)], 410, 460),
    )
    for index in range(8):
        turn = 2 * math.pi * (index + 0.5) / 8
        place = np.array([0.0, 142 * math.cos(turn), 142 * math.sin(turn)])
        add(
            f"cover-nut-{index + 1}",
            "nut",
            "carbon-steel",
            make_hexagon(22, -25, -14).moved(np.eye(3), place),
            "cover-nut",
        )
    for index in range(6):
        turn = 2 * math.pi * index / 6
        place = np.array([0.0, 75 * math.cos(turn), 75 * math.sin(turn)])
        add(
            f"cap-screw-{index + 1}",
            "hex-screw",
            "carbon-steel",
            make_hexagon(14, 362, 370).moved(np.eye(3), place),
            "cap-screw",
        )
    return Assembly("bench-pump", tuple(pieces))


def _make(
    points: Floats,
    normals: Floats,
    triangles: list[tuple[int, int, int]],
    edge_points: Floats,
    edges: npt.NDArray[np.int64],
) -> Mesh:
    return Mesh(
        points.astype(np.float32),
        normals.astype(np.float32),
        np.array(triangles, dtype=np.int32),
        edge_points.astype(np.float32),
        edges.astype(np.int32),
    )
