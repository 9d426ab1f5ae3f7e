"""Gauges with what they show: a dial, a micrometer and feelers, with the divisions that such gauges have.

Dial: a line a hundredth, a turn a millimetre, numbered both ways from zero. Micrometer: a line on the sleeve
each half millimetre, half ones below the datum line, fifty lines on the thimble. Source: common practice.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from models.spec.part import Material
from trainer.stage.look import Look
from trainer.stage.sketch import (
    FINE,
    Point,
    Values,
    arc,
    box,
    fill,
    fill_round,
    frame,
    read_number,
    read_numbers,
    stroke,
    write,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes

LINES, TENS, FIVES = 100, 10, 5
"""Of a dial: lines a turn; each tenth is numbered, each fifth longer."""
LINE_MM = 0.01
THIMBLE_LINES, TURN_MM = 50, 0.5


# ------------------------------------------------------------------ dial
def paint_dial(axes: Axes, values: Values, look: Look) -> None:
    """Paint a dial that is numbered both ways from zero, its needle at `reading_mm`, plus to the right."""
    reading = read_number(values, "reading_mm")
    metal, paper = look.find_tone(Material.ALLOY_STEEL), look.ground
    fill(axes, box(-0.9, -16.5, 0.9, -10.0), look, metal)
    fill(axes, box(-0.45, -19.0, 0.45, -16.5), look, look.find_tone(Material.BEARING_STEEL))
    fill_round(axes, (0.0, 0.0), 11.3, look, metal, outline=1.4)
    fill_round(axes, (0.0, 0.0), 10.2, look, paper)
    for line in range(LINES):
        length = 1.5 if line % TENS == 0 else 1.1 if line % FIVES == 0 else 0.7
        wide = 1.1 if line % TENS == 0 else FINE
        stroke(axes, [_on_dial(line, 9.9 - length), _on_dial(line, 9.9)], look, wide=wide)
    for line in range(0, LINES, TENS):
        number = min(line, LINES - line)
        write(axes, _on_dial(line, 7.3), str(number), look, size=1.15)
    write(axes, (2.9, 4.3), "+", look, size=1.5, bold=True)
    write(axes, (-2.9, 4.3), "\N{MINUS SIGN}", look, size=1.5, bold=True)
    write(axes, (0.0, -3.6), f"{LINE_MM:.2f} mm", look, size=0.95)
    needle = reading / LINE_MM
    tip, tail = _on_dial(needle, 9.0), _on_dial(needle, -2.2)
    side = [_on_dial(needle + turn, 0.32) for turn in (LINES / 4, -LINES / 4)]
    fill(axes, [tip, side[0], tail, side[1]], look, look.ink, outline=FINE, z=7)
    fill_round(axes, (0.0, 0.0), 0.75, look, look.ink, z=8)
    frame(axes, -26.0, -19.4, 26.0, 12.0)


def _on_dial(line: float, radius: float) -> Point:
    angle = math.tau * line / LINES
    return radius * math.sin(angle), radius * math.cos(angle)


# ------------------------------------------------------------------ micrometer
SLEEVE, THIMBLE, RIM = 2.3, 3.1, 2.6
"""Half heights of sleeve and thimble, and of the thimble's bevelled edge, in the drawing's own unit of a millimetre."""
SEEN_LINES = 22
"""Lines of the thimble that one sees of its round."""


def paint_micrometer(axes: Axes, values: Values, look: Look) -> None:
    """Paint sleeve and thimble of a micrometer from 0 to 25 mm, at `reading_mm`."""
    reading = read_number(values, "reading_mm")
    metal, bright = look.find_tone(Material.ALLOY_STEEL), look.find_tone(Material.BEARING_STEEL)
    # only the end of the sleeve is drawn, large: what is left of it runs on to the frame
    start = max(0.0, math.floor(reading) - 8.0)
    left = start - 1.2
    fill(axes, box(left, -SLEEVE, reading + 1.0, SLEEVE), look, bright)
    stroke(axes, [(left, 0.0), (reading, 0.0)], look, wide=0.9)
    half = math.ceil(start / TURN_MM)
    while half * TURN_MM <= reading + 1e-9:
        at = half * TURN_MM
        whole = half % 2 == 0
        long = 1.05 if half % 10 == 0 else 0.75
        stroke(axes, [(at, 0.0), (at, long if whole else -0.75)], look, wide=0.9)
        if half % 10 == 0:
            write(axes, (at, 1.6), str(half // 2), look, size=1.15)
        half += 1
    _paint_thimble(axes, reading, look)
    if start == 0.0:
        fill(axes, box(left - 1.6, -1.3, left, 1.3), look, metal)
    frame(axes, left - 2.2, -5.0, left + 19.0, 5.0)


def _paint_thimble(axes: Axes, reading: float, look: Look) -> None:
    edge = reading
    metal = look.find_tone(Material.ALLOY_STEEL)
    fill(axes, [(edge, -RIM), (edge, RIM), (edge + 2.4, THIMBLE), (edge + 2.4, -THIMBLE)], look, metal, z=4)  # fmt: skip
    fill(axes, box(edge + 2.4, -THIMBLE, edge + 7.0, THIMBLE), look, metal, z=4)
    for at in range(8):
        y = -THIMBLE + 0.35 + at * (2 * THIMBLE - 0.7) / 7
        stroke(axes, [(edge + 4.2, y), (edge + 6.8, y)], look, wide=FINE, z=5)
    here = (reading % TURN_MM) / LINE_MM
    for step in range(-SEEN_LINES // 2, SEEN_LINES // 2 + 1):
        line = math.floor(here + 0.5) + step
        angle = math.tau * (line - here) / THIMBLE_LINES
        # the thimble turns past the datum line: larger numbers stand above, and come down to it
        y = RIM * math.sin(angle) / math.sin(math.tau * (SEEN_LINES / 2 + 1) / THIMBLE_LINES)
        number = line % THIMBLE_LINES
        long = 1.05 if number % 5 == 0 else 0.6
        slope = THIMBLE / RIM
        ends = [(edge + 0.04, y), (edge + long, y * (1.0 + (slope - 1.0) * long / 2.4))]
        stroke(axes, ends, look, wide=0.8, z=5)
        if number % 5 == 0 and abs(y) < 0.92 * RIM:
            write(axes, (edge + 1.75, ends[1][1]), str(number), look, size=0.85)


# ------------------------------------------------------------------ feelers
LEAF_LONG, LEAF_HIGH, FAN_DEG = 15.0, 2.0, 19.0


def paint_feelers(axes: Axes, values: Values, look: Look) -> None:
    """Paint the `leaves` that go into a gap together, fanned out of their holder, each with its thickness in mm."""
    leaves = read_numbers(values, "leaves")
    bright = look.find_tone(Material.BEARING_STEEL)
    first = -FAN_DEG * (len(leaves) - 1) / 2
    for at, leaf in enumerate(leaves):
        angle = math.radians(first + FAN_DEG * at)
        along, up = (math.cos(angle), math.sin(angle)), (-math.sin(angle), math.cos(angle))

        def place(x: float, y: float, along: Point = along, up: Point = up) -> Point:
            return x * along[0] + y * up[0], x * along[1] + y * up[1]

        half = LEAF_HIGH / 2
        tip = [place(x, y) for x, y in arc((LEAF_LONG - half, 0.0), half, -90.0, 90.0, 20)]
        fill(axes, [place(0.0, half), place(0.0, -half), *tip], look, bright, z=2 + 0.1 * at)
        write(axes, place(0.66 * LEAF_LONG, 0.0), f"{leaf:.2f}", look, size=1.3, bold=True, turn_deg=math.degrees(angle))  # fmt: skip
    holder = [*arc((0.0, 0.0), 2.0, -90.0, 90.0), *arc((-9.0, 0.0), 2.0, 90.0, 270.0)]
    fill(axes, holder, look, look.find_tone(Material.CARBON_STEEL), z=5)
    fill_round(axes, (0.0, 0.0), 0.75, look, bright, z=6)
    frame(axes, -14.0, -8.5, 18.0, 8.5)
