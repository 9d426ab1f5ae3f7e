"""Load arrows point at the bearing from outside, carried ones in the accent, the others struck out."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from trainer.stage.camera import Region, make_camera
from trainer.stage.lettering import Lettering
from trainer.stage.load_arrows import draw_load_arrows, find_room, make_load_arrows
from trainer.stage.look import Look

LOW, HIGH = np.array([0.0, -55.0, -55.0]), np.array([27.0, 55.0, 55.0])
TOLD = {"radial": ("radial", True), "axial-forward": ("axial", True), "axial-backward": ("no axial", False)}  # fmt: skip
SIZE = (640, 360)


def test_each_arrow_stands_outside_the_bearing_and_points_at_it() -> None:
    radial, forward, backward = make_load_arrows(LOW, HIGH, TOLD)
    assert radial.tail_mm[2] > radial.tip_mm[2] > HIGH[2]
    assert forward.tail_mm[0] < forward.tip_mm[0] < LOW[0]
    assert backward.tail_mm[0] > backward.tip_mm[0] > HIGH[0]
    assert [arrow.is_carried for arrow in (radial, forward, backward)] == [True, True, False]
    for arrow in (forward, backward):
        assert 0 < arrow.tip_mm[2] < HIGH[2]


def test_the_room_reaches_past_every_tail() -> None:
    arrows = make_load_arrows(LOW, HIGH, TOLD)
    for arrow, end in zip(arrows, find_room(arrows), strict=True):
        assert np.linalg.norm(end - arrow.tip_mm) > np.linalg.norm(arrow.tail_mm - arrow.tip_mm)


def test_nothing_to_show_asks_for_no_room() -> None:
    assert find_room(()).shape == (0, 3)


@pytest.mark.parametrize(
    ("load", "is_carried"), [("axial-forward", True), ("axial-backward", False)]
)
def test_only_what_is_not_carried_is_struck_out(load: str, is_carried: bool) -> None:
    look = Look()
    arrows = [a for a in make_load_arrows(LOW, HIGH, TOLD) if a.text == TOLD[load][0]]
    points = np.concatenate([np.stack([LOW, HIGH]), find_room(arrows)])
    camera = make_camera("side").fitted(points, SIZE, Region(20, 20, 620, 340))
    picture = Image.new("RGB", SIZE, look.ground)
    draw_load_arrows(picture, camera, Lettering(look, SIZE[1]), arrows)
    drawn = {colour for _, colour in picture.getcolors(SIZE[0] * SIZE[1]) or []}
    assert (look.accent in drawn) is is_carried
    assert (look.in_the_way in drawn) is not is_carried
