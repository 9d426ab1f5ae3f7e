"""The observed practical in the window: who and what, then line by line, then the outcome, both signatures, and paper."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from PySide6.QtCore import QEvent, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from trainer.desktop.flow import Flow
from trainer.desktop.panes.practical_begin import BeginPage
from trainer.desktop.panes.practical_close import ClosePage
from trainer.desktop.panes.practical_watch import WatchPage
from trainer.desktop.pieces import GAP_PX, MARGIN_PX, Pane, make_button, make_label
from trainer.records import FiledCertificate, FiledSignOff
from trainer.session.observing import Held
from trainer.words import Words

MOST_MARKS_SHARE = 0.3
"""Buttons to mark a line that would be higher than this share of the pane carry signs in place of words."""


class PracticalPane(Pane):
    """Show one of three pages: what a practical needs to begin, its lines, or its end."""

    left = Signal()
    begin_asked = Signal()
    blank_asked = Signal()
    sign_asked = Signal()
    another_asked = Signal()

    def __init__(self, words: Words, clock: Callable[[], datetime]) -> None:
        super().__init__(words.say("observing.pane"))
        self._is_inside = False
        self.title = make_label("paneTitle", words.say("observing.pane"))
        self.begin = BeginPage(words)
        self.watch = WatchPage(words, clock)
        self.close_page = ClosePage(words)
        self.column.addWidget(self.title)
        for page in self._pages:
            self.column.addWidget(page)
        self.column.addStretch(1)
        say, make = words.say, make_button
        self.back = make(say("observing.back"), self.left.emit)
        self.blank = make(say("observing.blank"), self.blank_asked.emit, spoken=say("observing.blank-spoken"))  # fmt: skip
        self.start = make(say("observing.begin"), self.begin_asked.emit, name="main")
        self.before = make(say("observing.before"), lambda: self.watch.step_on(-1))
        self.after = make(say("observing.after"), lambda: self.watch.step_on(1))
        self.to_end = make(say("observing.to-end"), self.show_outcome)
        self.to_lines = make(say("observing.to-lines"), self.show_lines)
        self.sign = make(say("observing.sign-and-file"), self.sign_asked.emit, name="main")
        self.another = make(say("observing.another"), self.another_asked.emit, name="main")
        self._feet = {
            self.begin: (self.back, self.blank, self.start),
            self.watch: (self.before, self.after, self.to_end),
            self.close_page: (self.to_lines, self.sign, self.another),
        }
        self.ways = QWidget()
        self.ways.setObjectName("clear")
        self._ways_row = row = Flow(GAP_PX, GAP_PX // 2, fills=True)
        row.setContentsMargins(0, 0, 0, 0)
        self.ways.setLayout(row)
        for foot in self._feet.values():
            for button in foot:
                row.addWidget(button, int(button is foot[-1]))
        self.marks = Flow(GAP_PX // 2, GAP_PX // 2, fills=True)
        self.marks.setContentsMargins(0, 0, 0, 0)
        for button in self.watch.levels.values():
            self.marks.addWidget(button, 1)
        self.foot_column.addLayout(self.marks)
        self.foot_column.addWidget(self.ways)
        self.foot.show()
        self.begin.changed.connect(self.follow)
        self.watch.changed.connect(self.follow)
        self.close_page.changed.connect(self.follow)
        self.watch.line_shown.connect(lambda _line: self._follow_line())
        self._show(self.begin)

    def fit_foot(self) -> None:
        """Let what leads on scroll with the rest where there is little room; what a line is marked with never does."""
        wide_px, high_px = self.width() - 2 * MARGIN_PX, self.height()
        self.watch.write_marks(short=False)
        if self._find_marks_px(wide_px) > MOST_MARKS_SHARE * high_px:
            self.watch.write_marks(short=True)
        self._ways_row.invalidate()
        ways_px = self._ways_row.heightForWidth(wide_px)
        foot_px = self._find_marks_px(wide_px) + ways_px + 3 * GAP_PX
        is_inside = foot_px > self.most_foot_share * high_px
        if is_inside is not self._is_inside:
            self._is_inside = is_inside
            (self.foot_column if is_inside else self.column).removeWidget(self.ways)
            (self.column if is_inside else self.foot_column).addWidget(self.ways)
        self.watch.put_heading(below=is_inside)
        self.foot.setVisible(self.is_watching or not is_inside)

    def changeEvent(self, event: QEvent) -> None:
        """Fit the foot to other letters, once all in it has them."""
        super().changeEvent(event)
        if event.type() in {QEvent.Type.StyleChange, QEvent.Type.FontChange}:
            QTimer.singleShot(0, self, self.fit_foot)

    def _find_marks_px(self, wide_px: int) -> int:
        """Find how high the buttons are that mark a line; nothing where none is watched."""
        self.marks.invalidate()
        return self.marks.heightForWidth(wide_px) if self.is_watching else 0

    @property
    def _pages(self) -> tuple[QWidget, ...]:
        return self.begin, self.watch, self.close_page

    @property
    def held(self) -> Held | None:
        """The practical that is not signed yet, as it stands; None for none."""
        return self.close_page.held or self.watch.held

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Mark by keys, wherever in the pane the keyboard is."""
        if not (self.is_watching and self.watch.take_key(event)):
            super().keyPressEvent(event)

    @property
    def is_watching(self) -> bool:
        """Are the lines shown?"""
        return not self.watch.isHidden()

    def show_begin(self) -> None:
        """Ask what a practical needs to begin."""
        self.watch.drop()
        self.close_page.held = self.close_page.filed = None
        self._show(self.begin)

    def show_held(self, held: Held) -> None:
        """Show a practical at its first line that is not seen yet."""
        self.close_page.held = None
        self.watch.show_held(held)
        self._show(self.watch)

    def show_lines(self) -> None:
        """Go back to the lines."""
        if self.held is not None:
            self.show_held(self.held)

    def show_outcome(self) -> None:
        """Show what it comes to as it is marked."""
        if self.held is not None:
            self.close_page.show_outcome(self.held)
            self._show(self.close_page)

    def show_filed(self, filed: FiledSignOff, certificate: FiledCertificate | None) -> None:
        """Show one that is on file."""
        self.watch.drop()
        self.close_page.show_filed(filed, certificate)
        self._show(self.close_page)

    def _show(self, page: QWidget) -> None:
        for one in self._pages:
            one.setVisible(one is page)
        self.title.setVisible(page is not self.watch)  # all the room is the line's
        for mark in self.watch.levels.values():
            mark.setVisible(page is self.watch)
        for one, foot in self._feet.items():
            for button in foot:
                button.setVisible(one is page)
        self.follow()
        QTimer.singleShot(0, self, self._settle)

    def _settle(self) -> None:
        """Fit to the page what the page before had otherwise, once it is laid out."""
        self.foot_column.invalidate()
        self.fit_foot()
        self.show_top()

    def follow(self) -> None:
        """Let each button be pressed only where it leads on."""
        is_filed = self.close_page.filed is not None
        self.start.setEnabled(self.begin.is_filled)
        self.blank.setEnabled(bool(self.begin.what.name))
        if not self.close_page.isHidden():
            self.to_lines.setVisible(not is_filed)
            self.sign.setVisible(not is_filed)
            self.another.setVisible(is_filed)
        self.sign.setEnabled(self.close_page.can_sign)
        self.to_lines.setEnabled(self.close_page.signing.isEnabled())
        row, last = self.watch.list.currentRow(), self.watch.list.count() - 1
        self.before.setEnabled(row > 0)
        self.after.setEnabled(row < last)

    def _follow_line(self) -> None:
        self.follow()
        self.show_top()
