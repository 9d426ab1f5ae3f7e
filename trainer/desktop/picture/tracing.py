"""What is laid over the picture as on tracing paper: it is painted above the pump and may be taken hold of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

if TYPE_CHECKING:
    from trainer.desktop.picture.view import PumpView


class Tracing:
    """One sheet over the picture. A sheet that is only looked at overrides `paint` alone.

    Positions are pixels of the view, from the upper left corner.
    is_above_names: whether it is painted over the names at lit parts; all others lie under these.
    """

    is_above_names = False

    is_handle = False
    """Is it only there to be taken hold of? Then a saved picture does without it."""

    def paint(self, painter: QPainter, view: PumpView) -> None:
        """Paint it as the view stands; called at every paint, so it must be quick."""

    def find_taken(self, view: PumpView) -> list[QRectF]:
        """Find what of the picture it takes up, so that no name is written there."""
        del view
        return []

    def find_cursor(self, at: QPointF, view: PumpView) -> Qt.CursorShape | None:
        """Tell the cursor over a spot that can be taken hold of; None where there is nothing to hold."""
        del at, view
        return None

    def take_hold(self, at: QPointF, view: PumpView) -> bool:
        """Take hold at a spot where the left button goes down; False leaves the press to what lies below."""
        del at, view
        return False

    def drag(self, at: QPointF, view: PumpView) -> None:
        """Follow the pointer while held."""

    def let_go(self, at: QPointF, view: PumpView) -> None:
        """Let go where the button comes up."""
