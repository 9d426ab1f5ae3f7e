"""A consequence as a small chart: its value in large type, its curve against the clearance, and where the pump is set."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPainterPath, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from trainer.desktop.letters import make_heavy, make_smaller
from trainer.desktop.panes.scale_painting import WRAPPED, measure_wrapped
from trainer.desktop.spoken_values import SpokenValue, tell_change
from trainer.desktop.theme import PALETTE

PAD_PX = 8.0
DOT_PX = 5.0
LEAST_LETTERS = 18
"""With less room than so many letters beside each other, charts stand below each other."""
NAME_SHARE = 0.81
"""Size of the name, in sizes of the value below it."""


class ConsequenceChart(QWidget):
    """Show one consequence; the curve stays while the mark moves."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.name = name
        self.told = ""
        self._curve: tuple[tuple[float, ...], tuple[float, ...]] = ((), ())
        self._band = (0.0, 0.0)
        self._mark = (0.0, 0.0)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_curve(self, x: Sequence[float], y: Sequence[float]) -> None:
        """Show the consequence over a range of the clearance."""
        self._curve = (tuple(x), tuple(y))
        self.update()

    def show_mark(self, x: float, y: float, band: tuple[float, float], told: str) -> None:
        """Show where the pump is set, what is allowed, and the value in words."""
        self._mark, self._band, self.told = (x, y), band, told
        self.setAccessibleName(f"{self.name}: {told}")
        tell_change(self)
        self.updateGeometry()
        self.update()

    def find_value(self) -> SpokenValue | None:
        """Give the value for screen readers, between the ends of its curve."""
        ys = self._curve[1]
        now = self._mark[1]
        if not self.told:
            return None
        return SpokenValue(now, min(*ys, now, 0.0), max(*ys, now, 0.0), 0.0, self.told)

    def take_value(self, value: float) -> None:
        """Take none: it follows from the gap."""

    def sizeHint(self) -> QSize:
        """Take room for a name that wraps, the value, and a curve of three lines."""
        wide = round(LEAST_LETTERS * self.fontMetrics().averageCharWidth())
        return QSize(wide, math.ceil(self._measure_name() + 4.0 * self.fontMetrics().height() + 2 * PAD_PX))  # fmt: skip

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Ask for the height that the new width needs."""
        super().resizeEvent(event)
        if self.sizeHint().height() != self.height():
            self.updateGeometry()

    def _measure_name(self) -> float:
        small = make_smaller(self.font(), NAME_SHARE)
        return max(measure_wrapped(small, self.width() - 2 * PAD_PX, self.name), QFontMetricsF(self.font()).height())  # fmt: skip

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint name and value, and the curve below them."""
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(PALETTE.rule, 1.5))
        painter.setBrush(PALETTE.field)
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 4, 4)
        inner = QRectF(self.rect()).adjusted(PAD_PX, PAD_PX, -PAD_PX, -PAD_PX)
        line = QFontMetricsF(self.font()).height()
        painter.setPen(PALETTE.quiet_ink)
        painter.setFont(make_smaller(self.font(), NAME_SHARE))
        painter.drawText(inner, WRAPPED, self.name)
        high = self._measure_name()
        painter.setPen(PALETTE.ink)
        painter.setFont(make_heavy(self.font()))
        painter.drawText(inner.adjusted(0, high, 0, 0), Qt.AlignmentFlag.AlignLeft, self.told)
        self._paint_curve(painter, inner.adjusted(2, high + 1.35 * line, -2, -2))
        painter.end()

    def _paint_curve(self, painter: QPainter, where: QRectF) -> None:
        xs, ys = self._curve
        if len(xs) < 2:
            return
        low, high = min(*ys, 0.0), max(*ys, 0.0)

        def at(x: float, y: float) -> QPointF:
            across = (min(max(x, xs[0]), xs[-1]) - xs[0]) / (xs[-1] - xs[0])
            up = (min(max(y, low), high) - low) / (high - low or 1.0)
            return QPointF(where.left() + where.width() * across, where.bottom() - where.height() * up)  # fmt: skip

        left, right = at(self._band[0], low), at(self._band[1], low)
        painter.fillRect(
            QRectF(left.x(), where.top(), right.x() - left.x(), where.height()), PALETTE.faint
        )
        painter.setPen(QPen(PALETTE.quiet_ink, 1.2))
        painter.drawLine(at(xs[0], 0.0), at(xs[-1], 0.0))
        path = QPainterPath(at(xs[0], ys[0]))
        for x, y in zip(xs[1:], ys[1:], strict=True):
            path.lineTo(at(x, y))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(PALETTE.accent, 2.2))
        painter.drawPath(path)
        is_inside = self._band[0] <= self._mark[0] <= self._band[1]
        painter.setPen(QPen(PALETTE.field, 1.5))
        painter.setBrush(PALETTE.ink if is_inside else PALETTE.in_the_way)
        painter.drawEllipse(at(*self._mark), DOT_PX, DOT_PX)
