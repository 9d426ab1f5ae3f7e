"""What was guessed of somebody's assembly, part by part and joint by joint, to be mended where it is wrong."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QTreeWidget,
    QTreeWidgetItem,
)

from trainer.core.order.guess import Surety
from trainer.desktop.flow import Flow
from trainer.desktop.panes.joint_guess import JointGuess
from trainer.desktop.panes.part_guess import PartGuess
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
from trainer.session.step_bench import StepBench
from trainer.session.step_form import AXES
from trainer.words import Words
from trainer.words.naming import StepNaming

MOST_LINES = 9


class GuessPane(Pane):
    """Show guesses; what is changed of a part, of a joint or of the way up is told by signals."""

    up_chosen = Signal(str)
    pointed = Signal(object)
    read_asked = Signal()
    save_asked = Signal()
    left = Signal()

    def __init__(self, words: Words) -> None:
        super().__init__(words.say("guess.pane"))
        self._words = words
        self._bench: StepBench | None = None
        self._naming: StepNaming | None = None
        self.title = make_label("paneTitle", words.say("guess.pane"))
        self.facts = make_label("small")
        self.note = Box("cautionBox")
        self.up = Choice(words.say("guess.up"), least_letters=4)
        self.up.fill(AXES, [words.say(f"guess.axis{axis}") for axis in AXES])
        self.up.activated.connect(lambda _row: self.up_chosen.emit(self.up.name))
        self.parts = QTreeWidget()
        self.parts.setAccessibleName(words.say("guess.parts"))
        self.parts.setRootIsDecorated(False)
        self.parts.setHeaderLabels(
            [words.say(f"guess.column-{n}") for n in ("part", "many", "kind")]
        )
        header = self.parts.header()
        header.setStretchLastSection(False)
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.parts.setObjectName("guesses")
        self.parts.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.parts.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.parts.currentItemChanged.connect(lambda *_: self._show_part())
        self.part = PartGuess(words)
        self.joints = JointGuess(words)
        self.read = make_button(
            words.say("guess.read"), self.read_asked.emit, spoken=words.say("guess.read-spoken")
        )
        self.save = make_button(
            words.say("guess.save"), self.save_asked.emit, spoken=words.say("guess.save-spoken")
        )
        self.done = make_button(
            words.say("guess.done"), self.left.emit, spoken=words.say("guess.done-spoken")
        )
        self._arrange()

    def _arrange(self) -> None:
        words = self._words
        up = Flow(
            GAP_PX, GAP_PX // 2, fills=True
        )  # the choice begins a row where letters are large
        up.setContentsMargins(0, 0, 0, 0)
        label = make_label("small", words.say("guess.up"))
        label.setBuddy(self.up)
        label.setWordWrap(False)
        up.addWidget(label)
        up.addWidget(self.up, 1)
        for widget in (self.title, self.note, self.facts):
            self.column.addWidget(widget)
        self.column.addLayout(up)
        self.column.addWidget(self.parts)
        self.column.addWidget(self.part)
        self.column.addWidget(make_rule())
        self.column.addWidget(make_label("heading", words.say("guess.joints")))
        self.column.addWidget(self.joints)
        self.column.addStretch(1)
        self.foot_row.addWidget(self.done)
        self.foot_row.addWidget(self.read)
        self.foot_row.addWidget(self.save, 1)
        self.foot.show()

    # ------------------------------------------------------------------ what it shows
    def show_bench(self, bench: StepBench, naming: StepNaming) -> None:
        """Show an assembly's guesses; the part that was chosen stays so."""
        self._bench, self._naming = bench, naming
        chosen = self.chosen
        self.note.tell("")
        set_text(self.facts, self._tell_facts(bench))
        self.up.choose(bench.form.up)
        self.parts.blockSignals(True)  # the same line stays chosen
        self.parts.clear()
        for part in dict.fromkeys(piece.part for piece in bench.step.pieces):
            self.parts.addTopLevelItem(self._make_line(bench, naming, part))
        self.parts.blockSignals(False)
        self._fit_parts()
        self.joints.show_bench(bench, naming)
        if not self.choose(chosen):
            self.part.hide()

    def _fit_parts(self) -> None:
        """Give the list room for its lines, however large the letters are."""
        lines = min(self.parts.topLevelItemCount(), MOST_LINES)
        line_px, head_px = self.parts.sizeHintForRow(0), self.parts.header().sizeHint().height()
        self.parts.setFixedHeight(max(lines * line_px, 0) + head_px + GAP_PX)

    def changeEvent(self, event: QEvent) -> None:
        """Fit the list once all in it has its new letters."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.StyleChange, QEvent.Type.FontChange):
            QTimer.singleShot(0, self._fit_parts)

    def _make_line(self, bench: StepBench, naming: StepNaming, part: str) -> QTreeWidgetItem:
        words = self._words
        count = sum(piece.part == part for piece in bench.step.pieces)
        if part in naming.guesses:
            name, kind = naming.tell_part(part), naming.tell_kind(part)
            surety = naming.guesses[part].surety
            if surety is not Surety.SURE:
                key = "guess.kind-likely" if surety is Surety.LIKELY else "guess.kind-said"
                kind = words.say(key, kind=kind)
        else:
            name = bench.said(part).name or part.replace("-", " ")
            kind = words.say("guess.kind-left-out")
        line = QTreeWidgetItem([name, str(count), kind])
        line.setData(0, Qt.ItemDataRole.UserRole, part)
        spoken = words.say("guess.line", part=name, count=count, kind=kind)
        line.setData(0, Qt.ItemDataRole.AccessibleTextRole, spoken)
        line.setToolTip(0, name)
        return line

    def _tell_facts(self, bench: StepBench) -> str:
        words = self._words
        told = [words.say("guess.hint")]
        if bench.scale != 1.0:
            told.append(words.say("step.scale", scale=words.number(bench.scale, 2)))
        told += [
            words.say(f"step.left-out-{one.why}", shown=one.shown) for one in bench.step.left_out
        ]
        deep = sum(one.verdict == "too-deep" for one in bench.overlaps)
        if deep:
            told.append(words.count("guess.too-deep", deep))
        return " ".join(told)

    @property
    def chosen(self) -> str:
        """The part that is chosen; "" for none."""
        line = self.parts.currentItem()
        return str(line.data(0, Qt.ItemDataRole.UserRole)) if line is not None else ""

    def choose(self, part: str) -> bool:
        """Choose a part's line; False where it has none."""
        for row in range(self.parts.topLevelItemCount()):
            line = self.parts.topLevelItem(row)
            if line is not None and line.data(0, Qt.ItemDataRole.UserRole) == part:
                self.parts.blockSignals(True)  # whoever chose it lights it
                self.parts.setCurrentItem(line)
                self.parts.blockSignals(False)
                self._fill_part(part)
                return True
        return False

    def _show_part(self) -> None:
        part = self.chosen
        if part and self._bench is not None:
            self._fill_part(part)
            self.pointed.emit(frozenset(self._bench.sets.get(part, ())))

    def _fill_part(self, part: str) -> None:
        if self._bench is not None and self._naming is not None:
            self.part.show_part(self._bench, self._naming, part)

    def say_fault(self, text: str) -> None:
        """Say what is wrong with what was entered or read; nothing has changed."""
        self.note.tell(text, name="cautionBox")
        self.show_top()

    def say_done(self, text: str) -> None:
        """Say that it was kept."""
        self.note.tell(text, name="rightBox")
        self.show_top()
