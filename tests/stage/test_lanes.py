"""Labels in lanes: none covers another, none leaves its lane, no leader crosses another, and all is quiet."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.stage.camera import Region
from trainer.stage.lanes import Lane, Lanes, Placed, find_crossings, lay_out_lanes, space_out

FRAME = Region(20.0, 20.0, 860.0, 400.0)
APART_PX = 31.0
ROUND = Lanes(FRAME, APART_PX)
UPRIGHT = Lanes(FRAME, APART_PX, (Lane.LEFT, Lane.RIGHT))
# Whole pixels, as spots are: two leaders never miss each other by less than an eye sees.
points = st.tuples(st.integers(50, 830), st.integers(50, 370))


def make_spots(found: list[tuple[int, int]]) -> dict[str, tuple[float, float]]:
    return {f"part-{i}": (float(x), float(y)) for i, (x, y) in enumerate(found)}


def list_ends(
    spots: dict[str, tuple[float, float]], placed: dict[str, Placed]
) -> tuple[np.ndarray, np.ndarray]:
    ends = np.array([(placed[name].x_px, placed[name].y_px) for name in spots])
    return np.array(list(spots.values())), ends


def find_least_distance(ends: np.ndarray) -> float:
    apart = np.linalg.norm(ends[:, None] - ends[None], axis=2)
    return float(apart[~np.eye(len(ends), dtype=bool)].min(initial=np.inf))


@given(st.lists(points, max_size=40, unique=True), st.sampled_from([ROUND, UPRIGHT]))
def test_no_label_covers_another_and_no_leader_crosses(
    found: list[tuple[int, int]], lanes: Lanes
) -> None:
    spots = make_spots(found[: lanes.room])
    placed = lay_out_lanes(spots, lanes, {})
    assert placed.keys() == spots.keys()
    if not spots:
        return
    starts, ends = list_ends(spots, placed)
    assert find_least_distance(ends) >= APART_PX - 1e-6
    for one in placed.values():
        low, high = lanes.find_ends(one.lane)
        at = (one.x_px, one.y_px)
        assert low - 1e-6 <= at[one.lane.along] <= high + 1e-6
        assert at[1 - one.lane.along] == lanes.find_line(one.lane)
    # A leader that ends on another's is no crossing that anybody sees.
    crossing = np.argwhere(find_crossings(starts, ends))
    for first, second in crossing:
        straight = np.linalg.norm(starts[first] - ends[second]) + np.linalg.norm(
            starts[second] - ends[first]
        )
        own = np.linalg.norm(starts[first] - ends[first]) + np.linalg.norm(
            starts[second] - ends[second]
        )
        assert own - straight <= 1e-6


@given(st.lists(points, min_size=1, max_size=40, unique=True), st.sampled_from([ROUND, UPRIGHT]))
def test_what_does_not_move_is_not_laid_out_otherwise(
    found: list[tuple[int, int]], lanes: Lanes
) -> None:
    spots = make_spots(found[: lanes.room])
    once = lay_out_lanes(spots, lanes, {})
    twice = lay_out_lanes(spots, lanes, once)
    thrice = lay_out_lanes(spots, lanes, twice)
    assert {name: one.lane for name, one in thrice.items()} == {
        name: one.lane for name, one in twice.items()
    }
    _, first = list_ends(spots, twice)
    _, second = list_ends(spots, thrice)
    assert np.abs(first - second).max() <= 1e-6


@given(st.lists(points, min_size=1, max_size=30, unique=True), st.integers(0, 2**32 - 1))
def test_labels_move_no_farther_than_their_places_allow(
    found: list[tuple[int, int]], seed: int
) -> None:
    """Where no leaders would come to cross, labels follow a small move by no more than that move."""
    spots = make_spots(found)
    settled = lay_out_lanes(spots, ROUND, lay_out_lanes(spots, ROUND, {}))
    shifts = np.random.default_rng(seed).uniform(-2.0, 2.0, (len(spots), 2))
    moved = {
        name: (x + float(shift[0]), y + float(shift[1]))
        for (name, (x, y)), shift in zip(spots.items(), shifts, strict=True)
    }
    after = lay_out_lanes(moved, ROUND, settled)
    _, ends = list_ends(spots, settled)
    _, now = list_ends(spots, after)
    jumps = np.linalg.norm(now - ends, axis=1)
    # Only labels that changed places jump, and those are few.
    assert np.sum(jumps > 2.0 * np.sqrt(2.0) + 1e-6) <= 0.25 * len(spots) + 2


def test_labels_stand_abreast_of_spots_that_leave_them_room() -> None:
    spots = {"a": (200.0, 60.0), "b": (400.0, 60.0), "c": (600.0, 60.0)}
    placed = lay_out_lanes(spots, ROUND, {})
    assert {name: (one.lane, one.x_px) for name, one in placed.items()} == {
        name: (Lane.TOP, x) for name, (x, _) in spots.items()
    }


def test_a_crowd_spreads_to_other_lanes() -> None:
    spots = {f"part-{i}": (60.0 + i, 200.0 + i) for i in range(24)}
    placed = lay_out_lanes(spots, ROUND, {})
    assert len({one.lane for one in placed.values()}) > 1


def test_crossed_labels_change_places_though_they_stood_so() -> None:
    spots = {"left": (300.0, 200.0), "right": (500.0, 200.0)}
    crossed = {
        "left": Placed(Lane.TOP, 500.0, FRAME.top),
        "right": Placed(Lane.TOP, 300.0, FRAME.top),
    }
    placed = lay_out_lanes(spots, ROUND, crossed)
    assert placed["left"].x_px < placed["right"].x_px


def test_more_labels_than_room_are_refused() -> None:
    spots = make_spots([(50 + i, 50 + i) for i in range(ROUND.room + 1)])
    with pytest.raises(ValueError, match="room"):
        lay_out_lanes(spots, ROUND, {})


@given(
    st.lists(st.floats(0.0, 500.0), min_size=1, max_size=12).map(sorted),
    st.floats(1.0, 40.0),
)
def test_spacing_is_the_nearest_there_is(wished: list[float], apart_px: float) -> None:
    """Held against a solver that knows nothing of pooling: scipy's bounded least squares of the steps."""
    from scipy.optimize import lsq_linear

    count = len(wished)
    ours = space_out(np.array(wished), apart_px, (-1e4, 1e4))
    assert np.all(np.diff(ours) >= apart_px - 1e-6)
    # Places as a start and steps of at least `apart_px`: an ordinary problem with bounds.
    steps = np.tril(np.ones((count, count)))
    low = np.array([-np.inf] + [apart_px] * (count - 1))
    best = lsq_linear(steps, np.array(wished), bounds=(low, np.inf), tol=1e-12)
    assert float(np.sum((ours - wished) ** 2)) <= 2.0 * best.cost + 1e-3
