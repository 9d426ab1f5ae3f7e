"""The facets by which two parts meet, painted over the picture: of the one in accent, of the other hatched as in the way."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QPolygonF

from trainer.desktop.picture.tracing import Tracing
from trainer.desktop.theme import PALETTE

if TYPE_CHECKING:
    from trainer.desktop.picture.view import PumpView

Triangles = npt.NDArray[np.float64]
SHADE = 150
NONE: Triangles = np.zeros((0, 3, 3))


class PatchTracing(Tracing):
    """Paint the facets of two pieces where they stand now."""

    def __init__(self) -> None:
        self._patches: list[tuple[str, Triangles, bool]] = []

    def show(self, piece: str, blocker: str, ahead: Triangles, behind: Triangles) -> None:
        """Show by which facets (n, 3, 3) mm a piece meets what is in its way."""
        self._patches = [(blocker, behind, True), (piece, ahead, False)]

    def clear(self) -> None:
        """Show none."""
        self._patches = []

    @property
    def patches(self) -> list[tuple[str, Triangles, bool]]:
        """What is shown: the piece, its facets (n, 3, 3) mm at home, and whether it is in the way."""
        return self._patches

    def paint(self, painter: QPainter, view: PumpView) -> None:
        """Paint them where their pieces have gone."""
        for piece, triangles, is_barring in self._patches:
            if not len(triangles):
                continue
            there = triangles + view.offsets.get(piece, np.zeros(3))
            spots = view.project(there.reshape(-1, 3))
            path = QPainterPath()
            path.setFillRule(Qt.FillRule.WindingFill)
            for first in range(0, len(spots), 3):
                path.addPolygon(QPolygonF([*spots[first : first + 3], spots[first]]))
            colour = QColor(PALETTE.in_the_way if is_barring else PALETTE.accent)
            painter.setPen(QPen(colour, 2.5))
            colour.setAlpha(SHADE)
            how = Qt.BrushStyle.BDiagPattern if is_barring else Qt.BrushStyle.SolidPattern
            painter.setBrush(QBrush(colour, how))
            painter.drawPath(path.simplified())
