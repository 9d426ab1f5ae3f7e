"""Choose one, or all that are right."""

from __future__ import annotations

from trainer.desktop.asking.choice_list import ChoiceList
from trainer.desktop.asking.form import Asking, FormControl
from trainer.desktop.asking.lines import LineState, LineVerdict
from trainer.lesson.item import Choice, Field, OneOf, Reply, Shown, SomeOf
from trainer.lesson.marking import FieldMark
from trainer.session.as_left import Plain, StrangeValueError, take_texts


class ChoiceForm(FormControl):
    """Choose among lines; after marking those that were taken and those that are right carry the reason."""

    def __init__(self, asking: Asking, field: Field) -> None:
        super().__init__(asking, field)
        assert isinstance(field.form, OneOf | SomeOf)
        self.form = field.form
        several = isinstance(field.form, SomeOf)
        self.list = ChoiceList(self.spoken, takes_several=several)
        choices = field.form.choices
        self.list.fill(
            [one.id for one in choices], [asking.tell_plain(one.said) for one in choices]
        )
        self.list.setAccessibleDescription(
            self.words.say("answering.several-keys" if several else "answering.one-keys")
        )
        self.list.changed.connect(self._change)
        self.list.currentRowChanged.connect(lambda _row: self._go_to())
        self.column.addWidget(self.list)

    def read(self) -> Reply:
        """Read what is taken; "" where nothing is."""
        taken = self.list.taken
        if isinstance(self.form, SomeOf):
            return tuple(taken)
        return taken[0] if taken else ""

    def describe(self) -> Plain:
        """Describe what is taken."""
        return self.list.taken

    def fill(self, value: Plain) -> None:
        """Take what was taken."""
        names = take_texts(value)
        if not set(names) <= set(self.list.read_names()):
            raise StrangeValueError("other choices")
        self.list.take(names)

    def show_mark(self, mark: FieldMark) -> None:
        """Give what was taken, and what is right, the reason; and go to the first that was wrong."""
        del mark
        self.is_marked = True
        taken = set(self.list.taken)
        said: set[str] = set()
        verdicts: dict[str, LineVerdict] = {}
        for choice in sorted(self.form.choices, key=lambda one: one.id not in taken):
            verdict = self._judge(choice, is_taken=choice.id in taken)
            if verdict is not None:  # the same reason is not given twice
                why = "" if verdict.why in said else verdict.why
                verdicts[choice.id] = LineVerdict(verdict.state, verdict.word, why)
                said.add(verdict.why)
        self.list.set_verdicts(verdicts)
        names = self.list.read_names()
        wrong = [name for name in verdicts if (name in taken) != (name in self.form.right)]
        # Of what was wrong, what was taken comes first: that is what was thought.
        first = next(iter((*wrong, *self.list.taken)), "")
        self.list.setCurrentRow(names.index(first) if first else 0)
        self._go_to()

    def _judge(self, choice: Choice, *, is_taken: bool) -> LineVerdict | None:
        is_right = choice.id in self.form.right
        if not is_taken and not is_right:
            return None
        why = self.asking.tell_plain(choice.why)
        if is_taken:
            state = LineState.FREE if is_right else LineState.REFUSED
            return LineVerdict(
                state, self.words.say(f"answering.{'right' if is_right else 'wrong'}"), why
            )
        missed = isinstance(self.form, SomeOf)
        state = LineState.REFUSED if missed else LineState.FREE
        word = self.words.say("answering.missed" if missed else "answering.is-it")
        return LineVerdict(state, word, f"{word}. {why}" if missed else why)

    def find_shown(self) -> Shown | None:
        """Find what is played to the line that is gone to, of those that carry a verdict."""
        if not self.is_marked or self.list.find_verdict(self.list.currentRow()) is None:
            return None
        return next(one.shown for one in self.form.choices if one.id == self.list.chosen)

    def forget_mark(self) -> None:
        """Let the lines carry no verdicts any more."""
        super().forget_mark()
        self.list.set_verdicts({})

    def _change(self) -> None:
        if self.is_marked:
            self.forget_mark()
        self.changed.emit()

    def _go_to(self) -> None:
        if self.is_marked:
            self.spoken_of.emit(self.find_shown())
