"""A clearance as a scale: where it stands, what is allowed, where the aim is. Chosen, it is looked at closely."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QSizePolicy

from trainer.core.measure.chain import MeasuredClearance
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
from trainer.words.telling import tell_clearance

SCALE_LINES = 1.6
"""How high the scale is, in lines."""
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
        tell_change(self)
        self.updateGeometry()
        self.update()

    def find_value(self) -> SpokenValue | None:
        """Give the value for screen readers, between the ends of what is drawn."""
        one, words = self._shown, self._words
        if one is None:
            return None
        low, high = one.required_mm
        beyond = BEYOND * (high - low)
        now, least, most = (
            words.count_units(mm) for mm in (one.in_service_mm, low - beyond, high + beyond)
        )
        return SpokenValue(now, least, most, 0.0, self.value_text)

    def take_value(self, value: float) -> None:
        """Take none: a clearance is what the pump makes it."""

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
        """Take room for name and value, the scale, and the limits, however often their lines must wrap."""
        return QSize(240, math.ceil(self._measure_head() + SCALE_LINES * self.fontMetrics().height() + self._measure_below() + 2 * PAD_PX))  # fmt: skip

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Ask for the height that the new width needs."""
        super().resizeEvent(event)
        ask_for_height(self)

    def _measure_head(self) -> float:
        name = tell_clearance(self._words, self.name)
        value = self.value_text if self._shown is not None else ""
        return measure_head(self.font(), find_inner(self).width(), name, value)

    def _measure_below(self) -> float:
        text = self._limits_text() if self._shown is not None else ""
        return measure_below(self.font(), find_inner(self).width() - self.proof.width(), text)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint name and value, the scale with its band, and the limits in words."""
        del event
        if self._shown is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_frame(painter)
        line = QFontMetricsF(self.font()).height()
        inner = find_inner(self)
        top = QRectF(inner.left(), inner.top(), inner.width(), self._measure_head())
        name, is_inside = tell_clearance(self._words, self.name), self._shown.is_inside
        paint_head(painter, self.font(), top, name, self.value_text, is_inside=is_inside)
        self._paint_scale(painter, QRectF(inner.left(), top.bottom(), inner.width(), SCALE_LINES * line))  # fmt: skip
        high = self._measure_below()
        below = QRectF(inner.left(), inner.bottom() - high, inner.width() - self.proof.width(), high)  # fmt: skip
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

        middle, k = where.center().y() + 3, find_growth(self.font())
        painter.setPen(QPen(PALETTE.rule, 3))
        painter.drawLine(QPointF(where.left(), middle), QPointF(where.right(), middle))
        paint_band(painter, QRectF(at(low), middle - 5 * k, at(high) - at(low), 10 * k))
        aim = at(self._shown.aim_mm)
        painter.setPen(QPen(PALETTE.quiet_ink, 1.5, Qt.PenStyle.DashLine))
        painter.drawLine(QPointF(aim, middle - 9 * k), QPointF(aim, middle + 9 * k))
        now = at(self._shown.in_service_mm)
        painter.setPen(QPen(PALETTE.field, 1.5))
        painter.setBrush(find_colour(is_inside=self._shown.is_inside))
        tip = QPointF(now, middle + 5 * k)
        painter.drawPolygon(
            QPolygonF(
                [tip, QPointF(now - 9 * k, middle - 12 * k), QPointF(now + 9 * k, middle - 12 * k)]
            )
        )
