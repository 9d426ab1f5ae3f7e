"""Put lines in order."""

from __future__ import annotations

from trainer.desktop.asking.form import Asking, FormControl, show_pieces
from trainer.desktop.asking.order_list import LineState, LineVerdict, OrderList
from trainer.desktop.flow import Flow
from trainer.desktop.pieces import GAP_PX, make_button, make_label
from trainer.lesson import item
from trainer.lesson.item import Field, InOrder, LineMark, Reply, Shown
from trainer.lesson.marking import FieldMark
from trainer.session.as_left import Plain, StrangeValueError, take_table, take_texts
from trainer.words.speech import begin

STATES = {
    item.LineVerdict.RIGHT: LineState.FREE,
    item.LineVerdict.POOR: LineState.FREE,
    item.LineVerdict.WRONG: LineState.REFUSED,
    item.LineVerdict.MISSED: LineState.REFUSED,
    item.LineVerdict.FOLLOWS: LineState.FOLLOWS,
}


class OrderForm(FormControl):
    """Put lines in order by dragging, with keys or buttons; after marking each line carries its reason."""

    def __init__(self, asking: Asking, field: Field) -> None:
        super().__init__(asking, field)
        assert isinstance(field.form, InOrder)
        self.form, words = field.form, self.words
        self._marks: dict[str, LineMark] = {}
        self._texts = {one.id: self._name(one) for one in field.form.lines}
        self.list = OrderList(self.spoken, can_leave_out=bool(field.form.extra))
        self.list.fill(list(self._texts), list(self._texts.values()))
        self.list.currentRowChanged.connect(lambda _row: self._go_to())
        self.list.changed.connect(self.changed)
        hint = "answering.some-order-hint" if field.form.extra else "window.order-hint"
        self.hint = make_label("small", words.say(hint))
        self.earlier = make_button(words.say("window.order-earlier"), lambda: self.list.shift(-1))
        self.later = make_button(words.say("window.order-later"), lambda: self.list.shift(+1))
        self.out = make_button(words.say("answering.leave-out"), self.list.toggle)
        self.out.setVisible(bool(field.form.extra))
        row = Flow(GAP_PX // 2, GAP_PX // 2, fills=True)
        row.setContentsMargins(0, 0, 0, 0)
        for button in (self.earlier, self.later, self.out):
            row.addWidget(button)
        self.column.addWidget(self.hint)
        self.column.addWidget(self.list)
        self.column.addLayout(row)

    def _name(self, choice: item.Choice) -> str:
        """Name a line: of a part of which there are several the whole set."""
        build, many = self.asking.build, f"part.{choice.id}.many"
        if len(build.places.get(choice.id, ())) > 1 and self.words.has(many):
            return begin(self.words.say(many))
        return self.asking.tell_plain(choice.said)

    def read(self) -> Reply:
        """Read the lines that belong, from top to bottom."""
        return tuple(self.list.kept)

    def describe(self) -> Plain:
        """Describe the order of the lines, and which of them belong."""
        return {"lines": self.list.read_names(), "kept": self.list.kept}

    def fill(self, value: Plain) -> None:
        """Put the lines in the order they stood in."""
        table = take_table(value)
        names, kept = take_texts(table.get("lines")), take_texts(table.get("kept"))
        if sorted(names) != sorted(self._texts):
            raise StrangeValueError("other lines")
        self.list.fill(names, [self._texts[name] for name in names])
        self.list.leave_out(set(names) - set(kept))

    def show_mark(self, mark: FieldMark) -> None:
        """Give each line its verdict and reason, and go to the first that was wrong."""
        self.is_marked = True
        self._marks = {one.line: one for one in mark.lines}
        verdicts = {name: self._judge(one) for name, one in self._marks.items()}
        self.list.set_verdicts(verdicts)
        rows = [self.list.find_verdict(row) for row in range(self.list.count())]
        bad = [row for row, one in enumerate(rows) if one and one.state is LineState.REFUSED]
        self.list.setCurrentRow(bad[0] if bad else 0)
        self._go_to()

    def _judge(self, mark: LineMark) -> LineVerdict:
        word = self.words.say(f"answering.line-{mark.verdict}")
        why = self.asking.tell_plain(mark.why) if mark.why else ""
        if mark.is_critical and STATES[mark.verdict] is LineState.REFUSED:
            why = self.words.say("answering.critical", why=why)
        return LineVerdict(STATES[mark.verdict], word, why)

    def find_shown(self) -> Shown | None:
        """Find what is played to the line that is gone to."""
        mark = self._marks.get(self.list.chosen) if self.is_marked else None
        return mark.shown if mark else None

    def _go_to(self) -> None:
        """Show in the picture what the chosen line speaks of, and how far it got if it was refused."""
        pieces = self.asking.build.places.get(self.list.chosen, ())
        self.spoken_of.emit(self.find_shown() or show_pieces(*pieces))
