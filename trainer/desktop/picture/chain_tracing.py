"""The dimension chain of a clearance over the live picture: arrows that follow every turn and zoom, and the gap in accent."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QGuiApplication, QPainter, QPen, QPolygonF

from models.spec.face import Axis
from trainer.desktop.picture.chain_layout import (
    PAD_PX,
    ChainLayout,
    RowLayout,
    find_row_px,
    lay_out_columns,
    lay_out_rows,
)
from trainer.desktop.picture.overlay import NameTag, paint_tags
from trainer.desktop.picture.tracing import Tracing
from trainer.desktop.theme import PALETTE
from trainer.stage.chain_drawing import ChainDrawing

if TYPE_CHECKING:
    from trainer.desktop.picture.view import PumpView

Vector = npt.NDArray[np.float64]
Ends = Sequence[tuple[Vector, Vector]]
LEAST_SQUARE_ON = 0.5
"""A chain turned so far away that less than this of its length is seen is not drawn: its arrows would mislead."""
SMALL = 0.86
FILLED = 0.8
"""How much of a row its letters may fill."""
LEAST_PX = 11
HEAD_PX = 11.0
GRIP_PX = 9.0
SHADE = 236


class ChainTracing(Tracing):
    """Paint a chain; the pack of shims has a grip that can be dragged.

    `pulled(px, free)` is called while the grip is dragged, with how far in pixels to the right and whether Shift is
    down; `dropped()` when it is let go.
    """

    def __init__(self, pulled: Callable[[float, bool], None], dropped: Callable[[], None]) -> None:
        self._pulled, self._dropped = pulled, dropped
        self.drawing: ChainDrawing | None = None
        self.named: Mapping[str, NameTag] = {}
        self.spots: dict[str, Vector] = {}
        self.pack_row = -1
        self.texts: list[str] = []
        self.ends: Ends = ()
        self.faces: Sequence[tuple[Sequence[tuple[Vector, Vector]], bool]] = ()
        self.shares_head = ""
        self.factor_text = ""
        self.turn_text = ""
        self._held_from: float | None = None
        self._grip = QPointF()

    # ------------------------------------------------------------------ what is shown
    def show_chain(self, drawing: ChainDrawing, pack_row: int) -> None:
        """Show a chain; `pack_row` is the row of the shims, -1 for none."""
        self.drawing, self.pack_row, self.named = drawing, pack_row, {}
        self.texts = [*(row.text for row in drawing.rows), drawing.gap_text]
        self.ends = [*((row.start, row.end) for row in drawing.rows), drawing.gap]
        self.shares_head = drawing.shares

    def show_named(
        self, named: Mapping[str, NameTag], spots: Mapping[str, Vector] | None = None
    ) -> None:
        """Show the dimensions of a clearance that is no walk, named at a spot (3,) mm of each part."""
        self.spots = dict(spots or {})
        self.drawing, self.named, self.ends, self.texts, self.pack_row = None, named, (), [], -1

    def clear(self) -> None:
        """Show nothing."""
        self.show_named({})
        self.faces, self.factor_text, self._held_from = (), "", None

    @property
    def is_shown(self) -> bool:
        """Is there anything to paint?"""
        return self.drawing is not None or bool(self.named)

    # ------------------------------------------------------------------ where it lies
    def lay_out(self, view: PumpView, font: QFont) -> ChainLayout | None:
        """Lay the chain out as the view stands; None where it is turned away."""
        drawing = self.drawing
        if drawing is None:
            return None
        along = np.zeros(3)
        along[list(Axis).index(drawing.axis)] = 1.0
        right, up = abs(along @ view.camera.right), abs(along @ view.camera.up)
        if max(right, up) < LEAST_SQUARE_ON:
            return None
        spots = view.project(np.array([end for pair in self.ends for end in pair]))
        ends = list(zip(spots[::2], spots[1::2], strict=True))
        area = QRectF(view.rect()).adjusted(8, 6, -8, -4)
        plain, heavy = make_fonts(font, self._find_row_px(area, font))

        def measure(text: str, is_heavy: bool) -> float:  # noqa: FBT001 - asked by a layout
            return QFontMetricsF(heavy if is_heavy else plain).horizontalAdvance(text)

        lay_out = lay_out_rows if right >= up else lay_out_columns
        return lay_out(area, measure_letters(font), ends, self.texts, measure)

    def _find_row_px(self, area: QRectF, font: QFont) -> float:
        """Find how high a row is; of many rows the letters get smaller."""
        if self.drawing is None or self.drawing.axis is not Axis.X:
            return 1e3
        return find_row_px(area, measure_letters(font), len(self.ends))

    # ------------------------------------------------------------------ by hand
    def find_cursor(self, at: QPointF, view: PumpView) -> Qt.CursorShape | None:
        """Show that the pack can be dragged."""
        del view
        return Qt.CursorShape.SizeHorCursor if self._is_on_grip(at) else None

    def take_hold(self, at: QPointF, view: PumpView) -> bool:
        """Take hold of the pack."""
        del view
        if not self._is_on_grip(at):
            return False
        self._held_from = at.x()
        return True

    def drag(self, at: QPointF, view: PumpView) -> None:
        """Make the pack thicker to the right, thinner to the left; Shift lets go of what the drawer holds."""
        del view
        if self._held_from is not None:
            shift = QGuiApplication.keyboardModifiers() & Qt.KeyboardModifier.ShiftModifier
            self._pulled(at.x() - self._held_from, bool(shift))

    def let_go(self, at: QPointF, view: PumpView) -> None:
        """Let go of the pack."""
        del at, view
        self._held_from = None
        self._dropped()

    @property
    def grip(self) -> QPointF:
        """Where the grip of the pack was painted last."""
        return self._grip

    def _is_on_grip(self, at: QPointF) -> bool:
        return self.pack_row >= 0 and (at - self._grip).manhattanLength() < 2.2 * GRIP_PX

    # ------------------------------------------------------------------ painting
    def paint(self, painter: QPainter, view: PumpView) -> None:
        """Paint arrows, texts and bars, or the names at the parts; and by how much the gap is shown larger."""
        base = view.font()
        self._paint_faces(painter, view)
        if self.drawing is not None:
            layout = self.lay_out(view, base)
            if layout is None:
                _paint_note(painter, view, self.turn_text)
            else:
                self._paint_chain(painter, view, layout, base)
        elif self.named:
            spots = self._find_spots(view)
            area = QRectF(view.rect()).adjusted(6, 6, -6, -6)
            font = QFont(base)
            font.setPixelSize(round(SMALL * QFontMetricsF(base).height() * 0.8))
            painter.setFont(font)
            paint_tags(painter, {n: s for n, s in spots.items() if area.contains(s)}, self.named, area)  # fmt: skip
        if self.factor_text:
            painter.setFont(base)
            _paint_factor(painter, self.factor_text, view.width())

    def _find_spots(self, view: PumpView) -> dict[str, QPointF]:
        """Find where each named piece is seen in the section."""
        points = np.array([self.spots[name] for name in self.named])
        return dict(zip(self.named, view.project(points), strict=True))

    def _paint_faces(self, painter: QPainter, view: PumpView) -> None:
        """Paint the lines in which the two faces stand in the section, thick; dotted what stands behind it."""
        for lines, is_behind in self.faces:
            style = Qt.PenStyle.DotLine if is_behind else Qt.PenStyle.SolidLine
            spots = view.project(np.array(lines).reshape(-1, 3))
            for colour, width in ((PALETTE.ground, 9.0), (PALETTE.accent, 5.5)):
                painter.setPen(QPen(colour, width, style, Qt.PenCapStyle.FlatCap))
                for a, b in zip(spots[::2], spots[1::2], strict=True):
                    painter.drawLine(a, b)

    def _paint_chain(
        self, painter: QPainter, view: PumpView, layout: ChainLayout, base: QFont
    ) -> None:
        assert self.drawing is not None
        area = QRectF(view.rect()).adjusted(8, 6, -8, -4)
        plain, heavy = make_fonts(base, self._find_row_px(area, base))
        ground = QColor(PALETTE.ground)
        ground.setAlpha(SHADE)
        panel = layout.panel.adjusted(-8, 0, 8, 6)
        painter.fillRect(panel, ground)
        painter.setPen(QPen(PALETTE.rule, 1))
        edge = (panel.topLeft(), panel.topRight()) if layout.is_across else (panel.topLeft(), panel.bottomLeft())  # fmt: skip
        painter.drawLine(*edge)
        last = len(layout.rows) - 1
        inside = QRectF(view.rect())
        painter.save()
        if layout.is_across:  # what goes on beyond the picture stops at the bars
            painter.setClipRect(
                inside.adjusted(0, 0, layout.head.left() - PAD_PX - inside.right(), 0)
            )
        for number, row in enumerate(layout.rows):
            _paint_extensions(painter, row, inside, is_gap=number == last)
        self._paint_rows(painter, layout, plain, heavy)
        painter.restore()
        self._paint_bars(painter, layout, plain, heavy)
        if self.pack_row >= 0:
            self._paint_grip(painter, layout)

    def _paint_rows(
        self, painter: QPainter, layout: ChainLayout, plain: QFont, heavy: QFont
    ) -> None:
        """Paint the arrows and what is written at them; the last, the gap, is heavy and in accent."""
        last = len(layout.rows) - 1
        colours = [PALETTE.ink] * last + [PALETTE.accent]
        # First what a text interrupts, last what lies below its text: the next one's ground must not cover it.
        is_below = [layout.is_across and row.start.y() > row.text.bottom() for row in layout.rows]
        for row, colour, below in zip(layout.rows, colours, is_below, strict=True):
            if not below:
                _paint_arrow(painter, row, colour, is_across=layout.is_across)
            painter.fillRect(row.text, PALETTE.ground)
        for number, (row, colour) in enumerate(zip(layout.rows, colours, strict=True)):
            if is_below[number]:
                _paint_arrow(painter, row, colour, is_across=True)
            if not layout.is_across:
                painter.setPen(QPen(PALETTE.rule, 1))
                painter.drawLine(QPointF(row.start.x(), row.text.center().y()), QPointF(row.text.left(), row.text.center().y()))  # fmt: skip
            painter.setPen(colour)
            painter.setFont(heavy if number == last else plain)
            how = MIDDLE if layout.is_across else LEFT | WRAP
            painter.drawText(row.text, how, self.texts[number])

    def _paint_bars(
        self, painter: QPainter, layout: ChainLayout, plain: QFont, heavy: QFont
    ) -> None:
        """Paint who spreads the gap by how much; the largest is heavy."""
        assert self.drawing is not None
        rows = self.drawing.rows
        most = max(*(row.share for row in rows), 1e-9)
        painter.setFont(heavy)
        painter.setPen(PALETTE.quiet_ink)
        ground = QColor(PALETTE.ground)
        ground.setAlpha(SHADE)
        if not layout.head.isEmpty():  # it stands over the picture
            wide = QFontMetricsF(heavy).horizontalAdvance(self.shares_head) + PAD_PX
            painter.fillRect(
                layout.head.adjusted(-PAD_PX, 0, wide - layout.head.width(), 0), ground
            )
        painter.drawText(layout.head, LEFT, self.shares_head)
        for row, box in zip(rows, layout.bars, strict=False):
            is_most = row.share > most - 1e-9
            painter.setFont(heavy if is_most else plain)
            painter.setPen(PALETTE.ink if is_most else PALETTE.quiet_ink)
            painter.drawText(box, LEFT, row.share_text)
            room = QFontMetricsF(heavy).horizontalAdvance("100 %  ")
            width = max(row.share / most * (box.width() - room), 1.0)
            tall = min(0.36 * box.height(), 7.0)
            painter.fillRect(QRectF(box.left() + room, box.center().y() - tall / 2, width, tall), PALETTE.ink if is_most else PALETTE.quiet_ink)  # fmt: skip

    def _paint_grip(self, painter: QPainter, layout: ChainLayout) -> None:
        """Paint a grip at the pack's text: two arrow heads, the one thing here that can be dragged."""
        box = layout.rows[self.pack_row].text
        self._grip = QPointF(box.right() + 1.8 * GRIP_PX, box.center().y())
        painter.setPen(QPen(PALETTE.ground, 1))
        painter.setBrush(PALETTE.in_the_way if self._held_from is not None else PALETTE.accent)
        painter.drawEllipse(self._grip, 1.35 * GRIP_PX, 1.05 * GRIP_PX)
        painter.setBrush(PALETTE.ground)
        for way in (-1, 1):
            tip = self._grip + QPointF(way * GRIP_PX, 0)
            painter.drawPolygon(QPolygonF([tip, tip + QPointF(-way * 6, -5), tip + QPointF(-way * 6, 5)]))  # fmt: skip


WRAP = Qt.TextFlag.TextWordWrap
MIDDLE = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextDontClip
LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


def measure_letters(base: QFont) -> float:
    """Measure how high the letters of a row are where there is room enough."""
    return SMALL * QFontMetricsF(base).height()


def make_fonts(base: QFont, row_px: float) -> tuple[QFont, QFont]:
    """Make the plain and the heavy letters of rows so high."""
    plain = QFont(base)
    size = base.pixelSize() if base.pixelSize() > 0 else round(QFontMetricsF(base).height() * 0.75)
    plain.setPixelSize(max(round(min(SMALL * size, FILLED * row_px)), LEAST_PX))
    heavy = QFont(plain)
    heavy.setBold(True)
    return plain, heavy


def _paint_extensions(painter: QPainter, row: RowLayout, inside: QRectF, *, is_gap: bool) -> None:
    """Paint from each face to where its arrow begins or ends; a face outside the picture has none."""
    colour = PALETTE.accent if is_gap else PALETTE.quiet_ink
    for face, foot in ((row.from_face, row.start), (row.to_face, row.end)):
        if not inside.contains(foot):
            continue
        painter.setPen(QPen(colour, 2.0 if is_gap else 1.0))
        painter.drawLine(face, foot)
        if inside.contains(face) and face.y() <= foot.y() - row.text.height():
            painter.setBrush(colour)
            painter.setPen(QPen(PALETTE.ground, 1.5))
            painter.drawEllipse(face, 4.0, 4.0)


def _paint_arrow(painter: QPainter, row: RowLayout, colour: QColor, *, is_across: bool) -> None:
    """Paint an arrow from start to end; where it is too short for one, a head from outside at each end."""
    line = row.end - row.start
    length = (line.x() ** 2 + line.y() ** 2) ** 0.5
    way = line / length if length > 1e-6 else QPointF(1.0, 0.0) if is_across else QPointF(0.0, -1.0)
    painter.setPen(QPen(colour, 2.4))
    painter.setBrush(colour)
    if row.is_outside:
        for tip, out in ((row.start, way * -1.0), (row.end, way)):
            painter.drawLine(tip + out * 2.2 * HEAD_PX, tip)
            _paint_head(painter, tip, out * -1.0)
        return
    painter.drawLine(row.start, row.end - way * HEAD_PX)
    painter.setPen(Qt.PenStyle.NoPen)
    _paint_head(painter, row.end, way)


def _paint_head(painter: QPainter, tip: QPointF, way: QPointF) -> None:
    back, side = tip - way * HEAD_PX, QPointF(-way.y(), way.x()) * 0.42 * HEAD_PX
    painter.drawPolygon(QPolygonF([tip, back + side, back - side]))


def _paint_note(painter: QPainter, view: PumpView, text: str) -> None:
    letters = QFontMetricsF(painter.font())
    box = letters.boundingRect(text).adjusted(-12, -6, 12, 6)
    box.moveCenter(QPointF(view.width() / 2, view.height() - box.height()))
    painter.setPen(QPen(PALETTE.rule, 1))
    painter.setBrush(PALETTE.ground)
    painter.drawRoundedRect(box, 3, 3)
    painter.setPen(PALETTE.ink)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)


def _paint_factor(painter: QPainter, text: str, width_px: float) -> None:
    """State in large type by how much the gap is shown larger than it is."""
    font = QFont(painter.font())
    size = font.pixelSize() if font.pixelSize() > 0 else 17
    font.setPixelSize(round(1.5 * size))
    font.setBold(True)
    room = (width_px - 60) / QFontMetricsF(font).horizontalAdvance(text)
    font.setPixelSize(round(1.5 * size * min(room, 1.0)))
    painter.setFont(font)
    box = QFontMetricsF(font).boundingRect(text).adjusted(-14, -6, 14, 6)
    box.moveTopRight(QPointF(width_px - 14, 12))
    painter.setPen(QPen(PALETTE.in_the_way, 2.5))
    painter.setBrush(PALETTE.ground)
    painter.drawRoundedRect(box, 3, 3)
    painter.setPen(PALETTE.in_the_way)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
