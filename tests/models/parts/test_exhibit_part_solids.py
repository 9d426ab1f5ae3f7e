"""Parts that only exhibits have: volumes and lengths against sums written out here."""

from __future__ import annotations

import math
from typing import Any

import pytest

from models.builds import make_named_build


def _make(build: str, piece: str) -> tuple[Any, dict[str, float]]:
    from models.solids.shape import make_shape

    found = make_named_build(build)
    return make_shape(found.pieces[piece]), found.numbers_at(piece)


def _disc_mm3(diameter: float, length: float) -> float:
    return math.pi * diameter**2 / 4 * length


def test_a_spacer_is_a_plain_sleeve() -> None:
    solid, row = _make("rolling-bearings/bore-50", "spacer-1")
    wide, hole = (_disc_mm3(row[key], row["length"]) for key in ("outside", "bore"))
    assert solid.Volume() == pytest.approx(wide - hole, rel=1e-6)


def test_an_arbor_is_grip_collar_seat_and_thread_less_two_chamfers_and_the_slot() -> None:
    solid, row = _make("rolling-bearings/bore-50", "arbor")
    seat = row["outboard-journal-length"]
    steps = [
        ("grip-diameter", row["grip-length"]), ("shoulder-diameter", row["collar-length"]),
        ("outboard-diameter", seat), ("lock-thread", row["outboard-length"] - seat),
    ]  # fmt: skip
    whole = sum(_disc_mm3(row[key], length) for key, length in steps)
    slot = row["washer-slot-width"] * (row["lock-thread"] / 2 - row["washer-slot-floor"])
    slot *= row["outboard-length"] - row["washer-slot-start"]
    chamfers = 2 * math.pi * row["grip-diameter"] * row["end-chamfer"] ** 2 / 2
    assert solid.Volume() == pytest.approx(whole - slot - chamfers, rel=1e-3)


def test_an_open_casing_is_one_piece_of_two_rings_and_four_bars() -> None:
    solid, row = _make("impellers/100-250", "open-casing")
    assert len(solid.Solids()) == 1
    rings = 2 * (_disc_mm3(row["rim-diameter"], row["land"]) - _disc_mm3(row["bore"], row["land"]))
    bars = 4 * _disc_mm3(row["bar-diameter"], row["width"] - 2 * row["land"])
    holes = 2 * row["stud-count"] * _disc_mm3(row["stud-thread"], row["stud-hole-depth"])
    assert solid.Volume() == pytest.approx(rings + bars - holes, rel=1e-4)


def test_a_shaft_carrier_is_one_piece_from_the_back_plate_to_a_wall_behind_its_floor() -> None:
    solid, row = _make("impellers/100-250", "shaft-carrier")
    box = solid.BoundingBox()
    assert len(solid.Solids()) == 1
    assert (box.xmin, box.xmax) == pytest.approx(
        (0.0, row["floor-distance"] + row["wall"]), abs=1e-3
    )
    assert box.ymax == pytest.approx(row["rim-diameter"] / 2, abs=1e-3)


@pytest.mark.parametrize("fixing", ["keyed", "fine-thread", "acme"])
def test_a_cut_shaft_is_the_whole_shaft_up_to_its_cut(fixing: str) -> None:
    from models.parts import forms
    from models.solids.shape import make_shape

    cut = make_named_build("impeller-fixings/100-250", {"fixing": fixing}).pieces["shaft"]
    whole = make_named_build("end-suction/100-250", {"fixing": fixing}).pieces["shaft"]
    end = -float(cut.row["cut-position"])
    short, long = make_shape(cut), make_shape(whole)
    kept = long.intersect(forms.rod(200.0, -500.0, end))
    assert short.Volume() == pytest.approx(kept.Volume(), rel=1e-6)
