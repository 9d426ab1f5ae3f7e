"""Diagrams of what a clearance does in service: a consequence against the clearance, one panel each, side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from trainer.stage.diagram import DASHES, mark_required, to_ink, write_figure
from trainer.stage.look import Look

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MARK_PT = 11.0
HEADROOM = 0.14
"""Room above and below what is drawn, as a share of it."""


@dataclass(frozen=True, slots=True)
class PlotLine:
    """One line: its name, written at its end, and its points."""

    name: str
    x: tuple[float, ...]
    y: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Panel:
    """One consequence against a clearance.

    band: least and most allowed, with its name. mark: where the pump is set, with what is written beside it.
    """

    x_label: str
    y_label: str
    lines: tuple[PlotLine, ...]
    band: tuple[float, float]
    band_name: str
    mark: tuple[float, float]
    mark_name: str


def draw_service(file: Path, title: str, caption: str, panels: Sequence[Panel]) -> None:
    """Draw the panels side by side into a file, in the form that its name ends with.

    Raises:
        RefusalError: the name ends otherwise. SurroundingsError: it could not be written.
    """

    def paint(figure: Figure) -> None:
        for axes, panel in zip(
            figure.subplots(1, len(panels), squeeze=False)[0], panels, strict=True
        ):
            _paint_panel(axes, panel, Look())

    write_figure(file, paint, title, caption)


def _paint_panel(axes: Axes, panel: Panel, look: Look) -> None:
    box = {"facecolor": to_ink(look.ground), "edgecolor": "none", "pad": 2.0}
    for line, dash in zip(panel.lines, DASHES, strict=False):
        (drawn,) = axes.plot(line.x, line.y, linestyle=dash, zorder=5)
        axes.annotate(
            line.name,
            (line.x[-1], line.y[-1]),
            (-4.0, 9.0),
            textcoords="offset points",
            ha="right",
            va="bottom",
            color=drawn.get_color(),
            zorder=6,
            bbox=box,
        )
    mark_required(axes, *panel.band, panel.band_name, look)
    x, y = panel.mark
    axes.plot([x], [y], marker="o", markersize=MARK_PT, color=to_ink(look.ink), zorder=7)
    first = panel.lines[0].y
    falls = (
        first[-1] < first[0]
    )  # beside a falling line there is room above it, beside a rising one below
    axes.annotate(
        panel.mark_name,
        (x, y),
        (14.0, 12.0 if falls else -12.0),
        textcoords="offset points",
        va="bottom" if falls else "top",
        weight="bold",
        zorder=8,
        bbox=box,
    )
    values = [value for line in panel.lines for value in line.y]
    low, high = min(*values, 0.0), max(values)
    room = HEADROOM * (high - low)
    axes.set_ylim(low - (room if low < 0.0 else 0.0), high + room)
    if low < 0.0:
        axes.axhline(0.0, color=to_ink(look.ink), linewidth=1.0, zorder=3)
    axes.set_xlabel(panel.x_label)
    axes.set_ylabel(panel.y_label)
    axes.yaxis.set_major_formatter(lambda value, _place: f"{value:,.4g}" if abs(value) < 1e4 else f"{value:,.0f}")  # fmt: skip
