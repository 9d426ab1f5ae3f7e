"""While a practical is watched: one line large, three buttons to mark it that a glove finds, and all lines below."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from PySide6.QtCore import QEvent, QObject, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QPainter
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trainer.desktop.asking.lines import LineList
from trainer.desktop.hinted import HintedEdit
from trainer.desktop.letters import make_heavy
from trainer.desktop.pieces import GAP_PX, Box, make_button, make_label, set_text
from trainer.desktop.theme import PALETTE
from trainer.lesson.practical import LONGEST_REMARK, Level, Observed, RubricLine
from trainer.session.observing import Held
from trainer.words import Words
from trainer.words.speech import begin
from trainer.words.telling import tell_pump
from trainer.words.telling_part import tell_caution
from trainer.words.telling_practical import tell_critical, tell_level, tell_line

CLOCK_MS = 10_000
SIGNS = {Level.ALONE: "✓", Level.PROMPTED: "½", Level.NOT_DONE: "✗"}
COLOURS = {Level.ALONE: "accent", Level.PROMPTED: "ink", Level.NOT_DONE: "in_the_way"}
"""What a sign is written in, by names of the palette."""
CRITICAL = "⚠"
ARROWS = (Qt.Key.Key_Up, Qt.Key.Key_Down)
ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class SeenList(LineList):
    """All lines, each with the sign of its mark; critical ones in heavy letters."""

    may_be_heavy = False

    def __init__(self, spoken: str) -> None:
        super().__init__(spoken)
        self.observed: Observed | None = None

    def paint_sign(self, painter: QPainter, where: QRectF, row: int) -> None:
        """Paint the sign of the mark."""
        level = self.observed.levels.get(self.name_at(row)) if self.observed else None
        if level is not None:
            painter.setFont(make_heavy(self.font()))
            painter.setPen(getattr(PALETTE, COLOURS[level]))
            painter.drawText(where, Qt.AlignmentFlag.AlignCenter, SIGNS[level])

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go up and down; digits mark, and do not look for a line that begins with them."""
        if event.text().isprintable() and event.text():
            event.ignore()
        else:
            super().keyPressEvent(event)


class WatchPage(QWidget):
    """Mark one line after another. held is what it stands at; changed: something was marked. line_shown: a line is gone to."""

    changed = Signal()
    line_shown = Signal(str)
    given_up = Signal()

    def __init__(self, words: Words, clock: Callable[[], datetime]) -> None:
        super().__init__()
        self.setObjectName("clear")
        self._words, self._clock = words, clock
        self._is_showing = self._is_short = False
        self._told: dict[Level, str] = {}
        self.held: Held | None = None
        self.what = make_label("heading")
        self.who = make_label("small")
        self.card = Box("box")
        self.step = make_label("large")
        self.why = make_label()
        self.part = make_label("small")
        for label in (self.step, self.why, self.part):
            self.card.column.addWidget(label)
        self.levels = {
            level: make_button("", self._make_marker(level), name="tap", checkable=True)
            for level in Level
        }
        for button in self.levels.values():
            button.installEventFilter(self)  # a button would go to its neighbour with an arrow
        self.stop = Box("cautionBox", words.say("window.caution"))
        self.remark = HintedEdit()
        self.remark.setAccessibleName(words.say("observing.remark"))
        self.remark.setPlaceholderText(words.say("observing.remark-hint"))
        self.remark.setMaxLength(LONGEST_REMARK)
        self.list = SeenList(words.say("observing.lines-spoken"))
        self.keys = make_label("small", words.say("observing.keys"))
        self.elsewhere = make_label("small", words.say("observing.elsewhere"))
        self.give_up = make_button(words.say("observing.give-up"), self._give_up, name="link")
        self._column = column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP_PX)
        title = make_label("heading", words.say("observing.lines"))
        for widget in (self.what, self.who, self.card, self.stop, self.remark, title, self.list, self.keys, self.elsewhere, self.give_up):  # fmt: skip
            column.addWidget(widget)
        self.remark.textEdited.connect(self._note)
        self.list.currentRowChanged.connect(lambda _row: self._show_line())
        self._timer = QTimer(self, interval=CLOCK_MS)
        self._timer.timeout.connect(self.tell_time)

    # ------------------------------------------------------------------ what is shown
    def show_held(self, held: Held) -> None:
        """Show a practical, at its first line that is not seen yet."""
        self.held = held
        observed, words = held.observed, self._words
        what = begin(words.say(f"procedure.{observed.rubric.name}"))
        set_text(self.what, words.say("practical.title", what=what, pump=tell_pump(words, held.build)))  # fmt: skip
        lines = observed.rubric.lines
        texts = [f"{CRITICAL} {tell_line(words, one)}" if one.is_critical else tell_line(words, one) for one in lines]  # fmt: skip
        self._is_showing = True
        self.list.observed = observed
        self.list.fill([one.name for one in lines], texts)
        self._is_showing = False
        self._calm()
        self.go_to(observed.left[0] if observed.left else lines[0].name)
        self.tell_time()
        self._timer.start()

    def drop(self) -> None:
        """Watch nothing any more."""
        self.held = None
        self._timer.stop()

    def go_to(self, name: str) -> None:
        """Go to a line."""
        row = self.list.read_names().index(name)
        if row == self.list.currentRow():
            self._show_line()
        self.list.setCurrentRow(row)

    def step_on(self, by: int) -> None:
        """Go so many lines on, or back."""
        row = self.list.currentRow() + by
        if 0 <= row < self.list.count():
            self.list.setCurrentRow(row)

    @property
    def line(self) -> RubricLine | None:
        """The line that is gone to."""
        row = self.list.currentRow()
        return self.held.observed.rubric.lines[row] if self.held and row >= 0 else None

    def tell_time(self) -> None:
        """Say who does it and who watches, and for how long by now."""
        if self.held is None:
            return
        held, now = self.held, self._clock()
        minutes = max(int((now - held.begun).total_seconds() // 60), 0)
        told = self._words.say(
            "observing.who", person=held.person, observer=held.observer,
            time=f"{held.begun.astimezone():%H:%M}", minutes=minutes,
        )  # fmt: skip
        left = len(held.observed.left)
        key = self._words.count("observing.seen", left) if left else self._words.say("observing.all-seen")  # fmt: skip
        set_text(self.who, f"{told} {key}")

    def _show_line(self) -> None:
        line, words = self.line, self._words
        if line is None or self.held is None or self._is_showing:
            return
        self._calm()
        number, last = self.list.currentRow() + 1, self.list.count()
        heading = words.say("observing.place", number=number, last=last)
        if line.is_critical:
            critical = tell_critical(words, line)
            told = words.say(
                "observing.place-critical", number=number, last=last, critical=critical
            )
            heading = f"{CRITICAL} {told}"
        step = words.say(f"step.{line.name}")
        is_told = line.is_never and not line.is_critical  # else the heading says so
        set_text(self.step, words.say("observing.never", step=step) if is_told else step)
        set_text(self.why, words.say(f"step.{line.name}.why"))
        cautions = [tell_caution(words, part) for part in self.held.parts.get(line.name, ())]
        set_text(self.part, next((one for one in cautions if one), ""))
        self.card.tell("", name="cautionBox" if line.is_critical else "box", heading=heading)
        self.card.show()
        for number, (level, button) in enumerate(self.levels.items(), start=1):
            told = words.say(f"observing.mark-{'never-' if line.is_never else ''}{level}")
            self._told[level] = told
            spoken = words.say("observing.mark-spoken", level=tell_level(words, line, level), key=number)  # fmt: skip
            button.setAccessibleName(spoken)
            button.setToolTip(spoken)
        self.write_marks(short=self._is_short)
        self.remark.setText(self.held.observed.remarks.get(line.name, ""))
        self._show_marks()
        self.line_shown.emit(line.name)

    def write_marks(self, *, short: bool) -> None:
        """Write on the buttons how a line was done, or only the sign of it where there is no room for words."""
        self._is_short = short
        for level, button in self.levels.items():
            button.setText(SIGNS[level] if short else self._told.get(level, ""))

    def put_heading(self, *, below: bool) -> None:
        """Say what is done by whom above the line or, where room is dear, below all lines."""
        column = self._column
        if below is not (column.indexOf(self.what) > column.indexOf(self.card)):
            for widget in (self.who, self.what):
                column.removeWidget(widget)
            at = column.indexOf(self.keys) if below else 0
            for widget in (self.who, self.what):
                column.insertWidget(at, widget)

    def _show_marks(self) -> None:
        """Show how the lines are marked."""
        line = self.line
        if line is None or self.held is None:
            return
        observed = self.held.observed
        level = observed.levels.get(line.name)
        for one, button in self.levels.items():
            button.setChecked(one is level)
        is_bad = line.is_critical and level is Level.NOT_DONE
        self.stop.tell(self._words.say("observing.stop") if is_bad else "")
        self.list.observed = observed
        for row, seen in enumerate(observed.rubric.lines):
            mark = observed.levels.get(seen.name)
            told = self._words.say("observing.not-seen") if mark is None else tell_level(self._words, seen, mark)  # fmt: skip
            self.list.item(row).setData(Qt.ItemDataRole.AccessibleDescriptionRole, told)
        self.list.viewport().update()
        self.tell_time()

    # ------------------------------------------------------------------ marking
    def _make_marker(self, level: Level) -> Callable[[], None]:
        return lambda: self.mark(level)

    def mark(self, level: Level) -> None:
        """Mark the line that is gone to; the mark that it has already is taken back."""
        line = self.line
        if line is None or self.held is None:
            return
        observed = self.held.observed
        if observed.levels.get(line.name) is level:
            observed = observed.unmark(line.name)
        else:
            observed = observed.mark(line.name, level, self.remark.text())
        self._take(observed)

    def _note(self, text: str) -> None:
        line = self.line
        if line is not None and self.held is not None:
            self._take(self.held.observed.note(line.name, text))

    def _take(self, observed: Observed) -> None:
        assert self.held is not None
        self.held = replace(self.held, observed=observed)
        self._calm()
        self._show_marks()
        self.changed.emit()

    def take_key(self, event: QKeyEvent) -> bool:
        """Mark with a digit, go on with an arrow, see a move again with Enter; a field that is written in keeps its keys.

        Say whether it was one of these.
        """
        keys = {Qt.Key(Qt.Key.Key_1 + n): level for n, level in enumerate(Level)}
        level = keys.get(Qt.Key(event.key()))
        if level is not None:
            self.mark(level)
        elif event.key() in ARROWS:
            self.step_on(-1 if event.key() == Qt.Key.Key_Up else 1)
        elif event.key() in ENTER and self.line is not None:
            self.line_shown.emit(self.line.name)
        else:
            return False
        return True

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Go to another line from a button, too."""
        is_pressed = event.type() is QEvent.Type.KeyPress
        if is_pressed and isinstance(event, QKeyEvent) and event.key() in ARROWS:
            return self.take_key(event)
        return super().eventFilter(watched, event)

    # ------------------------------------------------------------------ giving up
    def _calm(self) -> None:
        self.give_up.setText(self._words.say("observing.give-up"))

    def _give_up(self) -> None:
        """Give it up when it is pressed a second time, with nothing between."""
        sure = self._words.say("observing.give-up-really")
        if self.give_up.text() == sure:
            self.given_up.emit()
        else:
            self.give_up.setText(sure)
