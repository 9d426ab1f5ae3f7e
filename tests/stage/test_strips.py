"""Strips of a long string of parts: everything once, nothing cut through, as large as the page allows."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.stage.strips import MOST_STRIPS, find_strips

box = st.tuples(st.floats(-500, 500), st.floats(1, 80), st.floats(-100, 100), st.floats(1, 200))


def as_boxes(found: list[tuple[float, ...]]) -> np.ndarray:
    return np.array([(left, left + wide, low, low + high) for left, wide, low, high in found])


@given(st.lists(box, min_size=1, max_size=30), st.floats(200, 2000), st.floats(200, 2000))
def test_every_piece_lies_in_exactly_one_strip(
    found: list[tuple[float, ...]], wide: float, high: float
) -> None:
    boxes = as_boxes(found)
    strips, mm_per_px = find_strips(boxes, (wide, high), 10.0)
    for left, right, low, top in boxes:
        inside = [
            strip
            for strip in strips
            if strip.left_mm - 1e-6 <= left and right <= strip.right_mm + 1e-6
        ]
        assert len(inside) == 1
        assert inside[0].low_mm <= low
        assert top <= inside[0].high_mm
    assert max(strip.width_mm for strip in strips) <= wide * mm_per_px * (1 + 1e-9)
    tall = sum(strip.height_mm for strip in strips) / mm_per_px + 10.0 * (len(strips) - 1)
    assert tall <= high * (1 + 1e-9)
    assert len(strips) <= MOST_STRIPS


@pytest.mark.parametrize(("page", "strips"), [((1600, 900), 2), ((4000, 400), 1), ((500, 1600), 4)])
def test_a_long_string_fills_the_page(page: tuple[int, int], strips: int) -> None:
    boxes = as_boxes([(100.0 * n, 80.0, -50.0, 360.0) for n in range(24)])
    found, mm_per_px = find_strips(boxes, page, 20.0)
    assert len(found) == strips
    whole = max(2380.0 / page[0], 360.0 / page[1])
    assert mm_per_px <= whole


def test_what_overlaps_is_never_cut() -> None:
    boxes = as_boxes([(50.0 * n, 80.0, 0.0, 10.0) for n in range(24)])
    assert len(find_strips(boxes, (400, 4000), 20.0)[0]) == 1
