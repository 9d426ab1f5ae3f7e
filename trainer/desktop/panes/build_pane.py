"""Which pump stands on the bench: its size, and what it has been ordered with."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLabel

from models.builds import list_builds
from models.spec.build import Build
from models.spec.choosing import Clash, find_clashes
from models.spec.family import Family
from trainer.desktop.pieces import GAP_PX, Box, Choice, Pane, make_button, make_label
from trainer.session.choosing import find_usual
from trainer.words import Words
from trainer.words.telling import tell_pump

LABEL_SHARE, CHOICE_SHARE = 2, 3
"""How the width is shared between what an option is called and the list of its values."""


class BuildPane(Pane):
    """Choose size and options in any order; what does not go together is told with its reason before it is built."""

    chosen = Signal(str, object)

    def __init__(self, words: Words) -> None:
        super().__init__(words.say("window.build-pane"))
        self._words = words
        self._offers = list_builds()
        self._shown: tuple[str, Mapping[str, str]] | None = None
        self.sizes = Choice(words.say("window.build-size"))
        self.options: dict[str, Choice] = {}
        self._labels: dict[str, QLabel] = {}
        self.rows = QGridLayout()
        self.rows.setSpacing(GAP_PX // 2)
        self.rows.setColumnStretch(0, LABEL_SHARE)
        self.rows.setColumnStretch(1, CHOICE_SHARE)
        self.note = Box("box")
        self.usual = make_button(words.say("window.build-usual"), self._take_usual)
        self.go = make_button(words.say("window.build-show"), self._ask, name="main")
        self._arrange()

    def _arrange(self) -> None:
        words = self._words
        self.column.addWidget(make_label("paneTitle", words.say("window.build-title")))
        self.column.addWidget(make_label("small", words.say("window.build-hint")))
        self.column.addWidget(self.note)
        self.column.addLayout(self.rows)
        self.column.addStretch(1)
        self.foot_row.addWidget(self.usual)
        self.foot_row.addWidget(self.go, 1)
        self.foot.show()
        self._add_row(words.say("window.build-size"), self.sizes, below=True)
        names = list(self._offers)
        self.sizes.fill(names, [tell_pump(words, name) for name in names])
        self.sizes.activated.connect(lambda _row: self._take_size())

    def _add_row(self, text: str, choice: Choice, *, below: bool = False) -> QLabel:
        """Put a choice beside its label, or across the pane below it: a pump's name is long."""
        label = make_label("small", text)
        label.setBuddy(choice)
        # as wide as the pane leaves room for, not as its longest line asks
        choice.setSizeAdjustPolicy(Choice.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        row = self.rows.rowCount()
        self.rows.addWidget(label, row, 0, 1, 2 if below else 1)
        self.rows.addWidget(choice, row + below, 0 if below else 1, 1, 2 if below else 1)
        return label

    # ------------------------------------------------------------------ what stands on the bench
    def show_build(self, build: Build) -> None:
        """Show what the pump on the bench is."""
        self._shown = build.name, dict(build.options)
        self.sizes.choose(build.name)
        self._list_options(build.family, build.options)
        self._judge()

    def _list_options(self, family: Family, chosen: Mapping[str, str]) -> None:
        """List the family's options, each with its values; those of another family go out of sight."""
        words = self._words
        for option in family.options:
            if option.name not in self.options:
                text = words.say(f"option.{option.name}")
                choice = self.options[option.name] = Choice(text)
                choice.activated.connect(lambda _row: self._judge())
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
    def wanted(self) -> dict[str, str]:
        """The value chosen of each option."""
        family = self._offers[self.sizes.name]
        return {option.name: self.options[option.name].name for option in family.options}

    def choose(self, option: str, value: str) -> None:
        """Choose a value, as a hand would."""
        self.options[option].choose(value)
        self._judge()

    def _take_size(self) -> None:
        """Take another size with what is chosen; another family begins with its usual pump."""
        family = self._offers[self.sizes.name]
        kept = {
            name: choice.name for name, choice in self.options.items() if choice.isVisibleTo(self)
        }
        fits = all(kept.get(option.name) in option.values for option in family.options)
        self._list_options(family, kept if fits else find_usual(family))
        self._judge()

    def _take_usual(self) -> None:
        family = self._offers[self.sizes.name]
        self._list_options(family, find_usual(family))
        self._judge()

    def _judge(self) -> None:
        """Say what does not go together; let a pump be asked for that can be built and is not there yet."""
        if self._shown is None:
            return
        bars = dict.fromkeys(find_clashes(self._offers[self.sizes.name], self.wanted))
        told = [self._tell(bar) for bar in bars]
        self.note.tell("\n\n".join(told), name="cautionBox")
        if told:
            self.scroller.verticalScrollBar().setValue(0)
        self.go.setEnabled(not bars and self._shown != (self.sizes.name, self.wanted))

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

    def _ask(self) -> None:
        self.chosen.emit(self.sizes.name, self.wanted)
