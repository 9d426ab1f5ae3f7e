"""The window: the picture, the motion under it, and beside it the part, the walk or the shims."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QStackedWidget, QVBoxLayout, QWidget

from models.spec.assembly import Assembly
from models.spec.errors import ContentError
from trainer.desktop.lesson_pane import LessonPane
from trainer.desktop.motion_bar import MotionBar
from trainer.desktop.part_card import PartCard
from trainer.desktop.picture import PumpView
from trainer.desktop.pieces import GAP_PX, MARGIN_PX, make_button, make_label, make_rule, set_text
from trainer.desktop.shim_pane import ShimPane
from trainer.desktop.theme import PANE_PX
from trainer.desktop.work import BenchWork, RecordsWork
from trainer.lesson import Show, list_lessons, read_lesson
from trainer.records import Records, check_person_name
from trainer.session.bench import Bench, open_bench
from trainer.session.teaching import Learner
from trainer.session.typed import make_pack
from trainer.stage.camera import ViewName
from trainer.stage.marks import Marks
from trainer.words import Words
from trainer.words.telling import tell_pieces, tell_taken

PANES = ("part", "lesson", "shim")
VIEWS = (ViewName.ISO, ViewName.SIDE, ViewName.SUCTION, ViewName.DRIVE, ViewName.TOP)
START_PX = (1280, 760)


def _now() -> datetime:
    return datetime.now(UTC)


class PumpWindow(QWidget):
    """Show one pump and everything that can be done with it."""

    def __init__(
        self,
        words: Words,
        build: str,
        *,
        records: Records | None = None,
        clock: Callable[[], datetime] = _now,
    ) -> None:
        super().__init__()
        self.words, self._build_name, self._clock = words, build, clock
        self.records = records
        self._own_records = records is None
        self._records_fault = ""
        self.bench: Bench | None = None
        self._ordered: Bench | None = None
        self._shown: tuple[Assembly, Assembly] | None = None
        self._works: list[BenchWork | RecordsWork] = []
        self.setWindowTitle(words.say("window.title"))
        self.setAccessibleName(words.say("window.title"))
        self.resize(*START_PX)
        self.view = PumpView()
        self.view.setAccessibleName(words.say("window.picture"))
        self.view.setAccessibleDescription(words.say("window.picture-keys"))
        self.motion = MotionBar(words)
        self.part = PartCard(words)
        self.lesson = LessonPane(words, self._make_learner)
        self.shims = ShimPane(words)
        self.section = make_button(
            words.say("window.section"), self._change_section, checkable=True
        )
        self.progress = make_label("small")
        self.panes = QStackedWidget()
        self._pane_buttons: dict[str, QPushButton] = {}
        self._arrange()
        self._connect()
        self.show_pane("lesson")

    # ------------------------------------------------------------------ arrangement
    def _arrange(self) -> None:
        words = self.words
        views = QHBoxLayout()
        views.setContentsMargins(MARGIN_PX, GAP_PX, MARGIN_PX, 0)
        views.setSpacing(GAP_PX // 2)
        for view in VIEWS:
            views.addWidget(
                make_button(
                    words.say(f"window.view-{view.value}"),
                    partial(self.view.look_from, view),
                    spoken=words.say(f"window.view-{view.value}-spoken"),
                )
            )
        views.addWidget(self.section)
        views.addStretch(1)
        views.addWidget(self.progress)
        left = QVBoxLayout()
        left.setSpacing(0)
        left.addLayout(views)
        left.addWidget(self.view, 1)
        left.addWidget(self.motion)
        choose = QHBoxLayout()
        choose.setContentsMargins(MARGIN_PX, GAP_PX, MARGIN_PX, GAP_PX)
        choose.setSpacing(GAP_PX // 2)
        for name, pane in zip(PANES, (self.part, self.lesson, self.shims), strict=True):
            button = make_button(
                words.say(f"window.choose-{name}"),
                partial(self.show_pane, name),
                checkable=True,
            )
            self._pane_buttons[name] = button
            choose.addWidget(button, 1)
            self.panes.addWidget(pane)
        beside = QWidget()
        beside.setFixedWidth(PANE_PX)
        right = QVBoxLayout(beside)
        right.setContentsMargins(0, 0, 0, 0)
        right.setSpacing(0)
        right.addLayout(choose)
        right.addWidget(make_rule())
        right.addWidget(self.panes, 1)
        upright = make_rule()
        upright.setMaximumSize(1, 16777215)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(left, 1)
        whole.addWidget(upright)
        whole.addWidget(beside)

    def _connect(self) -> None:
        self.view.picked.connect(self._picked)
        self.motion.moved.connect(self._moved)
        self.lesson.show_asked.connect(self._show)
        self.lesson.pointed.connect(self._point)
        self.shims.pack_chosen.connect(self._change_pack)

    def show_pane(self, name: str) -> None:
        """Show the part, the walk or the shims."""
        self.panes.setCurrentIndex(PANES.index(name))
        for key, button in self._pane_buttons.items():
            button.setChecked(key == name)

    # ------------------------------------------------------------------ work in the background
    def load(self) -> None:
        """Start making what is to be seen; the window stays usable meanwhile."""
        self._start_work(lambda tell: open_bench(self._build_name, progress=tell))
        if self.records is None:
            opening = RecordsWork(self)
            opening.ready.connect(self._take_records)
            opening.failed.connect(self._miss_records)
            self._works.append(opening)
            opening.start()

    def _start_work(self, make: Callable[[Callable[[str, int, int], None]], Bench]) -> None:
        work = BenchWork(make, self, self._shown)
        work.told.connect(self._tell_progress)
        work.solids_ready.connect(self._take_solids)
        work.order_ready.connect(self._take_order)
        work.failed.connect(self._fail)
        self._works.append(work)
        work.start()

    def _tell_progress(self, what: str, done: int, of: int) -> None:
        text = "" if done == of else self.words.say(f"console.making-{what}", done=done, of=of)
        self.progress.setText(text)

    def _fail(self, reason: str) -> None:
        self.progress.setText("")
        self.motion.tell(self.words.say("window.failed"), reason)

    def _take_records(self, records: Records) -> None:
        self.records = records

    def _miss_records(self, reason: str) -> None:
        self._records_fault = reason

    def _take_solids(self, bench: Bench, shown: tuple[Assembly, Assembly]) -> None:
        first = self.bench is None
        self.bench, self._shown = bench, shown
        self.view.show_assembly(*shown)
        self.shims.show_bench(bench)
        self.lesson.set_bench(bench)
        if first:
            self.motion.tell(bench.build.name, self.words.say("window.order-coming"))
        else:
            self._moved(self.motion.apart)

    def _take_order(self, bench: Bench) -> None:
        if bench is not self.bench:
            return  # the pack was changed again meanwhile; its own order is on the way
        first = self._ordered is None
        self._ordered = bench
        self.motion.set_steps(len(bench.order.steps))
        self._moved(self.motion.apart)
        if first:
            self._start_lesson(bench)

    def _start_lesson(self, bench: Bench) -> None:
        for path in list_lessons().values():
            try:
                lesson = read_lesson(path)
            except ContentError as error:
                set_text(self.lesson.text, str(error))
                continue
            if lesson.build == bench.build.name:
                self.lesson.start(lesson, bench)
                return

    # ------------------------------------------------------------------ what is seen
    def _change_section(self) -> None:
        self.view.set_section(self.section.isChecked())

    def _moved(self, apart: float) -> None:
        """Put every part where the slider says, and name the one that moves."""
        ordered = self._ordered
        if ordered is None or self.bench is None:
            return
        offsets = ordered.layout.offsets_at(apart)
        home = np.zeros(3)
        self.view.set_offsets(
            {name: offsets.get(name, home) for name in self.bench.build.pieces}, follow=True
        )
        steps, build = ordered.order.steps, ordered.build
        at = min(int(apart * len(steps) + 1e-9), len(steps) - 1)
        if apart <= 0.0:
            self.motion.tell(self.words.say("window.is-together"), self.words.say("order.safety"))
            return
        whole = abs(apart * len(steps) - round(apart * len(steps))) < 1e-6
        step = steps[round(apart * len(steps)) - 1 if whole else at]
        number = steps.index(step) + 1
        what = tell_pieces(self.words, build, step.pieces)
        name = self.words.say("window.step", number=number, last=len(steps), what=what)
        self.motion.tell(name, tell_taken(self.words, build, step.taken[0]))
        if self.motion.is_playing or self.panes.currentIndex() != PANES.index("lesson"):
            self.view.set_marks(Marks(lit=frozenset(step.pieces)))

    def _picked(self, piece: str) -> None:
        """A piece was clicked: an answer if one is asked for, else its card."""
        if self.bench is None:
            return
        if self.panes.currentWidget() is self.lesson and self.lesson.take_pick(piece):
            return
        self.view.set_marks(Marks(lit=frozenset({piece})))
        self.part.show_piece(self.bench.build, piece)
        self.show_pane("part")

    def _point(self, lit: frozenset[str], in_the_way: frozenset[str]) -> None:
        self.view.set_marks(Marks(lit=lit, in_the_way=in_the_way))

    def _show(self, show: Show) -> None:
        """Show what a step of the lesson asks for."""
        if self.bench is None:
            return
        self.motion.pause()
        lit, ghosted = (
            frozenset(piece for name in names for piece in self.bench.find_pieces(name))
            for names in (show.lit, show.ghosted)
        )
        self.section.setChecked(show.cutaway)
        self.view.set_section(show.cutaway)
        self.view.set_marks(Marks(lit=lit, ghosted=ghosted))
        self.motion.set_apart(show.apart)
        self.view.look_from(show.camera.value)

    def _change_pack(self, pack: tuple[float, ...]) -> None:
        if self.bench is None:
            return
        build = self.bench.build
        self._start_work(
            lambda tell: open_bench(build.name, build.options, pack=make_pack(pack), progress=tell)
        )

    def _make_learner(self, typed: str) -> Learner | None:
        """Make the learner to record for; None without a name, when nothing is to be kept.

        Raises:
            RefusalError: the name cannot be kept. SurroundingsError: the records cannot be opened.
        """
        if not typed.strip():
            return None
        person = check_person_name(typed)
        if self.records is None:
            from trainer.records import open_records

            self.records = open_records()
        return Learner(person, self.records, self._clock)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Let the work in the background end before the window goes."""
        self.motion.pause()
        for work in self._works:
            work.wait()
        if self.records is not None and self._own_records:
            self.records.close()
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        super().closeEvent(event)
