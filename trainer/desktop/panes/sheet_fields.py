"""The fields of the bench sheet: what is typed into them, as the same content that a form's file has."""

from __future__ import annotations

import re
from functools import partial
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from trainer.desktop.flow import Flow
from trainer.desktop.hinted import HintedEdit
from trainer.desktop.panes.sheet_parts import LEAST_LETTERS, PartsField
from trainer.desktop.pieces import GAP_PX, Choice, make_button, make_label, make_rule
from trainer.desktop.typing_in import add_unit
from trainer.handout.sheet_texts import (
    tell_fasteners,
    tell_limits,
    tell_line_verdict,
    tell_pattern,
)
from trainer.session.sheet import (
    PLACES,
    SIGNED,
    BenchSheet,
    Group,
    Outcome,
    TorqueLine,
    Verdict,
)
from trainer.session.sheet_plan import GAUGE_OF, GAUGES, SheetPlan, Wanted
from trainer.session.toml_form import FormPath, TomlForm
from trainer.session.typed import is_length
from trainer.words import Words
from trainer.words.telling import tell_clearance

UNITS = ("mm", "thou", "in")
ROUNDS = ("found", "left")
LONGEST = 300
_NUMBER = re.compile(r"[+-]?[\d.,]+")


class SheetFields(QWidget):
    """All fields of one build's sheet."""

    changed = Signal()
    proof_asked = Signal(str)

    def __init__(self, words: Words, plan: SheetPlan) -> None:
        super().__init__()
        self.setObjectName("sheet")
        self._words, self._plan = words, plan
        self.edits: dict[FormPath, QLineEdit] = {}
        self.verdicts: dict[tuple[Group, str], QLabel] = {}
        self.outcomes: dict[str, Choice] = {}
        self.unit = Choice(words.say("sheet.pane-unit"), LEAST_LETTERS)
        self.parts = PartsField(words, plan)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(GAP_PX // 2)
        for lay in (self._lay_head, self._lay_signed, self._lay_measured, self._lay_pack, self._lay_parts, self._lay_torque, self._lay_tests):  # fmt: skip
            lay()
        for edit in self.edits.values():
            edit.textChanged.connect(self.changed)
        for choice in (self.unit, *self.outcomes.values()):
            choice.currentIndexChanged.connect(self.changed)
        self.parts.changed.connect(self.changed)

    # ------------------------------------------------------------------ what was typed
    def read(self) -> TomlForm:
        """Read the fields as a form; its lines number the fields, so that a fault finds its own."""
        content: dict[str, Any] = {
            "build": self._plan.build.name,
            "gauges": {name: self._measured(self._text("gauges", name)) for name in GAUGES},
            "signed": {key: self._text("signed", key) for key in SIGNED},
            **{name: self._read_round(name) for name in ROUNDS},
            "pack": {
                "found": self._list("pack", "found"),
                "trial-gap": self._read_trial(),
                "trial-pack": self._list("pack", "trial-pack"),
                "fitted": self._list("pack", "fitted"),
                "why": self._text("pack", "why"),
            },
            "parts": self.parts.read(),
            "torque": {
                one.joint: _add_unit(self._text("torque", one.joint), "N m")
                for one in self._plan.boltings
            },
            "pressure": {
                key: _add_unit(self._text("pressure", key), "bar")
                for key in ("working", "seal-limit")
            },
            "tests": {name: self._read_test(name) for name in self._plan.tests},
        }
        run_in = self._text("run-in")
        content["run-in"] = [run_in] if run_in else []
        content |= {key: self._text(key) for key in ("shop", "assembler", "serial", "date", "as-found", "remarks")}  # fmt: skip
        numbers = {path: number for number, path in enumerate(self.edits, start=1)}
        # Four fields make one reading of a gap; the first stands for all.
        firsts = {path[:-1]: number for path, number in reversed(numbers.items()) if isinstance(path[-1], int)}  # fmt: skip
        return TomlForm("", content, numbers | firsts)

    def find_fields(self, number: int) -> list[QLineEdit]:
        """Find the fields that a fault's line stands for: one, or those of a gap that hold no length, or else all four."""
        paths = list(self.edits)
        if not 0 < number <= len(paths):
            return []
        path = paths[number - 1]
        same = [one for one in paths if isinstance(path[-1], int) and one[:-1] == path[:-1]]
        fields = [self.edits[one] for one in same or [path]]
        return [one for one in fields if one.text().strip() and not is_length(one.text())] or fields

    def show_verdicts(self, sheet: BenchSheet) -> None:
        """Say at each line what it comes to as left; before that, whether it was found outside its limits."""
        for line in sheet.lines:
            told = tell_line_verdict(self._words, line.left)
            text = told.sign if line.left is None else f"{told.sign} {told.word}"
            if line.left is None and line.found and line.found.verdict is Verdict.FAIL:
                worn = tell_line_verdict(self._words, line.found)
                text = self._words.say("sheet.found-only", sign=worn.sign, word=worn.word)
            self.verdicts[line.group, line.name].setText(text)

    def spell_units(self) -> None:
        """Write behind each bare length the unit it was typed in, so that it says the same in another."""
        for path, edit in self.edits.items():
            if path[0] in ("gauges", *ROUNDS) or (path[0] == "pack" and path[1] != "why"):
                edit.setText(add_unit(edit.text(), self.unit.name))

    def drop_verdicts(self) -> None:
        """Say nothing at any line while something cannot be read."""
        for label in self.verdicts.values():
            label.setText(" ")

    def _text(self, *path: str | int) -> str:
        return self.edits[path].text().strip()

    def _measured(self, text: str) -> str:
        return _add_unit(text, self.unit.name)

    def _list(self, *path: str) -> list[str]:
        return [self._measured(one.strip()) for one in re.split(r"[+;]", self._text(*path)) if one.strip()]  # fmt: skip

    def _read_trial(self) -> list[str]:
        texts = [self._measured(self._text("pack", "trial-gap", n)) for n in range(PLACES)]
        return [text for text in texts if text]

    def _read_round(self, name: str) -> dict[str, Any]:
        said: dict[str, Any] = {}
        for group in Group:
            wanted = self._plan.of(group)
            if not wanted:
                continue
            table: dict[str, Any] = {"gauge": GAUGE_OF[group]}
            for key in ("push", "pull") if group is Group.END_FLOAT else wanted:
                if group is Group.GAPS:
                    texts = [self._measured(self._text(name, group, key, n)) for n in range(PLACES)]
                    table[key] = [text for text in texts if text]
                else:
                    table[key] = self._measured(self._text(name, group, key))
            said[group.value] = table
        return said

    def _read_test(self, name: str) -> str:
        outcome, note = self.outcomes[name].name, self._text("tests", name)
        if not outcome:
            return f"{Outcome.NOT_DONE}: {note}" if note else ""
        return f"{outcome}: {note}"

    # ------------------------------------------------------------------ laying out
    def _lay_head(self) -> None:
        grid = self._add_grid()
        for row, key in enumerate(("assembler", "serial", "date", "shop", "as-found", "remarks")):
            told = f"{key}-title" if key in ("as-found", "remarks") else f"head-{key}"
            self._add_row(grid, row, self._words.say(f"sheet.{told}"), ((key,),))
        self.edits["as-found",].setPlaceholderText(self._words.say("sheet.pane-hint-as-found"))

    def _lay_signed(self) -> None:
        self._add_heading("sheet.signed-title")
        grid = self._add_grid()
        for row, key in enumerate(SIGNED):
            self._add_row(grid, row, self._words.say(f"sheet.signed-{key}"), (("signed", key),))
            self.edits["signed", key].setPlaceholderText(self._words.say("sheet.pane-hint-signed"))

    def _lay_measured(self) -> None:
        words = self._words
        self._add_heading("sheet.measured-title")
        self.unit.fill(UNITS, [words.say(f"sheet.pane-unit-{unit}") for unit in UNITS])
        self.unit.choose(words.lengths.unit)
        grid = self._add_grid()
        for row, (name, off) in enumerate(GAUGES.items()):
            self._add_row(grid, row, words.say("sheet.pane-gauge", name=name), (("gauges", name),))
            self.edits["gauges", name].setText(off)
        self._column.addWidget(self.unit)
        for one in self._plan.of(Group.GAPS).values():
            self._lay_gap(one)
        self._lay_float()
        grid = self._add_grid()
        self._add_titles(grid)
        rest = [one for group in (Group.RUN_OUT, Group.OTHER) for one in self._plan.of(group).values()]  # fmt: skip
        for row, one in enumerate(rest, start=1):
            paths = [(name, one.group, one.name) for name in ROUNDS]
            self._add_row(grid, 2 * row, self._tell_wanted(one), tuple(paths), self._verdict(one))
        self._lay_proofs()

    def _lay_proofs(self) -> None:
        """Lay out a way to the proof of each line that is a clearance."""
        words, ways = self._words, Flow(GAP_PX // 2, 0)
        label = make_label("small", words.say("proof.of-lines"))
        label.setWordWrap(False)
        ways.addWidget(label)
        for group in (Group.GAPS, Group.END_FLOAT, Group.OTHER):
            for one in self._plan.of(group).values():
                name = tell_clearance(words, one.name)
                spoken = words.say("proof.button-spoken", name=name)
                ways.addWidget(make_button(name, partial(self.proof_asked.emit, one.name), name="link", spoken=spoken))  # fmt: skip
        self._column.addLayout(ways)

    def _lay_gap(self, one: Wanted) -> None:
        self._column.addWidget(make_label(text=self._tell_wanted(one)))
        grid = self._add_grid()
        for row, name in enumerate(ROUNDS):
            told = self._words.say(f"sheet.gap-{name}")
            spoken = f"{self._tell_wanted(one)} {told}"
            self._add_places(grid, 2 * row, told, spoken, (name, one.group, one.name))
        self._column.addWidget(self._verdict(one))

    def _lay_float(self) -> None:
        for one in self._plan.of(Group.END_FLOAT).values():
            self._column.addWidget(make_label(text=self._tell_wanted(one)))
            grid = self._add_grid()
            self._add_titles(grid)
            for row, key in enumerate(("push", "pull"), start=1):
                paths = tuple((name, one.group, key) for name in ROUNDS)
                self._add_row(grid, row, self._words.say(f"sheet.pane-{key}"), paths)
            self._column.addWidget(self._verdict(one))

    def _lay_pack(self) -> None:
        self._add_heading("sheet.pack-title")
        trial = self._words.say("sheet.pane-pack-trial-gap")
        for key in ("found", "trial-gap", "trial-pack", "fitted", "why"):
            grid = self._add_grid()
            if key == "trial-gap":
                self._add_places(grid, 0, trial, trial, ("pack", key))
                continue
            told = self._words.say(f"sheet.pane-pack-{key}")
            self._add_row(grid, 0, told, (("pack", key),))
        for key in ("found", "trial-pack", "fitted"):
            self.edits["pack", key].setPlaceholderText(self._words.say("sheet.pane-pack-like"))
        self.advice = make_label("small")
        self._column.addWidget(self.advice)

    def _lay_parts(self) -> None:
        self._add_heading("sheet.pane-parts")
        self._column.addWidget(self.parts)

    def _lay_torque(self) -> None:
        words = self._words
        self._add_heading("sheet.pane-torque")
        grid = self._add_grid()
        for row, one in enumerate(self._plan.boltings):
            line = TorqueLine(
                one.joint, one.fastener, one.count, one.thread_mm, one.taught_nm, None
            )
            fasteners = tell_fasteners(words, one.fastener, one.count, one.thread_mm)
            told = words.say("sheet.pane-torque-line", fasteners=fasteners, pattern=tell_pattern(words, line))  # fmt: skip
            self._add_row(grid, row, told, (("torque", one.joint),))
            like = words.say("sheet.pane-torque-like", torque=words.number(one.taught_nm, 0))
            self.edits["torque", one.joint].setPlaceholderText(like)
        grid.setColumnStretch(1, 2)
        self._column.addWidget(make_label("small", words.say("sheet.torque-note")))

    def _lay_tests(self) -> None:
        words = self._words
        self._add_heading("sheet.tests-title")
        grid = self._add_grid()
        for row, key in enumerate(("working", "seal-limit")):
            self._add_row(grid, row, words.say(f"sheet.pane-{key}"), (("pressure", key),))
        self.pressure = make_label("small")
        self._column.addWidget(self.pressure)
        names = ["", Outcome.PASS.value, Outcome.FAIL.value]
        texts = [words.say(f"sheet.outcome-{name or 'not-done'}") for name in names]
        for test in self._plan.tests:
            told = words.say(f"sheet.test-{test}")
            self._column.addWidget(make_label(text=told))
            self.outcomes[test] = Choice(told)
            self.outcomes[test].fill(names, texts)
            grid = self._add_grid()
            grid.addWidget(self.outcomes[test], 0, 0)
            note = self._make_edit(("tests", test), words.say("sheet.pane-note", name=told))
            note.setPlaceholderText(words.say("sheet.column-note"))
            grid.addWidget(note, 0, 1)
            grid.setColumnStretch(1, 1)
        self._add_row(self._add_grid(), 0, words.say("sheet.run-in-title"), (("run-in",),))

    # ------------------------------------------------------------------ pieces
    def _add_heading(self, key: str) -> None:
        self._column.addSpacing(GAP_PX)
        self._column.addWidget(make_rule())
        self._column.addWidget(make_label("heading", self._words.say(key)))

    def _add_grid(self) -> QGridLayout:
        grid = QGridLayout()
        grid.setHorizontalSpacing(GAP_PX // 2)
        grid.setVerticalSpacing(GAP_PX // 2)
        self._column.addLayout(grid)
        return grid

    def _add_titles(self, grid: QGridLayout) -> None:
        for column, name in enumerate(ROUNDS, start=1):
            grid.addWidget(make_label("small", self._words.say(f"sheet.gap-{name}")), 0, column)

    def _add_row(self, grid: QGridLayout, row: int, told: str, paths: tuple[FormPath, ...], under: QLabel | None = None) -> None:  # fmt: skip
        """Add a label with its fields; `under` is a label of its own below them."""
        label = make_label("small", told)
        grid.addWidget(label, row, 0)
        for column, path in enumerate(paths, start=1):
            spoken = " ".join([told, *(str(part) for part in path[:1] if path[0] in ROUNDS), *(str(part + 1) for part in path if isinstance(part, int))])  # fmt: skip
            grid.addWidget(self._make_edit(path, spoken), row, column)
        label.setBuddy(self.edits[paths[0]])
        grid.setColumnStretch(0, 3)
        for column in range(1, len(paths) + 1):
            grid.setColumnStretch(column, 2 if len(paths) > 1 else 4)
        if under is not None:
            grid.addWidget(under, row + 1, 1, 1, 2)

    def _add_places(self, grid: QGridLayout, row: int, told: str, spoken: str, path: FormPath) -> None:  # fmt: skip
        """Add a label, and below it a field for each of the four places."""
        label = make_label("small", told)
        grid.addWidget(label, row, 0, 1, PLACES)
        for n in range(PLACES):
            grid.addWidget(self._make_edit((*path, n), f"{spoken} {n + 1}"), row + 1, n)
        label.setBuddy(self.edits[*path, 0])

    def _make_edit(self, path: FormPath, spoken: str) -> QLineEdit:
        edit = HintedEdit()
        edit.setAccessibleName(spoken)
        edit.setMaxLength(LONGEST)
        edit.setMinimumWidth(0)
        self.edits[path] = edit
        return edit

    def _verdict(self, one: Wanted) -> QLabel:
        label = make_label("small", " ")
        self.verdicts[one.group, one.name] = label
        return label

    def _tell_wanted(self, one: Wanted) -> str:
        words = self._words
        name = words.say(f"clearance.{one.name}") if one.group in (Group.GAPS, Group.OTHER) else ""
        if one.group is Group.RUN_OUT:
            name = words.say(f"sheet.run-out-{one.name}")
        limits = tell_limits(words, one.group, one.low_mm, one.high_mm)
        return words.say(
            "sheet.form-limits",
            name=name or words.say("sheet.end-float"),
            limits=limits,
            unit=words.unit,
        )


def _add_unit(text: str, unit: str) -> str:
    """Give a bare number the unit that stands beside its field; what carries one keeps it."""
    return f"{text} {unit}" if _NUMBER.fullmatch(text) else text
