"""A clearance on a scale that can be dragged: the gap itself, and the least and most that are allowed."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from trainer.desktop.panes.proof_link import ProofLink
from trainer.desktop.panes.scale_painting import (
    PAD_PX,
    find_colour,
    paint_band,
    paint_below,
    paint_head,
)
from trainer.desktop.theme import PALETTE
from trainer.words import Words

GAP, LEAST, MOST = "gap", "least", "most"
HANDLES = (LEAST, GAP, MOST)
STEP_MM = 0.01
GRIP_PX = 16.0
"""How near a handle the pointer must be to take hold of it."""


class GapScale(QWidget):
    """Show one clearance between its limits; drag any of the three, or move it by the arrow keys.

    Up and down choose what the arrow keys move, left and right move it by a hundredth of a millimetre.
    """

    moved = Signal()
    proof_asked = Signal(str)

    def __init__(self, words: Words, name: str = "") -> None:
        super().__init__()
        self._words = words
        self.name = name
        self.title = words.say(f"service.gap-{name}") if name else ""
        self._at = dict.fromkeys(HANDLES, 0.0)
        self._ends = (0.0, 1.0)
        self._told = ""
        self._is_inside = True
        self.handle = GAP
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.SizeHorCursor)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setToolTip(words.say("service.scale-tip"))
        if name:
            spoken = words.say("proof.button-spoken", name=self.title)
            self.proof = ProofLink(self, words.say("proof.button"), spoken, lambda: self.proof_asked.emit(name))  # fmt: skip

    @property
    def gap_mm(self) -> float:
        """The clearance as dragged, in mm."""
        return self._at[GAP]

    @property
    def limits_mm(self) -> tuple[float, float]:
        """Least and most allowed as dragged, in mm."""
        return self._at[LEAST], self._at[MOST]

    def show_gap(
        self, gap_mm: float, limits_mm: tuple[float, float], ends_mm: tuple[float, float]
    ) -> None:
        """Show a clearance with its limits on a scale between two ends, without telling that it moved."""
        self._at = {LEAST: limits_mm[0], GAP: gap_mm, MOST: limits_mm[1]}
        self._ends = ends_mm
        self.update()

    def tell(self, text: str, *, is_inside: bool) -> None:
        """Write below the scale what follows at once, and say it to screen readers."""
        self._told, self._is_inside = text, is_inside
        key = "window.gauge-inside" if is_inside else "window.gauge-outside"
        self.setAccessibleName(
            self._words.say(
                key,
                name=self.title,
                value=self._words.millimetres(self.gap_mm),
                limits=text,
            )
        )
        self.update()

    def move_handle(self, handle: str, value_mm: float) -> None:
        """Move a handle as far as the ends and the other handles let it; tell when that is elsewhere."""
        low, high = self._ends
        if handle == LEAST:
            high = self._at[MOST] - STEP_MM
        elif handle == MOST:
            low = self._at[LEAST] + STEP_MM
        value = min(max(round(value_mm / STEP_MM) * STEP_MM, low), high)
        if value != self._at[handle]:
            self._at[handle] = value
            self.update()
            self.moved.emit()

    # ------------------------------------------------------------------ by hand and by keys
    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of the nearest handle, or bring the gap here."""
        x = event.position().x()
        near = min(HANDLES, key=lambda handle: (abs(self._x(handle) - x), handle != GAP))
        self.handle = near if abs(self._x(near) - x) <= GRIP_PX else GAP
        self._drag(x)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag what is held."""
        self._drag(event.position().x())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose a handle or move it."""
        steps = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1, Qt.Key.Key_PageDown: -10, Qt.Key.Key_PageUp: 10}  # fmt: skip
        turns = {Qt.Key.Key_Down: -1, Qt.Key.Key_Up: 1}
        key = Qt.Key(event.key())
        if key in steps:
            self.move_handle(self.handle, self._at[self.handle] + steps[key] * STEP_MM)
        elif key in turns:
            self.handle = HANDLES[(HANDLES.index(self.handle) + turns[key]) % len(HANDLES)]
            self.update()
        else:
            super().keyPressEvent(event)

    def _drag(self, x: float) -> None:
        left, right = self._span()
        share = (x - left) / (right - left)
        self.move_handle(self.handle, self._ends[0] + share * (self._ends[1] - self._ends[0]))

    # ------------------------------------------------------------------ painting
    def sizeHint(self) -> QSize:
        """Take room for the name, the scale and two lines below it."""
        return QSize(240, round(5.1 * self.fontMetrics().height() + 2 * PAD_PX))

    def _span(self) -> tuple[float, float]:
        return PAD_PX + 10.0, self.width() - PAD_PX - 10.0

    def _x(self, handle: str) -> float:
        left, right = self._span()
        share = (self._at[handle] - self._ends[0]) / (self._ends[1] - self._ends[0])
        return left + (right - left) * min(max(share, 0.0), 1.0)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint name and value, the scale with its handles, and what follows."""
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        frame = QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5)
        painter.setBrush(PALETTE.field)
        painter.setPen(QPen(PALETTE.in_the_way if self.hasFocus() else PALETTE.rule, 2.5 if self.hasFocus() else 1.5))  # fmt: skip
        painter.drawRoundedRect(frame, 4, 4)
        line = QFontMetricsF(self.font()).height()
        inner = QRectF(self.rect()).adjusted(PAD_PX + 4, PAD_PX, -PAD_PX - 4, -PAD_PX)
        top = QRectF(inner.left(), inner.top(), inner.width(), 1.25 * line)
        value = self._words.millimetres(self.gap_mm)
        paint_head(painter, self.font(), top, self.title, value, is_inside=self._is_inside)
        self._paint_scale(painter, inner.top() + 2.25 * line)
        below = QRectF(inner.left(), inner.bottom() - 1.75 * line, inner.width(), 1.85 * line)
        paint_below(painter, self.font(), below, self._told, wraps=True)
        painter.end()

    def _paint_scale(self, painter: QPainter, middle: float) -> None:
        left, right = self._span()
        painter.setPen(QPen(PALETTE.rule, 3))
        painter.drawLine(QPointF(left, middle), QPointF(right, middle))
        paint_band(painter, QRectF(self._x(LEAST), middle - 6, self._x(MOST) - self._x(LEAST), 12))
        for handle in (LEAST, MOST):
            x = self._x(handle)
            held = self.hasFocus() and handle == self.handle
            painter.setPen(QPen(PALETTE.in_the_way if held else PALETTE.ink, 5 if held else 4))
            painter.drawLine(QPointF(x, middle - 10), QPointF(x, middle + 10))
        x = self._x(GAP)
        held = self.hasFocus() and self.handle == GAP
        painter.setPen(QPen(PALETTE.in_the_way if held else PALETTE.field, 2.5 if held else 1.5))
        painter.setBrush(find_colour(is_inside=self._is_inside))
        tip = QPointF(x, middle + 6)
        painter.drawPolygon(
            QPolygonF([tip, QPointF(x - 10, middle - 14), QPointF(x + 10, middle - 14)])
        )
