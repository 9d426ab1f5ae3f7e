"""The plane of a cut over the picture: where it lies, and a grip that moves it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from trainer.desktop.picture.tracing import Tracing
from trainer.desktop.picture.view import PumpView
from trainer.desktop.theme import PALETTE
from trainer.stage.cut import Cut

Vector = npt.NDArray[np.float64]
BEYOND_SHARE = 0.04
"""How far the drawn plane reaches beyond the pump, of its size."""
LEAST_SEEN = 0.3
"""Where less than this share of the way along the axis lies across the picture, up and down stand for away and near."""
GRIP_LETTERS = 0.95
"""Radius of the grip, in heights of letters."""
SPACE_PX = 8.0
CHAIN = [12.0, 4.0, 2.0, 4.0]
"""The thin chain line with which drawings show a cutting plane (ISO 128, from memory), in widths of the line."""


@dataclass(frozen=True, slots=True)
class Grip:
    """Where the grip is: its middle in pixels, which way (2,) of unit length in pixels is onwards on the axis, and mm in a pixel of that way."""

    at: QPointF
    way: Vector
    mm_per_px: float


class CutHandle(Tracing):
    """Draw a cut's plane and let its grip be dragged along the axis."""

    is_handle = True

    def __init__(self, move: Callable[[float], object]) -> None:
        """Begin without a cut.

        Args:
            move: called with where the plane is dragged to, in mm on its axis.
        """
        self._move = move
        self.bounds_mm: Vector = np.zeros((2, 3))
        self.is_laid_out = False
        """Is the outline of the plane drawn, too, not the grip alone?"""
        self.text = ""
        self._spot = -1
        self._is_over = False
        self._held: tuple[QPointF, float] | None = None

    @property
    def is_held(self) -> bool:
        """Is the grip being dragged?"""
        return self._held is not None

    # ------------------------------------------------------------------ where it is
    def find_grip(self, view: PumpView) -> Grip | None:
        """Find the grip as the view stands; None where nothing is cut, or one spot is looked at closely."""
        cut = view.cut
        if cut is None or view.is_close_up:
            return None
        spots = view.project(_list_spots(self.bounds_mm, cut))
        middle = view.project(self.bounds_mm.mean(axis=0)[None])[0]
        if self._held is None:
            # The farthest from the pump's middle is the one that hides least; while held it stays.
            far = [_measure_px(spot - middle) for spot in spots]
            self._spot = int(np.argmax(far))
        radius = self._find_radius(view) + SPACE_PX
        area = QRectF(view.rect()).adjusted(radius, radius, -radius, -radius)
        spot = spots[self._spot]
        at = QPointF(
            min(max(spot.x(), area.left()), area.right()),
            min(max(spot.y(), area.top()), area.bottom()),
        )
        return Grip(at, *_find_way(view, cut))

    def _find_radius(self, view: PumpView) -> float:
        return GRIP_LETTERS * QFontMetricsF(view.font()).height()

    def find_taken(self, view: PumpView) -> list[QRectF]:
        """Find the room of the grip: neither a name nor a number stands on it."""
        grip = self.find_grip(view)
        if grip is None:
            return []
        radius = self._find_radius(view)
        return [QRectF(grip.at.x() - radius, grip.at.y() - radius, 2.0 * radius, 2.0 * radius)]

    # ------------------------------------------------------------------ taking hold
    def find_cursor(self, at: QPointF, view: PumpView) -> Qt.CursorShape | None:
        """Show over the grip that it can be held."""
        grip = self.find_grip(view)
        over = grip is not None and _measure_px(at - grip.at) <= self._find_radius(view) + 3.0
        if over is not self._is_over:
            self._is_over = over
            view.update()
        return Qt.CursorShape.OpenHandCursor if over else None

    def take_hold(self, at: QPointF, view: PumpView) -> bool:
        """Take hold of the grip."""
        if view.cut is None or self.find_cursor(at, view) is None:
            return False
        self._is_over, self._held = True, (at, view.cut.at_mm)
        view.setCursor(Qt.CursorShape.ClosedHandCursor)
        return True

    def drag(self, at: QPointF, view: PumpView) -> None:
        """Move the plane as far along its axis as the pointer went along it in the picture."""
        if self._held is None or view.cut is None:
            return
        pressed, from_mm = self._held
        way, mm_per_px = _find_way(view, view.cut)
        moved = at - pressed
        along_px = moved.x() * way[0] + moved.y() * way[1]
        self._move(from_mm + along_px * mm_per_px)

    def let_go(self, at: QPointF, view: PumpView) -> None:
        """Leave the plane where it is."""
        self._held = None
        view.unsetCursor()
        self.find_cursor(at, view)
        view.update()

    # ------------------------------------------------------------------ painting
    def paint(self, painter: QPainter, view: PumpView) -> None:
        """Paint the plane's outline, the grip, and beside a grip that is held where the plane lies."""
        grip = self.find_grip(view)
        if grip is None or view.cut is None:
            return
        if self.is_laid_out or self.is_held or self._is_over:
            self._paint_outline(painter, view, view.cut)
        self._paint_grip(painter, grip, self._find_radius(view))
        if self.is_held or self._is_over:
            self._paint_text(painter, grip, view)

    def _paint_outline(self, painter: QPainter, view: PumpView, cut: Cut) -> None:
        corners = QPolygonF(view.project(_list_corners(self.bounds_mm, cut)))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(PALETTE.ground, 4))
        painter.drawPolygon(corners)
        pen = QPen(PALETTE.accent, 1.6)
        pen.setDashPattern(CHAIN)
        painter.setPen(pen)
        painter.drawPolygon(corners)

    def _paint_grip(self, painter: QPainter, grip: Grip, radius: float) -> None:
        is_live = self.is_held or self._is_over
        painter.setPen(QPen(PALETTE.ground, 6))
        painter.drawEllipse(grip.at, radius, radius)
        painter.setPen(QPen(PALETTE.accent, 2.4))
        painter.setBrush(PALETTE.accent if is_live else PALETTE.paper)
        painter.drawEllipse(grip.at, radius, radius)
        colour = PALETTE.paper if is_live else PALETTE.accent
        painter.setBrush(colour)
        painter.setPen(QPen(colour, 2.4))
        way = QPointF(*grip.way)
        square = QPointF(-way.y(), way.x())
        painter.drawLine(grip.at - way * 0.45 * radius, grip.at + way * 0.45 * radius)
        painter.setPen(Qt.PenStyle.NoPen)
        for sign in (-1.0, 1.0):
            tip, back = grip.at + way * sign * 0.8 * radius, grip.at + way * sign * 0.3 * radius
            side = square * 0.38 * radius
            painter.drawPolygon(QPolygonF([tip, back + side, back - side]))

    def _paint_text(self, painter: QPainter, grip: Grip, view: PumpView) -> None:
        font = QFont(view.font())
        painter.setFont(font)
        letters = QFontMetricsF(font)
        area = QRectF(view.rect()).adjusted(4, 4, -4, -4)
        frame = letters.boundingRect(area, int(Qt.AlignmentFlag.AlignLeft), self.text)
        frame = frame.adjusted(-8, -4, 8, 4)
        gap = self._find_radius(view) + SPACE_PX
        frame.moveCenter(grip.at)
        frame.moveLeft(grip.at.x() + gap)
        if frame.right() > area.right():
            frame.moveRight(grip.at.x() - gap)
        frame.moveTop(max(min(frame.top(), area.bottom() - frame.height()), area.top()))
        painter.setPen(QPen(PALETTE.accent, 1.6))
        painter.setBrush(PALETTE.paper)
        painter.drawRect(frame)
        painter.setPen(PALETTE.ink)
        painter.drawText(frame, int(Qt.AlignmentFlag.AlignCenter), self.text)


def put_inside(cut: Cut, at_mm: float, bounds_mm: Vector) -> Cut:
    """Move a cut, as far as the pump reaches."""
    low, high = bounds_mm[:, cut.number]
    return replace(cut, at_mm=float(min(max(at_mm, low), high)))


def lies_across(view: PumpView, cut: Cut) -> bool:
    """Tell whether the way of a plane lies across the picture; if not, up and down stand for away and near."""
    return abs(float(view.camera.towards[cut.number])) <= float(np.sqrt(1.0 - LEAST_SEEN**2))


def _find_way(view: PumpView, cut: Cut) -> tuple[Vector, float]:
    """Find which way (2,) of unit length in pixels goes onwards on the cut's axis, and how many mm are in a pixel of it."""
    camera = view.camera
    axis = np.abs(cut.normal)
    if not lies_across(view, cut):
        away = -float(np.sign(camera.towards[cut.number]))
        return np.array([0.0, -away]), camera.mm_per_px
    across = np.array([axis @ camera.right, -(axis @ camera.up)])
    share = float(np.linalg.norm(across))
    return across / share, camera.mm_per_px / share


def _list_corners(bounds_mm: Vector, cut: Cut) -> Vector:
    """List the four corners (4, 3) mm of the drawn plane, in turn."""
    beyond = BEYOND_SHARE * float(np.linalg.norm(bounds_mm[1] - bounds_mm[0]))
    low, high = bounds_mm[0] - beyond, bounds_mm[1] + beyond
    one, other = (number for number in range(3) if number != cut.number)
    corners = np.tile(np.abs(cut.normal) * cut.at_mm, (4, 1))
    corners[:, one] = low[one], high[one], high[one], low[one]
    corners[:, other] = low[other], low[other], high[other], high[other]
    return corners


def _list_spots(bounds_mm: Vector, cut: Cut) -> Vector:
    """List where a grip may sit on the drawn plane: its corners and the middles of its sides, (8, 3) mm."""
    corners = _list_corners(bounds_mm, cut)
    return np.concatenate([corners, (corners + np.roll(corners, -1, axis=0)) / 2.0])


def _measure_px(way: QPointF) -> float:
    return float(np.hypot(way.x(), way.y()))
