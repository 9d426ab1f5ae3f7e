"""Loads seen along the shaft: a part that lies the other way round carries the other way."""

from __future__ import annotations

from dataclasses import replace

import pytest

from models.builds import make_named_build
from models.spec.face import Axis
from models.spec.loads import find_bearers
from models.spec.part import Load

NAME, ANGULAR = "rolling-bearings/bore-50", {"arrangement": "angular-contact"}


def test_in_the_pump_the_pair_carries_both_ways_and_the_roller_bearing_neither() -> None:
    build = make_named_build("end-suction/100-250", {"bearings": "roller-and-angular-pair"})
    roller, pair = find_bearers(build)
    assert roller.pieces == ("roller-outer-ring",)
    assert roller.carries == {Load.RADIAL}
    assert set(pair.pieces) == {"bearing-paired", "bearing-outboard"}
    assert pair.carries == set(Load)


@pytest.mark.parametrize(("sign", "load"), [(+1, Load.AXIAL_FORWARD), (-1, Load.AXIAL_BACKWARD)])
def test_a_bearing_turned_round_carries_the_other_way(sign: int, load: Load) -> None:
    build = make_named_build(NAME, ANGULAR)
    piece = build.pieces["angular-bearing"]
    turned = replace(piece, pose=replace(piece.pose, sign=sign))
    (bearer,) = find_bearers(replace(build, pieces={**build.pieces, piece.name: turned}))
    assert bearer.carries == {Load.RADIAL, load}


def test_a_bearing_across_the_shaft_is_refused() -> None:
    build = make_named_build(NAME, ANGULAR)
    piece = build.pieces["angular-bearing"]
    across = replace(piece, pose=replace(piece.pose, axis=Axis.Z))
    with pytest.raises(ValueError, match="angular-bearing"):
        find_bearers(replace(build, pieces={**build.pieces, piece.name: across}))
