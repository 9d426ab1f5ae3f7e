"""How far a clearance strays, drawn: four methods and what is required in one diagram, the shares beside it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from trainer.core.measure.spread import Method, Spread
from trainer.stage.diagram import DASHES, LINE_PX, mark_required, to_ink
from trainer.stage.look import Look

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MOST_BARS = 8
ROOM = 1.08
"""Height of the diagram over its highest curve."""
LEAST_SHOWN = 0.005
"""Smaller shares go to the others: as a per cent they would be none."""
BELOW = -0.15
"""Where the legend begins, in heights of the diagram above its foot."""
BEYOND = 0.06
WORST_AT = 0.055
"""How high above the foot the bar of the worst case lies, as a share of the height."""


@dataclass(frozen=True, slots=True)
class SpreadTexts:
    """What is written in a diagram of spread: by method its name, and the axes' titles."""

    methods: Mapping[Method, str]
    required: str
    clearance: str
    how_often: str
    shares: str
    others: str


def paint_spread(
    figure: Figure,
    spreads: Sequence[Spread],
    required_mm: tuple[float, float],
    shares: Mapping[str, float],
    texts: SpreadTexts,
    look: Look | None = None,
) -> None:
    """Paint the methods over what is required, and beside them whose share of the spread is how large.

    Args:
        figure: from `draw_figure`.
        spreads: one or more methods.
        required_mm: least and most allowed.
        shares: of the variance, 0 to 1, by what is written beside the bar; largest need not come first.
        texts: what is written.
        look: colours and sizes.
    """
    look = look or Look()
    left, right = figure.subplots(1, 2, width_ratios=(2.6, 1.0))
    _paint_curves(left, spreads, required_mm, texts, look)
    signs, names = left.get_legend_handles_labels()
    order = [names.index(texts.methods[spread.method]) for spread in spreads]
    left.legend(
        [signs[place] for place in order],
        [names[place] for place in order],
        loc="upper left",
        bbox_to_anchor=(0.0, BELOW),
        borderaxespad=0.0,
        ncols=len(order),
        columnspacing=1.0,
        handlelength=2.3,
        handletextpad=0.5,
    )
    _paint_shares(right, shares, texts, look)


def _paint_curves(
    axes: Axes,
    spreads: Sequence[Spread],
    required_mm: tuple[float, float],
    texts: SpreadTexts,
    look: Look,
) -> None:
    mark_required(axes, *required_mm, texts.required, look)
    ends, highest = list(required_mm), 0.0
    for spread in spreads:
        ends.extend(spread.limits_mm)
        if len(spread.density_per_mm) > 1:
            highest = max(highest, float(spread.density_per_mm.max()))
        _paint_method(axes, spread, texts.methods[spread.method], look)
    room = BEYOND * (max(ends) - min(ends))
    axes.set_xlim(min(ends) - room, max(ends) + room)
    axes.set_ylim(0.0, ROOM * highest if highest else 1.0)
    axes.set_yticks([])
    axes.set_xlabel(texts.clearance)
    axes.set_ylabel(texts.how_often)


def _paint_method(axes: Axes, spread: Spread, name: str, look: Look) -> None:
    """Paint one method by its own sign: a bar with ends, dashes, a whole line, or hatched steps."""
    ink, accent = to_ink(look.ink), to_ink(look.accent)
    if spread.method is Method.WORST_CASE:
        axes.errorbar(
            sum(spread.limits_mm) / 2.0,
            WORST_AT,
            xerr=(spread.limits_mm[1] - spread.limits_mm[0]) / 2.0,
            fmt="none",
            ecolor=ink,
            elinewidth=1.6 * LINE_PX,
            capsize=11.0,
            capthick=1.6 * LINE_PX,
            transform=axes.get_xaxis_transform(),
            label=name,
            zorder=6,
        )
    elif spread.method is Method.MONTE_CARLO:
        width = spread.values_mm[1] - spread.values_mm[0]
        edges = np.append(spread.values_mm - width / 2.0, spread.values_mm[-1] + width / 2.0)
        axes.stairs(
            spread.density_per_mm,
            edges,
            fill=True,
            facecolor=(*to_ink(look.faint_ink), 0.28),
            edgecolor=to_ink(look.faint_ink),
            hatch="////",
            label=name,
            zorder=1,
        )
    elif len(spread.values_mm) > 1:
        is_exact = spread.method is Method.EXACT
        axes.plot(
            spread.values_mm,
            spread.density_per_mm,
            color=accent if is_exact else to_ink(look.in_the_way),
            linestyle=DASHES[0] if is_exact else DASHES[1],
            linewidth=(1.7 if is_exact else 1.2) * LINE_PX,
            label=name,
            zorder=3 if is_exact else 5,
        )


def _paint_shares(axes: Axes, shares: Mapping[str, float], texts: SpreadTexts, look: Look) -> None:
    """Paint the largest shares as bars, each with its name above it and its per cent at its end."""
    largest = sorted(shares.items(), key=lambda item: -item[1])
    shown = [item for item in largest if item[1] >= LEAST_SHOWN]
    if len(shown) > MOST_BARS:
        shown = shown[: MOST_BARS - 1]
    rest = 1.0 - sum(share for _, share in shown)
    if shown and rest >= LEAST_SHOWN:
        shown.append((texts.others, rest))
    most = max((share for _, share in shown), default=1.0)
    for row, (name, share) in enumerate(shown):
        at = -float(row)
        axes.barh(at - 0.16, share, height=0.3, color=to_ink(look.accent))
        axes.text(0.0, at + 0.05, name, va="bottom", ha="left", size="small")
        axes.text(
            share + 0.02 * most, at - 0.16, f"{100.0 * share:.0f} %", va="center", weight="bold"
        )
    axes.set_xlim(0.0, 1.25 * most)
    axes.set_ylim(-MOST_BARS + 0.4, 0.7)
    axes.set_xticks([])
    axes.set_yticks([])
    for side in ("left", "bottom"):
        axes.spines[side].set_visible(False)
    axes.set_title(texts.shares, loc="left", weight="bold", size="medium")
