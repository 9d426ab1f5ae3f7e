"""The parts list as it is seen: numbers in the rings of the picture, names, quantities, and what is withheld."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFontMetrics,
    QFontMetricsF,
    QKeyEvent,
    QPainter,
    QPen,
    QResizeEvent,
    QShowEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeView,
)

from trainer.desktop.letters import make_heavy, make_smaller
from trainer.desktop.panes.parts_model import ROW_ROLE, Index, PartRow, PartsModel
from trainer.desktop.theme import PALETTE
from trainer.words import Words

ROW_SHARE = 1.75
"""Height of a line, in heights of its letters."""
SMALL_SHARE = 0.85
"""Size of numbers, quantities and sub-assemblies, in sizes of a name."""
PAD_PX = 8


class PartsTree(QTreeView):
    """List parts under their sub-assemblies. Arrows go from line to line, Enter takes one.

    gone_to: another line became the current one. taken: one was clicked, or Enter was pressed on it.
    pointed: the pointer is on the line of another part, "" for none.
    """

    gone_to = Signal(str)
    taken = Signal(str)
    pointed = Signal(str)

    def __init__(self, words: Words) -> None:
        super().__init__()
        self.parts = PartsModel(words, self)
        self.setModel(self.parts)
        self.setItemDelegate(_LineDelegate(self))
        self.setAccessibleName(words.say("finding.list"))
        self.setHeaderHidden(True)
        self.setRootIsDecorated(False)
        self.setIndentation(0)
        self.setExpandsOnDoubleClick(False)
        self.setUniformRowHeights(False)
        self.setMouseTracking(True)
        self.setTabKeyNavigation(False)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.parts.modelReset.connect(self.expandAll)
        self.clicked.connect(self._take)
        self.entered.connect(lambda index: self.pointed.emit(self.parts.read_part(index)))

    def go_to(self, part: str, *, quietly: bool = True) -> None:
        """Make the line of a part the current one and bring it into view; quietly it tells nobody."""
        index = self.parts.find(part)
        selection = self.selectionModel()
        was = selection.blockSignals(quietly)
        if index.isValid():
            self.setCurrentIndex(index)
            self.show_current()
        else:
            selection.clear()
        selection.blockSignals(was)
        self.viewport().update()

    def show_current(self) -> None:
        """Bring the current line into view, with its neighbours, if it is not."""
        index = self.currentIndex()
        if index.isValid() and not self.viewport().rect().contains(self.visualRect(index)):
            self.scrollTo(index, QAbstractItemView.ScrollHint.PositionAtCenter)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the current line in view."""
        super().resizeEvent(event)
        self.show_current()

    def showEvent(self, event: QShowEvent) -> None:
        """Come with the current line in view."""
        super().showEvent(event)
        self.show_current()

    @property
    def part(self) -> str:
        """The part of the current line; "" for none."""
        return self.parts.read_part(self.currentIndex())

    def currentChanged(self, current: Index, previous: Index) -> None:
        """Tell that another line is the current one, when it was gone to by hand."""
        super().currentChanged(current, previous)
        part = self.parts.read_part(current)
        if part and not self.selectionModel().signalsBlocked():
            self.gone_to.emit(part)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take the current line with Enter; open and shut a sub-assembly with it."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._take(self.currentIndex())
        else:
            super().keyPressEvent(event)

    def _take(self, index: Index) -> None:
        part = self.parts.read_part(index)
        if part:
            self.taken.emit(part)
        elif index.isValid():
            self.setExpanded(index, not self.isExpanded(index))

    def leaveEvent(self, event: QEvent) -> None:
        """Be on no line any more."""
        super().leaveEvent(event)
        self.pointed.emit("")

    def changeEvent(self, event: QEvent) -> None:
        """Set the lines anew when the letters have another size."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self.scheduleDelayedItemsLayout()


class _LineDelegate(QStyledItemDelegate):
    """Paint a line: a sub-assembly, or a part with its ring, name and quantity."""

    def __init__(self, owner: PartsTree) -> None:
        super().__init__(owner)
        self._owner = owner

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Be one line high."""
        del option, index
        return QSize(120, round(ROW_SHARE * QFontMetrics(self._owner.font()).height()))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one line."""
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        row = index.data(ROW_ROLE)
        if isinstance(row, PartRow):
            is_chosen = bool(option.state & QStyle.StateFlag.State_Selected)
            self._paint_part(painter, QRect(option.rect), row, is_chosen=is_chosen)
        else:
            self._paint_group(painter, QRect(option.rect), index)
        painter.restore()

    def _paint_group(self, painter: QPainter, line: QRect, index: Index) -> None:
        is_open = self._owner.isExpanded(index)
        painter.fillRect(line, PALETTE.ground)
        if index == self._owner.currentIndex() and self._owner.hasFocus():
            painter.setPen(QPen(PALETTE.in_the_way, 2))
            painter.drawRect(line.adjusted(1, 1, -2, -2))
        painter.setFont(make_heavy(make_smaller(self._owner.font(), SMALL_SHARE)))
        painter.setPen(PALETTE.quiet_ink)
        text = line.adjusted(PAD_PX, 0, -PAD_PX, 0)
        middle = Qt.AlignmentFlag.AlignVCenter
        painter.drawText(text, middle | Qt.AlignmentFlag.AlignLeft, str(index.data()))
        painter.drawText(
            text, middle | Qt.AlignmentFlag.AlignRight, "\N{MINUS SIGN}" if is_open else "+"
        )

    def _paint_part(self, painter: QPainter, line: QRect, row: PartRow, *, is_chosen: bool) -> None:
        font = self._owner.font()
        ring = 0.8 * line.height()
        is_pointed = row.part == self._owner.parts.lighted
        if is_chosen or is_pointed:
            painter.fillRect(line, PALETTE.soft)
        if is_chosen:
            painter.fillRect(QRect(line.left(), line.top(), 5, line.height()), PALETTE.accent)
        if is_chosen and self._owner.hasFocus():
            painter.setPen(QPen(PALETTE.in_the_way, 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(line.adjusted(1, 1, -2, -2))
        around = QRectF(line.left() + PAD_PX + 4, line.center().y() - ring / 2 + 1, ring, ring)
        painter.setPen(QPen(PALETTE.accent if is_chosen else PALETTE.ink, 1.3))
        painter.setBrush(PALETTE.accent if is_chosen else PALETTE.paper)
        painter.drawEllipse(around)
        small = make_smaller(font, SMALL_SHARE)
        painter.setFont(small)
        painter.setPen(PALETTE.on_accent if is_chosen else PALETTE.ink)
        painter.drawText(around, Qt.AlignmentFlag.AlignCenter, str(row.number))
        # A name stands where the trade writes it: number, name, quantity last.
        rest = QRectF(line).adjusted(around.right() - line.left() + PAD_PX, 0, -PAD_PX, 0)
        middle = Qt.AlignmentFlag.AlignVCenter
        painter.setPen(PALETTE.ink)
        if row.count > 1:
            count = f"{row.count} ×"
            painter.drawText(rest, middle | Qt.AlignmentFlag.AlignRight, count)
            rest.setRight(rest.right() - QFontMetricsF(small).horizontalAdvance(count) - PAD_PX)
        if row.withheld:
            painter.setPen(PALETTE.quiet_ink)
            painter.drawText(rest, middle | Qt.AlignmentFlag.AlignRight, row.withheld)
            rest.setRight(
                rest.right() - QFontMetricsF(small).horizontalAdvance(row.withheld) - PAD_PX
            )
        painter.setFont(font)
        painter.setPen(PALETTE.quiet_ink if row.withheld else PALETTE.ink)
        name = QFontMetricsF(font).elidedText(row.name, Qt.TextElideMode.ElideRight, rest.width())
        painter.drawText(rest, middle | Qt.AlignmentFlag.AlignLeft, name)
