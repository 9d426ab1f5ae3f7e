"""However large letters are, nothing that is written is cut off, all can be reached, and the picture keeps its share."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from functools import partial

import pytest
from PySide6.QtCore import QEvent, QObject, QPoint, QRect
from PySide6.QtGui import QHelpEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QScrollArea,
    QToolTip,
    QWidget,
)
from pytestqt.qtbot import QtBot

from models.spec.face import Axis
from tests.desktop.driving import wait_for_style
from trainer.desktop.doing.withholding import Way
from trainer.desktop.hinted import HintedEdit
from trainer.desktop.panes.desk_pane import WITH_WINDOW
from trainer.desktop.pieces import Choice, Pane, ShortLabel
from trainer.desktop.theme import LARGEST_SCALE, TEXT_PERCENTS, Sizes
from trainer.desktop.window import PumpWindow
from trainer.desktop.wrapping import TextButton

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
SMALL, LARGE = (1280, 720), (1920, 1080)
LEAST_SHARE = 0.27
MOST_PICTURE_LETTERS = 0.045
"""A line over the picture, of the window's height: eight of them fit into the least that a picture may have."""
PANES = ("lesson", "part", "shim", "service", "sheet", "build", "desk", "practical")


@pytest.fixture
def sized(window: PumpWindow) -> Iterator[PumpWindow]:
    size = window.size()
    yield window
    window.desk.set_text(WITH_WINDOW)
    window.resize(size)
    window.show_pane("shim")
    wait_for_style(window)


def set_letters(window: PumpWindow, size: tuple[int, int], percent: int) -> None:
    window.resize(*size)
    window.desk.set_text(str(percent))
    wait_for_style(window)
    QTest.qWait(30)


def find_cut(window: PumpWindow) -> list[str]:
    """Find what is written and not whole."""
    cut = []
    for label in window.findChildren(QLabel):
        if label.isVisible() and label.text() and not isinstance(label, ShortLabel):
            high = (
                label.heightForWidth(label.width())
                if label.wordWrap()
                else label.sizeHint().height()
            )
            wide = 0 if label.wordWrap() else label.sizeHint().width()
            if label.height() < high or label.width() < wide:
                cut.append(label.text()[:50])
    for button in window.findChildren(TextButton):
        if button.isVisible() and button.text():
            is_low = button.height() < button.heightForWidth(button.width())
            if is_low or button.width() < button.minimumSizeHint().width():
                cut.append(button.text())
    return cut


def wait_for_layout(window: PumpWindow) -> None:
    """Wait until nothing is cut any more, or until it has had time enough: a pane is laid out in several goes."""
    deadline = time.monotonic() + 5.0
    QTest.qWait(30)
    while find_cut(window) and time.monotonic() < deadline:
        QTest.qWait(30)


def find_lost(window: PumpWindow) -> list[str]:
    """Find controls that lie outside the window and in nothing that scrolls there."""
    kinds = (QAbstractButton, QLineEdit, QComboBox)
    controls = [one for kind in kinds for one in window.findChildren(kind) if one.isVisible()]
    return [one.accessibleName() for one in controls if not _is_in_reach(window, one)]


def _is_in_reach(window: PumpWindow, one: QWidget) -> bool:
    place = QRect(one.mapTo(window, QPoint(0, 0)), one.size())
    parent: QWidget | None = one.parentWidget()
    while parent is not None and not isinstance(parent, QScrollArea):
        parent = parent.parentWidget()
    if parent is None:
        return window.rect().contains(place)
    # What scrolls must itself be seen, and be as wide as what is in it.
    seen = parent.visibleRegion().boundingRect()
    return not seen.isEmpty() and one.width() <= parent.width()


class PaintWatch(QObject):
    """Note that something was painted."""

    def __init__(self, watched: QWidget) -> None:
        super().__init__(watched)
        self.painted = 0
        watched.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - as Qt calls it
        self.painted += watched is self.parent() and event.type() is QEvent.Type.Paint
        return False


def test_a_window_of_another_size_goes_on_painting_itself(sized: PumpWindow, qtbot: QtBot) -> None:
    """Held off from painting while it is styled, it once took itself for one that is being resized for ever after."""
    set_letters(sized, SMALL, 100)
    sized.desk.set_text(WITH_WINDOW)
    wait_for_style(sized)
    watch = PaintWatch(sized.side)
    for size in (LARGE, SMALL):
        sized.resize(*size)
        wait_for_style(sized)
        QTest.qWait(300)
        watch.painted = 0
        sized.side.update()
        qtbot.waitUntil(lambda: watch.painted > 0, timeout=3000)


def test_what_is_told_at_the_pointer_grows_with_the_letters(
    sized: PumpWindow, qtbot: QtBot
) -> None:
    def find_tips() -> list[QWidget]:
        return [one for one in QApplication.topLevelWidgets() if one.inherits("QTipLabel") and one.isVisible()]  # fmt: skip

    heights = []
    for percent in (100, 250):
        set_letters(sized, LARGE, percent)
        QToolTip.showText(sized.mapToGlobal(QPoint(40, 40)), "How it is shown", sized.view)
        qtbot.waitUntil(lambda: bool(find_tips()), timeout=5000)
        heights.append(find_tips()[0].height())
        QToolTip.hideText()
        qtbot.waitUntil(lambda: not find_tips(), timeout=5000)
    assert heights[1] > 1.8 * heights[0]


@pytest.mark.parametrize(
    ("size", "percent"), [(SMALL, 100), (SMALL, 175), (SMALL, 250), (LARGE, 250)]
)
def test_no_word_is_cut_and_no_control_lost(
    sized: PumpWindow, size: tuple[int, int], percent: int
) -> None:
    sized._picked("impeller")
    set_letters(sized, size, percent)
    for name in PANES:
        sized.show_pane(name)
        wait_for_layout(sized)
        assert find_cut(sized) == [], name
        assert find_lost(sized) == [], name
        shown = sized.panes.currentWidget()
        assert shown
        for pane in (one for one in (shown, *shown.findChildren(Pane)) if isinstance(one, Pane)):
            assert pane.scroller.horizontalScrollBar().maximum() == 0, name
    assert sized.view.height() >= LEAST_SHARE * sized.height()
    assert sized.view.width() >= 0.5 * sized.width()


def find_overlaps(window: PumpWindow) -> list[tuple[str, str]]:
    """Find what lies on something else: of all that stands around the picture, and in the strip below it."""
    around = (
        window.tool_band, window.row_band, window.view, window.motion, window.side,
        window.measuring.strip, window.noticing.strip,
    )  # fmt: skip
    below = [one for one in window.motion.children() if isinstance(one, QWidget)]
    found = []
    for group in (around, below):
        shown = [one for one in group if one.isVisible()]
        places = [QRect(one.mapTo(window, QPoint(0, 0)), one.size()) for one in shown]
        found += [
            (type(shown[n]).__name__, type(shown[m]).__name__)
            for n, place in enumerate(places)
            for m, other in enumerate(places[:n])
            if place.intersects(other)
        ]
    return found


def check_all_is_whole(window: PumpWindow) -> None:
    assert find_overlaps(window) == []
    assert find_cut(window) == []
    assert find_lost(window) == []


def withhold(window: PumpWindow) -> None:
    window.withholding.change(Way.GLASS, ("volute", "suction-cover"))
    window.withholding.change(Way.AWAY, ("impeller",))


def cut(window: PumpWindow) -> None:
    window.cutting.choose(Axis.Z)


def measure(window: PumpWindow) -> None:
    window.measuring.show("back-vane")


def prove(window: PumpWindow) -> None:
    window.proving.prove("back-vane")


def tell(window: PumpWindow) -> None:
    window.noticing.tell(window.words.say("desk.held-elsewhere"))


def search(window: PumpWindow) -> None:
    window.show_pane("part")
    window.parts.search.setText("washr")


@pytest.mark.parametrize("begin", [withhold, cut, measure, prove, tell, search])
def test_nothing_lies_on_anything_else_whatever_is_done_with_the_largest_letters(
    sized: PumpWindow, begin: Callable[[PumpWindow], None], qtbot: QtBot
) -> None:
    set_letters(sized, SMALL, 250)
    try:
        begin(sized)
        qtbot.waitUntil(partial(check_all_is_whole, sized))
        assert all(isinstance(box, Choice) for box in sized.findChildren(QComboBox)), "tells all"
    finally:
        sized.withholding.show_all()
        sized.view.set_cut(None)
        sized.measuring.stop()
        sized.noticing.clear()
        sized.parts.search.clear()


def test_a_hint_is_whole_or_out_of_sight_and_told_by_the_tip(
    sized: PumpWindow, qtbot: QtBot
) -> None:
    for percent in (100, 250):
        set_letters(sized, SMALL, percent)
        for name in PANES:
            sized.show_pane(name)
            QTest.qWait(10)
            fields = [one for one in sized.findChildren(QLineEdit) if one.isVisible()]
            assert all(isinstance(one, HintedEdit) for one in fields if one.placeholderText())
            for field in (one for one in fields if isinstance(one, HintedEdit)):
                assert field.placeholderText() == ("" if field.is_cut else field.hint)
    assert sized.person.is_cut, "at 250 % in a small window"
    spot = sized.person.rect().center()
    ask = QHelpEvent(QEvent.Type.ToolTip, spot, sized.person.mapToGlobal(spot))
    QApplication.sendEvent(sized.person, ask)
    qtbot.waitUntil(partial(is_told, sized.person.hint))
    QToolTip.hideText()
    set_letters(sized, SMALL, 100)
    assert sized.person.placeholderText() == sized.words.say("window.person-hint")


def is_told(text: str) -> bool:
    return text in QToolTip.text()


def test_what_is_cut_short_is_told_whole_by_its_tip(sized: PumpWindow, qtbot: QtBot) -> None:
    long = "a pump of which so much is told that no head is wide enough for it " * 4
    usual = sized.build.text()
    sized.build.setText(long)
    option = sized.builds.options["drive-end"]
    sized.show_pane("build")
    set_letters(sized, SMALL, 250)
    try:
        assert sized.build.is_cut
        assert option.is_cut
        for one, told in ((sized.build, long), (option, option.currentText())):
            spot = one.rect().center()
            ask = QHelpEvent(QEvent.Type.ToolTip, spot, one.mapToGlobal(spot))
            QApplication.sendEvent(one, ask)
            qtbot.waitUntil(partial(is_told, told.strip()))
    finally:
        QToolTip.hideText()
        sized.build.setText(usual)


def test_letters_over_the_picture_leave_the_pump_its_room(sized: PumpWindow) -> None:
    for size in (SMALL, LARGE):
        heights = []
        for percent in (100, 250):
            set_letters(sized, size, percent)
            heights.append(sized.view.fontMetrics().height() / sized.height())
        assert heights[0] <= heights[1] < MOST_PICTURE_LETTERS


def test_letters_are_as_large_as_they_are_set_whatever_the_window(sized: PumpWindow) -> None:
    for percent in (100, 250):
        for size in (SMALL, LARGE):
            set_letters(sized, size, percent)
            assert sized.shims.add.fontMetrics().height() == pytest.approx(
                percent / 100 * 20, abs=2
            )


def test_titles_stay_larger_than_the_rest_and_never_shrink() -> None:
    steps = [Sizes(percent / 100) for percent in TEXT_PERCENTS]
    for at_design in (21, 25, 31):
        titles = [sizes.title_px(at_design) for sizes in steps]
        assert titles == sorted(titles)
        assert all(title > sizes.px(17) for title, sizes in zip(titles, steps, strict=True))
    assert Sizes(LARGEST_SCALE).title_px(31) == round(31 * LARGEST_SCALE)
