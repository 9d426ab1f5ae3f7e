"""A clearance on a scale that can be dragged: the gap itself, and the least and most that are allowed."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from trainer.desktop.panes.proof_link import ProofLink
from trainer.desktop.panes.scale_painting import (
    PAD_PX,
    ask_for_height,
    find_colour,
    find_growth,
    find_inner,
    measure_below,
    measure_head,
    paint_band,
    paint_below,
    paint_head,
)
from trainer.desktop.spoken_values import SpokenValue, tell_change
from trainer.desktop.theme import PALETTE
from trainer.words import Words

GAP, LEAST, MOST = "gap", "least", "most"
HANDLES = (LEAST, GAP, MOST)
STEP_MM = 0.01
SCALE_LINES, BELOW_LINES = 2.1, 1.75
"""How high the scale is, and what is below it at least, in lines."""
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
        self.proof: ProofLink | None = None
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
        tell_change(self)
        self.updateGeometry()
        self.update()

    def find_value(self) -> SpokenValue:
        """Give the value of the handle that the keyboard moves, for screen readers."""
        words, value_mm = self._words, self._at[self.handle]
        now, least, most, step = (words.count_units(mm) for mm in (value_mm, *self._ends, STEP_MM))
        held = words.say(f"numbers.handle-{self.handle}", value=words.millimetres(value_mm))
        return SpokenValue(now, least, most, step, held)

    def take_value(self, value: float) -> None:
        """Move the handle that the keyboard moves."""
        self.move_handle(self.handle, value / self._words.count_units(1.0))

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
        self.handle = near if abs(self._x(near) - x) <= GRIP_PX * find_growth(self.font()) else GAP
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
            tell_change(self)
            self.update()
        else:
            super().keyPressEvent(event)

    def _drag(self, x: float) -> None:
        left, right = self._span()
        share = (x - left) / (right - left)
        self.move_handle(self.handle, self._ends[0] + share * (self._ends[1] - self._ends[0]))

    # ------------------------------------------------------------------ painting
    def sizeHint(self) -> QSize:
        """Take room for name and value, the scale, and what follows below it, however often their lines must wrap."""
        line = self.fontMetrics().height()
        below = max(self._measure_below(), BELOW_LINES * line)  # so that nothing jumps as it moves
        return QSize(240, math.ceil(self._measure_head() + SCALE_LINES * line + below + 2 * PAD_PX))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Ask for the height that the new width needs."""
        super().resizeEvent(event)
        ask_for_height(self)

    def _measure_head(self) -> float:
        value = self._words.millimetres(self.gap_mm)
        return measure_head(self.font(), find_inner(self).width(), self.title, value)

    def _measure_below(self) -> float:
        return measure_below(
            self.font(), find_inner(self).width() - self._find_link_px(), self._told
        )

    def _find_link_px(self) -> float:
        return float(self.proof.width()) if self.proof is not None else 0.0

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
        inner = find_inner(self)
        top = QRectF(inner.left(), inner.top(), inner.width(), self._measure_head())
        value = self._words.millimetres(self.gap_mm)
        paint_head(painter, self.font(), top, self.title, value, is_inside=self._is_inside)
        self._paint_scale(painter, top.bottom() + line)
        below = inner.adjusted(0, top.height() + SCALE_LINES * line, -self._find_link_px(), 0)
        paint_below(painter, self.font(), below, self._told)
        painter.end()

    def _paint_scale(self, painter: QPainter, middle: float) -> None:
        (left, right), k = self._span(), find_growth(self.font())
        painter.setPen(QPen(PALETTE.rule, 3))
        painter.drawLine(QPointF(left, middle), QPointF(right, middle))
        paint_band(
            painter, QRectF(self._x(LEAST), middle - 6 * k, self._x(MOST) - self._x(LEAST), 12 * k)
        )
        for handle in (LEAST, MOST):
            x = self._x(handle)
            held = self.hasFocus() and handle == self.handle
            painter.setPen(QPen(PALETTE.in_the_way if held else PALETTE.ink, 5 if held else 4))
            painter.drawLine(QPointF(x, middle - 10 * k), QPointF(x, middle + 10 * k))
        x = self._x(GAP)
        held = self.hasFocus() and self.handle == GAP
        painter.setPen(QPen(PALETTE.in_the_way if held else PALETTE.field, 2.5 if held else 1.5))
        painter.setBrush(find_colour(is_inside=self._is_inside))
        tip = QPointF(x, middle + 6 * k)
        painter.drawPolygon(
            QPolygonF(
                [tip, QPointF(x - 10 * k, middle - 14 * k), QPointF(x + 10 * k, middle - 14 * k)]
            )
        )
