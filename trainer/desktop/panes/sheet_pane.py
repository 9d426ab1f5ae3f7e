"""The bench sheet in the window: filled in field by field, judged as it is typed, printed and filed."""

from __future__ import annotations

import json
import multiprocessing
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID, uuid4

from PySide6.QtCore import QObject, QThread, QTimer, Signal
from PySide6.QtWidgets import QFileDialog, QLineEdit

from models.spec.errors import ContentError, PumpwrightError, RefusalError
from trainer.desktop.later import do_later
from trainer.desktop.panes.sheet_draft import describe_fields, fill_fields
from trainer.desktop.panes.sheet_fields import SheetFields
from trainer.desktop.pieces import Box, Pane, drop_widget, make_button, make_label, set_text
from trainer.handout.sheet_foot import split_hash
from trainer.handout.sheet_texts import tell_advice, tell_sheet, tell_test
from trainer.session.as_left import Plain, StrangeValueError, take_table, take_text
from trainer.session.bench import Bench
from trainer.session.sheet import BenchSheet, Verdict, describe_sheet
from trainer.session.sheet_filing import file_sheet, find_missing_head
from trainer.session.sheet_form import read_entries
from trainer.session.sheet_judging import judge_entries
from trainer.session.sheet_plan import SheetPlan, plan_sheet
from trainer.session.typed import DEPOT_DRAWER, read_stock
from trainer.words import Words
from trainer.words.speech import begin

if TYPE_CHECKING:
    from trainer.desktop.picture.surface import Steps
    from trainer.records import FiledSheet, Records

WAIT_MS = 250
"""How long typing rests before the sheet is judged anew."""
MOST_FAULTS = 4
MOST_DRAFTS = 40
"""Sheets not filed that are kept; the one left longest ago goes first."""
STYLES = {Verdict.PASS: "rightBox", Verdict.FAIL: "cautionBox"}


class PrintWork(QThread):
    """Print a sheet in a process of its own: solids and letters would hold the window for seconds."""

    done = Signal(str, str)

    def __init__(self, sheet: BenchSheet, filed: FiledSheet | None, path: Path, words: Words, parent: QObject, *, drawing: bool) -> None:  # fmt: skip
        super().__init__(parent)
        self._content = describe_sheet(sheet)
        self._filed, self._path, self._language, self._drawing = (
            filed,
            path,
            words.language,
            drawing,
        )

    def run(self) -> None:
        """Print; `done` carries the path and what went wrong, "" for nothing."""
        from trainer.handout.sheet_page import write_sheet_pdf

        spawn = multiprocessing.get_context("spawn")
        try:
            with ProcessPoolExecutor(1, mp_context=spawn) as pool:
                wrong = pool.submit(write_sheet_pdf, self._content, self._filed, self._path, self._language, drawing=self._drawing).result()  # fmt: skip
        except (OSError, RuntimeError) as error:
            wrong = str(error)
        self.done.emit(str(self._path), wrong)


class SheetPane(Pane):
    """Fill in a bench sheet; once filed it stays, and only a new one corrects it."""

    proof_asked = Signal(str)

    def __init__(
        self,
        words: Words,
        open_records: Callable[[], Records],
        clock: Callable[[], datetime],
        make_id: Callable[[], UUID] = uuid4,
    ) -> None:
        super().__init__(words.say("sheet.title"))
        self._words, self._open_records, self._clock, self._make_id = words, open_records, clock, make_id  # fmt: skip
        self._bench: Bench | None = None
        self._plan: SheetPlan | None = None
        self._id = make_id()
        self._corrects: UUID | None = None
        self._filing: UUID | None = None
        self._wrong: list[QLineEdit] = []
        self._drafts: dict[str, Plain] = {}
        self._blank: dict[str, Plain] = {}
        self._prints: list[PrintWork] = []
        self.with_drawing = True
        self.fields: SheetFields | None = None
        self._ahead: tuple[Bench, SheetPlan, SheetFields] | None = None
        self.sheet: BenchSheet | None = None
        self.filed: FiledSheet | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(WAIT_MS)
        self._timer.timeout.connect(self.judge)
        self.title = make_label("paneTitle", words.say("sheet.title"))
        self.lead = make_label("small", words.say("sheet.pane-lead"))
        self.verdict = Box("box")
        self.note = Box("box")
        self.print = make_button(words.say("sheet.pane-print"), self._ask_print)
        self.file = make_button(words.say("sheet.pane-file"), self._file, name="main")
        self.correct = make_button(words.say("sheet.pane-correct"), self._correct)
        self.anew = make_button(words.say("sheet.pane-anew"), self._begin_anew)
        for widget in (self.title, self.lead):
            self.column.addWidget(widget)
        self.column.addStretch(1)
        self.foot_column.insertWidget(0, self.verdict)
        self.foot_column.insertWidget(1, self.note)
        for button in (self.anew, self.correct, self.print, self.file):
            self.foot_row.addWidget(button)
        self._show_buttons()

    # ------------------------------------------------------------------ which pump
    def lay_ahead(self, bench: Bench) -> Steps:
        """Lay out unseen, in steps, what `show_bench` will need: hundreds of fields take long to make."""
        self._drop_ahead()
        if self._is_same(bench):
            return
        try:
            plan = plan_sheet(bench.build)
        except RefusalError:
            return  # it is told when this pump stands there
        fields = SheetFields(self._words, plan)
        fields.hide()
        yield
        self.column.insertWidget(self.column.count() - 1, fields)
        self._ahead = bench, plan, fields

    def _drop_ahead(self) -> None:
        if self._ahead is not None:
            drop_widget(self.column, self._ahead[2])
        self._ahead = None

    def _is_same(self, bench: Bench) -> bool:
        """Is it the pump that stands there, maybe with another pack?"""
        return self._bench is not None and (self._bench.build.name, self._bench.build.options) == (bench.build.name, bench.build.options)  # fmt: skip

    def show_bench(self, bench: Bench) -> None:
        """Take a bench; another pump begins another sheet, another pack does not."""
        if self._is_same(bench):
            self._bench = bench
            return
        self._drafts = self.read_drafts()
        self._bench = bench
        try:
            self._plan = plan_sheet(bench.build)
        except RefusalError as error:
            self._plan = None
            self._drop_fields()
            self.foot.hide()
            set_text(self.lead, str(error))
            return
        set_text(self.lead, self._words.say("sheet.pane-lead"))
        self.foot.show()
        self._begin_anew()
        self._take_draft()

    def _drop_fields(self) -> None:
        if self.fields is not None:
            drop_widget(self.column, self.fields)
        self.fields, self.sheet, self.filed, self._wrong = None, None, None, []

    def _begin_anew(self) -> None:
        """Lay out an empty sheet."""
        if self._plan is None:
            return
        self._drop_fields()
        self._id, self._corrects = self._make_id(), None
        ahead, is_ahead = self._ahead, self._ahead is not None and self._ahead[0] is self._bench
        if is_ahead:
            self._ahead = None
        self._drop_ahead()
        self.fields = ahead[2] if ahead and is_ahead else SheetFields(self._words, self._plan)
        self.fields.edits[("date",)].setText(f"{self._clock():%Y-%m-%d}")
        self.fields.changed.connect(self._timer.start)
        self.fields.proof_asked.connect(self.proof_asked)
        if not is_ahead:
            self.column.insertWidget(self.column.count() - 1, self.fields)
        self.fields.show()
        self._blank = describe_fields(self.fields)
        self.note.tell("")
        if is_ahead:
            self._timer.start()  # a moment later: it takes long too
        else:
            self.judge()

    def lay_anew(self) -> None:
        """Lay the sheet out anew as it stands, since lengths are written otherwise now; one that is filed stays."""
        if self._plan is None or self.filed is not None or self.fields is None:
            return
        self.fields.spell_units()
        self._drafts = self.read_drafts()
        self._begin_anew()
        self._take_draft()
        self.fields.unit.choose(self._words.lengths.unit)

    # ------------------------------------------------------------------ what is not filed yet
    def read_drafts(self) -> dict[str, Plain]:
        """Read what is written and not filed, by pump: half a sheet must outlive a crash, and another pump in between."""
        drafts = {name: one for name, one in self._drafts.items() if name != self._pump}
        if self.fields is not None and self.filed is None:
            written = describe_fields(self.fields)
            if written != self._blank or self._corrects is not None:
                corrects = None if self._corrects is None else str(self._corrects)
                drafts[self._pump] = {"id": str(self._id), "corrects": corrects, "fields": written}
        return dict(list(drafts.items())[-MOST_DRAFTS:])

    def put_drafts(self, value: Plain) -> None:
        """Take what was left unfiled. Raises StrangeValueError when it is no such thing."""
        self._drafts = dict(take_table(value))
        self._take_draft()

    @property
    def _pump(self) -> str:
        """Which pump a draft is of, as a name for it."""
        build = self._bench.build if self._bench is not None else None
        return json.dumps([build.name, dict(build.options)]) if build is not None else ""

    def _take_draft(self) -> None:
        """Fill the sheet with what was written of this pump before. Raises StrangeValueError when it cannot be."""
        draft = self._drafts.pop(self._pump, None)
        if draft is None or self.fields is None:
            return
        table = take_table(draft)
        fill_fields(self.fields, table.get("fields"))
        corrects = table.get("corrects")
        try:
            # The same id as before: had the sheet been filed in the last moment, it is not filed twice.
            self._id = UUID(take_text(table.get("id")))
            self._corrects = None if corrects is None else UUID(take_text(corrects))
        except ValueError as error:
            raise StrangeValueError(str(error)) from error
        self.judge()

    # ------------------------------------------------------------------ judging
    def judge(self) -> None:
        """Judge what is typed, now; a fault is told and its field marked."""
        self._timer.stop()
        if self.fields is None or self._bench is None or self._plan is None:
            return
        self._mark_wrong([])
        try:
            unit = str(self._words.lengths.unit)
            entries = read_entries(self.fields.read(), self._plan, unit)
            # The options are the bench's own: a sheet is of the pump that is shown.
            sheet = judge_entries(self._bench, self._plan, entries, read_stock(DEPOT_DRAWER), unit)
        except (ContentError, RefusalError) as error:
            self.sheet = None
            self._tell_faults(error)
            self._show_buttons()
            return
        self.sheet = sheet
        told = tell_sheet(self._words, sheet).verdict
        self.verdict.tell(told.why, name=STYLES.get(sheet.verdict, "box"), heading=f"{told.sign} {told.word}")  # fmt: skip
        self.fields.show_verdicts(sheet)
        advice = sheet.pack.advice
        set_text(self.fields.advice, tell_advice(self._words, advice) if advice else "")
        pressure = next(one for one in sheet.tests if one.name == "pressure")
        set_text(
            self.fields.pressure, tell_test(self._words, pressure) if pressure.asked_bar else ""
        )
        self._show_buttons()

    def _tell_faults(self, error: ContentError | RefusalError) -> None:
        assert self.fields is not None
        self.fields.drop_verdicts()
        heading = self._words.say("sheet.pane-faults")
        if isinstance(error, RefusalError):
            self.verdict.tell(begin(str(error)), name="cautionBox", heading=heading)
            return
        self._mark_wrong(
            [field for fault in error.faults for field in self.fields.find_fields(fault.line)]
        )
        told = "\n\n".join(
            f"{begin(fault.what)}. {begin(fault.remedy)}" for fault in error.faults[:MOST_FAULTS]
        )
        self.verdict.tell(told, name="cautionBox", heading=heading)

    def _mark_wrong(self, fields: list[QLineEdit]) -> None:
        """Mark the fields that cannot be read, and no others."""
        for field in self._wrong + fields:
            field.setObjectName("wrong" if field in fields else "")
            field.style().unpolish(field)
            field.style().polish(field)
        self._wrong = fields

    # ------------------------------------------------------------------ filing
    def _show_buttons(self) -> None:
        is_filed = self.filed is not None
        is_open = not is_filed and self._filing != self._id
        self.file.setVisible(not is_filed)
        self.correct.setVisible(is_filed)
        self.anew.setVisible(is_filed)
        can_file = (
            not self.is_filing and self.sheet is not None and not find_missing_head(self.sheet)
        )
        self.file.setEnabled(can_file)
        self.print.setEnabled(self.sheet is not None and not self.is_filing)
        if self.fields is not None:
            self.fields.setEnabled(is_open)

    @property
    def is_filing(self) -> bool:
        """Is a sheet on its way into the records?"""
        return self._filing is not None

    def _file(self) -> None:
        """File the sheet as it stands; the same id is tried again, so that it is never filed twice."""
        self.judge()
        if self.sheet is None or self.is_filing:
            return
        self._filing = self._id
        self.note.tell(self._words.say("sheet.pane-filing"), name="box")
        self._show_buttons()
        sheet, now, id_, corrects = self.sheet, self._clock(), self._id, self._corrects
        do_later(
            lambda: file_sheet(self._open_records(), sheet, id_, now, corrects),
            self._take_filed,
            self._refuse_filing,
            in_records=True,
        )

    def _take_filed(self, filed: FiledSheet) -> None:
        """Take it that a sheet is filed; another pump may stand on the bench by now, with a sheet of its own."""
        self._filing = None
        told = self._words.say("sheet.pane-filed", number=filed.number, hash=split_hash(filed.hash))
        self.note.tell(told, name="rightBox")
        self._drafts = {
            pump: draft
            for pump, draft in self._drafts.items()
            if take_table(draft).get("id") != str(filed.sheet.id)
        }
        if filed.sheet.id == self._id:
            self.filed = filed
        self._show_buttons()

    def _refuse_filing(self, error: PumpwrightError) -> None:
        self._filing = None
        self.note.tell(str(error), name="cautionBox")
        self._show_buttons()

    def _correct(self) -> None:
        """Let the filed sheet be filled in again as a new one that stands in for it."""
        if self.filed is None:
            return
        self._id, self._corrects = self._make_id(), self.filed.sheet.id
        told = self._words.say("sheet.pane-correcting", number=self.filed.number)
        self.filed = None
        self.note.tell(told, name="box")
        self._show_buttons()

    # ------------------------------------------------------------------ printing
    def _ask_print(self) -> None:
        self.judge()
        if self.sheet is None:
            return
        words = self._words
        name = words.say("sheet.pane-file-name", serial=_make_file_name(self.sheet))
        path, _ = QFileDialog.getSaveFileName(self, words.say("sheet.pane-print"), name, words.say("sheet.pane-pdf"))  # fmt: skip
        if path:
            self.print_to(Path(path).with_suffix(".pdf"))

    def print_to(self, path: Path) -> PrintWork | None:
        """Print the sheet into a PDF; None when there is none to print."""
        if self.sheet is None:
            return None
        work = PrintWork(self.sheet, self.filed, path, self._words, self, drawing=self.with_drawing)
        work.done.connect(self._tell_printed)
        self._prints = [one for one in self._prints if one.isRunning()] + [work]
        self.note.tell(self._words.say("sheet.pane-printing"), name="box")
        self.print.setEnabled(False)
        work.start()
        return work

    def _tell_printed(self, path: str, wrong: str) -> None:
        self.print.setEnabled(self.sheet is not None)
        told = wrong or self._words.say("sheet.written", file=path)
        self.note.tell(told, name="cautionBox" if wrong else "rightBox")

    def wait_for_prints(self) -> None:
        """Let what is being printed end."""
        for work in self._prints:
            work.wait()


def _make_file_name(sheet: BenchSheet) -> str:
    """Make a plain file name of the serial number that somebody typed, or else of the day."""
    named = sheet.serial or sheet.date
    return "".join(sign if sign.isalnum() or sign in "-_" else "-" for sign in named)[:40]
