"""The grip of the chosen part: an arrow for each way it may be pulled, to take hold of with the left button."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPen

from trainer.desktop.picture.tracing import Tracing
from trainer.desktop.picture.view import PumpView
from trainer.desktop.theme import PALETTE

Vector = npt.NDArray[np.float64]
LONG, SHORT = 3.6, 2.4
"""Length of the arrow of the way it comes off, and of the others, in heights of the letters."""
WIDE = 0.42
"""Half the width of an arrow's shaft, in heights of the letters."""
CLEAR = 0.5
"""Air between the part and an arrow, in heights of the letters."""
REACH_PX = 12.0
"""An arrow is taken hold of within so much of its middle line."""
NEAR = 7.0
"""Within so many heights of the letters from the part's middle the pointer brings up all arrows."""
FLAT_SHARE = 0.22
"""An arrow that points so nearly at the eye that only this share of it is seen cannot be pulled there."""
BEGIN_PX = 6.0
"""A pointer that has moved less has only clicked; the part itself goes where the pointer went first."""


@dataclass(frozen=True, slots=True, eq=False)
class Arm:
    """One way to pull: a unit vector (3,), and whether it comes off, moves up to a stop, or is held.

    base_mm: how far the arrow begins from the middle, where the part ends. stop: says what stops it, "" for nothing.
    """

    way: Vector
    base_mm: float
    comes_off: bool
    is_held: bool
    stop: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Handle:
    """What may be taken hold of: the piece, its middle (3,) mm as it stands, what moves along, the arms, the first is its real way."""

    piece: str
    moving: frozenset[str]
    middle_mm: Vector
    arms: Sequence[Arm]


class Grip(Tracing):
    """Show arrows at a part and follow the pointer along them.

    find: says what may be taken hold of now; None for nothing. begin, drag, end: called with the number of
    the arm, with the travel in mm, and when it is let go. tap: called where an arrow
    was only clicked. click: called where the part was only clicked. pick: finds the piece under a spot.
    chosen: number of the arm that the keyboard has chosen. told: a short text beside the arrow that is held.
    """

    is_handle = True

    def __init__(
        self,
        find: Callable[[], Handle | None],
        begin: Callable[[int], None],
        drag: Callable[[float], None],
        end: Callable[[], None],
        tap: Callable[[], None],
        click: Callable[[str], None],
        pick: Callable[[QPointF], str | None],
    ) -> None:
        self._find, self._begin, self._drag = find, begin, drag
        self._end, self._tap, self._click, self._pick = end, tap, click, pick
        self._is_moved = False
        self.chosen = 0
        self.told = ""
        self.is_near = False
        self._held: Handle | None = None
        self._arm: int | None = None
        self._from = QPointF()
        self._under = ""

    # ------------------------------------------------------------------ where it is
    def find_arrow(
        self, handle: Handle, number: int, view: PumpView
    ) -> tuple[QPointF, QPointF] | None:
        """Find where an arm's arrow begins and ends in the picture; None where it points at the eye."""
        arm = handle.arms[number]
        ends_mm = np.stack(
            [handle.middle_mm, handle.middle_mm + arm.way, handle.middle_mm + arm.way * arm.base_mm]
        )
        middle, one, base = view.project(ends_mm)
        px_per_mm = math.hypot(one.x() - middle.x(), one.y() - middle.y())
        if px_per_mm * view.camera.mm_per_px < FLAT_SHARE:
            return None
        along = (one - middle) / px_per_mm
        letter = QFontMetricsF(view.font()).height()
        length = letter * (LONG if number in (0, self.chosen) else SHORT)
        start = base + along * CLEAR * letter
        room = QRectF(view.rect()).adjusted(8, 8, -8, -8)
        if room.contains(middle):  # of a part that reaches out of the picture the arrow stays in it
            start = _pull_in(start, start + along * length, room)
        return start, start + along * length

    def _list_shown(self, handle: Handle) -> list[int]:
        if self._arm is not None:
            return [self._arm]
        if self.is_near:
            return list(range(len(handle.arms)))
        return sorted({0, self.chosen} & set(range(len(handle.arms))))

    def _find_arrows(self, handle: Handle, view: PumpView) -> dict[int, tuple[QPointF, QPointF]]:
        """Find the arrows that are shown, by number; of two that would lie on each other only the one that matters more."""
        letter = QFontMetricsF(view.font()).height()
        found: dict[int, tuple[QPointF, QPointF]] = {}
        for number in sorted(self._list_shown(handle), key=lambda one: (one != self.chosen, one)):
            arrow = self.find_arrow(handle, number, view)
            if arrow is not None and not any(_lie_on(arrow, one, letter) for one in found.values()):
                found[number] = arrow
        return found

    def _find_bar(self, view: PumpView) -> tuple[str, QRectF] | None:
        """Find what is said at the bar of the chosen arrow, and its frame; None where nothing stops it or the travel is told."""
        handle = self._find()
        if handle is None or self.told or self.chosen >= len(handle.arms):
            return None
        arm, arrow = handle.arms[self.chosen], self._find_arrows(handle, view).get(self.chosen)
        if arrow is None or not arm.stop:
            return None
        return arm.stop, _find_frame(view.font(), arrow[1], arm.stop, QRectF(view.rect()))

    def find_taken(self, view: PumpView) -> list[QRectF]:
        """Keep names off what is said at the bar."""
        bar = self._find_bar(view)
        return [bar[1]] if bar else []

    def _find_arm(self, at: QPointF, handle: Handle, view: PumpView) -> int | None:
        best: tuple[float, int] | None = None
        for number, arrow in self._find_arrows(handle, view).items():
            away = _measure_away(at, *arrow)
            if away <= REACH_PX and (best is None or away < best[0]):
                best = away, number
        return best[1] if best else None

    def _is_near(self, at: QPointF, handle: Handle, view: PumpView) -> bool:
        middle = view.project(handle.middle_mm[None])[0]
        reach = NEAR * QFontMetricsF(view.font()).height()
        return math.hypot(at.x() - middle.x(), at.y() - middle.y()) <= reach

    # ------------------------------------------------------------------ hands
    def find_cursor(self, at: QPointF, view: PumpView) -> Qt.CursorShape | None:
        """Bring up all arrows near the part; an open hand over an arrow."""
        handle = self._find()
        near = handle is not None and self._is_near(at, handle, view)
        if near != self.is_near:
            self.is_near = near
            view.update()
        if handle is None or self._find_arm(at, handle, view) is None:
            return None
        return Qt.CursorShape.OpenHandCursor

    def take_hold(self, at: QPointF, view: PumpView) -> bool:
        """Take hold of an arrow, or of the part itself."""
        handle = self._find()
        if handle is None:
            return False
        under = self._pick(at) or ""
        # Over the part itself a click is a click on the part, however near an arrow is.
        arm = None if under in handle.moving else self._find_arm(at, handle, view)
        if arm is None and under not in handle.moving:
            return False
        self._held, self._arm, self._from, self._under = handle, None, at, under
        self._is_moved = False
        if arm is not None:
            self._start(arm, view)
        return True

    def _start(self, arm: int, view: PumpView) -> None:
        self._arm = self.chosen = arm
        self._begin(arm)
        view.setCursor(Qt.CursorShape.ClosedHandCursor)

    def drag(self, at: QPointF, view: PumpView) -> None:
        """Pull along the arm; of the part itself first find out which way the pointer goes."""
        handle = self._held
        if handle is None:
            return
        moved = at - self._from
        if not self._is_moved and math.hypot(moved.x(), moved.y()) < BEGIN_PX:
            return
        self._is_moved = True
        if self._arm is None:
            arm = self._choose_arm(moved, handle, view)
            if arm is None:
                return
            self._start(arm, view)
        assert self._arm is not None
        along = find_px_per_mm(handle.arms[self._arm].way, handle.middle_mm, view)
        length = along.x() ** 2 + along.y() ** 2
        self._drag((moved.x() * along.x() + moved.y() * along.y()) / max(length, 1e-9))

    def _choose_arm(self, moved: QPointF, handle: Handle, view: PumpView) -> int | None:
        """Find the way that lies nearest to where the pointer goes; of two equally near the first."""
        best: tuple[float, int] | None = None
        for number, arm in enumerate(handle.arms):
            along = find_px_per_mm(arm.way, handle.middle_mm, view)
            length = math.hypot(along.x(), along.y())
            if length * view.camera.mm_per_px < FLAT_SHARE:
                continue
            alike = (moved.x() * along.x() + moved.y() * along.y()) / length
            if best is None or alike > best[0] + 1e-6:
                best = alike, number
        return best[1] if best else None

    def find_arm_towards(self, moved: QPointF, view: PumpView) -> int | None:
        """Find the arm that points most nearly the way `moved` does in the picture; None where none does."""
        handle = self._find()
        return self._choose_arm(moved, handle, view) if handle else None

    def let_go(self, at: QPointF, view: PumpView) -> None:
        """Let go: what was pulled, or only clicked."""
        del at
        was, self._held = self._arm, None
        self._arm, self.told = None, ""
        view.unsetCursor()
        if was is None:
            self._click(self._under)
        elif self._is_moved:
            self._end()
        else:
            self._tap()

    # ------------------------------------------------------------------ looks
    def paint(self, painter: QPainter, view: PumpView) -> None:
        """Paint the arrows: full where it comes off, hollow with a bar across where something stops it."""
        handle = self._find()
        if handle is None:
            return
        letter = QFontMetricsF(view.font()).height()
        for number, arrow in self._find_arrows(handle, view).items():
            is_chosen = number in (self.chosen, self._arm)
            _paint_arrow(painter, *arrow, handle.arms[number], letter, is_chosen=is_chosen)
        bar = self._find_bar(view)
        if bar is not None:
            _paint_frame(painter, *bar, PALETTE.in_the_way)
        if self._arm is not None and self.told:
            held = self.find_arrow(handle, self._arm, view)
            if held is not None:
                frame = _find_frame(view.font(), held[1], self.told, QRectF(view.rect()))
                _paint_frame(painter, self.told, frame, PALETTE.ink)


def find_px_per_mm(way: Vector, middle_mm: Vector, view: PumpView) -> QPointF:
    """Find how a millimetre along a way is seen, in pixels."""
    here, there = view.project(np.stack([middle_mm, middle_mm + way]))
    return there - here


def _pull_in(start: QPointF, tip: QPointF, room: QRectF) -> QPointF:
    """Move an arrow by the least that brings its tip into the picture, and give where it begins then."""
    x = min(max(tip.x(), room.left()), room.right()) - tip.x()
    y = min(max(tip.y(), room.top()), room.bottom()) - tip.y()
    return start + QPointF(x, y)


def _measure_away(at: QPointF, start: QPointF, tip: QPointF) -> float:
    along, to = tip - start, at - start
    length = along.x() ** 2 + along.y() ** 2
    share = (to.x() * along.x() + to.y() * along.y()) / max(length, 1e-9)
    near = start + along * min(max(share, 0.0), 1.0)
    return math.hypot(at.x() - near.x(), at.y() - near.y())


def _paint_arrow(
    painter: QPainter,
    start: QPointF,
    tip: QPointF,
    arm: Arm,
    letter: float,
    *,
    is_chosen: bool,
) -> None:
    along = tip - start
    length = math.hypot(along.x(), along.y())
    along = along / length
    across = QPointF(-along.y(), along.x())
    half, head = WIDE * letter, 1.5 * WIDE * 2 * letter
    neck = tip - along * head
    path = QPainterPath()
    path.moveTo(start + across * half * 0.62)
    for corner in (
        neck + across * half * 0.62,
        neck + across * half * 1.7,
        tip,
        neck - across * half * 1.7,
        neck - across * half * 0.62,
        start - across * half * 0.62,
    ):
        path.lineTo(corner)
    path.closeSubpath()
    colour = PALETTE.accent if arm.comes_off else PALETTE.ink
    painter.setPen(QPen(PALETTE.paper, 7, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(path)
    painter.setPen(QPen(colour, 3.0 if is_chosen else 2.0))
    painter.setBrush(PALETTE.accent if arm.comes_off else PALETTE.paper)
    painter.drawPath(path)
    if not arm.comes_off:
        # A bar across: at the foot where a joint holds it, beyond the tip where something is ahead.
        spot = start - along * 4 if arm.is_held else tip + along * 5
        for pen in (QPen(PALETTE.paper, 9), QPen(PALETTE.in_the_way, 5)):
            painter.setPen(pen)
            painter.drawLine(spot - across * half * 2.1, spot + across * half * 2.1)


def _lie_on(one: tuple[QPointF, QPointF], other: tuple[QPointF, QPointF], letter: float) -> bool:
    """Say whether two arrows, each from start to tip, cover each other: both ends are within a letter's height."""
    away = (one[0] - other[0], one[1] - other[1])
    return all(math.hypot(end.x(), end.y()) < 1.5 * letter for end in away)


def _find_frame(base: QFont, tip: QPointF, text: str, area: QRectF) -> QRectF:
    """Find where a text stands below the tip of an arrow, inside the picture."""
    font = QFont(base)
    font.setBold(True)
    letters = QFontMetricsF(font)
    frame = letters.boundingRect(text).adjusted(-10, -5, 10, 5)
    frame.moveCenter(tip + QPointF(0, 2.0 * letters.height()))
    frame.moveLeft(min(max(frame.left(), area.left() + 6), area.right() - frame.width() - 6))
    frame.moveTop(min(max(frame.top(), area.top() + 6), area.bottom() - frame.height() - 6))
    return frame


def _paint_frame(painter: QPainter, text: str, frame: QRectF, colour: QColor) -> None:
    font = painter.font()
    font.setBold(True)
    painter.setFont(font)
    painter.setPen(QPen(colour, 2))
    painter.setBrush(QColor(PALETTE.paper))
    painter.drawRoundedRect(frame, 3, 3)
    painter.setPen(PALETTE.ink)
    painter.drawText(frame, Qt.AlignmentFlag.AlignCenter, text)
