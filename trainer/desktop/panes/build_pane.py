"""Which pump stands on the bench: its family and size, and what it has been ordered with; or somebody's file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QVBoxLayout

from models.builds import list_builds
from models.spec.build import Build
from models.spec.choosing import Clash, find_clashes, find_nearest
from models.spec.family import Family
from trainer.desktop.panes.value_choice import ValueChoice
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
from trainer.desktop.time_left import tell_duration
from trainer.session.choosing import find_usual
from trainer.words import Words

LABEL_SHARE, CHOICE_SHARE = 1, 2
"""How the width is shared between what an option is called and the list of its values."""
Chosen = tuple[str, dict[str, str]]


class BuildPane(Pane):
    """Choose family, size and options; what cannot be had with the rest stands there with its reason.

    chosen: what is to be put on the bench. looked_at: something else is chosen, not asked for yet.
    """

    chosen = Signal(str, object)
    looked_at = Signal()
    file_asked = Signal()

    def __init__(self, words: Words) -> None:
        super().__init__(words.say("window.build-pane"))
        self._words = words
        self._offers = list_builds()
        self._shown: Chosen | None = None
        self._asked: Chosen | None = None
        self._instead: dict[str, str] = {}
        self.families = Choice(words.say("choosing.family"), least_letters=4)
        self.sizes = Choice(words.say("window.build-size"), least_letters=4)
        self.options: dict[str, ValueChoice] = {}
        self._labels: dict[str, QLabel] = {}
        self.rows = QGridLayout()
        self.rows.setSpacing(GAP_PX // 2)
        self.rows.setColumnStretch(0, LABEL_SHARE)
        self.rows.setColumnStretch(1, CHOICE_SHARE)
        self.note = Box("box")
        self.needs = make_label()
        self.with_needs = make_button(words.say("choosing.with-needs"), self._take_instead)
        self.note.column.addWidget(self.needs)
        self.note.column.addWidget(self.with_needs)
        self.news = make_label("small")
        self.usual = make_button(words.say("window.build-usual"), self._take_usual)
        self.go = make_button(words.say("window.build-show"), self._ask, name="main")
        self.file = make_button(
            words.say("choosing.open"),
            self.file_asked.emit,
            spoken=words.say("choosing.open-spoken"),
        )
        self._arrange()
        self._take_family()

    def _arrange(self) -> None:
        words = self._words
        self.column.addWidget(make_label("paneTitle", words.say("window.build-title")))
        self.column.addWidget(make_label("small", words.say("window.build-hint")))
        self.column.addWidget(self.note)
        self.column.addLayout(self.rows)
        self.column.addWidget(make_rule())
        self.column.addWidget(make_label("heading", words.say("choosing.file-heading")))
        self.column.addWidget(make_label("small", words.say("choosing.file-hint")))
        self.file_column = QVBoxLayout()
        self.file_column.addWidget(self.file)
        self.column.addLayout(self.file_column)
        self.column.addStretch(1)
        self.foot_column.insertWidget(0, self.news)
        self.foot_row.addWidget(self.usual)
        self.foot_row.addWidget(self.go, 1)
        self.foot.show()
        self._add_row(words.say("choosing.family"), self.families, below=True)
        self._add_row(words.say("window.build-size"), self.sizes)
        names = list(dict.fromkeys(family.name for family in self._offers.values()))
        self.families.fill(names, [words.say(f"family.{name}") for name in names])
        self.families.activated.connect(lambda _row: self._take_family())
        self.sizes.activated.connect(lambda _row: self._take_size())

    def _add_row(self, text: str, choice: Choice, *, below: bool = False) -> QLabel:
        """Put a choice beside its label, or across the pane below it: a pump's name is long."""
        label = make_label("small", text)
        label.setBuddy(choice)
        row = self.rows.rowCount()
        self.rows.addWidget(label, row, 0, 1, 2 if below else 1)
        self.rows.addWidget(choice, row + below, 0 if below else 1, 1, 2 if below else 1)
        return label

    # ------------------------------------------------------------------ what stands on the bench
    def show_build(self, build: Build) -> None:
        """Show what the pump on the bench is; what was half chosen stays while that is still the same pump."""
        shown = build.name, dict(build.options)
        if self._shown == shown:
            return
        self._shown = shown
        self.choose_pump(build.name, build.options)

    def show_other(self) -> None:
        """No pump of ours is on the bench."""
        self._shown = None
        self._judge()

    def choose_pump(self, name: str, options: Mapping[str, str] | None = None) -> None:
        """Choose family, size and options at once, without asking for it; the usual options without any."""
        family = self._offers[name]
        self.families.choose(family.name)
        self._list_sizes()
        self.sizes.choose(name)
        self._list_options(family, options or find_usual(family))
        self.note.tell("")
        self._judge()

    def _list_sizes(self) -> None:
        names = [name for name, one in self._offers.items() if one.name == self.families.name]
        # By their numbers: 80-200 comes before 100-250.
        names.sort(key=lambda name: [int(one) for one in re.findall(r"\d+", name)])
        self.sizes.fill(names, [name.partition("/")[2] for name in names])

    def _list_options(self, family: Family, chosen: Mapping[str, str]) -> None:
        """List the family's options, each with its values; those of another family go out of sight."""
        words = self._words
        for option in family.options:
            if option.name not in self.options:
                text = words.say(f"option.{option.name}")
                choice = self.options[option.name] = ValueChoice(text)
                choice.taken.connect(lambda _value: self._judge(is_new=True))
                choice.barred.connect(partial(self._say_barred, option.name))
                self._labels[option.name] = self._add_row(text, choice)
            values = list(option.values)
            texts = [words.say(f"option.{option.name}.{value}") for value in values]
            self.options[option.name].fill(values, texts)
            self.options[option.name].choose(chosen[option.name])
        known = {option.name for option in family.options}
        for name, choice in self.options.items():
            choice.setVisible(name in known)
            self._labels[name].setVisible(name in known)

    # ------------------------------------------------------------------ what is chosen
    @property
    def family(self) -> Family:
        """The family that is chosen."""
        return self._offers[self.sizes.name]

    @property
    def wanted(self) -> dict[str, str]:
        """The value chosen of each option."""
        return {option.name: self.options[option.name].name for option in self.family.options}

    @property
    def chosen_now(self) -> Chosen | None:
        """What is chosen, if it is neither on the bench nor on its way there."""
        now = self.sizes.name, self.wanted
        return None if now in (self._shown, self._asked) else now

    def choose(self, option: str, value: str) -> None:
        """Choose a value, as a hand would: a barred one is not taken, and its reason is told."""
        choice = self.options[option]
        choice.setCurrentIndex(choice.names.index(value))
        choice.activated.emit(choice.currentIndex())

    def _take_family(self) -> None:
        """Begin another family with its first size and its usual pump."""
        self._list_sizes()
        self._take_usual()

    def _take_size(self) -> None:
        self.note.tell("")
        self._judge(is_new=True)

    def _take_usual(self) -> None:
        self._list_options(self.family, find_usual(self.family))
        self.note.tell("")
        self._judge(is_new=True)

    def _take_instead(self) -> None:
        """Take a barred value, with all that it needs."""
        for option, value in self._instead.items():
            self.options[option].choose(value)
        self.note.tell("")
        self._judge(is_new=True)
        self.go.setFocus()

    def _judge(self, *, is_new: bool = False) -> None:
        """Bar what does not go with the rest; let a pump be asked for that is not there yet."""
        family, wanted = self.family, self.wanted
        for option in family.options:
            reasons = {
                value: self._tell_why(family, {**wanted, option.name: value})
                for value in option.values
                if value != wanted[option.name]
            }
            self._bar(option.name, {value: why for value, why in reasons.items() if why})
        if is_new:
            self.note.tell("")
        set_text(self.news, "")
        self.go.setEnabled(self.chosen_now is not None)
        if self.chosen_now is not None:
            self.looked_at.emit()

    def _bar(self, option: str, reasons: Mapping[str, str]) -> None:
        say = self._words.say
        spoken = {
            value: say("choosing.barred", value=say(f"option.{option}.{value}"), why=why)
            for value, why in reasons.items()
        }
        self.options[option].bar(reasons, spoken)

    def _tell_why(self, family: Family, wanted: Mapping[str, str]) -> str:
        """Tell why values do not go together; "" where they do."""
        clashes = dict.fromkeys(find_clashes(family, wanted))
        return " ".join(self._tell(clash) for clash in clashes)

    def _tell(self, clash: Clash) -> str:
        words = self._words
        values = [words.say(f"option.{clash.other}.{value}") for value in clash.others]
        return words.say(
            "window.build-needs" if clash.is_needed else "window.build-bars",
            option=words.say(f"option.{clash.option}"),
            value=words.say(f"option.{clash.option}.{clash.value}"),
            other=words.say(f"option.{clash.other}"),
            others=words.say("window.build-or").join(values),
            because=clash.because,
        )

    def _say_barred(self, option: str, value: str) -> None:
        """Say why a value can't be had as things are, and offer it with what it needs."""
        words, now = self._words, self.wanted
        why = self.options[option].reasons[value]
        self.note.tell(why, name="cautionBox")
        found = find_nearest(self.family, now, option, value)
        self._instead = found or {}
        others = [
            words.say(
                "choosing.one-value",
                option=words.say(f"option.{name}"),
                value=words.say(f"option.{name}.{to}"),
            )
            for name, to in self._instead.items()
            if to != now[name] and name != option
        ]
        needs = words.say("choosing.needs", values="; ".join(others)) if others else ""
        set_text(self.needs, needs)
        self.with_needs.setAccessibleDescription(needs)
        self.with_needs.setVisible(bool(others))
        self.show_top()

    def _ask(self) -> None:
        self.note.tell("")
        self.chosen.emit(self.sizes.name, self.wanted)

    # ------------------------------------------------------------------ what becomes of it
    def note_asked(self, asked: Chosen | None) -> None:
        """Hear what is being made; None for no pump of ours."""
        self._asked = asked
        self.go.setEnabled(self.chosen_now is not None)

    def tell_new(
        self, name: str, options: Mapping[str, str], new: int, of: int, left_s: float | None
    ) -> None:
        """Tell how many solids of what is chosen would have to be made, and about how long that takes."""
        if self.chosen_now != (name, options):
            return
        words = self._words
        told = words.count("choosing.new", new, of=of) if new else words.say("choosing.none-new")
        if new and left_s is not None:
            told = words.say("choosing.new-takes", told=told, time=tell_duration(words, left_s))
        set_text(self.news, told)

    def say_failed(self, name: str, reason: str) -> None:
        """Say that something could not be put on the bench; all is as it was."""
        told = self._words.say("choosing.failed", name=name, reason=reason)
        self.note.tell(told, name="cautionBox")
        set_text(self.needs, "")
        self.with_needs.hide()
        self.show_top()
