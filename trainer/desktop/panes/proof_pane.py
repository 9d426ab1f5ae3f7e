"""The proof card: what is claimed, and everything that stands behind it, down to the row of the table."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QProgressBar, QVBoxLayout, QWidget

from models.spec.build import Build
from trainer.desktop.pieces import (
    GAP_PX,
    Box,
    Choice,
    Pane,
    make_button,
    make_label,
    make_rule,
    set_text,
)
from trainer.desktop.telling_proof import ToldLine
from trainer.words import Words
from trainer.words.speech import begin
from trainer.words.telling import tell_clearance

LEAST_LETTERS = 4


@dataclass(frozen=True, slots=True)
class Passage:
    """A heading, texts below it, and lines of a chain; each line has a place that can be copied."""

    heading: str
    texts: Sequence[str] = ()
    lines: Sequence[ToldLine] = ()


class ProofPane(Pane):
    """Show one proof. `chosen` asks for that of a clearance by name, `closed` for what was here before."""

    chosen = Signal(str)
    closed = Signal()

    def __init__(self, words: Words) -> None:
        super().__init__(words.say("proof.pane"))
        self._words = words
        self.which = Choice(words.say("proof.which"), LEAST_LETTERS)
        self.which.activated.connect(lambda _row: self._choose())
        self.title = make_label("paneTitle", words.say("proof.title"))
        self.claim = Box("box")
        self.inside = QWidget()
        self.inside.setObjectName("clear")
        self.passages = QVBoxLayout(self.inside)
        self.passages.setContentsMargins(0, 0, 0, 0)
        self.passages.setSpacing(GAP_PX // 2)
        self.solids = make_label("heading", words.say("proof.solids"))
        self.progress = QProgressBar()
        self.progress.setRange(0, 0)
        self.progress.setTextVisible(False)
        self.progress.setAccessibleName(words.say("proof.measuring"))
        self.measured = make_label()
        self.copied = make_label("small")
        self.links: list[QWidget] = []
        for widget in (
            self.which, self.title, self.claim, self.solids, self.progress, self.measured,
            make_rule(), self.inside,
        ):  # fmt: skip
            self.column.addWidget(widget)
        self.column.addStretch(1)
        self.back = make_button(
            words.say("proof.close"), self.closed.emit, spoken=words.say("proof.close-spoken")
        )
        self.foot_column.insertWidget(0, self.copied)
        self.foot_row.addWidget(self.back)
        self.foot.show()
        self.tell_solids("")

    def list_clearances(self, build: Build | None) -> None:
        """List every clearance of a build to choose from; none where there is no build."""
        words = self._words
        names = [one.name for one in build.clearances] if build else []
        texts = [tell_clearance(words, name) for name in names]
        self.which.fill(["", *names], [words.say("proof.which"), *(begin(text) for text in texts)])  # fmt: skip

    def show_proof(
        self, title: str, claim: str, passages: Iterable[Passage], *, is_fault: bool, name: str = ""
    ) -> None:
        """Show a proof from its top; `name` is the clearance it is of, "" for a move."""
        self.which.choose(name)
        self.which.setVisible(bool(name))  # beside a move a list of clearances says nothing
        set_text(self.title, begin(title))
        self.setAccessibleDescription(f"{title}. {claim}")
        self.claim.tell(claim, name="cautionBox" if is_fault else "rightBox")
        self._clear()
        for passage in passages:
            self.passages.addWidget(make_label("heading", passage.heading))
            for text in passage.texts:
                self.passages.addWidget(make_label(text=begin(text)))
            before = ""
            for line in passage.lines:
                self._add_line(line, before)
                before = line.title
        set_text(self.copied, "")
        self.show_top()

    def _add_line(self, line: ToldLine, before: str) -> None:
        """Add a line; who says it is not said again where that is the same as of the line before."""
        words = self._words
        spoken = words.say("proof.line-spoken", what=line.what, place=line.place, title=line.title)
        link = make_button(_shorten(line.place), partial(self._copy, line.place), name="link", spoken=spoken)  # fmt: skip
        self.passages.addWidget(make_label(text=line.what))
        title = "" if line.title == before else line.title
        small = "; ".join(one for one in (line.counts, title) if one)
        if small:
            self.passages.addWidget(make_label("small", small))
        self.passages.addWidget(link)
        self.links.append(link)

    def tell_solids(self, text: str, *, is_waiting: bool = False) -> None:
        """Tell what the solids said, or that they are being asked; "" when they are not asked at all."""
        self.solids.setVisible(bool(text))
        self.progress.setVisible(is_waiting)
        set_text(self.measured, text)

    def forget(self) -> None:
        """Show no proof: another pump comes."""
        set_text(self.title, self._words.say("proof.title"))
        self.setAccessibleDescription("")
        self.claim.tell("")
        self.tell_solids("")
        self.which.choose("")
        self.which.show()
        self._clear()

    def _clear(self) -> None:
        self.links = []
        while self.passages.count():
            item = self.passages.takeAt(0)
            widget = item.widget() if item else None
            if widget is not None:
                widget.hide()
                widget.deleteLater()

    def _copy(self, place: str) -> None:
        QGuiApplication.clipboard().setText(place)
        set_text(self.copied, self._words.say("proof.copied", place=place))

    def _choose(self) -> None:
        if self.which.name:
            self.chosen.emit(self.which.name)


def _shorten(place: str) -> str:
    """Give the last parts of a place alone: the whole is long, and is told and copied."""
    return place.rpartition("tables/")[2]
