"""What is said of an answer that is no line of a list: a sign in its colour, and the reason beside it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from trainer.desktop.pieces import GAP_PX, TextLabel, drop_widget, make_label

SIGNS = {True: "✓", False: "✗"}
STYLES = {True: "signRight", False: "signWrong"}


class VerdictText(QWidget):
    """Tell findings, one below the other, each with its sign; hidden while there is none."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("clear")
        self._rows: list[tuple[TextLabel, TextLabel]] = []
        self._told: list[str] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(GAP_PX // 2)
        self._grid.setVerticalSpacing(GAP_PX // 2)
        self._grid.setColumnStretch(1, 1)
        self.hide()

    def tell(self, findings: Sequence[tuple[bool, str]]) -> None:
        """Tell what was found, each right or wrong, with its reason as Markdown."""
        for row in self._rows:
            for label in row:
                drop_widget(self._grid, label)
        self._rows = []
        self._told = [f"{SIGNS[is_right]} {text}" for is_right, text in findings]
        for number, (is_right, text) in enumerate(findings):
            sign = make_label(STYLES[is_right], SIGNS[is_right])
            sign.setWordWrap(False)
            why = make_label("why", text, markdown=True)
            self._grid.addWidget(sign, number, 0, Qt.AlignmentFlag.AlignTop)
            self._grid.addWidget(why, number, 1)
            self._rows.append((sign, why))
        self.setVisible(bool(findings))

    def text(self) -> str:
        """Give all that is told."""
        return "\n".join(self._told)
