"""The end of a practical: what it comes to and why, both sign; once it is on file it is saved, and a certificate issued."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trainer.desktop.hinted import HintedEdit
from trainer.desktop.panes.certificate_box import CertificateBox
from trainer.desktop.pieces import GAP_PX, Box, make_button, make_label, set_text
from trainer.lesson.practical import LONGEST_REMARK, MARKS, Judged, Level, Observed
from trainer.records import FiledCertificate, FiledSignOff
from trainer.session.observing import Held, judge_signed, make_signed_rubric
from trainer.words import Words
from trainer.words.telling import tell_pump
from trainer.words.telling_practical import tell_level, tell_line, tell_name

LONGEST = 80


class ClosePage(QWidget):
    """Tell the outcome, take both signatures, and show what is on file. changed: of what is not signed yet."""

    changed = Signal()
    save_asked = Signal()

    def __init__(self, words: Words) -> None:
        super().__init__()
        self.setObjectName("clear")
        self._words = words
        self.held: Held | None = None
        self.filed: FiledSignOff | None = None
        self.what = make_label("heading")
        self.outcome = Box("box")
        self.note = Box("box")
        self.whole = self._make_edit(words.say("observing.whole"), LONGEST_REMARK)
        self.whole.setPlaceholderText(words.say("observing.remark-hint"))
        self.signing = QWidget()
        self.signing.setObjectName("clear")
        self.labels = [make_label("heading") for _ in range(2)]
        # Who it is stands there as soon as somebody is watched.
        roles = [words.say(f"practical.{role}") for role in ("person", "observer")]
        self.signs = [self._make_edit(role, LONGEST) for role in roles]
        column = QVBoxLayout(self.signing)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP_PX // 2)
        whole = make_label("heading", words.say("observing.whole"))
        whole.setBuddy(self.whole)
        title = make_label("stepNumber", words.say("observing.sign-title"))
        for widget in (whole, self.whole, title):
            column.addWidget(widget)
        column.insertSpacing(2, GAP_PX)
        for label, sign in zip(self.labels, self.signs, strict=True):
            label.setBuddy(sign)
            column.addWidget(label)
            column.addWidget(sign)
        self.save = make_button(words.say("observing.save"), self.save_asked.emit)
        self.certificate = CertificateBox(words)
        whole_column = QVBoxLayout(self)
        whole_column.setContentsMargins(0, 0, 0, 0)
        whole_column.setSpacing(GAP_PX)
        for shown in (
            self.what,
            self.outcome,
            self.signing,
            self.note,
            self.save,
            self.certificate,
        ):
            whole_column.addWidget(shown)
        self.whole.textEdited.connect(self._remark)

    def _make_edit(self, spoken: str, longest: int) -> HintedEdit:
        edit = HintedEdit()
        edit.setAccessibleName(spoken)
        edit.setMaxLength(longest)
        edit.textEdited.connect(lambda _text: self.changed.emit())
        return edit

    # ------------------------------------------------------------------ not signed yet
    def show_outcome(self, held: Held) -> None:
        """Show what a practical comes to as it is marked, and let it be signed once every line is."""
        is_other = self.held is None or self.held.id != held.id
        self.held, self.filed = held, None
        words, observed = self._words, held.observed
        self._name(observed.rubric.name, held.build)
        self._tell_outcome(observed)
        self.note.tell("")
        self.whole.setText(held.remark)
        for label, sign, name in zip(self.labels, self.signs, (held.person, held.observer), strict=True):  # fmt: skip
            set_text(label, words.say("observing.sign", name=name))
            sign.setAccessibleName(words.say("observing.sign-spoken", name=name))
            if is_other:
                sign.clear()
        self.signing.setVisible(not observed.left)
        self.set_busy(is_busy=False)
        for widget in (self.save, self.certificate):
            widget.hide()

    def set_busy(self, *, is_busy: bool) -> None:
        """Leave all as it is while it is on its way into the records."""
        self.signing.setEnabled(not is_busy)

    @property
    def can_sign(self) -> bool:
        """Is every line marked, and has everybody typed something?"""
        is_marked = self.held is not None and not self.held.observed.left
        return (
            is_marked and self.signing.isEnabled() and all(one.text().strip() for one in self.signs)
        )

    def tell(self, text: str, name: str = "box") -> None:
        """Say how filing goes; `name` chooses the style of the box."""
        self.note.tell(text, name=name)

    def _remark(self, text: str) -> None:
        if self.held is not None:
            self.held = replace(self.held, remark=text)

    def _name(self, practical: str, build: str) -> None:
        words = self._words
        what = tell_name(words, practical)
        set_text(self.what, words.say("practical.title", what=what, pump=tell_pump(words, build)))

    def _tell_outcome(self, observed: Observed) -> None:
        words = self._words
        if observed.left:
            heading = words.say("observing.open-heading")
            self.outcome.tell("\n\n".join(self._list_open(observed)), name="box", heading=heading)
        else:
            self._tell_judged(observed, observed.judge())

    def _tell_judged(self, observed: Observed, judged: Judged) -> None:
        words = self._words
        share, least = (words.number(100.0 * one, 0) for one in (judged.score, observed.rubric.pass_at))  # fmt: skip
        told = [words.say("observing.share", share=share, least=least)]
        if judged.short:
            told.append(words.say("observing.is-short"))
        told += self._list_short(observed)
        key, name = ("passed", "rightBox") if judged.has_passed else ("failed", "cautionBox")
        heading = words.say(f"observing.{key}-heading")
        self.outcome.tell("\n\n".join(told), name=name, heading=heading)

    def _list_open(self, observed: Observed) -> list[str]:
        words = self._words
        return [
            words.say("observing.open-line", number=number, step=tell_line(words, line))
            for number, line in enumerate(observed.rubric.lines, start=1)
            if line.name in observed.left
        ]

    def _list_short(self, observed: Observed) -> list[str]:
        """List the lines that did not count full, and those with a remark."""
        words, told = self._words, []
        for number, line in enumerate(observed.rubric.lines, start=1):
            level, remark = observed.levels.get(line.name), observed.remarks.get(line.name, "")
            if level is None or (level is Level.ALONE and not remark):
                continue
            is_short = line.is_critical and level is not Level.ALONE
            said = words.say(
                f"observing.{'critical' if is_short else 'short'}-line", number=number, level=tell_level(words, line, level),
                step=tell_line(words, line),
            )  # fmt: skip
            told.append(words.say("observing.remarked", line=said, remark=remark) if remark else said)  # fmt: skip
        return told

    # ------------------------------------------------------------------ on file
    def show_filed(self, filed: FiledSignOff, certificate: FiledCertificate | None) -> None:
        """Show one that is on file, with the certificate that rests on it, if any does."""
        self.held, self.filed = None, filed
        words, signed = self._words, filed.sign_off
        self._name(signed.practical, signed.build)
        levels = {mark: level for level, mark in MARKS.items()}
        observed = Observed(
            make_signed_rubric(signed),
            {one.line: levels[one.mark] for one in signed.lines if one.mark in levels},
            {one.line: one.remark for one in signed.lines if one.remark},
        )
        self._tell_judged(observed, judge_signed(signed))
        self.signing.hide()
        day = f"{signed.when.astimezone():%Y-%m-%d}"
        told = words.say("observing.filed", person=signed.person, observer=signed.observer, day=day, number=filed.number)  # fmt: skip
        self.note.tell(f"{told}\n\n{signed.remark}" if signed.remark else told, name="rightBox")
        self.save.show()
        self.certificate.setVisible(signed.passed)
        if signed.passed:
            self.certificate.show_signed(signed, certificate)
