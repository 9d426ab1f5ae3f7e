"""Spots lie on what they point at, well inside it, and stay where they were while that is still seen there."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from trainer.stage.camera import Region
from trainer.stage.seen_spots import find_seen_parts

PIECES = {1: ("nut-1", "nut"), 2: ("nut-2", "nut"), 3: ("casing", "casing")}
WHOLE = Region(0, 0, 400, 300)


def make_picture() -> np.ndarray:
    numbers = np.zeros((300, 400), np.int32)
    numbers[50:250, 50:350] = 3
    numbers[100:110, 100:110] = 1
    numbers[100:160, 200:260] = 2
    return numbers


def test_each_part_is_found_once_where_it_is_seen_well() -> None:
    numbers = make_picture()
    seen = find_seen_parts(numbers, PIECES, WHOLE, {})
    assert seen.keys() == {"nut", "casing"}
    assert seen["nut"].piece == "nut-2", "the nut of which most is seen"
    for part in seen.values():
        around = numbers[part.y_px - 4 : part.y_px + 5, part.x_px - 4 : part.x_px + 5]
        assert {PIECES[int(number)][0] for number in np.unique(around)} == {part.piece}
    assert seen["casing"].area_px == np.sum(numbers == 3)


def test_only_what_lies_in_the_region_is_found() -> None:
    seen = find_seen_parts(make_picture(), PIECES, Region(0, 0, 150, 300), {})
    assert seen["nut"].piece == "nut-1"
    assert find_seen_parts(make_picture(), PIECES, Region(360, 0, 400, 300), {}) == {}


def test_a_spot_stays_as_long_as_its_part_is_seen_there() -> None:
    numbers = make_picture()
    assert find_seen_parts(numbers, PIECES, WHOLE, {"casing": (300, 200)})["casing"].x_px == 300
    numbers[190:210, 290:310] = 0
    moved = find_seen_parts(numbers, PIECES, WHOLE, {"casing": (300, 200)})["casing"]
    assert numbers[moved.y_px, moved.x_px] == 3


@given(st.integers(0, 2**32 - 1), st.integers(1, 900), st.integers(1, 700))
def test_a_spot_always_shows_its_piece(seed: int, width: int, height: int) -> None:
    random = np.random.default_rng(seed)
    coarse = random.integers(0, 4, (4, 5)).astype(np.int32)
    rows, columns = np.arange(height) * 4 // height, np.arange(width) * 5 // width
    numbers = coarse[rows][:, columns]
    for seen in find_seen_parts(numbers, PIECES, Region(0, 0, width, height), {}).values():
        assert PIECES[int(numbers[seen.y_px, seen.x_px])][0] == seen.piece
