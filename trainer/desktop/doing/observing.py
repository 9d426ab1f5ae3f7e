"""Watch a practical in the window: records are read and written in the background, and what is not signed outlives the program."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING
from uuid import UUID, uuid4

import shiboken6
from PySide6.QtCore import QObject

from models.spec.errors import PumpwrightError, RefusalError
from trainer.desktop.doing.line_playing import LinePlaying
from trainer.desktop.doing.practical_papers import PracticalPapers
from trainer.desktop.flow import Flow
from trainer.desktop.later import do_later
from trainer.desktop.panes.practical_pane import PracticalPane
from trainer.desktop.pieces import GAP_PX, make_button
from trainer.records import FiledCertificate, FiledSignOff, SignOff
from trainer.session.as_left import Plain, StrangeValueError
from trainer.session.asking.procedure_kind import list_procedures
from trainer.session.bench import Bench
from trainer.session.certifying import issue_certificate
from trainer.session.observing import (
    Held,
    begin_practical,
    describe_held,
    file_practical,
    read_held,
    sign_off,
)

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow
    from trainer.records import Records

PANE = "practical"
KEY = "F6"


class Observing(QObject):
    """Join the pane of the observed practical to the window."""

    def __init__(self, window: PumpWindow) -> None:
        super().__init__(window)
        self._window = window
        self._left: Plain = None
        """A practical as it was left, until it is shown again."""
        self._lost = ""
        """Why it cannot be."""
        self._signed: SignOff | None = None
        self._issued: tuple[UUID, str, str, str] | None = None
        self._busy, self._is_beginning = 0, False
        words = window.words
        self.pane = pane = PracticalPane(words, window.clock)
        window.add_pane(PANE, pane, window.close_pane)
        self.button = make_button(
            words.say("observing.open"), self.open, spoken=words.say("observing.open-spoken")
        )
        row = Flow(GAP_PX, GAP_PX // 2, fills=True)
        row.setContentsMargins(0, 0, 0, 0)
        window.lesson.column.removeWidget(window.practising.button)
        row.addWidget(window.practising.button, 1)
        row.addWidget(self.button)
        window.lesson.column.insertLayout(0, row)
        window.add_key(KEY, self.toggle)
        pane.left.connect(window.close_pane)
        pane.begin.pump_asked.connect(lambda: window.show_pane("build"))
        pane.begin.person_named.connect(self._look_at)
        pane.begin.held_chosen.connect(self._show_signed)
        pane.begin_asked.connect(self.begin)
        pane.watch.line_shown.connect(self._show_line)
        pane.watch.given_up.connect(self._give_up)
        pane.sign_asked.connect(self.sign)
        pane.another_asked.connect(self._begin_another)
        pane.close_page.certificate.issue_asked.connect(self._issue)
        self.playing = LinePlaying(window, PANE, pane.watch)
        self.papers = PracticalPapers(window, pane, self._do)
        window.came.connect(self._follow_bench)
        window.keeping.keep("practical", self._read_left, self._put_left)

    @property
    def is_busy(self) -> bool:
        """Is something being read, written or made ready?"""
        return self._busy > 0

    def toggle(self) -> None:
        """Show the pane, or leave it."""
        if self._window.pane == PANE:
            self._window.close_pane()
        else:
            self.open()

    def open(self) -> None:
        """Show the practical that is not signed yet, or what one needs to begin."""
        self._window.show_pane(PANE)
        if self.pane.held is not None:
            self._follow_bench()
        elif self._left is not None:
            left = self._left
            self.pane.begin.tell(self._window.words.say("observing.getting-ready"))
            self._do(lambda: read_left(left), self._take_left, self._lose)
        elif self.pane.close_page.filed is None:
            self._look()

    # ------------------------------------------------------------------ in the background
    def _do(self, work: Callable[[], object], take: Callable[..., object], refuse: Callable[[PumpwrightError], object], *, in_records: bool = False) -> None:  # fmt: skip
        """Do work in the background; what comes of it is taken while this window is there."""
        self._busy += 1
        do_later(work, partial(self._end, take), partial(self._end, refuse), in_records=in_records)

    def _end(self, take: Callable[..., object], made: object) -> None:
        self._busy -= 1
        if shiboken6.isValid(self):
            take(made)

    # ------------------------------------------------------------------ what it needs to begin
    def _look(self) -> None:
        """Look up what can be done on the pump that stands there, and who is kept."""
        self.pane.begin.tell(self._window.words.say("observing.looking"))
        self._follow_bench()
        door = self._window.door
        self._do(lambda: door.open().list_people(), self._take_people, self._tell_wrong, in_records=True)  # fmt: skip

    def _look_at(self, person: str) -> None:
        """Look up what somebody has done before."""
        show, door = self.pane.begin.show_held, self._window.door
        self._do(lambda: door.open().list_sign_offs(person), partial(show, person), self._tell_wrong, in_records=True)  # fmt: skip

    def _take_people(self, people: tuple[str, ...]) -> None:
        begin = self.pane.begin
        begin.list_people(people)
        self._tell_obstacle()
        if not begin.person.name and (typed := self._window.person.text().strip()):
            begin.person.put(typed)

    def _tell_wrong(self, error: PumpwrightError) -> None:
        self.pane.begin.tell(str(error), is_wrong=True)

    def _follow_bench(self) -> None:
        """Follow another pump on the bench."""
        bench, pane = self._window.bench, self.pane
        pane.watch.elsewhere.setVisible(not self._is_on_bench)
        if bench is None:
            pane.begin.show_pump("", ())
        elif self._window.pane == PANE:
            self._do(lambda: (bench, tuple(list_procedures(bench))), self._take_procedures, self._tell_wrong)  # fmt: skip

    def _take_procedures(self, found: tuple[Bench, Sequence[str]]) -> None:
        bench, procedures = found
        if bench is self._window.bench:
            self.pane.begin.show_pump(bench.name, procedures)
            self._tell_obstacle()

    def _tell_obstacle(self) -> None:
        """Say what stands in the way of any practical, or of the one that was left."""
        words, begin = self._window.words, self.pane.begin
        if self._window.bench is None:
            begin.tell(words.say("observing.no-pump"))
        elif not begin.what.names:
            begin.tell(words.say("observing.no-procedure", pump=self._window.build.text()))
        else:
            begin.tell(self._lost, is_wrong=bool(self._lost))

    def begin(self) -> None:
        """Begin the practical that was chosen."""
        window, page = self._window, self.pane.begin
        bench = window.bench
        if bench is None or not page.is_filled or self._is_beginning:
            return
        self._is_beginning = True
        page.tell(window.words.say("observing.getting-ready"))
        person, observer, what, now = page.person.name, page.observer.name, page.what.name, window.clock()  # fmt: skip
        self._do(
            lambda: begin_practical(bench, what, person=person, observer=observer, id_=uuid4(), now=now),
            self._take_begun,
            self._refuse_begun,
        )  # fmt: skip

    def _take_begun(self, held: Held) -> None:
        self._is_beginning = False
        self._take_held(held)

    def _refuse_begun(self, error: PumpwrightError) -> None:
        self._is_beginning = False
        self._tell_wrong(error)

    def _take_held(self, held: Held) -> None:
        self._left, self._lost, self._signed = None, "", None
        self.pane.begin.tell("")
        self.pane.show_held(held)
        self._follow_bench()

    # ------------------------------------------------------------------ as it was left
    def _read_left(self) -> Plain:
        held = self.pane.held
        return describe_held(held) if held is not None else self._left

    def _put_left(self, value: Plain) -> None:
        self._left = value
        if value is not None:
            self._window.noticing.tell(self._window.words.say("observing.kept"))

    def _take_left(self, held: Held) -> None:
        if self.pane.held is None:
            self._take_held(held)

    def _lose(self, error: PumpwrightError) -> None:
        """Say that a practical cannot be shown again, and look up what another needs; it stays where it is kept until then."""
        self._lost = self._window.words.say("observing.lost", reason=str(error))
        self._look()

    def _give_up(self) -> None:
        self._begin_another()

    def _begin_another(self) -> None:
        self.playing.stop()
        self._left, self._lost, self._signed = None, "", None
        self.pane.begin.person.put("")
        self.pane.show_begin()
        self._look()

    # ------------------------------------------------------------------ in the picture
    @property
    def _is_on_bench(self) -> bool:
        """Is the pump of the practical the one that stands on the bench?"""
        held, bench = self.pane.held, self._window.bench
        if held is None:
            return True
        return bench is not None and (held.build, dict(held.options)) == (bench.name, dict(bench.build.options))  # fmt: skip

    def _show_line(self, line: str) -> None:
        """Light the parts that a line is about, and play what it moves."""
        held, window = self.pane.held, self._window
        bench = window.bench
        if held is None or bench is None or not self._is_on_bench or window.pane != PANE:
            return
        places = bench.build.places
        pieces = [piece for part in held.parts.get(line, ()) for piece in places.get(part, ())]
        self.playing.show(line)
        window.speak_of(pieces)

    # ------------------------------------------------------------------ signing
    def sign(self) -> None:
        """Have both sign, and file it; the same sign-off is tried again, so that it is never filed twice."""
        page, window = self.pane.close_page, self._window
        if page.held is None or not page.can_sign:
            return
        person, observer = (one.text() for one in page.signs)
        try:
            signed = sign_off(page.held, person_signed=person, observer_signed=observer, now=window.clock())  # fmt: skip
        except RefusalError as error:
            page.tell(str(error), "cautionBox")
            return
        self._signed = signed
        page.set_busy(is_busy=True)
        page.tell(window.words.say("observing.filing"))
        self.pane.follow()
        self._do(lambda: file_practical(window.door.open(), signed), self._take_filed, self._refuse_filing, in_records=True)  # fmt: skip

    def _take_filed(self, filed: FiledSignOff) -> None:
        is_as_signed = filed.sign_off == self._signed
        self._signed = None
        self.pane.show_filed(filed, None)
        if not is_as_signed:
            self.pane.close_page.tell(self._window.words.say("observing.as-filed"), "cautionBox")

    def _refuse_filing(self, error: PumpwrightError) -> None:
        page, words = self.pane.close_page, self._window.words
        page.set_busy(is_busy=False)
        page.tell(words.say("observing.not-filed", reason=str(error)), "cautionBox")
        self.pane.follow()

    # ------------------------------------------------------------------ on file
    def _show_signed(self, signed: SignOff) -> None:
        """Show a practical that was signed off, with its certificate."""
        self._do(partial(read_filed, self._window.door.open, signed), self._take_signed, self._tell_wrong, in_records=True)  # fmt: skip

    def _take_signed(self, found: tuple[FiledSignOff, FiledCertificate | None]) -> None:
        self._issued = None
        self.pane.show_filed(*found)

    def _issue(self) -> None:
        """Issue the certificate; what is tried again as it stands keeps its id."""
        page, window = self.pane.close_page, self._window
        if page.filed is None:
            return
        box, signed, person = page.certificate, page.filed.sign_off, page.filed.known_as
        title, issuer, months = box.title.text().strip(), box.issuer.text().strip(), box.months.name
        if self._issued is None or self._issued[1:] != (title, issuer, months):
            self._issued = uuid4(), title, issuer, months
        id_, now = self._issued[0], window.clock()
        box.tell(window.words.say("observing.issuing"))
        box.set_busy(is_busy=True)
        self._do(
            lambda: issue_certificate(
                window.door.open(), person, [signed.practical], issuer=issuer, title=title,
                months=int(months) if months else None, id_=id_, now=now,
            ),
            self._take_certificate, self._refuse_certificate, in_records=True,
        )  # fmt: skip

    def _take_certificate(self, filed: FiledCertificate) -> None:
        self._issued = None
        self.pane.close_page.certificate.show_issued(filed)

    def _refuse_certificate(self, error: PumpwrightError) -> None:
        box = self.pane.close_page.certificate
        box.tell(str(error), "cautionBox")
        box.set_busy(is_busy=False)


def read_left(value: Plain) -> Held:
    """Read a practical as it was left. Raises RefusalError when it cannot be shown any more."""
    try:
        return read_held(value)
    except StrangeValueError as error:
        raise RefusalError(str(error)) from error


def read_filed(
    open_records: Callable[[], Records], signed: SignOff
) -> tuple[FiledSignOff, FiledCertificate | None]:
    """Read a sign-off in its place, and the newest certificate that rests on it and was not withdrawn."""
    records = open_records()
    filed = records.find_sign_off(signed.id)
    if filed is None:
        raise RefusalError(f"No practical is signed off under {signed.id}.")
    certificates = records.list_certificates()
    rest = (one for one in certificates if signed.id in one.certificate.sign_offs and not one.withdrawn)  # fmt: skip
    return filed, next(rest, None)
