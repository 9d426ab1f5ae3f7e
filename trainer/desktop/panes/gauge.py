"""A clearance as a scale: where it stands, what is allowed, where the aim is. Chosen, it is looked at closely."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QAbstractButton, QSizePolicy

from trainer.core.measure.chain import MeasuredClearance
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
from trainer.words.telling import tell_clearance

BEYOND = 0.45
"""How far the scale reaches beyond what is allowed, in widths of the allowed band."""


class Gauge(QAbstractButton):
    """Show one clearance; press it to see it measured, or its link for what stands behind it."""

    proof_asked = Signal(str)

    def __init__(self, words: Words, name: str) -> None:
        super().__init__()
        self._words = words
        self.name = name
        self._shown: MeasuredClearance | None = None
        self.setCheckable(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        told = tell_clearance(words, name)
        spoken = words.say("proof.button-spoken", name=told)
        self.proof = ProofLink(self, words.say("proof.button"), spoken, lambda: self.proof_asked.emit(name))  # fmt: skip

    def show_clearance(self, clearance: MeasuredClearance) -> None:
        """Show a clearance's value and limits, in words for screen readers too."""
        self._shown = clearance
        words = self._words
        key = "window.gauge-inside" if clearance.is_inside else "window.gauge-outside"
        self.setAccessibleName(
            words.say(
                key,
                name=tell_clearance(words, self.name),
                value=self.value_text,
                limits=self._limits_text(),
            )
        )
        self.setToolTip(words.say("window.gauge-tip"))
        self.update()

    @property
    def value_text(self) -> str:
        """The value with its unit."""
        assert self._shown is not None
        return self._words.millimetres(self._shown.in_service_mm)

    @property
    def told(self) -> str:
        """The name and the value."""
        name = tell_clearance(self._words, self.name)
        return self._words.say("window.gauge-told", name=name, value=self.value_text)

    def _limits_text(self) -> str:
        assert self._shown is not None
        low, high = self._shown.required_mm
        return self._words.say(
            "window.gauge-limits",
            low=self._words.length(low),
            high=self._words.length(high),
            aim=self._words.length(self._shown.aim_mm),
            unit=self._words.unit,
        )

    def sizeHint(self) -> QSize:
        """Take room for two lines and a scale between them."""
        return QSize(240, round(3.95 * self.fontMetrics().height() + 2 * PAD_PX))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint name and value, the scale with its band, and the limits in words."""
        del event
        if self._shown is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_frame(painter)
        line = QFontMetricsF(self.font()).height()
        inner = QRectF(self.rect()).adjusted(PAD_PX + 4, PAD_PX, -PAD_PX - 4, -PAD_PX)
        top = QRectF(inner.left(), inner.top(), inner.width(), 1.25 * line)
        name, is_inside = tell_clearance(self._words, self.name), self._shown.is_inside
        paint_head(painter, self.font(), top, name, self.value_text, is_inside=is_inside)
        self._paint_scale(painter, QRectF(inner.left(), top.bottom(), inner.width(), 1.3 * line))
        below = QRectF(inner.left(), inner.bottom() - line, inner.width(), line)
        paint_below(painter, self.font(), below, self._limits_text())
        painter.end()

    def _paint_frame(self, painter: QPainter) -> None:
        frame = QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5)
        painter.setBrush(PALETTE.soft if self.isChecked() else PALETTE.field)
        painter.setPen(QPen(PALETTE.accent if self.isChecked() else PALETTE.rule, 1.5))
        if self.hasFocus():
            painter.setPen(QPen(PALETTE.in_the_way, 2.5))
        painter.drawRoundedRect(frame, 4, 4)

    def _paint_scale(self, painter: QPainter, where: QRectF) -> None:
        assert self._shown is not None
        low, high = self._shown.required_mm
        start, end = low - BEYOND * (high - low), high + BEYOND * (high - low)

        def at(value_mm: float) -> float:
            share = (value_mm - start) / (end - start)
            return where.left() + where.width() * min(max(share, 0.0), 1.0)

        middle = where.center().y() + 3
        painter.setPen(QPen(PALETTE.rule, 3))
        painter.drawLine(QPointF(where.left(), middle), QPointF(where.right(), middle))
        paint_band(painter, QRectF(at(low), middle - 5, at(high) - at(low), 10))
        aim = at(self._shown.aim_mm)
        painter.setPen(QPen(PALETTE.quiet_ink, 1.5, Qt.PenStyle.DashLine))
        painter.drawLine(QPointF(aim, middle - 9), QPointF(aim, middle + 9))
        now = at(self._shown.in_service_mm)
        painter.setPen(QPen(PALETTE.field, 1.5))
        painter.setBrush(find_colour(is_inside=self._shown.is_inside))
        tip = QPointF(now, middle + 5)
        painter.drawPolygon(
            QPolygonF([tip, QPointF(now - 9, middle - 12), QPointF(now + 9, middle - 12)])
        )
