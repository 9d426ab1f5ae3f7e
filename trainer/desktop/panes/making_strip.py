"""The strip at the foot of the picture while something is made: what, how far, how long still, and a way to leave it."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QVBoxLayout, QWidget

from trainer.desktop.over_picture import OverPicture
from trainer.desktop.pieces import GAP_PX, MARGIN_PX, make_button, make_label, set_text
from trainer.desktop.time_left import TimeLeft
from trainer.words import Words

COUNT_MS = 1000
SOON_MS = 1000
"""What is made sooner than this, other shims for example, needs no strip: it would only flash."""


class MakingStrip(OverPicture):
    """Show work in the background, once it has gone on for a while; `left` says that it is not wanted any more."""

    left = Signal()

    def __init__(self, words: Words, picture: QWidget) -> None:
        super().__init__("motion", picture, at_foot=True)
        self._words = words
        self._soon = QTimer(self, singleShot=True, interval=SOON_MS)
        self._soon.timeout.connect(self.lay_over)
        self.time = TimeLeft()
        self.what = make_label("heading")
        self.how_far = make_label("small")
        self.bar = QProgressBar()
        self.bar.setTextVisible(False)
        self.bar.setAccessibleName(words.say("choosing.progress"))
        self.cancel = make_button(
            words.say("choosing.cancel"), self.left.emit, spoken=words.say("choosing.cancel-spoken")
        )
        self._far = ""
        self._counting = QTimer(self, interval=COUNT_MS)
        self._counting.timeout.connect(self._tell)
        texts = QVBoxLayout()
        texts.setSpacing(2)
        for widget in (self.what, self.how_far, self.bar):
            texts.addWidget(widget)
        row = QHBoxLayout(self)
        row.setContentsMargins(MARGIN_PX, GAP_PX // 2, MARGIN_PX, GAP_PX // 2)
        row.setSpacing(GAP_PX)
        row.addLayout(texts, 1)
        row.addWidget(self.cancel, 0, Qt.AlignmentFlag.AlignVCenter)

    @property
    def is_on(self) -> bool:
        """Is something being made that has been told of, or is going to be if it takes longer?"""
        return self._soon.isActive() or not self.isHidden()

    def begin(self, what: str) -> None:
        """Say what is being made; how far it is comes later."""
        self.time.forget()
        set_text(self.what, what)
        self.tell("", 0, 0, None)
        self._counting.start()
        if self.isHidden():
            self._soon.start()

    def tell(self, far: str, done: int, of: int, left_s: float | None) -> None:
        """Tell how far it is: in words, and `done` of `of`, 0 of 0 where that cannot be known."""
        self._far = far
        self.bar.setRange(0, of)
        self.bar.setValue(done)
        self.time.note(left_s)
        self._tell()

    def _tell(self) -> None:
        told = [text for text in (self._far, self.time.tell(self._words)) if text]
        text = self._words.say("choosing.waiting") if not told else " ".join(told)
        if text != self.how_far.text():
            set_text(self.how_far, text)
            if not self.isHidden():
                self.lay_over()
            self.bar.setAccessibleDescription(text)

    def end(self) -> None:
        """Go out of sight: it is made, or left."""
        self._soon.stop()
        self._counting.stop()
        self.hide()
