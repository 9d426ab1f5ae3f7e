"""Mend what was guessed of somebody's assembly: each change counts at once, and what follows is worked out anew."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QFileDialog

from models.spec.errors import PumpwrightError, RefusalError
from models.spec.joint import JointKind
from trainer.core.order.guess import GuessedJoint
from trainer.desktop.bench_work import StepChoice
from trainer.desktop.panes.guess_pane import GuessPane
from trainer.desktop.panes.joint_guess import TypedJoint
from trainer.desktop.pieces import make_button
from trainer.desktop.typing_in import read_typed_mm
from trainer.handout.step_form_text import make_form_text
from trainer.session.step_bench import StepBench, list_sets
from trainer.session.step_form import (
    JointSaid,
    PartSaid,
    StepForm,
    parse_form,
    quote_list,
    quote_text,
    read_form,
    write_said,
)
from trainer.session.writing import write_whole
from trainer.stage.camera import ViewName
from trainer.words.naming import StepNaming
from trainer.words.speech import Words

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow

PANE = "guesses"
KEY = "Ctrl+G"
FORMS = "(*.toml)"
PLACES_MM = 6


class Guessing(QObject):
    """Hold the pane of guesses, and put on the bench what comes of each change."""

    def __init__(self, window: PumpWindow) -> None:
        super().__init__(window)
        self._window = window
        words = window.words
        self.pane = GuessPane(words)
        window.add_pane(PANE, self.pane)
        self.look = make_button(
            words.say("guess.look"), self.show, spoken=words.say("guess.look-spoken")
        )
        window.builds.file_column.addWidget(self.look)
        self.look.setEnabled(False)
        window.add_key(KEY, self.show)
        window.came.connect(self._take_bench)
        window.changing.failed.connect(self._tell_failed)
        self.pane.part.changed.connect(self.say_of_part)
        self.pane.up_chosen.connect(lambda up: self._try(replace(self._form, up=up)))
        self.pane.joints.let_go.connect(self.let_go)
        self.pane.joints.taken_back.connect(self.take_back)
        self.pane.joints.typed.connect(self.take_typed)
        self.pane.pointed.connect(self._point)
        self.pane.joints.pointed.connect(self._point)
        self.pane.left.connect(window.close_pane)
        self.pane.read_asked.connect(self._ask_form)
        self.pane.save_asked.connect(self._ask_where)
        self._digest = ""

    @property
    def bench(self) -> StepBench | None:
        """Somebody's assembly, if one stands on the bench."""
        standing = self._window.standing
        return standing if isinstance(standing, StepBench) else None

    @property
    def _form(self) -> StepForm:
        """What has been said so far; of what is still being worked out as well."""
        wanted = self._window.changing.wanted
        bench = self.bench
        assert bench is not None
        if isinstance(wanted, StepChoice) and wanted.step is bench.step:
            return wanted.form
        return bench.form

    def show(self) -> None:
        """Show the guesses of what stands on the bench."""
        if self.bench is not None:
            self._window.show_pane(PANE)

    def _take_bench(self) -> None:
        bench, naming = self.bench, self._window.naming
        self.look.setEnabled(bench is not None)
        self._name_ends()
        if bench is None or not isinstance(naming, StepNaming):
            self._digest = ""
            if self._window.pane == PANE:
                self._window.show_pane("build")
            return
        self.pane.show_bench(bench, naming)
        if bench.step.digest != self._digest:
            self._digest = bench.step.digest
            self.show()

    def write_anew(self) -> None:
        """Write the guesses anew: lengths are written otherwise now."""
        bench = self.bench
        if bench is None:
            return  # at the start there is no naming yet either
        naming = self._window.naming
        if isinstance(naming, StepNaming):
            self.pane.show_bench(bench, naming)

    def _name_ends(self) -> None:
        """Call the views from either end by the axis of the file: a strange assembly has no suction end."""
        words = self._window.words
        room = "window" if self.bench is None else "guess"
        for view in (ViewName.SUCTION, ViewName.DRIVE):
            button = self._window.views[view]
            button.setText(words.say(f"{room}.view-{view.value}"))
            spoken = words.say(f"{room}.view-{view.value}-spoken")
            button.setAccessibleName(spoken)
            button.setToolTip(spoken)

    # ------------------------------------------------------------------ picture and list
    def take_pick(self, piece: str) -> bool:
        """Choose the line of a piece that was picked, while the guesses are looked at."""
        bench = self.bench
        if bench is None or self._window.pane != PANE:
            return False
        part = bench.assembly.by_name[piece].part
        self.pane.choose(part)
        self._point(frozenset({piece}))
        return True

    def _point(self, pieces: frozenset[str]) -> None:
        bench = self.bench
        if bench is not None:
            here = pieces & set(bench.assembly.by_name)
            self._window.speak_of(sorted(here), ghosted=frozenset())

    # ------------------------------------------------------------------ changes
    def say_of_part(self, part: str, said: PartSaid) -> None:
        """Say something of a part; what stays put is one piece, so that another no longer does."""
        parts = dict(self._form.parts)
        if said.base:
            parts = {name: replace(one, base=False) for name, one in parts.items()}
        parts[part] = said
        self._try(
            replace(self._form, parts={n: one for n, one in parts.items() if one != PartSaid()})
        )

    def let_go(self, joint: GuessedJoint) -> None:
        """Let go of a guessed joint: nothing holds there."""
        gone = JointSaid(JointKind.BOLTED, (), (joint.own,))
        self._try(replace(self._form, joints=(*self._form.joints, gone)))

    def take_back(self, joint: JointSaid) -> None:
        """Say nothing of a joint any more: what was guessed counts again."""
        left = tuple(one for one in self._form.joints if one != joint)
        self._try(replace(self._form, joints=left))

    def take_typed(self, before: GuessedJoint | JointSaid | None, typed: TypedJoint) -> None:
        """Take a joint as it was typed, in the place of another or as a further one."""
        left = tuple(one for one in self._form.joints if one != before)
        text = write_said(replace(self._form, joints=left)) + _write_typed(
            self._window.words, typed
        )
        self._read(text.encode(), self._window.words.say("guess.entered"))

    def _read(self, raw: bytes, shown: str) -> None:
        bench = self.bench
        assert bench is not None
        try:
            self._try(parse_form(raw, shown, list_sets(bench.step)))
        except PumpwrightError as error:
            self.pane.say_fault(str(error))

    def _try(self, form: StepForm) -> None:
        """Work out what comes of a form; where the form cannot be, nothing changes."""
        bench, changing = self.bench, self._window.changing
        if bench is None or form == self._form:
            return
        try:
            parse_form(write_said(form).encode(), bench.name, list_sets(bench.step))
        except PumpwrightError as error:
            self.pane.say_fault(str(error))
            return
        stands = changing.stands
        assert isinstance(stands, StepChoice)
        changing.change(StepChoice(stands.path, bench.step, form))

    def _tell_failed(self, choice: object, reason: str) -> None:
        if isinstance(choice, StepChoice) and choice.step is not None and self.bench is not None:
            naming = self._window.naming
            if isinstance(naming, StepNaming):
                self.pane.show_bench(self.bench, naming)
            self.pane.say_fault(reason)

    # ------------------------------------------------------------------ the form as a file
    def _ask_form(self) -> None:
        words = self._window.words
        kind = words.say("guess.files", endings=FORMS)
        path, _ = QFileDialog.getOpenFileName(self._window, words.say("guess.read"), "", kind)
        if path:
            self.read_file(Path(path))

    def _ask_where(self) -> None:
        words, bench = self._window.words, self.bench
        if bench is None:
            return
        kind = words.say("guess.files", endings=FORMS)
        proposed = f"{bench.name}.toml"
        path, _ = QFileDialog.getSaveFileName(self._window, words.say("guess.save"), proposed, kind)
        if path:
            self.save_file(Path(path))

    def read_file(self, path: Path) -> None:
        """Read a form and let it count; one that is wrong is told with every fault, and nothing changes."""
        bench = self.bench
        if bench is None:
            return
        try:
            form = read_form(path, list_sets(bench.step))
        except PumpwrightError as error:
            self.pane.say_fault(str(error))
            return
        self._try(form)

    def save_file(self, path: Path) -> None:
        """Write the form as the command `step --write-form` does; told where it went, or why not."""
        bench, words = self.bench, self._window.words
        if bench is None:
            return
        choice = self._window.changing.stands
        assert isinstance(choice, StepChoice)
        text = make_form_text(words, bench, choice.path.name)
        try:
            write_whole(text.encode(), path)
        except OSError as error:
            reason = error.strerror or str(error)
            self.pane.say_fault(words.say("guess.not-saved", file=str(path), reason=reason))
        else:
            self.pane.say_done(words.say("guess.saved", file=str(path)))


def _write_typed(words: Words, typed: TypedJoint) -> str:
    """Write a joint as a form has it: whoever reads that judges it."""
    first, second = (
        [n.strip() for n in text.split(",") if n.strip()] for text in (typed.first, typed.second)
    )
    lines = ["[[joints]]", f"kind = {quote_text(typed.kind)}"]
    if typed.kind == JointKind.BOLTED:
        lines += [f"by = {quote_list(first)}", f"holds = {quote_list(second)}"]
        return "\n".join(lines) + "\n"
    lines += [
        f"carrier = {quote_text(', '.join(first))}",
        f"carried = {quote_text(', '.join(second))}",
    ]
    lines += [f"tool = {quote_text(typed.tool.strip())}"] if typed.tool.strip() else []
    if typed.press.strip():
        lines.append(f"interference_mm = {_write_length(words, typed.press.strip())}")
    return "\n".join(lines) + "\n"


def _write_length(words: Words, text: str) -> str:
    """Write a typed length as a form has it, in mm; else as the text it is, which is refused by name."""
    try:
        return repr(round(read_typed_mm(words, text, "window.no-number"), PLACES_MM))
    except RefusalError:
        return quote_text(text)
