"""The parts list as a model: sub-assemblies, and in each its parts with number, name and quantity."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import (
    QAbstractItemModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
)

from trainer.words import Words

Index = QModelIndex | QPersistentModelIndex
ROW_ROLE = Qt.ItemDataRole.UserRole
NO_INDEX = QModelIndex()


@dataclass(frozen=True, slots=True)
class PartRow:
    """A line of the list: a part, its number and name, how many there are, and how it is withheld ("" for not)."""

    part: str
    number: int
    name: str
    count: int
    withheld: str = ""


@dataclass(frozen=True, slots=True)
class GroupRows:
    """A sub-assembly: its name in words ("" where it has none) and its lines."""

    name: str
    rows: tuple[PartRow, ...]


class PartsModel(QAbstractItemModel):
    """Hold the lines of the list. A sub-assembly without a name has no line of its own if it is the only one."""

    def __init__(self, words: Words, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._words = words
        self._all: tuple[GroupRows, ...] = ()
        self._groups: tuple[GroupRows, ...] = ()
        self._fits: Collection[str] | None = None
        self.lighted = ""
        """The part that the pointer is on in the picture."""

    # ------------------------------------------------------------------ what it holds
    def fill(self, groups: Sequence[GroupRows]) -> None:
        """Fill it anew with all there is."""
        self._all = tuple(groups)
        self.show_only(self._fits)

    def show_only(self, fits: Collection[str] | None) -> None:
        """Show the lines of some parts only; None shows all."""
        groups = tuple(
            GroupRows(group.name, rows)
            for group in self._all
            if (rows := tuple(row for row in group.rows if fits is None or row.part in fits))
        )
        self._fits = fits
        if groups != self._groups:
            self.beginResetModel()
            self._groups = groups
            self.endResetModel()

    def mark_withheld(self, withheld: Mapping[str, str]) -> None:
        """Say of parts in which way they are withheld, in words; the others are not."""
        groups = _mark(self._groups, withheld)
        self._all = _mark(self._all, withheld)
        if groups != self._groups:
            self._groups = groups
            self._tell_changed()

    def light(self, part: str) -> None:
        """Light the line of the part that the pointer is on."""
        if part != self.lighted:
            self.lighted = part
            self._tell_changed()

    def _tell_changed(self) -> None:
        for number, group in enumerate(self._groups):
            head = self.index(number, 0)
            self.dataChanged.emit(self.index(0, 0, head), self.index(len(group.rows) - 1, 0, head))

    @property
    def rows(self) -> list[PartRow]:
        """All lines of parts that are shown, from top to bottom."""
        return [row for group in self._groups for row in group.rows]

    def find(self, part: str) -> QModelIndex:
        """Find the line of a part; an invalid index where it is not shown."""
        for number, group in enumerate(self._groups):
            for at, row in enumerate(group.rows):
                if row.part == part:
                    return self.index(at, 0, self.index(number, 0))
        return QModelIndex()

    def read_part(self, index: Index) -> str:
        """Read the part of a line; "" for the line of a sub-assembly."""
        row = index.data(ROW_ROLE) if index.isValid() else None
        return row.part if isinstance(row, PartRow) else ""

    # ------------------------------------------------------------------ what Qt asks
    def index(self, row: int, column: int, parent: Index = NO_INDEX) -> QModelIndex:
        """Give an index: lines of parts carry the number of their sub-assembly, from 1."""
        if not self.hasIndex(row, column, parent):
            return QModelIndex()
        return self.createIndex(row, column, parent.row() + 1 if parent.isValid() else 0)

    def parent(self, index: Index = NO_INDEX) -> QModelIndex:  # type: ignore[override]  # QObject has one without an index
        """Give the sub-assembly of a line."""
        group = index.internalId() if index.isValid() else 0
        return self.createIndex(group - 1, 0, 0) if group else QModelIndex()

    def rowCount(self, parent: Index = NO_INDEX) -> int:
        """Count lines."""
        if not parent.isValid():
            return len(self._groups)
        return 0 if parent.internalId() else len(self._groups[parent.row()].rows)

    def columnCount(self, parent: Index = NO_INDEX) -> int:
        """Have one column, which the lines are painted in: readers hear each line whole."""
        del parent
        return 1

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Give the text of a line, what a reader says of it, or the line itself."""
        if not index.isValid():
            return None
        group = index.internalId()
        if not group:
            return self._tell_group(self._groups[index.row()], role)
        row = self._groups[group - 1].rows[index.row()]
        if role == ROW_ROLE:
            return row
        if role == Qt.ItemDataRole.DisplayRole:
            return f"{row.number} {row.name}"
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            told = self._words.count(
                "finding.row", row.count, place=self._words.number(row.number, 0), part=row.name
            )
            return f"{told}, {row.withheld}" if row.withheld else told
        return None

    def _tell_group(self, group: GroupRows, role: int) -> object:
        name = group.name or self._words.say("finding.no-group")
        if role == Qt.ItemDataRole.DisplayRole:
            return name
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self._words.count("finding.group-row", len(group.rows), group=name)
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Let lines of parts be chosen, and those of sub-assemblies be opened and shut."""
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable


def _mark(groups: Sequence[GroupRows], withheld: Mapping[str, str]) -> tuple[GroupRows, ...]:
    return tuple(
        GroupRows(
            group.name,
            tuple(replace(row, withheld=withheld.get(row.part, "")) for row in group.rows),
        )
        for group in groups
    )
