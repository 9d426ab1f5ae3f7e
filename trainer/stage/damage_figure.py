"""Damaged parts as a fitter would sketch them, a few strokes of ink each; `marks` says how their marks are strewn."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING

from models.spec.part import Material
from trainer.stage.look import Colour, Look, mix
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
    stroke,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WIDE, HIGH = 18.0, 8.0
"""Half of what is seen of a drawing's plane, in its own unit."""


def _strew(values: Values) -> random.Random:
    return random.Random(int(read_number(values, "marks")))


def _darker(tone: Colour, look: Look, share: float) -> Colour:
    return mix(tone, look.ink, share)


def _squash(points: list[Point], share: float = 0.42) -> list[Point]:
    """Look at a circle from the side."""
    return [(x, y * share) for x, y in points]


def paint_ring(axes: Axes, values: Values, look: Look) -> None:
    """Paint a wear ring, looked into from the front: scores run round its bore."""
    chance, bronze = _strew(values), look.find_tone(Material.BRONZE)
    outer, bore, long = 12.0, 9.6, 4.2
    rim = _squash(arc((0.0, 0.0), outer, 0.0, 360.0, 120))
    low = [(x, y - long) for x, y in _squash(arc((0.0, 0.0), outer, 180.0, 360.0, 80))]
    fill(axes, [*low, (outer, 0.0), *_squash(arc((0.0, 0.0), outer, 0.0, 180.0, 80)), (-outer, 0.0)], look, bronze)  # fmt: skip
    fill(axes, rim, look, mix(bronze, look.ground, 0.65), z=3)
    inside = _squash(arc((0.0, 0.0), bore, 0.0, 360.0, 120))
    fill(axes, inside, look, _darker(bronze, look, 0.12), z=4)
    floor = [(x, y - long) for x, y in _squash(arc((0.0, 0.0), bore, 0.0, 180.0, 80))]
    hole = _clip_below(floor, bore)
    # between the two points where the far edge dips behind the near one
    right, left = hole[0][0], hole[-1][0]
    near = _squash(arc((0.0, 0.0), bore, 180.0, 360.0, 80))
    hole += [(x, y) for x, y in near if left <= x <= right]
    fill(axes, hole, look, look.ground, z=5)
    for _ in range(16):
        down = chance.uniform(0.35, long - 0.2)
        start = chance.uniform(20.0, 110.0)
        run = [(x, y - down) for x, y in _squash(arc((0.0, 0.0), bore, start, start + chance.uniform(25.0, 60.0)))]  # fmt: skip
        kept = [(x, y) for x, y in run if abs(x) < bore and y > -0.42 * math.sqrt(bore**2 - x**2)]
        if len(kept) > 2:
            stroke(axes, kept, look, wide=chance.choice((FINE, 0.9, 1.5)), z=4.5)
    frame(axes, -WIDE, -HIGH - 2.0, WIDE, HIGH - 1.0)


def _clip_below(points: list[Point], bore: float) -> list[Point]:
    """Keep what of the far edge is seen through the near opening."""
    return [(x, y) for x, y in points if y > -0.42 * math.sqrt(max(bore**2 - x**2, 0.0))]


def _paint_shaft(axes: Axes, look: Look) -> float:
    """Paint a length of shaft; give half its height."""
    steel, half = look.find_tone(Material.ALLOY_STEEL), 5.0
    left, right = -WIDE + 2.0, WIDE - 2.0
    fill(axes, box(left, -half, right, half), look, steel)
    fill(axes, box(left, 0.55 * half, right, 0.85 * half), look, mix(steel, look.ground, 0.35), outline=0.0, z=2.2)  # fmt: skip
    return half


def paint_lip_track(axes: Axes, values: Values, look: Look) -> None:
    """Paint a shaft with a bright groove worn round it, where a lip ran."""
    chance, half = _strew(values), _paint_shaft(axes, look)
    at, wide, deep = chance.uniform(-4.0, 4.0), 1.1, 0.45
    bright, ground = look.find_tone(Material.BEARING_STEEL), look.ground
    fill(axes, box(at - wide, -half + deep, at + wide, half - deep), look, bright, outline=0.0, z=3)
    for side in (1.0, -1.0):
        bite = [(at - wide, side * half), (at - 0.5 * wide, side * (half - deep)), (at + 0.5 * wide, side * (half - deep)), (at + wide, side * half)]  # fmt: skip
        fill(axes, [*bite, (at + wide, side * (half + 0.5)), (at - wide, side * (half + 0.5))], look, ground, outline=0.0, z=4)  # fmt: skip
        stroke(axes, bite, look, wide=1.2, z=5)
    for x in (at - wide, at + wide):
        stroke(axes, [(x, -half), (x, half)], look, wide=1.1, z=5)
    for _ in range(7):
        x = at + chance.uniform(-0.8, 0.8) * wide
        stroke(axes, [(x, -half + deep), (x, half - deep)], look, wide=0.35, z=4.5)
    frame(axes, -WIDE, -HIGH, WIDE, HIGH)


def paint_heat_checks(axes: Axes, values: Values, look: Look) -> None:
    """Paint a seal face from the front: short cracks run across its lapped band, all about radially."""
    chance = _strew(values)
    face = look.find_tone(Material.BEARING_STEEL)
    fill_round(axes, (0.0, 0.0), 9.2, look, look.find_tone(Material.ALLOY_STEEL))
    fill_round(axes, (0.0, 0.0), 8.2, look, face, z=3)
    fill_round(axes, (0.0, 0.0), 5.4, look, look.find_tone(Material.ALLOY_STEEL), z=4)
    fill_round(axes, (0.0, 0.0), 4.5, look, look.ground, z=5)
    for number in range(40):
        angle = math.tau * (number + chance.uniform(-0.4, 0.4)) / 40
        start = chance.uniform(5.6, 6.6)
        end, bend = min(start + chance.uniform(0.7, 1.8), 8.1), chance.uniform(-0.05, 0.05)
        crack = [
            (radius * math.cos(angle + turn), radius * math.sin(angle + turn))
            for radius, turn in ((start, 0.0), ((start + end) / 2, bend), (end, chance.uniform(-0.02, 0.02)))
        ]  # fmt: skip
        stroke(axes, crack, look, wide=0.8, z=6)
    frame(axes, -WIDE - 2.0, -9.6, WIDE + 2.0, 9.6)


def paint_stand_still_marks(axes: Axes, values: Values, look: Look) -> None:
    """Paint the inner ring of a bearing: dull hollows across its track, as far apart as the balls."""
    chance = _strew(values)
    steel, half, wide = look.find_tone(Material.BEARING_STEEL), 6.5, 13.0
    fill(axes, box(-wide, -half, wide, half), look, steel)
    track = 2.6
    fill(axes, box(-wide, -track, wide, track), look, mix(steel, look.ground, 0.5), outline=0.7, z=3)  # fmt: skip
    shift = chance.uniform(-0.5, 0.5)
    for number in range(-2, 3):
        # marks draw together towards the sides, where the ring curves away
        angle = math.radians(33.0) * (number + shift)
        x, squeeze = wide * math.sin(angle), math.cos(angle)
        if abs(x) > wide - 1.0:
            continue
        hollow = [(x + px * 1.15 * squeeze, py * 2.2) for px, py in arc((0.0, 0.0), 1.0, 0.0, 360.0)]  # fmt: skip
        fill(axes, hollow, look, _darker(steel, look, 0.45), outline=0.8, z=4)
        for step in range(-2, 3):
            stroke(axes, [(x - 0.6 * squeeze, 0.7 * step), (x + 0.6 * squeeze, 0.7 * step + 0.35)], look, wide=0.5, z=5)  # fmt: skip
    frame(axes, -WIDE, -HIGH, WIDE, HIGH)


def paint_fretting(axes: Axes, values: Values, look: Look) -> None:
    """Paint a shaft's seat with patches of fretted, rusty steel between two bright bands."""
    chance, half = _strew(values), _paint_shaft(axes, look)
    rust = mix(look.in_the_way, look.ink, 0.55)
    left, right = -6.5, 6.5
    for x in (left, right):
        stroke(axes, [(x, -half), (x, half)], look, wide=0.9, z=4)
    for _ in range(26):
        middle = (chance.uniform(left + 1.2, right - 1.2), chance.uniform(-half + 0.8, half - 0.8))
        size = chance.uniform(0.35, 1.1)
        blot = [
            (middle[0] + size * chance.uniform(0.6, 1.3) * math.cos(a), middle[1] + 0.6 * size * chance.uniform(0.6, 1.3) * math.sin(a))
            for a in (math.tau * n / 11 for n in range(11))
        ]  # fmt: skip
        fill(axes, blot, look, rust, outline=0.4, z=4.5)
    frame(axes, -WIDE, -HIGH, WIDE, HIGH)


def paint_pits(axes: Axes, values: Values, look: Look) -> None:
    """Paint two vanes of an impeller at the eye: pits eaten into their low-pressure side, close together."""
    chance = _strew(values)
    iron = look.find_tone(Material.CAST_IRON)
    fill(axes, box(-14.0, -7.2, 14.0, 7.2), look, mix(iron, look.ground, 0.55))
    for up in (-3.6, 3.4):
        curve = [(-11.0 + 0.9 * n, up + 2.6 * math.sin(0.11 * n) - 1.2) for n in range(26)]
        vane = [*curve, *[(x, y - 1.5) for x, y in reversed(curve)]]
        fill(axes, vane, look, iron, z=3)
        for _ in range(34):
            along = min(int(chance.triangular(0, 15, 3)), 25)
            x, y = curve[along]
            at = (x + chance.uniform(-0.4, 0.4), y - chance.uniform(0.15, 1.1))
            fill_round(axes, at, chance.uniform(0.12, 0.34), look, look.ink, outline=0.3, z=4)
    frame(axes, -WIDE, -HIGH, WIDE, HIGH)


def paint_flat_ring(axes: Axes, values: Values, look: Look) -> None:
    """Paint the section of an O-ring pressed flat on two sides, beside the round one that it was (broken line)."""
    chance, rubber = _strew(values), look.find_tone(Material.NITRILE)
    half, radius = 3.1 + chance.uniform(-0.2, 0.2), 5.0
    section = [(1.16 * x, max(-half, min(half, y))) for x, y in arc((0.0, 0.0), radius, 0.0, 360.0, 200)]  # fmt: skip
    fill(axes, section, look, rubber)
    for number in range(0, 36, 2):
        stroke(axes, arc((0.0, 0.0), radius, 10.0 * number, 10.0 * number + 10.0, 8), look, wide=0.8, z=4, tone=look.accent)  # fmt: skip
    frame(axes, -WIDE, -HIGH, WIDE, HIGH)


DAMAGES: Mapping[str, Callable[[Axes, Values, Look], None]] = MappingProxyType(
    {
        "ring-scored": paint_ring,
        "lip-track": paint_lip_track,
        "heat-checked": paint_heat_checks,
        "stand-still-marks": paint_stand_still_marks,
        "seat-fretted": paint_fretting,
        "pitted-vanes": paint_pits,
        "ring-flattened": paint_flat_ring,
    }
)
"""By the damages' names."""
