"""The way of the eye from one view to another: round the pump, never rolled."""

from __future__ import annotations

import pytest

from trainer.desktop.picture.glide import find_between
from trainer.stage.camera import ViewName, make_camera


def test_half_way_round_the_eye_is_level_and_upright() -> None:
    start, end = make_camera(ViewName.SIDE), make_camera(ViewName.DRIVE)
    middle = find_between(start, end, 0.5)
    assert middle.towards == pytest.approx([0.5**0.5, -(0.5**0.5), 0.0])
    assert middle.up == pytest.approx([0.0, 0.0, 1.0])
    for name in ViewName:
        there = make_camera(name)
        assert find_between(start, there, 1.0).towards == pytest.approx(there.towards), name
