"""Where something stands: the nuts of a joint with their numbers, the discharge branch beside the shaft."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from models.spec.part import Material
from trainer.stage.look import Look
from trainer.stage.sketch import (
    Point,
    Values,
    arc,
    fill,
    fill_round,
    frame,
    read_numbers,
    stroke,
    write,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes

RING, ACROSS = 10.0, 1.7
"""Radius on which nuts are drawn, and half of a nut across its corners, in the drawing's own unit."""


def paint_bolts(axes: Axes, values: Values, look: Look) -> None:
    """Paint the fasteners of a joint where they stand (`right`, `up`), numbered in that order."""
    spots = list(zip(read_numbers(values, "right"), read_numbers(values, "up"), strict=True))
    middle = tuple(sum(one) / len(spots) for one in zip(*spots, strict=True))
    far = max(math.dist(spot, middle) for spot in spots)
    scale = RING / far
    placed = [((x - middle[0]) * scale, (y - middle[1]) * scale) for x, y in spots]
    fill_round(axes, (0.0, 0.0), RING + 3.4, look, look.find_tone(Material.CAST_IRON))
    fill_round(axes, (0.0, 0.0), RING - 3.4, look, look.ground)
    for number, at in enumerate(placed, start=1):
        fill(
            axes, arc(at, ACROSS, 0.0, 300.0, 6), look, look.find_tone(Material.BEARING_STEEL), z=4
        )
        way = math.hypot(*at)
        inside = (at[0] / way * (RING - 5.2), at[1] / way * (RING - 5.2))
        write(axes, inside, str(number), look, size=1.5, bold=True)
    frame(axes, -24.0, -RING - 4.0, 24.0, RING + 4.0)


SPIRAL_FROM, SPIRAL_TO, NECK, NECK_LONG = 6.0, 9.6, 2.6, 13.5


def paint_branch(axes: Axes, values: Values, look: Look) -> None:
    """Paint a casing seen along the shaft whose branch stands `at` and `points`, both (right, up).

    Its wall is drawn the same all round, so that it does not tell which way it widens.
    """
    at, points = read_numbers(values, "at"), read_numbers(values, "points")

    def place(along: float, out: float) -> Point:
        return along * points[0] + out * at[0], along * points[1] + out * at[1]

    iron = look.find_tone(Material.CAST_IRON)
    middle, half = SPIRAL_TO - NECK, NECK
    neck = [place(0.0, middle - half), place(NECK_LONG, middle - half), place(NECK_LONG, middle + half), place(0.0, middle + half)]  # fmt: skip
    fill(axes, neck, look, iron, z=2)
    flange = [place(NECK_LONG, middle - half - 1.3), place(NECK_LONG + 1.3, middle - half - 1.3), place(NECK_LONG + 1.3, middle + half + 1.3), place(NECK_LONG, middle + half + 1.3)]  # fmt: skip
    fill(axes, flange, look, iron, z=3)
    fill_round(axes, (0.0, 0.0), SPIRAL_TO, look, iron, z=4)
    fill_round(axes, (0.0, 0.0), SPIRAL_FROM, look, look.ground, z=5)
    fill_round(axes, (0.0, 0.0), 1.4, look, look.find_tone(Material.ALLOY_STEEL), z=6)
    for way in ((1.0, 0.0), (0.0, 1.0)):
        stroke(
            axes,
            [(-2.6 * way[0], -2.6 * way[1]), (2.6 * way[0], 2.6 * way[1])],
            look,
            wide=0.5,
            z=7,
        )
    frame(axes, -26.0, -15.6, 26.0, 15.6)
