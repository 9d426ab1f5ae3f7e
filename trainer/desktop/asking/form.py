"""What answers one field of a question: each form is answered by a control of its own."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from models.spec.build import Build
from trainer.desktop.asking.unbroken import bind_units
from trainer.desktop.asking.verdict_text import VerdictText
from trainer.desktop.pieces import GAP_PX, make_label
from trainer.lesson.item import Field, PiecesShown, Reply, Shown
from trainer.lesson.marking import FieldMark
from trainer.lesson.said import Filling
from trainer.session.as_left import Plain
from trainer.words import Words
from trainer.words.speech import begin
from trainer.words.telling_item import tell_filling


@dataclass(frozen=True, slots=True)
class Asking:
    """What a control asks of: the build a question was drawn from, and its language."""

    words: Words
    build: Build

    def tell(self, said: Filling) -> str:
        """Tell what is said."""
        return bind_units(tell_filling(self.words, self.build, said))

    def tell_plain(self, said: Filling) -> str:
        """Tell it as a sentence where nothing can be made heavy."""
        return begin(self.tell(said).replace("**", ""))


class FormControl(QWidget):
    """Answer one field.

    changed: a hand has changed the answer. entered: it is to be marked, by Enter. spoken_of: what the line that
    is gone to speaks of, to be shown; None for nothing.
    """

    changed = Signal()
    entered = Signal()
    spoken_of = Signal(object)

    def __init__(self, asking: Asking, field: Field) -> None:
        super().__init__()
        self.asking, self.words, self.field = asking, asking.words, field
        self.is_marked = False
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(GAP_PX // 2)
        self.asks = make_label(text=asking.tell_plain(field.asks))
        self.found = VerdictText()
        self.column.addWidget(self.asks)

    @property
    def spoken(self) -> str:
        """What a screen reader calls it."""
        return self.asks.text()

    def read(self) -> Reply:
        """Read the answer. Raises RefusalError with what to mend."""
        raise TypeError(f"{type(self).__name__} reads no answer")

    def describe(self) -> Plain:
        """Describe what is answered so far, as it stands."""
        raise TypeError(f"{type(self).__name__} describes no answer")

    def fill(self, value: Plain) -> None:
        """Answer as was described before. Raises StrangeValueError for what is no answer to this question."""
        raise TypeError(f"{type(self).__name__} takes no answer {value!r}")

    def show_mark(self, mark: FieldMark) -> None:
        """Show how it went, and why: where no line carries it, as a paragraph below."""
        self.is_marked = True
        self.found.tell(
            [(one.is_right, begin(self.asking.tell(one.said))) for one in mark.findings]
        )

    def find_shown(self) -> Shown | None:
        """Find what the view plays to the line that is gone to; None before it is marked, or where there is nothing."""
        return None

    def take_pick(self, piece: str) -> bool:
        """Take a piece that was picked in the picture; False when this field does not ask for one."""
        del piece
        return False

    def forget_mark(self) -> None:
        """Show no mark any more: the answer is another now."""
        self.is_marked = False
        self.found.tell(())


def show_pieces(*pieces: str) -> PiecesShown | None:
    """Show pieces; None where there are none."""
    return PiecesShown(pieces) if pieces else None
