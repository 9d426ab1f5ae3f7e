"""What becomes of each part, chosen one part at a time with what to look for beside it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trainer.desktop.hinted import HintedEdit
from trainer.desktop.pieces import (
    GAP_PX,
    Choice,
    let_up,
    make_button,
    make_choice,
    make_label,
    set_text,
)
from trainer.session.sheet import Condition
from trainer.session.sheet_form import OTHERS
from trainer.session.sheet_plan import SheetPlan
from trainer.words import Words

LONGEST_WHY = 200
LEAST_LETTERS = 12


class PartsField(QWidget):
    """Choose a part, then what becomes of it and why."""

    changed = Signal()

    def __init__(self, words: Words, plan: SheetPlan) -> None:
        super().__init__()
        self._words, self._plan = words, plan
        usual = words.say("sheet.usual-wear")
        self.said = {
            place: (Condition.RENEW, usual) for place in plan.parts if place in plan.renewed
        }
        self.part = Choice(words.say("sheet.pane-part"), LEAST_LETTERS)
        self.wear = make_label("small")
        self.conditions = {
            one: make_button(
                words.say(f"sheet.pane-{one.value}"), partial(self._decide, one), checkable=True
            )
            for one in Condition
        }
        self.why = HintedEdit()
        self.why.setAccessibleName(words.say("sheet.column-why"))
        self.why.setPlaceholderText(words.say("sheet.pane-why"))
        self.why.setMaxLength(LONGEST_WHY)
        self.others = make_button(words.say("sheet.pane-others"), self.changed.emit, checkable=True)
        self.told = make_label("small")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP_PX // 2)
        for widget in (self.part, self.wear):
            column.addWidget(widget)
        column.addLayout(make_choice(list(self.conditions.values()), self, 3))
        for last in (self.why, self.others, self.told):
            column.addWidget(last)
        self._list()
        self.part.currentIndexChanged.connect(self._show)
        self.why.textEdited.connect(self._explain)
        self._show()

    def read(self) -> dict[str, str]:
        """Give what becomes of each part as a form says it."""
        said = {
            place: f"{condition.value}: {why}" if why else condition.value
            for place, (condition, why) in self.said.items()
        }
        return said | ({OTHERS: Condition.REUSE.value} if self.others.isChecked() else {})

    def fill(self, said: Mapping[str, tuple[Condition, str]], *, is_rest_used: bool) -> None:
        """Take what was said of parts before; of a part that this pump lacks nothing is kept."""
        self.said = {place: said[place] for place in self._plan.parts if place in said}
        self.others.setChecked(is_rest_used)
        self._list()
        self._show()

    def _list(self) -> None:
        words = self._words
        texts = [
            words.say(
                "sheet.pane-part-line",
                part=words.say(f"part.{place}.name"),
                condition=words.say(f"sheet.pane-{self.said[place][0].value}"),
            )
            if place in self.said
            else words.say(f"part.{place}.name")
            for place in self._plan.parts
        ]
        self.part.blockSignals(True)
        self.part.fill(list(self._plan.parts), texts)
        self.part.blockSignals(False)
        set_text(self.told, words.count("sheet.pane-decided", len(self.said), all=len(texts)))

    def _show(self) -> None:
        """Show what is said of the chosen part, and what to look for on it."""
        place = self.part.name
        set_text(self.wear, self._words.say(f"part.{place}.wear"))
        condition, why = self.said.get(place, (None, ""))
        let_up(self.conditions[Condition.REUSE].group())
        if condition is not None:
            self.conditions[condition].setChecked(True)
        self.why.setText(why)

    def _decide(self, condition: Condition) -> None:
        self.said[self.part.name] = condition, self.why.text().strip()
        self._list()
        self.changed.emit()

    def _explain(self, why: str) -> None:
        if self.part.name in self.said:
            self.said[self.part.name] = self.said[self.part.name][0], why.strip()
            self.changed.emit()
