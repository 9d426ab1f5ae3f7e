"""Answers are marked against a truth that is handed in."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.spec.errors import RefusalError
from trainer.lesson import (
    PointOut,
    QuestionKind,
    ShimThickness,
    make_question,
    mark_point_out,
    mark_shim_thickness,
)
from trainer.lesson.wanted import Wanted

POINT = PointOut("find-shim", "Where?", "shim")
SHIMS = ShimThickness("shims", "How thick?", "back-vane", 0.25, (0.5, 0.2), 0.05)


def test_the_walk_passes_over_kinds_that_it_cannot_ask() -> None:
    assert make_question(Wanted(QuestionKind.MATCH, "m")) is None
    assert make_question(Wanted(QuestionKind.SHIM_THICKNESS, "s")) is None
    wanted = Wanted(QuestionKind.POINT_OUT, POINT.id, POINT.prompt, {"part": POINT.part})
    assert make_question(wanted) == POINT


def test_the_named_part_is_right_and_any_other_is_wrong() -> None:
    right, wrong = mark_point_out(POINT, "shim"), mark_point_out(POINT, "shaft")
    assert (right.is_right, right.score) == (True, 1.0)
    assert (wrong.is_right, wrong.score, wrong.wanted, wrong.picked) == (
        False,
        0.0,
        "shim",
        "shaft",
    )


@pytest.mark.parametrize(
    ("answer_mm", "is_right", "off_mm"),
    [
        (0.95, True, 0.0),
        (1.0, True, 0.05),
        (0.9, True, -0.05),
        (1.001, False, 0.051),
        (0.45, False, -0.5),
    ],
)
def test_a_thickness_is_right_up_to_its_tolerance(
    answer_mm: float, is_right: bool, off_mm: float
) -> None:
    marked = mark_shim_thickness(SHIMS, 0.95, answer_mm)
    assert marked.is_right is is_right
    assert marked.score == float(is_right)
    assert marked.off_mm == pytest.approx(off_mm)


@given(st.floats(0.01, 5), st.floats(-0.2, 0.2))
def test_a_mark_does_not_depend_on_the_truths_size(truth_mm: float, off_mm: float) -> None:
    marked = mark_shim_thickness(SHIMS, truth_mm, truth_mm + off_mm)
    if abs(abs(off_mm) - SHIMS.tolerance_mm) > 1e-6:
        assert marked.is_right == (abs(off_mm) < SHIMS.tolerance_mm)


@pytest.mark.parametrize("answer_mm", [float("nan"), float("inf")])
def test_what_is_no_number_is_no_attempt(answer_mm: float) -> None:
    with pytest.raises(RefusalError, match="has to be a number"):
        mark_shim_thickness(SHIMS, 0.95, answer_mm)
