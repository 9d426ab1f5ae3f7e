"""Mouse, touchpad and keyboard on the picture: turn, move, come closer, point at a part. `told` lists it all."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt, Signal
from PySide6.QtGui import (
    QInputDevice,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from trainer.desktop.picture.asked import AskedView
from trainer.desktop.picture.glide import Glide
from trainer.desktop.picture.tracing import Tracing
from trainer.stage.camera import ViewName

CLICK_PX = 5
"""A press that moves less than this is a click, not a turn."""
TURN_DEG_PER_PX = 0.35
KEY_TURN_DEG = 10.0
KEY_MOVE_PX = 40.0
CLOSER = 1.15
ARROWS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, 1),
    Qt.Key.Key_Down: (0, -1),
}
ZOOMS = {Qt.Key.Key_Plus: CLOSER, Qt.Key.Key_Equal: CLOSER, Qt.Key.Key_Minus: 1 / CLOSER}
ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
SHIFT = Qt.KeyboardModifier.ShiftModifier
CONTROL = Qt.KeyboardModifier.ControlModifier
LEFT, RIGHT = Qt.MouseButton.LeftButton, Qt.MouseButton.RightButton


@dataclass(frozen=True, slots=True)
class HandTold:
    """One thing that hands can do in the picture, as keys of words: by what, and what it does."""

    how: str
    does: str


HANDS_TOLD = tuple(
    HandTold(f"seeing.how-{how}", f"seeing.does-{does}")
    for how, does in (
        ("drag", "turn"),
        ("arrows", "turn"),
        ("drag-other", "move"),
        ("two-fingers", "move"),
        ("shift-arrows", "move"),
        ("wheel", "zoom"),
        ("pinch", "zoom"),
        ("ctrl-two-fingers", "zoom"),
        ("plus-minus", "zoom"),
        ("hover", "name"),
        ("click", "pick"),
        ("n-p", "offer"),
        ("enter", "pick-offered"),
        ("double-click", "closer"),
        ("double-tap", "closer"),
        ("double-click-ground", "whole"),
        ("f", "whole"),
        ("right-click", "menu"),
    )
)
"""What this module does with hands, for whoever lists it; what is added by `add_letter` comes after it."""


class PumpHands(AskedView):
    """A picture that can be taken hold of.

    Signals:
        picked: a piece was clicked, or the offered one taken by Enter.
        offered: a piece is offered by keyboard.
        hovered: the piece under the pointer has changed; "" over bare ground.
        menu_asked: what can be done with a piece is asked for ("" for the ground), at a spot of the screen.
        whole_asked: the whole is to be brought into the picture.
        turned: hands have turned the pump out of the view it stood in.
    """

    picked = Signal(str)
    offered = Signal(str)
    hovered = Signal(str)
    menu_asked = Signal(str, QPoint)
    whole_asked = Signal()
    turned = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._pressed: QPointF | None = None
        self._last = QPointF()
        self._turned = False
        self._turns = True
        self._offer = ""
        self._held: Tracing | None = None
        self._over = ""
        self._pointer: QPointF | None = None
        self._letters: dict[tuple[Qt.Key, bool], Callable[[], object]] = {
            (Qt.Key.Key_F, False): self.whole_asked.emit,
            (Qt.Key.Key_N, False): lambda: self._offer_next(+1),
            (Qt.Key.Key_P, False): lambda: self._offer_next(-1),
        }
        self.told: list[HandTold] = list(HANDS_TOLD)
        self.glide = Glide(self)
        self.drawn.connect(self._point_again)
        self.setMouseTracking(True)

    def add_letter(
        self,
        key: Qt.Key,
        act: Callable[[], object],
        told: HandTold | None = None,
        *,
        shift: bool = False,
    ) -> None:
        """Let a key do something while the picture has the keyboard; `told` is listed, if it is not listed with another."""
        self._letters[key, shift] = act
        if told is not None:
            self.told.append(told)

    # ------------------------------------------------------------------ where the eye goes
    def glide_from(self, view: ViewName | str) -> None:
        """Go to a standing view by the shorter way round."""
        start = self.camera
        self.look_from(view)
        self.glide.go(start, self.camera)

    def come_closer(self, pieces: Iterable[str]) -> None:
        """Bring some pieces large into the picture."""
        there = self.find_close_camera(frozenset(pieces))
        if there is not None:
            self.glide.go(self.camera, there)

    # ------------------------------------------------------------------ mouse
    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of what is laid over the picture, or begin to turn, or to point."""
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        self._point_at(None)
        if event.button() == LEFT:
            at = event.position()
            over = reversed(self.tracings)
            self._held = next((one for one in over if one.take_hold(at, self)), None)
            if self._held is not None:
                return
        self._pressed, self._last, self._turned = event.position(), event.position(), False
        self._turns = event.button() == LEFT and not event.modifiers() & SHIFT

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Turn with the left button; move with another, or with Shift; point without any."""
        if self._held is not None:
            self._held.drag(event.position(), self)
            return
        if self._pressed is None or not self.has_pump:
            is_free = self._show_cursor(event.position())
            self._point_at(event.position() if is_free and not event.buttons() else None)
            return
        if not self._turned:
            far = (event.position() - self._pressed).manhattanLength()
            if far < CLICK_PX:
                return
        moved = event.position() - self._last
        self._turned, self._last = True, event.position()
        if self._turns:
            self._turn(-moved.x() * TURN_DEG_PER_PX, moved.y() * TURN_DEG_PER_PX)
        else:
            self._move(moved)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go of what is held, pick what is under a click, or ask what can be done with it."""
        if self._held is not None:
            held, self._held = self._held, None
            held.let_go(event.position(), self)
            return
        clicked = self._pressed is not None and not self._turned
        self._pressed = None
        if not clicked or not self.has_pump:
            return
        name = self.pick(event.position()) or ""
        if event.button() == RIGHT:
            self.menu_asked.emit(name, event.globalPosition().toPoint())
        elif event.button() == LEFT and name:
            self._offer = name
            self.picked.emit(name)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Come closer to a part; over bare ground step back to the whole."""
        at = event.position()
        is_held = any(one.find_cursor(at, self) is not None for one in self.tracings)
        if event.button() == LEFT and self.has_pump and not is_held:
            self._come_to(at)
        else:
            self.mousePressEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        """Point at nothing."""
        super().leaveEvent(event)
        self._point_at(None)

    def _come_to(self, at: QPointF) -> None:
        name = self.pick(at)
        if name:
            self.come_closer({name})
        else:
            self.whole_asked.emit()

    def _turn(self, right_deg: float, up_deg: float) -> None:
        self.camera = self.camera.orbited(right_deg, up_deg)
        self.turned.emit()
        self.redraw()

    def _move(self, by: QPointF) -> None:
        self.camera = self.camera.panned(by.x(), by.y())
        self.redraw()

    def _zoom(self, factor: float, at: QPointF | None = None) -> None:
        spot = None if at is None else (at.x(), at.y())
        self.camera = self.camera.zoomed(factor, spot, self.size_px)
        self.redraw()

    def _show_cursor(self, at: QPointF) -> bool:
        """Show how what lies under the pointer can be held; tell whether there is nothing to hold."""
        over = (one.find_cursor(at, self) for one in reversed(self.tracings))
        shape = next((one for one in over if one is not None), None)
        if shape is None:
            self.unsetCursor()
            return True
        self.setCursor(shape)
        return False

    # ------------------------------------------------------------------ pointing
    def _point_at(self, at: QPointF | None) -> None:
        """Tell which piece is under the pointer when that changes; nothing is drawn anew for it."""
        self._pointer = at
        if at is not None and not self.is_settled:
            return  # told once the picture stands still
        name = "" if at is None else self.pick(at) or ""
        if name != self._over:
            self._over = name
            self.hovered.emit(name)

    def _point_again(self) -> None:
        if self._pointer is not None:
            self._point_at(self._pointer)

    @property
    def pointer(self) -> QPointF | None:
        """Where the pointer is while it points; None while it holds something or is elsewhere."""
        return self._pointer

    # ------------------------------------------------------------------ wheel and touchpad
    def wheelEvent(self, event: QWheelEvent) -> None:
        """Come closer to what is under the pointer by a wheel; move by two fingers on a touchpad, zoom with Ctrl."""
        if not self.has_pump:
            return
        moved = event.pixelDelta()
        if is_touched(event) and not event.modifiers() & CONTROL:
            self._move(QPointF(moved if not moved.isNull() else event.angleDelta() / 4))
        else:
            self._zoom(CLOSER ** (event.angleDelta().y() / 120.0), event.position())

    def event(self, event: QEvent) -> bool:
        """Come closer by a pinch, and to what is under a double tap of two fingers."""
        if isinstance(event, QNativeGestureEvent) and self.has_pump:
            kind = event.gestureType()
            if kind == Qt.NativeGestureType.ZoomNativeGesture:
                self._zoom(max(1.0 + event.value(), 0.2), event.position())
                return True
            if kind == Qt.NativeGestureType.SmartZoomNativeGesture:
                self._come_to(event.position())
                return True
        return super().event(event)

    # ------------------------------------------------------------------ keyboard
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Do what `told` lists for keys."""
        if not self.has_pump or not self._take_key(event):
            super().keyPressEvent(event)

    def _take_key(self, event: QKeyEvent) -> bool:
        key, shift = Qt.Key(event.key()), bool(event.modifiers() & SHIFT)
        if event.modifiers() & CONTROL:
            return False
        letter = self._letters.get((key, shift))
        if letter is not None:
            letter()
        elif key in ARROWS:
            self._take_arrow(*ARROWS[key], shift=shift)
        elif key in ZOOMS:
            self._zoom(ZOOMS[key])
        elif key in ENTER and self._offer:
            self.picked.emit(self._offer)
        else:
            return False
        return True

    def _take_arrow(self, right: int, up: int, *, shift: bool) -> None:
        if shift:
            self._move(QPointF(KEY_MOVE_PX * right, -KEY_MOVE_PX * up))
        else:
            self._turn(KEY_TURN_DEG * right, KEY_TURN_DEG * up)

    def _offer_next(self, by: int) -> None:
        """Go to the next piece that is seen, from left to right."""
        seen = list(self.find_seen())
        if seen:
            at = seen.index(self._offer) + by if self._offer in seen else 0
            self._offer = seen[at % len(seen)]
            self.offered.emit(self._offer)


def is_touched(event: QWheelEvent) -> bool:
    """Tell whether fingers on a touchpad scroll, not a wheel: the device says so, or the scroll has a beginning and an end."""
    device = event.pointingDevice()
    by_device = device.type() == QInputDevice.DeviceType.TouchPad
    has_phases = event.phase() != Qt.ScrollPhase.NoScrollPhase
    return by_device or (has_phases and not event.pixelDelta().isNull())
