"""Drawings beside questions: read back from their strokes, a gauge shows what it was asked to show."""

from __future__ import annotations

import math

import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Polygon

from models.spec.errors import RefusalError
from trainer.lesson.damages import read_damages
from trainer.stage.gauge_figure import paint_dial, paint_feelers, paint_micrometer
from trainer.stage.item_figure import DRAWINGS, draw_item_figure
from trainer.stage.look import LOOKS, Look, LookName
from trainer.stage.sketch import Values

SAMPLES: dict[str, Values] = {
    "dial": {"reading_mm": -0.23},
    "micrometer": {"reading_mm": 11.97},
    "feelers": {"leaves": ("0.50", "0.15")},
    "bolts": {"right": ("0", "1", "0", "-1"), "up": ("1", "0", "-1", "0")},
    "branch": {"at": ("-1", "0"), "points": ("0", "1")},
}


def open_axes() -> Axes:
    return Figure().subplots()


def read_lines(axes: Axes) -> list[list[tuple[float, float]]]:
    drawn = [np.asarray(line.get_xydata(), float).tolist() for line in axes.lines]
    return [[(x, y) for x, y in line] for line in drawn]


def read_texts(axes: Axes) -> dict[str, list[tuple[float, float]]]:
    found: dict[str, list[tuple[float, float]]] = {}
    for text in axes.texts:
        x, y = text.get_position()
        found.setdefault(text.get_text(), []).append((float(x), float(y)))
    return found


@pytest.mark.parametrize("line", [-48, -23, -1, 1, 17, 25, 48])
def test_the_needle_of_a_dial_points_to_its_line_on_the_side_of_its_sign(line: int) -> None:
    axes = open_axes()
    paint_dial(axes, {"reading_mm": line / 100.0}, Look())
    needle = [patch for patch in axes.patches if isinstance(patch, Polygon)][-1]
    x, y = max(np.asarray(needle.get_xy()).tolist(), key=lambda point: math.hypot(*point))
    (plus,) = read_texts(axes)["+"]
    assert (x > 0.0) == (line > 0) == ((plus[0] > 0.0) is (line > 0))
    # read off between the numbers beside it, as one does
    tens = [
        (float(number) * (1 if spot[0] > -1e-9 else -1), math.atan2(spot[0], spot[1]))
        for number, spots in read_texts(axes).items()
        if number.isdigit() and number != "50"
        for spot in spots
    ]
    turn = math.atan2(x, y)
    near = sorted(tens, key=lambda one: abs(one[1] - turn))[:2]
    (a, at_a), (b, at_b) = near
    assert a + (b - a) * (turn - at_a) / (at_b - at_a) == pytest.approx(line, abs=0.1)


@pytest.mark.parametrize("hundredths", [31, 346, 400, 449, 450, 451, 1197, 1853, 2480])
def test_a_micrometer_is_read_as_a_fitter_reads_it(hundredths: int) -> None:
    """Whole millimetres above the line, half ones below, hundredths on the thimble. Source: common practice."""
    axes = open_axes()
    paint_micrometer(axes, {"reading_mm": hundredths / 100.0}, Look())
    lines = read_lines(axes)
    upright = [(x, end) for (x, y), (u, end) in lines if x == u and y == 0.0]
    wholes = [x for x, end in upright if end > 0.0]
    halves = [x for x, end in upright if end < 0.0]
    texts = read_texts(axes)
    # the last number that is seen on the sleeve, and lines counted on from it
    sleeve = {x: int(t) for t, spots in texts.items() for x, y in spots if y == 1.6}
    last = max(sleeve)
    whole = sleeve[last] + sum(x > last for x in wholes)
    half = any(x > max(wholes) for x in halves)
    # the thimble: the next numbered line at or below the datum line, and lines counted up from it
    edge = hundredths / 100.0 + 0.04
    thimble = sorted((y, u - x) for (x, y), (u, _) in lines if x == pytest.approx(edge, abs=1e-9))
    numbers = sorted((y, int(t)) for t, spots in texts.items() for _, y in spots if y != 1.6)
    fives = [y for y, long in thimble if long > 1.0]
    first = max(y for y in fives if y <= 1e-9)
    _, number = min(numbers, key=lambda one: abs(one[0] - first))
    counted = number + sum(first < y - 1e-9 and y <= 1e-9 for y, _ in thimble)
    assert round(100 * whole + (50 if half else 0) + counted % 50) == hundredths


def test_feelers_say_their_leaves() -> None:
    axes = open_axes()
    paint_feelers(axes, {"leaves": ("0.80", "0.30", "0.05")}, Look())
    assert read_texts(axes).keys() == {"0.80", "0.30", "0.05"}


@pytest.mark.parametrize("drawing", DRAWINGS)
def test_every_drawing_is_drawn_the_same_again(drawing: str) -> None:
    values = SAMPLES.get(drawing, {"marks": 3.0})
    one, again = (draw_item_figure(drawing, values, ".svg", title="As found") for _ in range(2))
    assert one == again
    assert one.startswith(b"<?xml")


def test_marks_are_strewn_otherwise_and_a_dark_look_is_dark() -> None:
    one, other = (
        draw_item_figure("pitted-vanes", {"marks": marks}, ".svg", title="") for marks in (1.0, 2.0)
    )
    assert one != other
    dark = draw_item_figure("dial", SAMPLES["dial"], ".svg", title="", look=LOOKS[LookName.DARK])
    assert dark != draw_item_figure("dial", SAMPLES["dial"], ".svg", title="")


def test_every_damage_that_is_asked_about_is_drawn() -> None:
    assert read_damages().keys() <= DRAWINGS.keys()


def test_an_unknown_drawing_is_refused_with_a_near_one() -> None:
    with pytest.raises(RefusalError, match="dial"):
        draw_item_figure("dail", {}, ".svg", title="")
