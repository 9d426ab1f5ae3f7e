"""What the bench does with a pump it does with somebody's assembly: list, numbers, way to a part, hand, cut, picture."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tests.desktop.conftest import wait_for
from tests.desktop.driving import wait_for_style
from tests.desktop.test_dragging import find_arrow, let_go, pull
from trainer.core.order.directions import Direction
from trainer.desktop.bench_work import StepChoice
from trainer.desktop.panes.desk_pane import WITH_WINDOW
from trainer.desktop.picture.numbers import Lettered
from trainer.desktop.time_left import StepPace
from trainer.desktop.window import PumpWindow
from trainer.session.reaching import answer_reach, ask_reach
from trainer.session.step_bench import StepBench
from trainer.stage.camera import ViewName
from trainer.words.speech import LengthUnit

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LEFT = Qt.MouseButton.LeftButton
LONGEST_MS = 120_000
SCREWS = {f"screw-{number}" for number in range(1, 5)}


@pytest.fixture(autouse=True)
def _together(opened: PumpWindow) -> Iterator[None]:
    def tidy() -> None:
        opened.motion.pause()
        opened.finding.reaching.go_back()
        opened.dragging.put_all_back()
        opened.motion.set_apart(0.0)
        opened.section.setChecked(False)
        opened.change_section()
        opened.look_from(ViewName.ISO)
        opened.speak_of((), ghosted=frozenset())
        opened.parts.search.clear()

    tidy()
    opened.activateWindow()
    yield
    tidy()


def test_its_parts_are_listed_found_and_taken(opened: PumpWindow) -> None:
    opened.show_pane("part")
    opened.parts.show_list()
    rows = {row.part: row for row in opened.parts.tree.parts.rows}
    assert set(rows) == {"box", "cover", "washer", "screw"}
    assert sorted(row.number for row in rows.values()) == sorted(
        {row.number for row in rows.values()}
    )
    opened.parts.search.setText("scre")
    assert [row.part for row in opened.parts.tree.parts.rows] == ["screw"]
    QTest.keyClick(opened.parts.search, Qt.Key.Key_Return)
    assert opened.view.marks.lit == SCREWS
    assert opened.part.title.text().startswith("Screw")


def test_its_numbers_in_the_picture_are_those_of_the_list(opened: PumpWindow) -> None:
    labelling = opened.finding.labelling
    button = labelling.buttons[Lettered.NUMBERS]
    button.click()
    try:
        opened.view.grab()
        numbers = {row.part: str(row.number) for row in opened.parts.tree.parts.rows}
        told = {label.text for label in labelling.tracing.labels}
        assert told
        assert told <= set(numbers.values())
        assert numbers["cover"] in told
    finally:
        button.click()


def test_the_way_to_a_part_of_it_is_told_and_played(opened: PumpWindow, qtbot: QtBot) -> None:
    opened.finding.take("cover")
    reaching = opened.finding.reaching
    reaching.ask_button.click()
    qtbot.waitUntil(lambda: bool(reaching.steps), timeout=LONGEST_MS)
    assert opened.ordered is not None
    way = answer_reach(ask_reach(opened.ordered, ("cover",), ()))
    found = next(one for one in way.values() if one is not None)
    assert {name for step in reaching.steps for name in step.pieces} == set(found.pieces)
    assert set(found.pieces) >= SCREWS
    reaching.go_to(len(reaching.steps) - 1)
    qtbot.waitUntil(lambda: not reaching.gliding.is_under_way, timeout=LONGEST_MS)
    assert opened.dragging.find_pulls("cover")[0].comes_off, "it is free indeed"
    QTest.mouseClick(reaching.pane.back, LEFT)
    qtbot.waitUntil(lambda: not reaching.gliding.is_under_way, timeout=LONGEST_MS)


def test_a_part_of_it_is_dragged_to_what_holds_or_stops_it(
    opened: PumpWindow, qtbot: QtBot
) -> None:
    opened._picked("cover")
    opened.dragging.grip.chosen = 0
    pulled = pull(opened, Direction.UP, 200.0)
    assert opened.view.marks.in_the_way == SCREWS
    assert "held by" in opened.motion.way.text()
    let_go(opened, pulled, qtbot)
    opened._picked("screw-1")
    opened.dragging.grip.chosen = 0
    off_mm = opened.dragging.find_pulls("screw-1")[0].off_mm
    start, tip = find_arrow(opened, Direction.UP)
    assert start != tip
    pulled = pull(opened, Direction.UP, 1.5 * off_mm)
    let_go(opened, pulled, qtbot)
    assert opened.dragging.hand is not None
    assert opened.dragging.hand.off == {"screw-1"}


def test_it_is_cut_in_half_and_the_plane_is_typed_in_either_unit(opened: PumpWindow) -> None:
    standing = opened.standing
    assert isinstance(standing, StepBench)
    whole = opened.view.grab().toImage()
    opened.cutting.buttons[next(iter(opened.cutting.buttons))].click()
    cut = opened.view.cut
    assert cut is not None
    assert opened.view.grab().toImage() != whole
    field = opened.cutting.row.field
    assert field.text().endswith(" mm")
    opened.desk.set_unit(LengthUnit.INCH)
    try:
        assert field.text().endswith(" in")
        shown = float(field.text().removesuffix(" in"))
        assert shown * 25.4 == pytest.approx(cut.at_mm / standing.scale, abs=0.03)
        field.setText("0.1")
        field.setModified(True)
        field.editingFinished.emit()
        assert opened.view.cut is not None
        # 0.1 in of the file, which is looked at larger than it is
        assert opened.view.cut.at_mm == pytest.approx(2.54 * standing.scale, abs=0.01)
    finally:
        opened.desk.set_unit(LengthUnit.MM)
        opened.view.set_cut(None)


def test_guesses_are_read_whole_with_large_letters(opened: PumpWindow, qtbot: QtBot) -> None:
    pane = opened.guessing.pane
    opened.guessing.show()
    opened.desk.set_text("250")
    try:
        wait_for_style(opened)
        rows = pane.parts.topLevelItemCount()
        qtbot.waitUntil(
            lambda: pane.parts.viewport().height() >= rows * pane.parts.sizeHintForRow(0),
            timeout=LONGEST_MS,
        )
        told = pane.up.fontMetrics().horizontalAdvance(pane.up.currentText())
        assert told < pane.up.width(), "the longest of them is not cut"
        assert pane.part.before.height() >= 2 * pane.part.before.fontMetrics().height()
    finally:
        opened.desk.set_text(WITH_WINDOW)


def test_its_picture_is_saved(opened: PumpWindow, qtbot: QtBot, tmp_path: Path) -> None:
    file = tmp_path / "lid.png"
    opened.showing.saving.write((960, 540), file)
    qtbot.waitUntil(
        lambda: file.exists() and opened.showing.saving.button.isEnabled(), timeout=LONGEST_MS
    )
    with Image.open(file) as picture:
        assert picture.size == (960, 540)
        assert len(np.unique(np.asarray(picture.convert("L")))) > 30, (
            "there is something to be seen"
        )
    opened.noticing.clear()


def test_it_is_seen_before_its_order_is_known(opened: PumpWindow, cover_file: Path) -> None:
    """The picture comes with the meshes; the strip tells how far the order is, and can be left."""
    opened.changing.change(opened.changing.first)
    wait_for(opened)
    seen: list[bool] = []

    def look() -> None:
        seen.append(opened.bench is None and opened.ordered is not opened.standing)

    opened.came.connect(look)
    opened.opening.open_file(cover_file)
    wait_for(opened)
    opened.came.disconnect(look)
    assert seen[0], "it stood there while its order was still being found"
    assert isinstance(opened.changing.stands, StepChoice)


def test_left_while_its_order_is_found_the_pump_stands_there_again(
    opened: PumpWindow, cover_file: Path, qtbot: QtBot
) -> None:
    opened.changing.change(opened.changing.first)
    wait_for(opened)

    def leave() -> None:
        opened.came.disconnect(leave)
        opened.changing.leave()

    opened.came.connect(leave)
    opened.opening.open_file(cover_file)
    qtbot.waitUntil(lambda: opened.changing.wanted is opened.changing.first, timeout=LONGEST_MS)
    wait_for(opened)
    assert opened.bench is not None
    opened.opening.open_file(cover_file)
    wait_for(opened)


def test_what_comes_once_is_not_taken_for_the_pace_of_all() -> None:
    """As measured of a pump of 111 pieces: the first third of its 40 steps took 42 s, the others 12."""
    now_s = [0.0]
    pace = StepPace(lambda: now_s[0])
    for done in range(1, 41):
        now_s[0] += 42 / 13 if done <= 13 else 12 / 27
        left_s = pace.find_left_s(done, 40)
        if done < 14 + 3:
            assert left_s is None, "nothing is told that would be a lie"
        else:
            assert left_s == pytest.approx(12 / 27 * (40 - done))
