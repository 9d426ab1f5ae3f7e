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
        x, y, row_px = inner.x(), inner.y(), 0
        for number, item in enumerate(self._items):
            if not _is_seen(item):
                continue
            size = item.sizeHint()
            begins = x == inner.x()
            x += 0 if begins else self._gap_px * (4 if number in self._wide else 1)
            if not begins and x + size.width() > inner.right() + 1:
                x, y, row_px = inner.x(), y + row_px + self._row_gap_px, 0
            if place:
                wide = min(size.width(), inner.width())
                item.setGeometry(QRect(QPoint(x, y), QSize(wide, size.height())))
            x += size.width()
            row_px = max(row_px, size.height())
        return y + row_px - rect.y() + margins.bottom()


def _is_seen(item: QLayoutItem) -> bool:
    widget: QWidget | None = item.widget()
    return widget is None or not widget.isHidden()
