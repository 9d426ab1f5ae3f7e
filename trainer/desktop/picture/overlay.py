"""What is painted over a frame of the pump: names on leaders."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from trainer.desktop.theme import PALETTE

MOST_NAMES = 5
LARGER = 1.4
REACHES = (2.6, 4.2, 6.0, 8.5)
"""How far a name may stand from its part, in heights of its letters, nearest first."""
SIDES = ((1, -1), (-1, -1), (1, 1), (-1, 1))


@dataclass(frozen=True, slots=True)
class NameTag:
    """A name on a leader; `barred` is for what is in the way, `is_large` for what moves before a class."""

    text: str
    barred: bool = False
    is_large: bool = False


def paint_tags(
    painter: QPainter,
    spots: Mapping[str, QPointF],
    tags: Mapping[str, NameTag],
    area: QRectF,
    kept: Sequence[QRectF] = (),
) -> list[QRectF]:
    """Paint names beside their spots so that none covers another, or what is kept; one that finds no room is left out.

    Returns:
        The rectangles taken.
    """
    usual_px = QFontMetricsF(painter.font()).height()
    fonts = {is_large: _make_font(painter.font(), is_large=is_large) for is_large in (False, True)}
    taken: list[QRectF] = []
    leaders: list[QLineF] = []
    for name, spot in list(spots.items())[:MOST_NAMES]:
        tag = tags[name]
        painter.setFont(fonts[tag.is_large])
        letters = QFontMetricsF(fonts[tag.is_large])
        room = letters.boundingRect(tag.text).adjusted(-10, -5, 10, 5)
        frame = _find_room(spot, room, usual_px, area, [*kept, *taken], leaders)
        if frame is None:
            continue
        taken.append(frame)
        leaders.append(_make_leader(spot, frame))
        colour = PALETTE.in_the_way if tag.barred else PALETTE.accent
        _paint_leader(painter, leaders[-1], colour)
        painter.setPen(QPen(colour, 2))
        painter.setBrush(PALETTE.field)
        painter.drawRoundedRect(frame, 3, 3)
        painter.setPen(PALETTE.ink)
        painter.drawText(frame, Qt.AlignmentFlag.AlignCenter, tag.text)
    return taken


def _make_font(font: QFont, *, is_large: bool) -> QFont:
    """Make the heavy letters of a name; those of what moves are larger."""
    heavy = QFont(font)
    heavy.setBold(True)
    if is_large and heavy.pixelSize() > 0:
        heavy.setPixelSize(round(LARGER * heavy.pixelSize()))
    elif is_large:
        heavy.setPointSizeF(LARGER * heavy.pointSizeF())
    return heavy


def find_inner_spot(seen: npt.NDArray[np.bool_]) -> tuple[int, int] | None:
    """Find a pixel (column, row) well inside a patch (h, w), near its middle; None for an empty one."""
    rows, columns = np.flatnonzero(seen.any(axis=1)), np.flatnonzero(seen.any(axis=0))
    if not len(rows):
        return None
    top, left = int(rows[0]), int(columns[0])
    # A rim of nothing around it, so that the patch is peeled from its outermost pixels, too.
    patch = np.pad(seen[top : rows[-1] + 1, left : columns[-1] + 1], 1)
    # Peel the rim while something is left: what stays last lies away from every edge.
    for _ in range(12):
        inner = patch.copy()
        inner[1:] &= patch[:-1]
        inner[:-1] &= patch[1:]
        inner[:, 1:] &= patch[:, :-1]
        inner[:, :-1] &= patch[:, 1:]
        if not inner.any():
            break
        patch = inner
    down, across = np.nonzero(patch)
    nearest = int(np.argmin((down - down.mean()) ** 2 + (across - across.mean()) ** 2))
    return int(across[nearest]) - 1 + left, int(down[nearest]) - 1 + top


def _find_room(
    spot: QPointF,
    room: QRectF,
    letter_px: float,
    area: QRectF,
    taken: Sequence[QRectF],
    leaders: Sequence[QLineF],
) -> QRectF | None:
    """Find the nearest place for a name whose leader crosses nothing, or else the nearest; None where all is taken."""
    free = []
    for reach in REACHES:
        for right, down in SIDES:
            frame = QRectF(room)
            frame.moveCenter(
                QPointF(
                    spot.x() + right * (reach * 0.7 * letter_px + room.width() / 2),
                    spot.y() + down * reach * letter_px,
                )
            )
            # Half out of the picture is no place, but a name may be pushed in from the rim.
            frame.moveLeft(min(max(frame.left(), area.left() + 4), area.right() - room.width() - 4))
            apart = frame.adjusted(-6, -6, 6, 6)
            if (
                area.contains(frame)
                and not apart.contains(spot)
                and not any(map(apart.intersects, taken))
            ):
                free.append(frame)
    clear = (frame for frame in free if _is_clear(_make_leader(spot, frame), frame, taken, leaders))
    return next(clear, free[0] if free else None)


def _make_leader(spot: QPointF, frame: QRectF) -> QLineF:
    near = QPointF(
        min(max(spot.x(), frame.left() + 8), frame.right() - 8),
        frame.bottom() if frame.center().y() < spot.y() else frame.top(),
    )
    return QLineF(spot, near)


def _is_clear(
    leader: QLineF, frame: QRectF, taken: Sequence[QRectF], leaders: Sequence[QLineF]
) -> bool:
    """Does a leader cross no other and no name, and no other leader this name?"""
    return not (
        any(_meet(leader, other) for other in leaders)
        or any(_runs_through(leader, other) for other in taken)
        or any(_runs_through(other, frame) for other in leaders)
    )


def _meet(one: QLineF, other: QLineF) -> bool:
    return one.intersects(other)[0] == QLineF.IntersectionType.BoundedIntersection


def _runs_through(line: QLineF, frame: QRectF) -> bool:
    corners = (frame.topLeft(), frame.topRight(), frame.bottomRight(), frame.bottomLeft())
    return frame.contains(line.p1()) or any(
        _meet(line, QLineF(corners[n - 1], corner)) for n, corner in enumerate(corners)
    )


def _paint_leader(painter: QPainter, leader: QLineF, colour: QColor) -> None:
    # A pale line under the leader keeps it seen over dark parts.
    for pen in (QPen(PALETTE.ground, 5), QPen(colour, 2)):
        painter.setPen(pen)
        painter.drawLine(leader)
    painter.setBrush(colour)
    painter.setPen(QPen(PALETTE.ground, 1.5))
    painter.drawEllipse(leader.p1(), 4.5, 4.5)
