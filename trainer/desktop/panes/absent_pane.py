"""What stands in place of a pane that is for our own pumps while somebody's assembly is on the bench."""

from __future__ import annotations

from PySide6.QtCore import Signal

from trainer.desktop.pieces import Pane, make_button, make_label, set_text
from trainer.words import Words


class AbsentPane(Pane):
    """Say kindly why there is nothing here, and lead to the pumps."""

    pumps_asked = Signal()

    def __init__(self, words: Words) -> None:
        super().__init__(words.say("choosing.absent-title"))
        self._words = words
        self.text = make_label()
        self.column.addWidget(make_label("paneTitle", words.say("choosing.absent-title")))
        self.column.addWidget(self.text)
        self.column.addStretch(1)
        self.go = make_button(words.say("choosing.absent-go"), self.pumps_asked.emit, name="main")
        self.foot_row.addWidget(self.go)
        self.foot.show()

    def stand_for(self, pane: str) -> None:
        """Stand in place of the pane of that name."""
        set_text(self.text, self._words.say(f"choosing.absent-{pane}"))
