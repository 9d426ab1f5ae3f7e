"""A layout that sets its widgets in rows and begins another where one is full: for large type and narrow windows."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget

GROUP_GAPS = 3
"""How many times as far apart as its members a group stands from the next."""


class Flow(QLayout):
    """Set widgets from left to right; one that finds no room begins a row.

    `add_gap` keeps the widgets after it apart from those before it. With `fills` the widgets of a row share
    what room is left in it, those that were given a stretch before the others. With `likes_one_row` it asks for the
    width of all in one row, and takes less.
    """

    def __init__(
        self, gap_px: int, row_gap_px: int, *, fills: bool = False, likes_one_row: bool = False
    ) -> None:
        super().__init__()
        self._likes_one_row = likes_one_row
        self._fills = fills
        self._stretches: dict[int, int] = {}
        self._items: list[QLayoutItem] = []
        self._wide: set[int] = set()
        self._gap_px, self._row_gap_px = gap_px, row_gap_px
        self._heights: dict[int, int] = {}
        """What was found since anything changed: layouts ask for the same heights again and again."""

    def add_gap(self) -> None:
        """Begin another group."""
        self._wide.add(len(self._items))

    def addWidget(self, widget: QWidget, stretch: int = 0) -> None:
        """Take a widget; `stretch` says how it shares in the room that is left in its row."""
        super().addWidget(widget)
        self._stretches[id(widget)] = stretch

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
        if width not in self._heights:
            self._heights[width] = self._set_rows(QRect(0, 0, width, 0), place=False)
        return self._heights[width]

    def invalidate(self) -> None:
        """Forget what was found: something in it has changed."""
        self._heights.clear()
        super().invalidate()

    def setGeometry(self, rect: QRect) -> None:
        """Place the widgets."""
        super().setGeometry(rect)
        self._set_rows(rect, place=True)

    def sizeHint(self) -> QSize:
        """Ask for no more than the widest item, unless one row is liked; the height follows from the width."""
        least = self.minimumSize()
        if not self._likes_one_row:
            return least
        widths = [item.sizeHint().width() for item in self._items if _is_seen(item)]
        margins = self.contentsMargins().left() + self.contentsMargins().right()
        wide = sum(widths) + self._gap_px * max(len(widths) - 1, 0) + margins
        return QSize(max(wide, least.width()), least.height())

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
        for number, row in enumerate(self._split(inner.width())):
            widths = [width for _, _, width in row]
            if self._fills:
                used = widths[0] + sum(gap + width for _, gap, width in row[1:])
                widths = self._share([item for item, _, _ in row], widths, inner.width() - used)
            heights = [
                _find_height(item, width) for (item, _, _), width in zip(row, widths, strict=True)
            ]
            y += self._row_gap_px if number else 0
            if place:
                x = inner.x()
                for (item, gap, _), width, height in zip(row, widths, heights, strict=True):
                    x += gap
                    high = max(heights) if self._fills else height
                    # What is lower than its row, as a word beside buttons, stands in the middle of it.
                    down = (max(heights) - high) // 2
                    item.setGeometry(QRect(QPoint(x, y + down), QSize(width, high)))
                    x += width
            y += max(heights)
        return y - rect.y() + margins.bottom()

    def _split(self, room_px: int) -> list[list[tuple[QLayoutItem, int, int]]]:
        """Split the items that are seen into rows, each with the gap before it and its width."""
        rows: list[list[tuple[QLayoutItem, int, int]]] = []
        x = 0
        for number, item in enumerate(self._items):
            if not _is_seen(item):
                continue
            width = min(item.sizeHint().width(), room_px)
            gap = self._gap_px * (GROUP_GAPS if number in self._wide else 1)
            if not rows or x + gap + width > room_px:
                rows.append([])
                gap = x = 0
            rows[-1].append((item, gap, width))
            x += gap + width
        return rows

    def _share(self, items: list[QLayoutItem], widths: list[int], left_px: int) -> list[int]:
        """Share what is left of a row."""
        stretches = [self._stretches.get(id(item.widget()), 0) for item in items]
        if not any(stretches):
            stretches = [1] * len(items)
        more = [left_px * stretch // sum(stretches) for stretch in stretches]
        return [width + extra for width, extra in zip(widths, more, strict=True)]


def _find_height(item: QLayoutItem, width_px: int) -> int:
    """Find how high an item is at a width."""
    return item.heightForWidth(width_px) if item.hasHeightForWidth() else item.sizeHint().height()


def _is_seen(item: QLayoutItem) -> bool:
    widget: QWidget | None = item.widget()
    return widget is None or not widget.isHidden()
