from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from trainer.stage.camera import Region, ViewName, find_outer_points, make_camera

SIZE = (1280, 720)
numbers = st.floats(-1000.0, 1000.0, width=32)
points_mm = hnp.arrays(np.float64, st.tuples(st.integers(2, 20), st.just(3)), elements=numbers)


@given(points_mm, st.sampled_from(ViewName), st.floats(-180, 180), st.floats(-80, 80))
def test_fitting_leaves_nothing_outside_the_region(
    points: np.ndarray, view: ViewName, right: float, up: float
) -> None:
    region = Region(100, 150, 1100, 600)
    camera = make_camera(view).orbited(right, up).fitted(points, SIZE, region)
    seen = camera.project(points, SIZE)
    assert seen[:, 0].min() >= region.left - 1e-3
    assert seen[:, 0].max() <= region.right + 1e-3
    assert seen[:, 1].min() >= region.top - 1e-3
    assert seen[:, 1].max() <= region.bottom + 1e-3


@given(points_mm, st.sampled_from(ViewName))
def test_fitting_fills_the_region_one_way(points: np.ndarray, view: ViewName) -> None:
    region = Region(100, 150, 1100, 600)
    camera = make_camera(view).fitted(points, SIZE, region)
    seen = camera.project(points, SIZE)
    spread = np.ptp(seen[:, :2], axis=0)
    if camera.mm_per_px > 1e-3:
        assert max(spread[0] / region.width, spread[1] / region.height) == pytest.approx(
            1.0, abs=1e-6
        )


def test_side_view_has_the_suction_end_at_the_left_and_up_above() -> None:
    camera = make_camera("side")
    suction, drive, top = camera.project(np.array([[-100, 0, 0], [100, 0, 0], [0, 0, 100.0]]), SIZE)
    assert suction[0] < drive[0]
    assert top[1] < suction[1]


@pytest.mark.parametrize("view", ["iso", "side"])
def test_views_of_the_section_look_at_the_half_that_is_taken_away(view: str) -> None:
    assert make_camera(view).towards[1] < 0.0


@given(st.floats(0, 1280), st.floats(0, 720), st.sampled_from(ViewName))
def test_a_ray_goes_through_its_own_pixel(x_px: float, y_px: float, view: ViewName) -> None:
    camera = make_camera(view)
    seen = camera.project(camera.find_ray(x_px, y_px, SIZE)[None], SIZE)[0]
    assert seen[:2] == pytest.approx([x_px, y_px], abs=1e-6)


@given(st.floats(0.2, 5.0), st.floats(0, 1280), st.floats(0, 720))
def test_zooming_keeps_what_lies_under_the_pointer(factor: float, x_px: float, y_px: float) -> None:
    camera = make_camera("iso")
    under = camera.find_ray(x_px, y_px, SIZE)
    seen = camera.zoomed(factor, (x_px, y_px), SIZE).project(under[None], SIZE)[0]
    assert seen[:2] == pytest.approx([x_px, y_px], abs=1e-4)


def test_panning_moves_the_picture_with_the_hand() -> None:
    camera = make_camera("iso")
    before = camera.project(np.zeros((1, 3)), SIZE)[0]
    after = camera.panned(30, 12).project(np.zeros((1, 3)), SIZE)[0]
    assert after[:2] - before[:2] == pytest.approx([30, 12])


@given(
    st.lists(st.tuples(st.floats(-90, 90), st.floats(-90, 90)), max_size=8),
    st.sampled_from(ViewName),
)
def test_however_one_walks_round_up_stays_up(
    steps: list[tuple[float, float]], view: ViewName
) -> None:
    camera = make_camera(view)
    for right, up in steps:
        camera = camera.orbited(right, up)
    axes = np.stack([camera.right, camera.up, camera.towards])
    assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-9)
    assert camera.up[2] >= -1e-9


def test_outer_points_reach_nearly_as_far_as_all_points() -> None:
    turns = np.linspace(0, 2 * np.pi, 5000)
    ring = np.stack([np.zeros_like(turns), 160 * np.cos(turns), 160 * np.sin(turns)], axis=1)
    outer = find_outer_points(ring)
    assert len(outer) <= 200
    for turn in np.linspace(0, 2 * np.pi, 57):
        direction = np.array([0.0, np.cos(turn), np.sin(turn)])
        assert (outer @ direction).max() >= 0.99 * 160
