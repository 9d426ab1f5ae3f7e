"""Strokes of the drawings beside questions: metal with an ink outline, lines, letters."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from trainer.stage.diagram import LINE_PX, to_ink
from trainer.stage.look import Colour, Look

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Values = Mapping[str, float | str | tuple[str, ...]]
"""What a drawing shows, as an item's figure says it."""
Point = tuple[float, float]
LETTERS_Z = 6.0
FINE = 0.6
"""Width of a fine line, as a share of the usual one."""


def read_number(values: Values, name: str) -> float:
    """Give a number of a drawing."""
    value = values[name]
    assert isinstance(value, float | int), name
    return float(value)


def read_numbers(values: Values, name: str) -> tuple[float, ...]:
    """Give a list of numbers of a drawing."""
    value = values[name]
    assert isinstance(value, tuple), name
    return tuple(float(one) for one in value)


def fill(
    axes: Axes, points: Sequence[Point], look: Look, tone: Colour, *, outline: float = 1.0, z: float = 2.0
) -> None:  # fmt: skip
    """Fill a shape with a tone and draw its outline; `outline` is its width, 0 for none."""
    from matplotlib.patches import Polygon

    axes.add_patch(
        Polygon(
            list(points), closed=True, facecolor=to_ink(tone), edgecolor=to_ink(look.ink),
            linewidth=LINE_PX * outline, joinstyle="round", zorder=z,
        )
    )  # fmt: skip


def fill_round(
    axes: Axes, middle: Point, radius: float, look: Look, tone: Colour, *, outline: float = 1.0, z: float = 2.0
) -> None:  # fmt: skip
    """Fill a circle."""
    from matplotlib.patches import Circle

    axes.add_patch(
        Circle(
            middle, radius, facecolor=to_ink(tone), edgecolor=to_ink(look.ink),
            linewidth=LINE_PX * outline, zorder=z,
        )
    )  # fmt: skip


def stroke(
    axes: Axes, points: Sequence[Point], look: Look, *, wide: float = 1.0, z: float = 3.0,
    tone: Colour | None = None,
) -> None:  # fmt: skip
    """Draw a line through points."""
    x, y = zip(*points, strict=True)
    colour = to_ink(tone or look.ink)
    axes.plot(x, y, color=colour, linewidth=LINE_PX * wide, linestyle="-", solid_capstyle="round", zorder=z)  # fmt: skip


def write(
    axes: Axes, at: Point, text: str, look: Look, *, size: float = 1.0, bold: bool = False,
    turn_deg: float = 0.0,
) -> None:  # fmt: skip
    """Write letters, of `size` times those of labels."""
    from trainer.stage.diagram import POINTS_PER_PX

    axes.text(
        *at, text, ha="center", va="center_baseline" if not turn_deg else "center", rotation=turn_deg,
        rotation_mode="anchor", fontsize=look.label_px * POINTS_PER_PX * size,
        weight="bold" if bold else "normal", color=to_ink(look.ink), zorder=LETTERS_Z,
    )  # fmt: skip


def arc(middle: Point, radius: float, start_deg: float, end_deg: float, count: int = 60) -> list[Point]:  # fmt: skip
    """List the points of an arc; angles count anticlockwise from the right."""
    angles = np.radians(np.linspace(start_deg, end_deg, count))
    return [(middle[0] + radius * float(np.cos(a)), middle[1] + radius * float(np.sin(a))) for a in angles]  # fmt: skip


def box(left: float, bottom: float, right: float, top: float) -> list[Point]:
    """List the corners of a box."""
    return [(left, bottom), (right, bottom), (right, top), (left, top)]


def frame(axes: Axes, left: float, bottom: float, right: float, top: float) -> None:
    """Say what part of the drawing's plane is seen."""
    axes.set_xlim(left, right)
    axes.set_ylim(bottom, top)
