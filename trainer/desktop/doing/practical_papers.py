"""Put an observed practical on paper: its lines to be marked by hand, how it went, and the certificate that rests on it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QFileDialog

from models.spec.errors import SurroundingsError
from trainer.desktop.panes.practical_pane import PracticalPane
from trainer.lesson.practical import Rubric
from trainer.records import FiledCertificate, FiledSignOff
from trainer.session.observing import make_rubric, make_signed_rubric
from trainer.session.writing import write_whole
from trainer.words import Words

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow
    from trainer.records import Records

SUFFIX = ".pdf"


class PracticalPapers(QObject):
    """Ask where to, and write PDFs in the background. do: does work there, and hands over what comes of it."""

    def __init__(self, window: PumpWindow, pane: PracticalPane, do: Callable[..., None]) -> None:
        super().__init__(window)
        self._window, self._pane, self._do = window, pane, do
        self.ask: Callable[[str], str] = self._ask
        pane.blank_asked.connect(self._save_blank)
        pane.close_page.save_asked.connect(self._save_filed)
        pane.close_page.certificate.save_asked.connect(self._save_certificate)

    def _save_blank(self) -> None:
        bench, what, words = self._window.bench, self._pane.begin.what.name, self._window.words
        if bench is not None and what:
            name = words.say("observing.blank-name", what=what)
            self._save(name, lambda: print_practical(words, make_rubric(bench, what), bench.name))

    def _save_filed(self) -> None:
        filed, words = self._pane.close_page.filed, self._window.words
        if filed is not None:
            signed = filed.sign_off
            name = words.say("observing.file-name", person=signed.person, day=f"{signed.when.astimezone():%Y-%m-%d}")  # fmt: skip
            rubric = make_signed_rubric(signed)
            self._save(name, lambda: print_practical(words, rubric, signed.build, filed))

    def _save_certificate(self) -> None:
        filed, window = self._pane.close_page.certificate.filed, self._window
        if filed is None:
            return
        words, certificate = window.words, filed.certificate
        name = words.say("observing.certificate-name", person=certificate.person, day=f"{certificate.when:%Y-%m-%d}")  # fmt: skip
        self._save(
            name, partial(print_certificate, words, filed, window.door.open), in_records=True
        )

    def _save(self, proposed: str, make: Callable[[], bytes], *, in_records: bool = False) -> None:
        """Ask where to, and write a PDF there."""
        plain = "".join(sign if sign.isalnum() or sign in "-_." else "-" for sign in proposed)
        chosen = self.ask(plain)
        if not chosen:
            return
        path, words = Path(chosen).with_suffix(SUFFIX), self._window.words

        def write() -> str:
            data = make()
            try:
                write_whole(data, path)
            except OSError as error:
                reason = error.strerror or str(error)
                told = words.say("console.cannot-write", file=str(path), reason=reason)
                raise SurroundingsError(told) from error
            return words.say("practical.printed", file=str(path))

        tell = self._window.noticing.tell
        self._do(write, tell, lambda error: tell(str(error)), in_records=in_records)

    def _ask(self, proposed: str) -> str:
        words = self._window.words
        chosen, _ = QFileDialog.getSaveFileName(
            self._pane, words.say("observing.save"), proposed, words.say("observing.kind")
        )
        return chosen


def print_practical(words: Words, rubric: Rubric, build: str, filed: FiledSignOff | None = None) -> bytes:  # fmt: skip
    """Make the PDF of a rubric, or of a practical as it was held."""
    from trainer.handout.practical_page import make_practical_pdf, tell_practical

    return make_practical_pdf(tell_practical(words, rubric, build, filed))


def print_certificate(words: Words, filed: FiledCertificate, open_records: Callable[[], Records]) -> bytes:  # fmt: skip
    """Make the PDF of a certificate, with what it rests on."""
    from trainer.handout.certificate_page import make_certificate_pdf, tell_certificate

    ids = set(filed.certificate.sign_offs)
    rests = [one for one in open_records().list_sign_offs() if one.id in ids]
    return make_certificate_pdf(tell_certificate(words, filed, rests), words)
