"""Tell a fault of the program itself in the window: most start it without a terminal, and would see nothing happen."""

from __future__ import annotations

import sys
import threading
import traceback
from types import TracebackType

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from trainer.desktop.over_picture import OverPicture
from trainer.desktop.pieces import GAP_PX, MARGIN_PX, make_button, make_label, set_text
from trainer.desktop.speaking import speak
from trainer.own_fault import keep_own_fault
from trainer.words import Words


class FaultNote(OverPicture):
    """Say over the head of the picture what went wrong, until it has been read; all else goes on."""

    def __init__(self, words: Words, picture: QWidget) -> None:
        super().__init__("cautionBox", picture, at_foot=False)
        self.heading = make_label("heading", words.say("start.fault-heading"))
        self.text = make_label()
        self.done = make_button(
            words.say("start.fault-read"), self.hide, spoken=words.say("start.fault-read-spoken")
        )
        texts = QVBoxLayout()
        texts.setSpacing(GAP_PX // 2)
        texts.addWidget(self.heading)
        texts.addWidget(self.text)
        row = QHBoxLayout(self)
        row.setContentsMargins(MARGIN_PX, GAP_PX, MARGIN_PX, GAP_PX)
        row.setSpacing(GAP_PX)
        row.addLayout(texts, 1)
        row.addWidget(self.done, 0, Qt.AlignmentFlag.AlignVCenter)

    def tell(self, text: str) -> None:
        """Say it; a screen reader says it at once."""
        set_text(self.text, text)
        self.lay_over()
        speak(self, f"{self.heading.text()}. {text}", urgent=True)


class OwnFaults(QObject):
    """Keep every fault that nobody else has caught, in any thread, and tell it in the window.

    What is painted again and again fails again and again: a fault is told once for each place that it comes from.
    """

    _came = Signal(str, str)

    def __init__(self, words: Words, picture: QWidget) -> None:
        super().__init__(picture)
        self._words = words
        self.note = FaultNote(words, picture)
        self._known: set[tuple[str, int | None]] = set()
        self._came.connect(self._tell)

    def watch(self) -> None:
        """Take from now on what ends up nowhere else."""
        sys.excepthook = self.take
        threading.excepthook = lambda came: self.take(
            came.exc_type, came.exc_value or came.exc_type(), came.exc_traceback
        )

    def take(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        """Take a fault; one that is none, such as a stop by the keyboard, goes where it always went."""
        if not issubclass(kind, Exception):
            sys.__excepthook__(kind, error, trace)
            return
        places = traceback.extract_tb(trace)
        place = (places[-1].filename, places[-1].lineno) if places else (str(error), None)
        if place in self._known:
            return
        self._known.add(place)
        what, file = keep_own_fault(error)
        sys.stderr.write(self._words.say("start.own-fault", what=what, file=file) + "\n")
        self._came.emit(what, file)

    def _tell(self, what: str, file: str) -> None:
        self.note.tell(self._words.say("start.fault-text", what=what, file=file))
