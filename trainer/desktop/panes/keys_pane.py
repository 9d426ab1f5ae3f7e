"""All keys and gestures there are, as the window really takes them."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from trainer.desktop.pieces import GAP_PX, Pane, drop_widget, make_button, make_label
from trainer.words import Words
from trainer.words.speech import begin

HOW_SHARE, DOES_SHARE = 2, 3


class KeysPane(Pane):
    """List by what something is done, and beside it what is done."""

    left = Signal()

    def __init__(self, words: Words) -> None:
        super().__init__(words.say("desk.keys"))
        self._words = words
        self.column.addWidget(make_label("paneTitle", words.say("desk.keys")))
        self.column.addWidget(make_label("small", words.say("desk.keys-hint")))
        self._lists = QWidget()
        self._place = self.column.count()
        self.column.addWidget(self._lists)
        self.column.addStretch(1)
        self.done = make_button(words.say("desk.done"), self.left.emit)
        self.foot_row.addWidget(self.done)
        self.foot.show()

    def list_all(self, lists: Sequence[tuple[str, Sequence[tuple[str, str]]]]) -> None:
        """List anew.

        Args:
            lists: headings, each with what is listed below it: by what, and what it does.
        """
        drop_widget(self.column, self._lists)
        self._lists = QWidget()
        self._lists.setObjectName("clear")
        grid = QGridLayout(self._lists)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setVerticalSpacing(GAP_PX // 2)
        grid.setColumnStretch(0, HOW_SHARE)
        grid.setColumnStretch(1, DOES_SHARE)
        row = 0
        for heading, entries in lists:
            grid.addWidget(make_label("heading", heading), row, 0, 1, 2)
            for number, (how, does) in enumerate(entries, start=row + 1):
                can_break = how.replace(
                    "+", "+\u200b"
                )  # large letters may break a chord between its keys
                top = Qt.AlignmentFlag.AlignTop
                grid.addWidget(make_label(text=can_break), number, 0, top)
                grid.addWidget(make_label("small", begin(does)), number, 1, top)
            row += len(entries) + 1
        self.column.insertWidget(self._place, self._lists)
