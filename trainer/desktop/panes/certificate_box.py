"""A certificate for a practical that was passed: issued once, then shown with its code, to be saved."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trainer.desktop.hinted import HintedEdit
from trainer.desktop.pieces import GAP_PX, Box, Choice, make_button, make_label
from trainer.records import FiledCertificate, SignOff
from trainer.words import Words
from trainer.words.telling_practical import tell_title

MONTHS = ("", "12", "24", "36")
"""What a certificate can be good for; "" without end."""
LONGEST = 80
FEW_LETTERS = 8


class CertificateBox(QWidget):
    """Ask what a certificate needs, or show one. issue_asked, save_asked: what its buttons say."""

    issue_asked = Signal()
    save_asked = Signal()

    def __init__(self, words: Words) -> None:
        super().__init__()
        self.setObjectName("clear")
        self._words = words
        self.filed: FiledCertificate | None = None
        self.asked = QWidget()
        self.asked.setObjectName("clear")
        column = QVBoxLayout(self.asked)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP_PX // 2)
        self.title, self.issuer = HintedEdit(), HintedEdit()
        self.months = Choice(words.say("observing.certificate-until"), FEW_LETTERS)
        texts = [words.say("observing.certificate-months", months=one) if one else words.say("observing.certificate-always") for one in MONTHS]  # fmt: skip
        self.months.fill(MONTHS, texts)
        fields: tuple[tuple[str, QWidget], ...] = (
            ("title", self.title),
            ("by", self.issuer),
            ("until", self.months),
        )
        for key, field in fields:
            told = words.say(f"observing.certificate-{key}")
            label = make_label("heading", told)
            label.setBuddy(field)
            field.setAccessibleName(told)
            column.addWidget(label)
            column.addWidget(field)
        for edit in (self.title, self.issuer):
            edit.setMaxLength(LONGEST)
            edit.textEdited.connect(lambda _text: self._follow())
        self.issue = make_button(words.say("observing.issue"), self.issue_asked.emit)
        column.addWidget(self.issue)
        self.note = Box("box", words.say("observing.certificate"))
        self.save = make_button(words.say("observing.save-certificate"), self.save_asked.emit)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, GAP_PX, 0, 0)
        whole.setSpacing(GAP_PX)
        whole.addWidget(make_label("stepNumber", words.say("observing.certificate")))
        for widget in (self.asked, self.note, self.save):
            whole.addWidget(widget)

    def show_signed(self, signed: SignOff, filed: FiledCertificate | None) -> None:
        """Show the certificate that rests on a sign-off, or ask what one needs."""
        self.filed = filed
        self.asked.setVisible(filed is None)
        self.save.setVisible(filed is not None)
        if filed is None:
            self.title.setText(tell_title(self._words, [signed.practical])[:LONGEST])
            self.issuer.setText(signed.observer)
            self.tell("")
            self.set_busy(is_busy=False)
        else:
            self.show_issued(filed)

    def show_issued(self, filed: FiledCertificate) -> None:
        """Show a certificate that is on file."""
        self.filed = filed
        words, certificate = self._words, filed.certificate
        until = certificate.expires
        told = words.say(
            "observing.issued", issuer=certificate.issuer, day=f"{certificate.when:%Y-%m-%d}",
            until=until.isoformat() if until else words.say("records.for-good"), code=filed.code,
        )  # fmt: skip
        self.asked.hide()
        self.save.show()
        self.tell(told, "rightBox")

    def tell(self, text: str, name: str = "box") -> None:
        """Say how it goes; `name` chooses the style of the box."""
        self.note.tell(text, name=name)

    def set_busy(self, *, is_busy: bool) -> None:
        """Leave all as it is while it is on its way into the records."""
        self.asked.setEnabled(not is_busy)
        self._follow()

    def _follow(self) -> None:
        has_all = bool(self.title.text().strip() and self.issuer.text().strip())
        self.issue.setEnabled(has_all and self.asked.isEnabled())
