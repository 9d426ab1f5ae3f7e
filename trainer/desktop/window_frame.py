"""The window: the picture, the motion under it, and beside it one pane: walk, part, shims, service, sheet or pump."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import (
    QCloseEvent,
    QKeySequence,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QShortcut,
)
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from models.spec.view import View
from trainer.desktop.band import Band
from trainer.desktop.beside import Beside
from trainer.desktop.doing.noticing import Noticing
from trainer.desktop.fitting import fit_type
from trainer.desktop.hinted import HintedEdit
from trainer.desktop.motion_bar import MotionBar
from trainer.desktop.panes.absent_pane import AbsentPane
from trainer.desktop.panes.build_pane import BuildPane
from trainer.desktop.panes.lesson_pane import LessonPane
from trainer.desktop.panes.part_card import PartCard
from trainer.desktop.panes.parts_pane import PartsPane
from trainer.desktop.panes.service_pane import ServicePane
from trainer.desktop.panes.sheet_pane import SheetPane
from trainer.desktop.panes.shim_pane import ShimPane
from trainer.desktop.picture.hands import PumpHands
from trainer.desktop.pieces import (
    GAP_PX,
    MARGIN_PX,
    ShortLabel,
    make_button,
    make_label,
    make_switch,
)
from trainer.desktop.records_door import RecordsDoor
from trainer.desktop.styling import Styling
from trainer.desktop.theme import (
    PALETTE,
    Sizes,
    make_palette,
)
from trainer.desktop.tools_above import ToolsAbove
from trainer.session.bench import Bench
from trainer.session.on_bench import OnBench
from trainer.session.teaching import Learner
from trainer.stage.camera import ViewName
from trainer.stage.cut import HALF_SECTION
from trainer.stage.look import LOOKS, LookName
from trainer.words import Words
from trainer.words.naming import Naming

if TYPE_CHECKING:
    from models.spec.family import Family
    from trainer.records import Records

PANES = ("lesson", "part", "shim", "service", "sheet", "build")
FOR_OUR_PUMPS = ("lesson", "shim", "service", "sheet")
"""Panes that have nothing to show of somebody's assembly."""
ABSENT = "absent"
VIEWS = (
    ViewName.ISO,
    ViewName.SIDE,
    ViewName.FAR_SIDE,
    ViewName.SUCTION,
    ViewName.DRIVE,
    ViewName.TOP,
    ViewName.BELOW,
    ViewName.EXPLODED,
)
START_PX = (1280, 720)
LEAST_PX = (1060, 620)


def read_clock() -> datetime:
    """Read the clock."""
    return datetime.now(UTC)


class WindowFrame(QWidget):
    """Hold everything that is seen, and arrange it; what happens is in `PumpWindow`."""

    def __init__(
        self, words: Words, records: Records | None, clock: Callable[[], datetime]
    ) -> None:
        super().__init__()
        self.words, self.clock = words, clock
        self.door = RecordsDoor(records)
        self._sizes: Sizes | None = None
        self.is_large = False
        """Are letters larger than this window has room for beside the picture?"""
        self._text_percent: int | None = None
        self.setWindowTitle(words.say("window.title"))
        self.setAccessibleName(words.say("window.title"))
        self.setMinimumSize(*LEAST_PX)
        self.view = PumpHands()
        self.view.setObjectName("picture")
        self.view.setAccessibleName(words.say("window.picture"))
        self.view.setAccessibleDescription(words.say("window.picture-keys"))
        self.motion = MotionBar(words)
        self.part = PartCard(words)
        self.parts = PartsPane(words, self.part)
        self.lesson = LessonPane(words, self.make_learner, lambda: self.person.text().strip())
        self.shims = ShimPane(words)
        self.service = ServicePane(words)
        self.sheet = SheetPane(words, self.door.open, clock)
        self.builds = BuildPane(words)
        self.absent = AbsentPane(words)
        self.absent.pumps_asked.connect(lambda: self.show_pane("build"))
        self.person = HintedEdit()
        self.person.setAccessibleName(words.say("window.person"))
        self.person.setPlaceholderText(words.say("window.person-hint"))
        self.person.setToolTip(words.say("window.person-tip"))
        self.person.setMaxLength(200)
        self.build = ShortLabel("headText")
        self.section = make_switch(words, "window.section", self.change_section)
        self._viewed: str | None = None
        self.half_section = HALF_SECTION
        self.views = {
            view: make_button(
                words.say(f"window.view-{view.value}"),
                partial(self.glide_to_view, view),
                spoken=words.say(f"window.view-{view.value}-spoken"),
            )
            for view in VIEWS
        }
        self.fit = make_button("", self.fit_view, spoken=words.say("window.fit"), sign="fit")
        self.above = ToolsAbove(self.views.values(), self.fit, self.section)
        self.viewing, self.tools = self.above.viewing, self.above.tools
        self._pane_names: list[str] = []
        self._pane, self._is_ours = PANES[0], True
        self._left_pane = PANES[0]
        self._leaves: dict[str, Callable[[], object]] = {}
        self.choices = {
            name: make_button(
                words.say(f"window.choose-{name}"), partial(self.show_pane, name), name="pane"
            )
            for name in PANES
        }
        self._arrange()
        self.noticing = Noticing(self)
        self.styling = Styling(self)
        self._add_shortcuts()
        self.show_pane("lesson")
        self.resize(*START_PX)

    # ------------------------------------------------------------------ arrangement
    def _arrange(self) -> None:
        left = QVBoxLayout()
        left.setSpacing(0)
        self.tool_band = Band(self.above)
        left.addWidget(self.tool_band)
        rows = QWidget()
        self._rows = QVBoxLayout(rows)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._rows.setSpacing(0)
        self.row_band = Band(rows)
        left.addWidget(self.row_band)
        left.addWidget(self.view, 1)
        self.below = QVBoxLayout()  # the motion, or what takes its place for a while
        self.below.addWidget(self.motion)
        left.addLayout(self.below)
        middle = QHBoxLayout()
        middle.setContentsMargins(0, 0, 0, 0)
        middle.setSpacing(0)
        middle.addLayout(left, 1)
        middle.addWidget(self._make_side())
        whole = self._whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self._make_head())
        whole.addLayout(middle, 1)

    def _make_head(self) -> QWidget:
        head = QFrame()
        head.setObjectName("head")
        row = QHBoxLayout(head)
        row.setContentsMargins(MARGIN_PX, GAP_PX // 2, MARGIN_PX, GAP_PX // 2)
        row.setSpacing(GAP_PX)
        brand = self.brand = make_label("brand", self.words.say("window.title"))
        brand.setWordWrap(False)
        self.build.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        person = make_label("headText", self.words.say("window.person"))
        person.setWordWrap(False)
        person.setBuddy(self.person)
        row.addWidget(brand)
        row.addWidget(self.build, 1)
        row.addWidget(person)
        row.addWidget(self.person)
        self.head_row = row
        return head

    def _make_side(self) -> QWidget:
        self.side = Beside(list(self.choices.values()))
        self.panes = self.side.panes
        self._choosing = self.choices["lesson"].group()
        shown = (self.lesson, self.parts, self.shims, self.service, self.sheet, self.builds)
        for name, pane in zip(PANES, shown, strict=True):
            self.add_pane(name, pane)
        self.add_pane(ABSENT, self.absent)
        return self.side

    def _add_shortcuts(self) -> None:
        keys: dict[str, Callable[[], object]] = {
            "Ctrl+Space": self.motion.toggle,
            "Ctrl+Left": partial(self.motion.step, -1),
            "Ctrl+Right": partial(self.motion.step, +1),
            "Ctrl+Up": partial(self.motion.pace.change, +1),
            "Ctrl+Down": partial(self.motion.pace.change, -1),
            "Ctrl+Shift+Space": self.motion.pace.toggle_waits,
            "Ctrl+H": self.section.click,
            **{f"Ctrl+{n + 1}": self.views[view].click for n, view in enumerate(VIEWS)},
        }
        for key, act in keys.items():
            self.add_key(key, act)

    def add_key(self, key: str, act: Callable[[], object]) -> None:
        """Let a key do something anywhere in the window."""
        QShortcut(QKeySequence(key), self).activated.connect(act)

    def add_row(self, row: QWidget) -> None:
        """Lay a row between the tools and the picture; it may hide while there is nothing in it."""
        self._rows.addWidget(row)

    def add_pane(self, name: str, pane: QWidget, leave: Callable[[], object] | None = None) -> None:
        """Take a pane; one that has no button of its own is shown by `show_pane` and left by `close_pane`.

        `leave` is what Escape does while the pane is shown; None: nothing.
        """
        self._pane_names.append(name)
        if leave is not None:
            self._leaves[name] = leave
        self.panes.addWidget(pane)

    def add_strip(self, strip: QWidget) -> None:
        """Lay a strip across the window, below its head."""
        self._whole.insertWidget(1, strip)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Let all type grow with the window."""
        super().resizeEvent(event)
        self._fit_type()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the ground where nothing lies."""
        painter = QPainter(self)
        painter.fillRect(event.rect(), PALETTE.ground)
        painter.end()

    def set_text_percent(self, percent: int | None) -> None:
        """Set how large letters are, in percent of the design's; None lets them grow with the window."""
        self._text_percent = percent
        self._fit_type()

    def set_look(self, name: LookName | str) -> None:
        """Change the look of the window and of its pictures: "light", "dark" or "projector"; nothing else changes.

        The colours are those of all windows of the process.
        """
        look = LOOKS[LookName(name)]
        PALETTE.take(make_palette(look))
        self._sizes = None  # the style sheet holds the colours too
        self._fit_type()
        self.view.set_look(look)

    def _fit_type(self) -> None:
        self._sizes = fit_type(self, self._sizes, self._text_percent)

    def fill_panes(self, bench: OnBench, naming: Naming) -> None:
        """Show what stands on the bench in every pane beside the lesson, which has a pump of its own.

        Panes for our own pumps keep what they hold while somebody's assembly stands there, out of sight.
        """
        self._is_ours = isinstance(bench, Bench)
        self.part.show_bench(bench, naming)
        if isinstance(bench, Bench):
            for pane in (self.shims, self.sheet):
                pane.show_bench(bench)
            for other in (self.service, self.builds):
                other.show_build(bench.build)
        else:
            self.builds.show_other()
        self.show_pane(self.pane)

    # ------------------------------------------------------------------ what is looked at
    def show_pane(self, name: str) -> None:
        """Show one of the panes by its name."""
        if self.pane in self.choices:
            self._left_pane = self.pane
        self._pane = name
        is_absent = name in FOR_OUR_PUMPS and not self._is_ours
        if is_absent:
            self.absent.stand_for(name)
        self.panes.setCurrentIndex(self._pane_names.index(ABSENT if is_absent else name))
        # With a pane that has no button, none is down.
        self._choosing.setExclusive(name in self.choices)
        for other, button in self.choices.items():
            button.setChecked(other == name)

    def close_pane(self) -> None:
        """Go back from a pane without a button to the one that was shown before it."""
        self.show_pane(self._left_pane)

    def leave_pane(self) -> None:
        """Leave a pane that was opened over another, as the button at its foot does."""
        if leave := self._leaves.get(self.pane):
            leave()

    @property
    def pane(self) -> str:
        """Which pane is shown, or would be if a pump of ours stood on the bench."""
        return self._pane

    @property
    def chosen_pane(self) -> str:
        """Which pane with a button of its own is shown, or was before one without."""
        return self._pane if self._pane in self.choices else self._left_pane

    def look_from(self, view: ViewName) -> None:
        """Go to a standing view."""
        self.leave_close_up()
        self.views[view].setChecked(True)
        self.view.look_from(view)

    def glide_to_view(self, view: ViewName) -> None:
        """Go to a standing view before one's eyes."""
        self.leave_close_up()
        self.view.glide_from(view)

    def take_view(self, family: Family | None) -> None:
        """Look at a family that did not stand here as its first view does, at all else from the corner."""
        name = family.name if family else ""
        if name == self._viewed:
            return
        self._viewed = name
        view = family.views[0] if family and family.views else View("", ViewName.ISO)
        self.section.setChecked(view.section)
        self.view.set_section(view.section)
        button = self.views.get(ViewName(view.camera))
        if button is not None:
            button.setChecked(True)
        self.view.look_from(view.camera)

    def fit_view(self) -> None:
        """Bring the whole pump into the picture."""
        self.leave_close_up()
        self.view.fit()

    def leave_close_up(self) -> None:
        """Look at the whole again."""
        self.shims.leave_close_up()

    def change_section(self) -> None:
        """Show the half section or the whole, as the button says; what the eye stands before is taken away."""
        cut = self.half_section.facing(self.view.camera.towards)
        self.view.set_cut(cut if self.section.isChecked() else None)
        if not self.view.is_close_up:
            self.view.fit()

    # ------------------------------------------------------------------ who answers
    def make_learner(self) -> Learner | None:
        """Make the learner to record for; None without a name, when nothing is to be kept.

        Raises:
            RefusalError: the name cannot be kept.
        """
        typed = self.person.text()
        if not typed.strip():
            return None
        from trainer.records import check_person_name

        return Learner(check_person_name(typed), self.door.open, self.clock)

    @property
    def records(self) -> Records | None:
        """The records, once they are open."""
        return self.door.records

    def closeEvent(self, event: QCloseEvent) -> None:
        """Stand still before going, and let what is being printed end."""
        self.motion.pause()
        self.service.wait()
        self.sheet.wait_for_prints()
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        super().closeEvent(event)
