"""Lay a dimension chain out over the live picture: a row for each part crossed, its text where nothing covers it.

Where the chain runs across the picture its arrows lie in rows below the pump; where it runs upwards, in columns
beside it. Plain rectangles and points, so that it is laid out anew at every frame.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF

MOST_ROWS_SHARE = 0.46
"""Share of the picture's height that the rows may take; beyond it they draw together."""
BESIDE_SHARE = 0.17
"""Share of the picture's width beside the rows for the bars that say who spreads the gap."""
COLUMNS_SHARE = 0.5
"""Where the columns begin, as a share of the picture's width."""
NARROW_PX = 16.0
"""An arrow shorter than this is drawn from outside."""
PAD_PX = 10.0
OVER_SHARE = 0.44
"""An arrow that its text finds no room in or beside lies so much of a row lower, below its text."""

Measure = Callable[[str, bool], float]
"""Tells how wide a text is in pixels, plain or (True) heavy."""


@dataclass(frozen=True, slots=True)
class RowLayout:
    """Where one arrow lies: from and to, the faces it reaches from, and the rectangle of its text.

    is_outside: too short for an arrow between its ends, so that its head comes from outside.
    """

    start: QPointF
    end: QPointF
    from_face: QPointF
    to_face: QPointF
    text: QRectF
    is_outside: bool


@dataclass(frozen=True, slots=True)
class ChainLayout:
    """Where all arrows of a chain lie; the last is the gap. panel: what is kept clear for them. bars: beside each row."""

    rows: tuple[RowLayout, ...]
    panel: QRectF
    bars: tuple[QRectF, ...]
    head: QRectF
    is_across: bool


def find_row_px(area: QRectF, letters_px: float, rows: int) -> float:
    """Find the height of a row for `rows` rows and one for their head."""
    return float(min(1.45 * letters_px, MOST_ROWS_SHARE * area.height() / (rows + 1)))


def find_section(area: QRectF, letters_px: float, rows: int, *, is_across: bool) -> QRectF:
    """Find the part of the picture in which the section is to be seen beside the arrows."""
    if not is_across:
        return QRectF(area.left(), area.top(), COLUMNS_SHARE * area.width(), area.height())
    down = (rows + 1.2) * find_row_px(area, letters_px, rows)
    return QRectF(area.left(), area.top(), (1 - BESIDE_SHARE) * area.width(), area.height() - down)


def lay_out_rows(
    area: QRectF,
    letters_px: float,
    ends: Sequence[tuple[QPointF, QPointF]],
    texts: Sequence[str],
    measure: Measure,
) -> ChainLayout:
    """Lay arrows out in rows below the section; the last, the gap, is heavy."""
    row_px = find_row_px(area, letters_px, len(ends))
    section = find_section(area, letters_px, len(ends), is_across=True)
    panel = QRectF(area.left(), section.bottom(), area.width(), area.bottom() - section.bottom())
    right = section.right()
    rows, bars = [], []
    for number, ((start, end), text) in enumerate(zip(ends, texts, strict=True)):
        y = arrow_y = section.bottom() + (number + 1.0) * row_px
        top, bottom = 0.48 * row_px, 0.48 * row_px
        low, high = sorted((start.x(), end.x()))
        low, high = max(low, area.left()), min(high, right)
        width = measure(text, number == len(ends) - 1) + PAD_PX
        if high - low > width + 5 * PAD_PX:
            left = (low + high - width) / 2
        elif high + 3 * PAD_PX + width < right:
            left = max(high, area.left()) + 3 * PAD_PX
        elif low - 3 * PAD_PX - width > area.left():
            left = min(low, right) - 3 * PAD_PX - width
        else:
            # As on any drawing: above its line, which it would hide otherwise.
            left = min(max((low + high - width) / 2, area.left()), right - width)
            arrow_y = y + OVER_SHARE * row_px
            top, bottom = 0.5 * row_px, 0.3 * row_px
        box = QRectF(max(left, area.left()), y - top, width, top + bottom)
        is_outside = abs(end.x() - start.x()) < NARROW_PX
        rows.append(RowLayout(QPointF(start.x(), arrow_y), QPointF(end.x(), arrow_y), start, end, box, is_outside))  # fmt: skip
        bars.append(QRectF(right + PAD_PX, y - row_px / 2, area.right() - right - 2 * PAD_PX, row_px))  # fmt: skip
    # Above the edge of the panel, which would run through its letters.
    head = QRectF(right + PAD_PX, section.bottom() - 1.1 * row_px, bars[0].width(), row_px)
    return ChainLayout(tuple(rows), panel, tuple(bars), head, is_across=True)


def lay_out_columns(
    area: QRectF,
    letters_px: float,
    ends: Sequence[tuple[QPointF, QPointF]],
    texts: Sequence[str],
    measure: Measure,
) -> ChainLayout:
    """Lay arrows out in columns beside the section; their texts stand one below the other, right of all."""
    section = find_section(area, letters_px, len(ends), is_across=False)
    panel = QRectF(section.right(), area.top(), area.right() - section.right(), area.height())
    step = 2.6 * PAD_PX
    row_px = 1.25 * letters_px
    text_left = section.right() + (len(ends) + 1.2) * step
    room = area.right() - text_left
    middle = area.center().y() - 1.6 * row_px * (len(ends) - 1)
    rows, bars = [], []
    for number, ((start, end), text) in enumerate(zip(ends, texts, strict=True)):
        x = section.right() + (number + 1) * step
        wide = measure(text, number == len(ends) - 1) + PAD_PX
        lines = 1 if wide <= room else 2
        y = middle + 3.2 * number * row_px
        box = QRectF(text_left, y - lines * row_px / 2, min(wide, room), lines * row_px)
        is_outside = abs(end.y() - start.y()) < NARROW_PX
        rows.append(RowLayout(QPointF(x, start.y()), QPointF(x, end.y()), start, end, box, is_outside))  # fmt: skip
        bars.append(QRectF(text_left, box.bottom(), room, row_px))
    return ChainLayout(tuple(rows), panel, tuple(bars), QRectF(), is_across=False)
