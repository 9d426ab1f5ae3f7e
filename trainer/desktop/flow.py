"""A layout that sets its widgets in rows and begins another where one is full: for large type and narrow windows."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget


class Flow(QLayout):
    """Set widgets from left to right; one that finds no room begins a row.

    `add_gap` keeps the widgets after it apart from those before it.
    """

    def __init__(self, gap_px: int, row_gap_px: int) -> None:
        super().__init__()
        self._items: list[QLayoutItem] = []
        self._wide: set[int] = set()
        self._gap_px, self._row_gap_px = gap_px, row_gap_px

    def add_gap(self) -> None:
        """Begin another group."""
        self._wide.add(len(self._items))

    def addItem(self, item: QLayoutItem) -> None:
        """Take an item."""
        self._items.append(item)

    def count(self) -> int:
        """Count the items."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """Give an item; None past the last."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Take an item out; None past the last."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        """Never ask for more than it needs."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        """Its height depends on its width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Tell how high it is at a width."""
        return self._set_rows(QRect(0, 0, width, 0), place=False)

    def setGeometry(self, rect: QRect) -> None:
        """Place the widgets."""
        super().setGeometry(rect)
        self._set_rows(rect, place=True)

    def sizeHint(self) -> QSize:
        """Ask for no more than the widest item; the height follows from the width."""
        return self.minimumSize()

    def minimumSize(self) -> QSize:
        """Never be narrower than the widest item."""
        size = QSize()
        for item in self._items:
            if _is_seen(item):
                size = size.expandedTo(item.minimumSize())
        margins = self.contentsMargins()
        return size + QSize(margins.left() + margins.right(), margins.top() + margins.bottom())

    def _set_rows(self, rect: QRect, *, place: bool) -> int:
        margins = self.contentsMargins()
        inner = rect.adjusted(margins.left(), margins.top(), -margins.right(), -margins.bottom())
        y = inner.y()
        for number, row in enumerate(self._find_rows(inner.width())):
            row_px = max(size.height() for _, _, size in row)
            y += self._row_gap_px if number else 0
            for item, x, size in row if place else ():
                # What is lower than its row stands in the middle of it.
                at = QPoint(inner.x() + x, y + (row_px - size.height()) // 2)
                item.setGeometry(QRect(at, QSize(min(size.width(), inner.width()), size.height())))
            y += row_px
        return y - rect.y() + margins.bottom()

    def _find_rows(self, width_px: int) -> list[list[tuple[QLayoutItem, int, QSize]]]:
        """Find which items stand in each row, each with its place from the left and its size."""
        rows: list[list[tuple[QLayoutItem, int, QSize]]] = []
        x = 0
        for number, item in enumerate(self._items):
            if not _is_seen(item):
                continue
            size = item.sizeHint()
            x += self._gap_px * (4 if number in self._wide else 1)
            if not rows or x + size.width() > width_px:
                rows.append([])
                x = 0
            rows[-1].append((item, x, size))
            x += size.width()
        return rows


def _is_seen(item: QLayoutItem) -> bool:
    widget: QWidget | None = item.widget()
    return widget is None or not widget.isHidden()
