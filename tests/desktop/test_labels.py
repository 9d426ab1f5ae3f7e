"""Numbers in the real window's picture: none covers another, each points at what it numbers, and all moves quietly."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from trainer.desktop.doing.withholding import Way
from trainer.desktop.picture.number_painting import Label
from trainer.desktop.picture.numbers import MOST_NUMBERS, Lettered, NumberTracing
from trainer.desktop.window import PumpWindow
from trainer.session.numbering import number_parts
from trainer.stage.camera import ViewName
from trainer.stage.lanes import find_crossings
from trainer.stage.scene import Finish

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LEFT = Qt.MouseButton.LeftButton


def find_tracing(window: PumpWindow) -> NumberTracing:
    return window.finding.labelling.tracing


def wait_till_drawn(window: PumpWindow, qtbot: QtBot) -> None:
    window.view.redraw()
    with qtbot.waitSignal(window.view.drawn, timeout=30_000):
        pass


def press(window: PumpWindow, lettered: Lettered) -> None:
    QTest.mouseClick(window.finding.labelling.buttons[lettered], LEFT)


def list_labels(window: PumpWindow) -> list[Label]:
    """List the labels as the picture stands now, laid out as a paint does."""
    return list(find_tracing(window).lay_out(window.view))


@pytest.fixture(autouse=True)
def _together(window: PumpWindow, qtbot: QtBot) -> Iterator[None]:
    window.motion.pause()
    window.motion.set_apart(0.0)
    window.withholding.show_all()
    window.section.setChecked(False)
    window.change_section()
    window.accompanying.following.stop()
    window.look_from(ViewName.ISO)
    window.speak_of((), ghosted=frozenset())
    qtbot.waitUntil(lambda: not window.motion.is_gliding, timeout=20_000)
    yield
    for button in window.finding.labelling.buttons.values():
        if button.isChecked():
            button.click()
    window.withholding.show_all()
    window.section.setChecked(False)
    window.change_section()
    window.look_from(ViewName.ISO)


@pytest.mark.parametrize("lettered", [Lettered.NUMBERS, Lettered.NAMES])
@pytest.mark.parametrize(
    ("view", "section"), [(ViewName.ISO, False), (ViewName.SIDE, True), (ViewName.EXPLODED, True)]
)
def test_labels_cover_nothing_of_each_other_and_point_at_their_parts(
    window: PumpWindow, qtbot: QtBot, lettered: Lettered, view: ViewName, section: bool
) -> None:
    window.section.setChecked(section)
    window.change_section()
    window.look_from(view)
    press(window, lettered)
    wait_till_drawn(window, qtbot)
    labels = list_labels(window)
    assert 8 < len(labels) <= MOST_NUMBERS
    for first, second in combinations(labels, 2):
        assert not first.frame.intersects(second.frame), (first.part, second.part)
    inside = window.view.rect().toRectF()
    assert all(inside.contains(label.frame) for label in labels)
    starts = np.array([label.spot.toTuple() for label in labels])
    ends = np.array([label.ring.center().toTuple() for label in labels])
    assert not find_crossings(starts, ends).any()
    stage, numbers = window.view.surface.full, window.view.numbers
    assert stage is not None
    assert numbers is not None, "the careful picture is on the screen"
    known = stage.find_numbers()
    for label in labels:
        x, y = int(label.spot.x()), int(label.spot.y())
        assert numbers[y, x] == known[label.piece], label.part
        assert window.naming.find_part(label.piece) == label.part


def test_the_same_number_stands_in_picture_and_list(window: PumpWindow, qtbot: QtBot) -> None:
    press(window, Lettered.NUMBERS)
    wait_till_drawn(window, qtbot)
    assert window.assembly is not None
    numbers = number_parts(window.assembly).numbers
    listed = {row.part: row.number for row in window.parts.tree.parts.rows}
    assert listed == dict(numbers)
    assert {label.part: label.text for label in list_labels(window)} == {
        label.part: str(numbers[label.part]) for label in list_labels(window)
    }


def test_what_is_withheld_has_no_number(window: PumpWindow, qtbot: QtBot) -> None:
    press(window, Lettered.NUMBERS)
    wait_till_drawn(window, qtbot)
    parts = {label.part for label in list_labels(window)}
    assert {"volute", "suction-cover"} <= parts
    window.withholding.change(Way.AWAY, {"volute"})
    window.withholding.change(Way.GLASS, {"suction-cover"})
    assert not {"volute", "suction-cover"} & {label.part for label in list_labels(window)}
    wait_till_drawn(window, qtbot)
    parts = {label.part for label in list_labels(window)}
    assert not {"volute", "suction-cover"} & parts
    assert "impeller" in parts, "what is seen through them now has one"


def test_labels_move_quietly_with_the_pump(window: PumpWindow, qtbot: QtBot) -> None:
    press(window, Lettered.NUMBERS)
    wait_till_drawn(window, qtbot)
    before = {label.part: label for label in list_labels(window)}
    jumps = 0
    for _ in range(10):
        window.view.camera = window.view.camera.orbited(1.0, 0.2)
        after = {label.part: label for label in list_labels(window)}
        for part in before.keys() & after.keys():
            spot = after[part].spot - before[part].spot
            ring = after[part].ring.center() - before[part].ring.center()
            assert spot.manhattanLength() < 25.0, "a degree moves a spot a little"
            jumps += ring.manhattanLength() > 40.0
        assert len(before.keys() ^ after.keys()) <= 2
        before = after
    # Of 10 steps with some 25 labels; where two leaders come to cross their labels must change places.
    assert jumps <= 0.04 * 10 * len(before)


def test_labels_go_along_with_parts_that_leave(window: PumpWindow, qtbot: QtBot) -> None:
    press(window, Lettered.NUMBERS)
    wait_till_drawn(window, qtbot)
    nut = next(label for label in list_labels(window) if label.part == "cover-nut")
    offset = np.array([-40.0, 0.0, 0.0])
    window.view.set_offsets({**window.view.offsets, nut.piece: offset})
    moved = next(label for label in list_labels(window) if label.part == "cover-nut")
    origin, shifted = window.view.project(np.stack([np.zeros(3), offset]))
    assert (moved.spot - nut.spot - (shifted - origin)).manhattanLength() < 1e-6
    window.view.set_offsets({})


def test_a_press_on_a_label_chooses_its_part(window: PumpWindow, qtbot: QtBot) -> None:
    press(window, Lettered.NUMBERS)
    wait_till_drawn(window, qtbot)
    label = next(one for one in list_labels(window) if one.part == "volute")
    centre = label.ring.center()
    over = QMouseEvent(
        QEvent.Type.MouseMove,
        centre,
        QPointF(window.view.mapToGlobal(centre.toPoint())),
        Qt.MouseButton.NoButton,
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
    )
    QApplication.sendEvent(window.view, over)
    assert window.view.cursor().shape() is Qt.CursorShape.PointingHandCursor
    assert find_tracing(window).hovered == "volute"
    QTest.mouseClick(window.view, LEFT, pos=centre.toPoint())
    assert window.view.marks.lit == {"volute"}
    assert window.part.title.text() == "Volute"


def test_keys_put_numbers_and_names_on_and_off(window: PumpWindow, qtbot: QtBot) -> None:
    window.activateWindow()  # or no key of the whole window is heard
    qtbot.waitUntil(window.isActiveWindow, timeout=20_000)
    buttons = window.finding.labelling.buttons
    fitted = window.view.camera.mm_per_px
    for keys, lettered in (
        (Qt.KeyboardModifier.ControlModifier, Lettered.NUMBERS),
        (
            Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier,
            Lettered.NAMES,
        ),
    ):
        QTest.keyClick(window, Qt.Key.Key_N, keys)
        assert [one for one, button in buttons.items() if button.isChecked()] == [lettered]
        assert find_tracing(window).lettered is lettered
        # Names stand at the sides only, where this pump leaves room anyway.
        assert (window.view.camera.mm_per_px > fitted) is (lettered is Lettered.NUMBERS)
        assert window.view.kept_px[0] > 0.0, "the pump makes room for them"
    QTest.keyClick(window, Qt.Key.Key_N, keys)
    assert find_tracing(window).lettered is Lettered.NOTHING
    assert window.view.camera.mm_per_px == pytest.approx(fitted)
    qtbot.waitUntil(lambda: window.view.finish is Finish.REST, timeout=30_000)
    assert list_labels(window) == []
