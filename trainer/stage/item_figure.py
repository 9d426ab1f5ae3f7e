"""Draw what stands beside a question: a gauge with its reading, a damaged part, a ring of nuts, the outline of a casing."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING

from models.spec.errors import RefusalError, say_near
from trainer.stage.damage_figure import DAMAGES
from trainer.stage.diagram import draw_figure
from trainer.stage.gauge_figure import paint_dial, paint_feelers, paint_micrometer
from trainer.stage.look import Look
from trainer.stage.sketch import Values
from trainer.stage.spot_figure import paint_bolts, paint_branch

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Paint = Callable[["Axes", Values, Look], None]

DRAWINGS: Mapping[str, Paint] = MappingProxyType(
    {
        "dial": paint_dial,
        "micrometer": paint_micrometer,
        "feelers": paint_feelers,
        "bolts": paint_bolts,
        "branch": paint_branch,
        **DAMAGES,
    }
)
"""Every drawing by the name that an item's figure gives it."""


def draw_item_figure(
    drawing: str, values: Values, form: str, *, title: str, caption: str = "", look: Look | None = None
) -> bytes:  # fmt: skip
    """Draw the figure of an item and give it as the bytes of a file.

    Args:
        drawing: one of DRAWINGS, as `Figure.drawing` says.
        values: what it shows, as `Figure.values` says.
        form: ".png", ".svg" or ".pdf".
        title: over a rule at the top.
        caption: below.
        look: colours and sizes.

    Raises:
        RefusalError: no such drawing, or form.
    """
    if drawing not in DRAWINGS:
        raise RefusalError(f"nothing draws {drawing!r}; {say_near(drawing, DRAWINGS)}")
    drawn = look or Look()

    def paint(figure: Figure) -> None:
        axes = figure.subplots()
        axes.set_aspect("equal")
        axes.set_axis_off()
        DRAWINGS[drawing](axes, values, drawn)

    return draw_figure(paint, form, title=title, caption=caption, look=drawn)
