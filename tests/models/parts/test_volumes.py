"""Solids against their volumes and boxes in closed form, worked out here from the table alone.

Exact forms hold to a millionth; nothing here calls the generators' own arithmetic.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from models.spec.build import Build

Numbers = dict[str, float]
EXACT = 1e-6


def _row(pump: Build, name: str) -> Numbers:
    return {key: float(value) for key, value in pump.pieces[name].row.items()}


def _ring(outside: float, bore: float, length: float) -> float:
    return math.pi / 4 * (outside**2 - bore**2) * length


def _corner_ring(radius_mm: float, cut_mm: float, *, inside: bool) -> float:
    """Turn a 45 degree corner triangle of legs cut about the axis: area times path of its centroid (Pappus)."""
    centroid = radius_mm + cut_mm / 3 if inside else radius_mm - cut_mm / 3
    return cut_mm**2 / 2 * 2 * math.pi * centroid


def _holes(count: float, diameter: float, depth: float) -> float:
    return count * math.pi / 4 * diameter**2 * depth


def _rod_chamfered_both_ends(thread: float, length: float) -> float:
    cut = 0.12 * thread
    return _ring(thread, 0, length) - 2 * _corner_ring(thread / 2, cut, inside=False)


def _shim(r: Numbers) -> float:
    return _ring(r["outside"], r["bore"], r["thickness"])


def _gasket(r: Numbers) -> float:
    plain = _ring(r["outside"], r["bore"], r["thickness"])
    return plain - _holes(r["stud-count"], r["stud-hole"], r["thickness"])


def _wear_ring(r: Numbers) -> float:
    cut = 0.06 * r["length"]
    lead_in = _corner_ring(r["bore"] / 2, cut, inside=True)
    outer_edge = _corner_ring(r["outside"] / 2, cut, inside=False)
    return _ring(r["outside"], r["bore"], r["length"]) - lead_in - outer_edge


def _stud(r: Numbers) -> float:
    return _rod_chamfered_both_ends(r["thread"], r["length"])


def _washer(r: Numbers) -> float:
    edge = _corner_ring(r["outside"] / 2, 0.15 * r["thickness"], inside=False)
    return _ring(r["outside"], r["bore"], r["thickness"]) - edge


def _centring_washer(r: Numbers) -> float:
    edge = _corner_ring(r["outside"] / 2, 0.2 * r["thickness"], inside=False)
    body = _ring(r["outside"], r["bore"], r["thickness"]) - edge
    return body + _ring(r["spigot-diameter"], r["bore"], r["spigot-length"])


def _key(r: Numbers) -> float:
    straight = r["length"] - r["width"]
    return (r["width"] * straight + math.pi / 4 * r["width"] ** 2) * r["height"]


def _seal_seat(r: Numbers) -> float:
    groove = _ring(r["outside"], r["groove-diameter"], r["groove-width"])
    return _ring(r["outside"], r["bore"], r["length"]) - groove


def _seal_face(r: Numbers) -> float:
    body = _ring(r["outside"], r["bore"], r["length"] - r["nose-height"])
    groove = _ring(r["groove-diameter"], r["bore"], r["groove-width"])
    nose = _ring(r["nose-outside"], r["nose-bore"], r["nose-height"])
    notch = r["notch-length"] * _slot(r["outside"] / 2, r["notch-floor"] / 2, r["notch-width"] / 2)
    return body - groove + nose - r["notch-count"] * notch


def _slot(radius: float, floor: float, half: float) -> float:
    """Give the area of a slot milled `floor` above the middle of a round of `radius`, `half` to either side."""
    under_arc = half * math.sqrt(radius**2 - half**2) + radius**2 * math.asin(half / radius)
    return under_arc - 2 * half * floor


FORMS: dict[str, Callable[[Numbers], float]] = {
    "shim-1": _shim,
    "shim-2": _shim,
    "shim-3": _shim,
    "casing-gasket": _gasket,
    "cap-gasket": _gasket,
    "wear-ring": _wear_ring,
    "cover-stud-1": _stud,
    "bracket-stud-1": _stud,
    "retaining-washer": _washer,
    "centring-washer": _centring_washer,
    "impeller-key": _key,
    "coupling-key": _key,
    "seal-seat": _seal_seat,
    "seal-face": _seal_face,
}


@pytest.mark.parametrize("name", FORMS)
def test_a_plain_solid_has_the_volume_of_its_closed_form(
    pump: Build, solids: dict[str, Any], name: str
) -> None:
    assert solids[name].Volume() == pytest.approx(FORMS[name](_row(pump, name)), rel=EXACT)


@pytest.mark.parametrize(
    "name", ["cover-o-ring", "bracket-o-ring", "housing-o-ring", "seat-o-ring", "face-o-ring"]
)
def test_a_squeezed_o_ring_keeps_the_area_of_its_section_but_for_its_corners(
    pump: Build, solids: dict[str, Any], name: str
) -> None:
    row = _row(pump, name)
    low, high = sorted((row["groove"], row["mate"]))
    height, area = (high - low) / 2, math.pi / 4 * row["section"] ** 2
    corner = 0.35 * min(height, area / height)
    rounded = area - (4 - math.pi) * corner**2
    # four equal corners are symmetric about the middle, so Pappus holds with the middle radius
    expected = rounded * math.pi * (low + high) / 2
    assert solids[name].Volume() == pytest.approx(expected, rel=EXACT)


def _hexagon_box(r: Numbers) -> tuple[float, float]:
    return r["across-flats"], r["across-flats"] * 2 / math.sqrt(3)


@pytest.mark.parametrize("name", ["cover-nut-1", "housing-screw-1", "oil-fill-plug", "cap-screw-1"])
def test_a_hexagon_is_as_wide_as_its_table_says(
    pump: Build, solids: dict[str, Any], name: str
) -> None:
    row = _row(pump, name)
    flats, corners = _hexagon_box(row)
    box = solids[name].BoundingBox()
    widths = sorted((box.ylen, box.zlen))
    assert widths == pytest.approx([flats, corners], abs=2e-3)
    length = row["nut-height"] if "nut" in name else row["length"] + row["head-height"]
    assert box.xlen == pytest.approx(length, abs=2e-3)


@pytest.mark.parametrize("name", ["cover-nut-1"])
def test_a_nut_lacks_only_its_chamfer_and_its_hole(
    pump: Build, solids: dict[str, Any], name: str
) -> None:
    row = _row(pump, name)
    prism = math.sqrt(3) / 2 * row["across-flats"] ** 2 * row["nut-height"]
    plain = prism - _ring(row["thread"], 0, row["nut-height"])
    assert 0.95 * plain < solids[name].Volume() < plain


def test_turned_parts_are_as_long_and_as_wide_as_their_tables_say(
    pump: Build, solids: dict[str, Any]
) -> None:
    expected = {
        "wear-ring": ("length", "outside"),
        "seal-seat": ("length", "outside"),
        "seal-face": ("length", "outside"),
        "bearing-inboard": ("width", "outside"),
        "bearing-outboard": ("width", "outside"),
        "casing-gasket": ("thickness", "outside"),
        "retaining-washer": ("thickness", "outside"),
    }
    for name, (length, wide) in expected.items():
        row, box = _row(pump, name), solids[name].BoundingBox()
        assert box.xlen == pytest.approx(row[length], abs=2e-3), name
        assert box.ylen == pytest.approx(row[wide], abs=2e-3), name
        assert box.ymin == pytest.approx(-box.ymax, abs=2e-3), f"{name} is centred"


def test_the_lock_nut_lacks_its_four_slots_where_it_would_be_widest(
    pump: Build, solids: dict[str, Any]
) -> None:
    row, box = _row(pump, "lock-nut"), solids["lock-nut"].BoundingBox()
    assert box.xlen == pytest.approx(row["length"], abs=2e-3)
    # the slots lie on both axes, so the widest that is left is a corner of a slot
    widest = 2 * math.sqrt((row["outside"] / 2) ** 2 - (row["slot-width"] / 2) ** 2)
    assert [box.ylen, box.zlen] == pytest.approx([widest, widest], abs=2e-3)


def test_the_shaft_is_as_long_as_its_steps(pump: Build, solids: dict[str, Any]) -> None:
    row, box = _row(pump, "shaft"), solids["shaft"].BoundingBox()
    steps = (
        "overhang",
        "impeller-seat-length",
        "outboard-length",
        "drive-seal-length",
        "coupling-length",
    )
    assert box.xlen == pytest.approx(sum(row[key] for key in steps), abs=2e-3)
    assert box.ylen == pytest.approx(row["shoulder-diameter"], abs=2e-3)


def test_the_impeller_is_as_wide_as_its_outside_and_as_long_as_nose_to_hub(
    pump: Build, solids: dict[str, Any]
) -> None:
    row, box = _row(pump, "impeller"), solids["impeller"].BoundingBox()
    assert box.ylen == pytest.approx(row["outside-diameter"], abs=2e-3)
    assert box.xmin == pytest.approx(-row["nose-distance"], abs=2e-3)
    assert box.xmax == pytest.approx(0.0, abs=2e-3)


def test_the_spring_fills_its_span_and_no_more(pump: Build, solids: dict[str, Any]) -> None:
    row, box = _row(pump, "seal-spring"), solids["seal-spring"].BoundingBox()
    assert box.xmin == pytest.approx(0.0, abs=2e-3)
    assert box.xmax == pytest.approx(row["span"], abs=2e-3)
    assert box.ylen == pytest.approx(row["mean-diameter"] + row["wire-diameter"], abs=0.05)
    turns = row["coils"] * math.pi / 4 * row["wire-diameter"] ** 2 * math.pi * row["mean-diameter"]
    assert turns < solids["seal-spring"].Volume() < 1.6 * turns


def test_the_flanges_hold_their_drillings(pump: Build, solids: dict[str, Any]) -> None:
    """Count, through the solid's own cylinders, the bolt holes of both nozzles."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface

    for name, along, of in (("suction-cover", "X", "suction-"), ("volute", "Z", "")):
        row, spots = _row(pump, name), set()
        for face in solids[name].Faces():
            if face.geomType() != "CYLINDER":
                continue
            cylinder = BRepAdaptor_Surface(face.wrapped).Cylinder()
            direction, at = cylinder.Axis().Direction(), cylinder.Axis().Location()
            if (
                abs(2 * cylinder.Radius() - row[f"{of}hole"]) > 1e-6
                or abs(getattr(direction, along)()) < 0.999
            ):
                continue
            middle = solids[name].BoundingBox().ymin + row[f"{of}outside"] / 2
            across = (
                (at.Y(), at.Z())
                if along == "X"
                else (at.X() - row["spiral-centre"], at.Y() - middle)
            )
            if math.hypot(*across) == pytest.approx(row[f"{of}bolt-circle"] / 2, abs=1e-3):
                spots.add((round(across[0], 2), round(across[1], 2)))
        assert len(spots) == row[f"{of}holes"], name
