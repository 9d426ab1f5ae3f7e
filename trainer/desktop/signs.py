"""Signs on buttons, drawn as polygons in the colours of now."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPixmap, QPolygonF
from PySide6.QtWidgets import QPushButton, QWidget

from trainer.desktop.theme import PALETTE

SIGN_PX = 64


def set_sign(button: QPushButton, sign: str) -> None:
    """Draw a sign on a button, by its name in `SIGNS`."""
    is_main = button.objectName() == "main"
    if button.text() and not button.text().startswith(" "):
        button.setText(f" {button.text()}")  # the style sheet sets no gap between sign and text
    button.setProperty("sign", sign)
    icon = QIcon()
    icon.addPixmap(_draw_sign(sign, PALETTE.on_accent if is_main else PALETTE.ink))
    if button.isCheckable():
        down = _draw_sign(sign, PALETTE.ground)
        icon.addPixmap(down, QIcon.Mode.Normal, QIcon.State.On)
    icon.addPixmap(_draw_sign(sign, PALETTE.idle), QIcon.Mode.Disabled)
    button.setIcon(icon)


def draw_signs(parent: QWidget) -> None:
    """Draw every sign below a widget anew, in the colours of now."""
    for button in parent.findChildren(QPushButton):
        sign = button.property("sign")
        if sign:
            set_sign(button, sign)


def _draw_sign(sign: str, colour: QColor) -> QPixmap:
    pixmap = QPixmap(SIGN_PX, SIGN_PX)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    for points in SIGNS[sign]:
        polygon = QPolygonF()
        for x, y in points:
            polygon.append(QPointF(x * SIGN_PX, y * SIGN_PX))
        painter.drawPolygon(polygon)
    painter.end()
    return pixmap


def _bar(left: float, top: float, right: float, bottom: float) -> Sequence[tuple[float, float]]:
    return (left, top), (right, top), (right, bottom), (left, bottom)


SIGNS = {
    "play": (((0.22, 0.1), (0.9, 0.5), (0.22, 0.9)),),
    "reverse": (((0.78, 0.1), (0.1, 0.5), (0.78, 0.9)),),
    "pause": (_bar(0.2, 0.12, 0.41, 0.88), _bar(0.59, 0.12, 0.8, 0.88)),
    "forward": (((0.16, 0.14), (0.68, 0.5), (0.16, 0.86)), _bar(0.7, 0.14, 0.84, 0.86)),
    "back": (((0.84, 0.14), (0.32, 0.5), (0.84, 0.86)), _bar(0.16, 0.14, 0.3, 0.86)),
    "undo": (
        ((0.06, 0.4), (0.4, 0.1), (0.4, 0.7)),
        _bar(0.38, 0.33, 0.74, 0.47),
        ((0.74, 0.33), (0.92, 0.45), (0.92, 0.78), (0.74, 0.9), (0.3, 0.9), (0.3, 0.76)),
        ((0.3, 0.76), (0.7, 0.76), (0.78, 0.68), (0.78, 0.53), (0.7, 0.47), (0.74, 0.33)),
    ),
    "redo": (
        ((0.94, 0.4), (0.6, 0.1), (0.6, 0.7)),
        _bar(0.26, 0.33, 0.62, 0.47),
        ((0.26, 0.33), (0.08, 0.45), (0.08, 0.78), (0.26, 0.9), (0.7, 0.9), (0.7, 0.76)),
        ((0.7, 0.76), (0.3, 0.76), (0.22, 0.68), (0.22, 0.53), (0.3, 0.47), (0.26, 0.33)),
    ),
    "fit": (
        ((0.1, 0.1), (0.42, 0.1), (0.42, 0.2), (0.2, 0.2), (0.2, 0.42), (0.1, 0.42)),
        ((0.9, 0.1), (0.9, 0.42), (0.8, 0.42), (0.8, 0.2), (0.58, 0.2), (0.58, 0.1)),
        ((0.9, 0.9), (0.58, 0.9), (0.58, 0.8), (0.8, 0.8), (0.8, 0.58), (0.9, 0.58)),
        ((0.1, 0.9), (0.1, 0.58), (0.2, 0.58), (0.2, 0.8), (0.42, 0.8), (0.42, 0.9)),
        _bar(0.32, 0.32, 0.68, 0.68),
    ),
    "closer": (
        _bar(0.36, 0.36, 0.64, 0.64),
        ((0.06, 0.06), (0.36, 0.06), (0.06, 0.36)),
        ((0.94, 0.06), (0.94, 0.36), (0.64, 0.06)),
        ((0.94, 0.94), (0.64, 0.94), (0.94, 0.64)),
        ((0.06, 0.94), (0.06, 0.64), (0.36, 0.94)),
    ),
    "keep": (  # down into a tray
        _bar(0.42, 0.06, 0.58, 0.42),
        ((0.24, 0.4), (0.76, 0.4), (0.5, 0.68)),
        (
            (0.06, 0.6),
            (0.18, 0.6),
            (0.18, 0.82),
            (0.82, 0.82),
            (0.82, 0.6),
            (0.94, 0.6),
            (0.94, 0.94),
            (0.06, 0.94),
        ),
    ),
    "lamp": (  # as it stands on a bench
        _bar(0.14, 0.84, 0.62, 0.94),
        ((0.33, 0.84), (0.18, 0.46), (0.26, 0.42), (0.42, 0.84)),
        ((0.18, 0.46), (0.52, 0.16), (0.58, 0.24), (0.26, 0.5)),
        ((0.5, 0.1), (0.66, 0.12), (0.96, 0.46), (0.56, 0.6), (0.48, 0.3)),
    ),
}
"""Polygons of each sign, in shares of its square."""


def fit_signs(parent: QWidget, side_px: int) -> None:
    """Give every sign below a widget its size."""
    for button in parent.findChildren(QPushButton):
        button.setIconSize(QSize(side_px, side_px))
