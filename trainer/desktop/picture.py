"""The picture: a stage drawn off screen and shown as an image; it turns, comes closer, and is pointed at.

In motion it draws light stand-ins at a smaller size; once it is still it draws the full picture.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QPoint, QPointF, Qt, QTimer, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from trainer.desktop.theme import name_colour
from trainer.stage.camera import ViewName
from trainer.stage.look import Look
from trainer.stage.marks import NO_MARKS, Marks
from trainer.stage.scene import Finish, Stage

if TYPE_CHECKING:
    from models.spec.assembly import Assembly

Offsets = Mapping[str, npt.NDArray[np.float64]]
STILL_MS = 350
"""How long nothing has moved before the full picture is drawn."""
MOVING_PX = 600_000
"""Pixels of a picture in motion at most; a larger window shows it enlarged."""
CLICK_PX = 4
"""A press that moves less than this is a click, not a turn."""
TURN_DEG_PER_PX = 0.35
KEY_TURN_DEG = 10.0
CLOSER = 1.15


class PumpView(QWidget):
    """Show a pump; tell which piece was clicked."""

    picked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(520, 360)
        self._full: Stage | None = None
        self._light: Stage | None = None
        self._image = QImage()
        self._marks = NO_MARKS
        self._section = False
        self._offsets: Offsets = {}
        self._pressed: QPoint | None = None
        self._last = QPointF()
        self._turned = False
        self._still = QTimer(self, singleShot=True, interval=STILL_MS)
        self._still.timeout.connect(self._draw_still)
        self._soon = QTimer(self, singleShot=True, interval=0)
        self._soon.timeout.connect(self._draw_moving)
        self.finish = Finish.MOVING

    # ------------------------------------------------------------------ what is shown
    def show_assembly(self, full: Assembly, light: Assembly) -> None:
        """Show an assembly, with its light stand-ins for motion."""
        first = self._full is None
        if self._full is None or self._light is None:
            self._full, self._light = Stage(full), Stage(light)
        else:
            self._full.replace_assembly(full)
            self._light.replace_assembly(light)
        self._refresh()
        if first:
            self.fit()

    @property
    def has_pump(self) -> bool:
        """Is there anything to see yet?"""
        return self._full is not None

    def set_offsets(self, offsets: Offsets, *, follow: bool = False) -> None:
        """Move pieces away from home by (3,) mm; `follow` keeps everything in the picture."""
        self._offsets = offsets
        self._refresh()
        if follow:
            self.fit()

    def set_section(self, section: bool) -> None:  # noqa: FBT001 - a state, and the only argument
        """Show the half section or the whole."""
        self._section = section
        self._refresh()

    def set_marks(self, marks: Marks) -> None:
        """Light, bar, ghost and hide pieces."""
        self._marks = marks
        self._refresh()

    @property
    def marks(self) -> Marks:
        """What is lit, barred, ghosted and hidden."""
        return self._marks

    def look_from(self, view: ViewName | str) -> None:
        """Go to a standing view with everything in it."""
        if self._full:
            self._full.look_from(view)
            self.fit()

    def fit(self) -> None:
        """Bring everything into the picture."""
        if self._full:
            self._full.fit(self._size())
            self._redraw()

    def _size(self) -> tuple[int, int]:
        return max(self.width(), 64), max(self.height(), 64)

    def _refresh(self) -> None:
        if self._full and self._light:
            for stage in (self._full, self._light):
                stage.set_offsets(self._offsets)
                stage.set_section(self._section)
                stage.set_marks(self._marks)
            self._redraw()

    # ------------------------------------------------------------------ drawing
    def _redraw(self) -> None:
        self._soon.start()
        self._still.start()

    def _draw_moving(self) -> None:
        if self._full and self._light:
            width, height = self._size()
            share = min(1.0, math.sqrt(MOVING_PX / (width * height)))
            self._light.camera = self._full.camera.zoomed(share)
            self._show(self._light.frame(int(width * share), int(height * share), Finish.MOVING))
            self.finish = Finish.MOVING

    def _draw_still(self) -> None:
        if self._full and not self._pressed:
            self._show(self._full.frame(*self._size(), Finish.REST))
            self.finish = Finish.REST

    def _show(self, frame: npt.NDArray[np.uint8]) -> None:
        height, width, _ = frame.shape
        kept = np.ascontiguousarray(frame)
        self._image = QImage(
            kept.data, width, height, 4 * width, QImage.Format.Format_RGBA8888
        ).copy()
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the last frame, and a rim when the picture has the keyboard."""
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        if not self._image.isNull():
            painter.drawImage(self.rect(), self._image)
        if self.hasFocus():
            painter.setPen(QPen(QColor(name_colour(Look().accent)), 2))
            painter.drawRect(self.rect().adjusted(1, 1, -1, -1))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the pump to the new size."""
        super().resizeEvent(event)
        self.fit()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the rim."""
        super().focusInEvent(event)
        self.update()

    # ------------------------------------------------------------------ hands
    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin to turn, or to point."""
        self._pressed, self._last, self._turned = (
            event.position().toPoint(),
            event.position(),
            False,
        )

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Turn with the left button, move with any other or with shift."""
        if self._full is None or self._pressed is None:
            return
        moved = event.position() - self._last
        if (
            not self._turned
            and (event.position().toPoint() - self._pressed).manhattanLength() < CLICK_PX
        ):
            return
        self._turned, self._last = True, event.position()
        left = event.buttons() & Qt.MouseButton.LeftButton
        if left and not event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            turn = -moved.x() * TURN_DEG_PER_PX, moved.y() * TURN_DEG_PER_PX
            self._full.camera = self._full.camera.orbited(*turn)
        else:
            self._full.camera = self._full.camera.panned(moved.x(), moved.y())
        self._redraw()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Point at what is under a click."""
        clicked, self._pressed = self._pressed is not None and not self._turned, None
        if clicked and self._full:
            spot = event.position()
            name = self._full.pick(spot.x(), spot.y(), self._size())
            if name:
                self.picked.emit(name)
        self._redraw()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Come closer to what is under the pointer, or step back."""
        if self._full:
            spot, notches = event.position(), event.angleDelta().y() / 120.0
            at = (spot.x(), spot.y())
            self._full.camera = self._full.camera.zoomed(CLOSER**notches, at, self._size())
            self._redraw()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Turn with the arrows, come closer with plus and minus, fit with F."""
        turns = {
            Qt.Key.Key_Left: (-KEY_TURN_DEG, 0.0),
            Qt.Key.Key_Right: (KEY_TURN_DEG, 0.0),
            Qt.Key.Key_Up: (0.0, KEY_TURN_DEG),
            Qt.Key.Key_Down: (0.0, -KEY_TURN_DEG),
        }
        nearer = {Qt.Key.Key_Plus: CLOSER, Qt.Key.Key_Equal: CLOSER, Qt.Key.Key_Minus: 1 / CLOSER}
        key = Qt.Key(event.key())
        if self._full and key in turns:
            self._full.camera = self._full.camera.orbited(*turns[key])
            self._redraw()
        elif self._full and key in nearer:
            self._full.camera = self._full.camera.zoomed(nearer[key])
            self._redraw()
        elif key == Qt.Key.Key_F:
            self.fit()
        else:
            super().keyPressEvent(event)

    def find_spot(self, name: str) -> QPoint | None:
        """Find a pixel where a piece can be pointed at; None when all of it is covered."""
        if self._full is None:
            return None
        numbers = self._full.frame_of_numbers(*self._size())
        rows, columns = np.nonzero(numbers == self._full.find_numbers()[name])
        if not len(rows):
            return None
        middle = int(np.argmin((rows - rows.mean()) ** 2 + (columns - columns.mean()) ** 2))
        return QPoint(int(columns[middle]), int(rows[middle]))
