"""Work that is done in steps gives what it gives at one go: pictures in batches of pieces, pieces made ready, a cut."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from models.spec.assembly import Assembly
from models.spec.face import Axis
from trainer.stage import batches
from trainer.stage.batches import part_out
from trainer.stage.cut import HALF_SECTION, Cut
from trainer.stage.marks import Marks
from trainer.stage.scene import Drawn, Finish, Stage

SIZE = (400, 240)
SMALL = 500
"""Triangles of a batch of this module: so few that a small pump makes many batches."""


def make_stage(assembly: Assembly) -> Stage:
    """Make a stage with everything in the picture, something lit, something as glass."""
    stage = Stage(assembly)
    names = [piece.name for piece in assembly.pieces]
    stage.set_marks(Marks(lit=frozenset(names[:1]), ghosted=frozenset(names[1:2])))
    stage.fit(SIZE)
    return stage


def draw_counting(stage: Stage, finish: Finish) -> tuple[Drawn, int]:
    """Draw a frame, and count the steps it took."""
    steps, drawing = 0, stage.frame_in_steps(*SIZE, finish)
    while True:
        try:
            next(drawing)
        except StopIteration as done:
            return done.value, steps
        steps += 1


def test_items_are_parted_in_their_order_by_triangles_and_by_number() -> None:
    most = batches.MOST_TRIANGLES
    assert part_out([], int) == [[]]
    assert part_out([most, 1, 2, most + 1, 3], int) == [[most], [1, 2], [most + 1], [3]]
    assert part_out([1, 2, 3], int, most_items=2) == [[1, 2], [3]]


@pytest.mark.parametrize("finish", [Finish.MOVING, Finish.REST])
@pytest.mark.parametrize("cut", [None, HALF_SECTION])
def test_a_picture_drawn_in_batches_is_the_same_to_the_pixel(
    bench_pump: Assembly, monkeypatch: pytest.MonkeyPatch, finish: Finish, cut: Cut | None
) -> None:
    stage = make_stage(bench_pump)
    stage.set_cut(cut)
    monkeypatch.setattr(batches, "MOST_TRIANGLES", 10**9)
    (whole, numbers), few = draw_counting(stage, finish)
    monkeypatch.setattr(batches, "MOST_TRIANGLES", SMALL)
    (parted, parted_numbers), many = draw_counting(stage, finish)
    assert many > few + 3
    assert np.array_equal(whole, parted)
    assert (numbers is None) == (parted_numbers is None)
    assert numbers is None or np.array_equal(numbers, np.asarray(parted_numbers))


def test_a_drawing_given_up_half_way_leaves_nothing_behind(
    bench_pump: Assembly, monkeypatch: pytest.MonkeyPatch
) -> None:
    stage = make_stage(bench_pump)
    expected = stage.frame(*SIZE)
    monkeypatch.setattr(batches, "MOST_TRIANGLES", SMALL)
    for steps in (1, 3, 5):
        drawing = stage.frame_in_steps(*SIZE, Finish.REST)
        for _ in range(steps):
            next(drawing)
        drawing.close()
        assert np.array_equal(stage.frame(*SIZE), expected)


@pytest.mark.parametrize("cut", [None, HALF_SECTION])
def test_pieces_made_ready_before_look_as_if_they_had_always_stood_there(
    bench_pump: Assembly, monkeypatch: pytest.MonkeyPatch, cut: Cut | None
) -> None:
    monkeypatch.setattr(batches, "MOST_TRIANGLES", SMALL)
    half = replace(bench_pump, pieces=bench_pump.pieces[: len(bench_pump.pieces) // 2])
    stage = make_stage(half)
    stage.set_cut(cut)
    before = stage.frame(*SIZE)
    if (
        cut is None
    ):  # with a cut the hatching would lean the other way, as the numbers go on from there
        given_up = stage.prepare_in_steps(bench_pump)
        next(given_up)
        given_up.close()
    steps = stage.prepare_in_steps(bench_pump)
    assert sum(1 for _ in steps) > 2
    assert np.array_equal(stage.frame(*SIZE), before), "what is made ready must not be seen yet"
    stage.replace_assembly(bench_pump)
    anew = Stage(bench_pump)
    anew.set_marks(stage.marks)
    anew.set_cut(cut)
    anew.camera = stage.camera
    assert np.array_equal(stage.frame(*SIZE), anew.frame(*SIZE))
    assert set(stage.find_numbers()) == {piece.name for piece in bench_pump.pieces}


def test_a_cut_given_up_half_way_is_completed_by_the_next(
    bench_pump: Assembly, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("trainer.stage.scene.CUT_PIECES", 1)
    stage = make_stage(bench_pump)
    stage.set_cut(HALF_SECTION)
    expected = stage.frame(*SIZE)
    stage.set_cut(Cut(Axis.X, 5.0))
    steps = stage.set_cut_in_steps(HALF_SECTION)
    next(steps)
    steps.close()
    stage.set_cut(HALF_SECTION)
    assert np.array_equal(stage.frame(*SIZE), expected)


def test_what_comes_of_a_drawing_may_be_drawn_on(bench_pump: Assembly) -> None:
    for finish in (Finish.MOVING, Finish.REST):
        picture, _ = make_stage(bench_pump).frame_with_numbers(*SIZE, finish)
        assert picture.flags.writeable
