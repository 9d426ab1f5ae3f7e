"""Mouse and keyboard on the picture: turn, move, come closer, point at a part."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QWidget

from trainer.desktop.picture.tracing import Tracing
from trainer.desktop.picture.view import PumpView

CLICK_PX = 5
"""A press that moves less than this is a click, not a turn."""
TURN_DEG_PER_PX = 0.35
KEY_TURN_DEG = 10.0
CLOSER = 1.15
TURNS = {
    Qt.Key.Key_Left: (-KEY_TURN_DEG, 0.0),
    Qt.Key.Key_Right: (KEY_TURN_DEG, 0.0),
    Qt.Key.Key_Up: (0.0, KEY_TURN_DEG),
    Qt.Key.Key_Down: (0.0, -KEY_TURN_DEG),
}
ZOOMS = {Qt.Key.Key_Plus: CLOSER, Qt.Key.Key_Equal: CLOSER, Qt.Key.Key_Minus: 1 / CLOSER}
ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class PumpHands(PumpView):
    """A picture that can be taken hold of; tells which piece was picked, and which is offered by keyboard."""

    picked = Signal(str)
    offered = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._pressed: QPointF | None = None
        self._last = QPointF()
        self._turned = False
        self._offer = ""
        self._held: Tracing | None = None
        self.setMouseTracking(True)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of what is laid over the picture, or begin to turn, or to point."""
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        if event.button() == Qt.MouseButton.LeftButton:
            at = event.position()
            over = reversed(self.tracings)
            self._held = next((one for one in over if one.take_hold(at, self)), None)
            if self._held is not None:
                return
        self._pressed, self._last, self._turned = event.position(), event.position(), False

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Turn with the left button; move with another, or with Shift."""
        if self._held is not None:
            self._held.drag(event.position(), self)
            return
        if self._pressed is None or not self.has_pump:
            self._show_cursor(event.position())
            return
        if not self._turned:
            far = (event.position() - self._pressed).manhattanLength()
            if far < CLICK_PX:
                return
        moved = event.position() - self._last
        self._turned, self._last = True, event.position()
        left = event.buttons() & Qt.MouseButton.LeftButton
        if left and not event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            self.camera = self.camera.orbited(
                -moved.x() * TURN_DEG_PER_PX, moved.y() * TURN_DEG_PER_PX
            )
        else:
            self.camera = self.camera.panned(moved.x(), moved.y())
        self.redraw()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go of what is held, or pick what is under a click."""
        if self._held is not None:
            held, self._held = self._held, None
            held.let_go(event.position(), self)
            return
        clicked = self._pressed is not None and not self._turned
        self._pressed = None
        if clicked and event.button() == Qt.MouseButton.LeftButton:
            name = self.pick(event.position())
            if name:
                self._offer = name
                self.picked.emit(name)
        self.redraw()

    def _show_cursor(self, at: QPointF) -> None:
        over = (one.find_cursor(at, self) for one in reversed(self.tracings))
        shape = next((one for one in over if one is not None), None)
        if shape is None:
            self.unsetCursor()
        else:
            self.setCursor(shape)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Come closer to what is under the pointer, or step back."""
        if self.has_pump:
            at, notches = event.position(), event.angleDelta().y() / 120.0
            self.camera = self.camera.zoomed(CLOSER**notches, (at.x(), at.y()), self.size_px)
            self.redraw()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Turn with the arrows, zoom with plus and minus, fit with F, go from part to part with N and P, pick with Enter."""
        key = Qt.Key(event.key())
        if not self.has_pump:
            super().keyPressEvent(event)
        elif key in TURNS:
            self.camera = self.camera.orbited(*TURNS[key])
            self.redraw()
        elif key in ZOOMS:
            self.camera = self.camera.zoomed(ZOOMS[key])
            self.redraw()
        elif key == Qt.Key.Key_F:
            self.fit()
        elif key in (Qt.Key.Key_N, Qt.Key.Key_P):
            self._offer_next(1 if key == Qt.Key.Key_N else -1)
        elif key in ENTER and self._offer:
            self.picked.emit(self._offer)
        else:
            super().keyPressEvent(event)

    def _offer_next(self, by: int) -> None:
        """Go to the next piece that is seen, from left to right."""
        seen = list(self.find_seen())
        if seen:
            at = seen.index(self._offer) + by if self._offer in seen else 0
            self._offer = seen[at % len(seen)]
            self.offered.emit(self._offer)
