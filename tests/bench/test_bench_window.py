"""The bench of the window, at tiny size, so that it cannot rot; and its gates, as ratios with room for a busy machine."""

from __future__ import annotations

import time

import pytest

from tests.bench import bench_window
from tests.bench.stack import make_stack
from trainer.stage.scene import Finish, Stage

SIZE = (320, 180)


@pytest.mark.window
@pytest.mark.xdist_group("window")
def test_the_first_picture_is_no_later_than_a_bare_window_with_one_cube() -> None:
    row, shown_s = bench_window.measure_start(1)
    assert shown_s < row.measured_s
    # Half as much again for a busy machine; on a quiet one it is well below 1.
    assert row.ratio < 1.5 * row.most


def test_a_frame_in_motion_costs_little_more_than_a_bare_loop_over_the_same_actors() -> None:
    row = bench_window.measure_animation(make_stack(60).assemble(), SIZE, 8)
    assert row.ratio < 2.5


def test_a_pick_and_a_cut_cost_less_than_a_frame() -> None:
    stage = Stage(make_stack(40).assemble())
    stage.fit(SIZE)
    frame_s = bench_window.time_each(
        lambda _: stage.frame(*SIZE, Finish.REST), 5, time.perf_counter
    )
    assert bench_window.measure_pick(stage, SIZE, 40) < frame_s
    assert bench_window.measure_cut(stage, 6) < 10 * frame_s


def test_memory_is_read_and_growth_is_found() -> None:
    kept: list[bytes] = []
    # So large that no memory given back before can be used again for it.
    growth = bench_window.find_growth(lambda _: kept.append(b"x" * 40_000_000), 4, 1)
    assert 100.0 < growth.left_mb < 200.0
    kept.clear()
