"""The balance line as solids: fittings and line by closed forms, and the way through the castings open from end to end."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping
from typing import Any

import pytest

from models.builds import make_named_build
from models.solids.shape import find_face, make_shape
from models.spec.build import Build, PlacedPiece

PUMP = "end-suction/100-250"
HOSTS = ("back-plate", "suction-cover")
KEYS = ("balance-fitting-plate", "balance-line", *HOSTS)

Spot = tuple[float, float, float]


@pytest.fixture(scope="module")
def build() -> Build:
    return make_named_build(PUMP, {"hub-ring": "balance-line"})


@pytest.fixture(scope="module")
def solids(build: Build) -> Mapping[str, Any]:
    return {key: make_shape(build.pieces[key]) for key in KEYS}


def _row(piece: PlacedPiece) -> dict[str, float]:
    return {key: float(value) for key, value in piece.row.items()}


@pytest.mark.parametrize("key", KEYS)
def test_every_named_face_lies_on_one_valid_solid(
    build: Build, solids: Mapping[str, Any], key: str
) -> None:
    assert solids[key].isValid()
    assert len(solids[key].Solids()) == 1
    faces = build.pieces[key].faces
    assert [name for name, face in faces.items() if find_face(solids[key], face) is None] == []


def _disc(diameter: float) -> float:
    return math.pi / 4 * diameter**2


def _hexagon(across_flats: float) -> float:
    return math.sqrt(3) / 2 * across_flats**2


def test_the_fitting_lacks_only_the_breaks_of_its_edges(
    build: Build, solids: Mapping[str, Any]
) -> None:
    r = _row(build.pieces["balance-fitting-plate"])
    high = r["hexagon-start"] + r["hexagon-height"]
    threads = r["thread-length"] + r["length"] - high
    shank = r["hexagon-start"] - r["shoulder-thickness"]
    whole = (
        _disc(r["thread"]) * threads
        + _disc(r["shoulder-diameter"]) * r["shoulder-thickness"]
        + _disc(r["shank-diameter"]) * shank
        + _hexagon(r["across-flats"]) * r["hexagon-height"]
        - _disc(r["bore"]) * (r["thread-length"] + r["length"])
    )
    volume = solids["balance-fitting-plate"].Volume()
    assert 0.975 * whole < volume < whole


def test_the_line_is_a_tube_of_its_own_length_and_two_nuts(
    build: Build, solids: Mapping[str, Any]
) -> None:
    """The length of the curve is summed up from a thousand chords of its own."""
    r = _row(build.pieces["balance-line"])
    sleeve, swing = r["sleeve-length"], r["swing"]
    poles = [
        (sleeve, 0.0),
        (sleeve + swing, 0.0),
        (r["end-x"] + sleeve + swing, r["end-y"]),
        (r["end-x"] + sleeve, r["end-y"]),
    ]

    def spot(t: float) -> tuple[float, float]:
        shares = [(1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t**2, t**3]
        x, y = (sum(s * pole[i] for s, pole in zip(shares, poles, strict=True)) for i in (0, 1))
        return x, y

    chords = itertools.pairwise(spot(i / 1000) for i in range(1001))
    length = 2 * sleeve + sum(math.dist(a, b) for a, b in chords)
    behind = r["union-height"] - r["union-grip"]
    nut = _hexagon(r["union-across-flats"])
    nuts = (nut - _disc(r["union-thread"])) * r["union-grip"] + (nut - _disc(r["outside"])) * behind
    tube = (_disc(r["outside"]) - _disc(r["bore"])) * length
    assert solids["balance-line"].Volume() == pytest.approx(tube + 2 * nuts, rel=0.02)


def _legs(build: Build) -> dict[str, list[Spot]]:
    """Give the middle line of each casting's passage in mm, from the water inside it to its pad."""
    plate, cover = (_row(build.pieces[host]) for host in HOSTS)
    inlet, duct = plate["line-inlet-radius"], plate["line-duct-radius"]
    cross, port = -plate["line-cross-depth"], plate["line-port-position"]
    chamber = -(plate["ring-shoulder-depth"] + plate["wet-face-depth"]) / 2
    x = -cover["line-port-position"]
    return {
        "back-plate": [
            (chamber, inlet, 0.0),
            (cross, inlet, 0.0),
            (cross, duct, 0.0),
            (port, duct, 0.0),
            (port, plate["line-pad-distance"] + 1, 0.0),
        ],
        "suction-cover": [(x, 0.0, 0.0), (x, cover["line-pad-distance"] + 1, 0.0)],
    }


def _walk(legs: list[Spot]) -> Iterator[Spot]:
    for a, b in itertools.pairwise(legs):
        for i in range(21):
            yield (
                a[0] + (b[0] - a[0]) * i / 20,
                a[1] + (b[1] - a[1]) * i / 20,
                a[2] + (b[2] - a[2]) * i / 20,
            )


@pytest.mark.parametrize("host", HOSTS)
def test_the_way_from_the_water_to_the_pad_is_open_and_walled_in(
    build: Build, solids: Mapping[str, Any], host: str
) -> None:
    """On the middle line there is no metal; a bore's radius and a wall's half to the side there is, outside the chambers."""
    from OCP.BRepClass3d import BRepClass3d_SolidClassifier
    from OCP.gp import gp_Pnt
    from OCP.TopAbs import TopAbs_IN

    classifier = BRepClass3d_SolidClassifier(solids[host].wrapped)

    def is_metal(spot: Spot) -> bool:
        classifier.Perform(gp_Pnt(*spot), 1e-6)
        return bool(classifier.State() == TopAbs_IN)

    spots = list(_walk(_legs(build)[host]))
    assert [spot for spot in spots if is_metal(spot)] == []
    row = _row(build.pieces[host])
    aside = row["line-bore"] / 2 + row.get("line-wall", row["wall"]) / 2
    # within the wet room there is water to the side; beyond the pad there is air
    wet = -row["ring-shoulder-depth"] if host == "back-plate" else row["suction-bore"] / 2 + 1
    deep = row["line-pad-distance"] - row["line-thread-depth"]
    walled = [
        (x, y, z + side * aside)
        for x, y, z in spots
        for side in (-1, 1)
        if (x if host == "back-plate" else y) > wet and y < deep
    ]
    assert walled != []
    assert [spot for spot in walled if not is_metal(spot)] == []
