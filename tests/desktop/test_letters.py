"""However large letters are, nothing that is written is cut off, all can be reached, and the picture keeps its share."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QPoint, QRect
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QLineEdit, QScrollArea, QWidget

from trainer.desktop.panes.desk_pane import WITH_WINDOW
from trainer.desktop.pieces import Pane, ShortLabel
from trainer.desktop.theme import LARGEST_SCALE, TEXT_PERCENTS, Sizes
from trainer.desktop.window import PumpWindow
from trainer.desktop.wrapping import TextButton

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
SMALL, LARGE = (1280, 720), (1920, 1080)
LEAST_SHARE = 0.27
PANES = ("lesson", "part", "shim", "service", "sheet", "build", "desk")


@pytest.fixture
def sized(window: PumpWindow) -> Iterator[PumpWindow]:
    size = window.size()
    yield window
    window.desk.set_text(WITH_WINDOW)
    window.resize(size)
    window.show_pane("shim")


def set_letters(window: PumpWindow, size: tuple[int, int], percent: int) -> None:
    window.resize(*size)
    window.desk.set_text(str(percent))
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
        QTest.qWait(30)
        assert find_cut(sized) == [], name
        assert find_lost(sized) == [], name
        shown = sized.panes.currentWidget()
        assert shown
        for pane in (one for one in (shown, *shown.findChildren(Pane)) if isinstance(one, Pane)):
            assert pane.scroller.horizontalScrollBar().maximum() == 0, name
    assert sized.view.height() >= LEAST_SHARE * sized.height()
    assert sized.view.width() >= 0.5 * sized.width()


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
