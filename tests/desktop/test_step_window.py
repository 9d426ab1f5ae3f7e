"""Somebody's assembly is opened in the window: told, left, refused kindly, its guesses mended, and taken apart like any pump."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from models.solids import step_file
from models.solids.builders import StoppedError
from models.spec.joint import JointKind
from models.spec.step import StepAssembly
from tests.desktop.conftest import LONGEST_S, wait_for
from trainer.core.order.guess import Kind
from trainer.desktop import bench_work
from trainer.desktop.doing.guessing import PANE
from trainer.desktop.panes.joint_guess import TypedJoint
from trainer.desktop.window import PumpWindow
from trainer.session.step_bench import StepBench, list_sets, open_step
from trainer.session.step_form import JointSaid, PartSaid, StepForm, parse_form, write_said
from trainer.stage.camera import ViewName

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LONGEST_MS = int(LONGEST_S * 1000)


def find_bench(window: PumpWindow) -> StepBench:
    assert isinstance(window.standing, StepBench)
    return window.standing


# ------------------------------------------------------------------ opening
def test_what_the_window_shows_is_what_the_command_reads(
    opened: PumpWindow, cover_file: Path
) -> None:
    bench = open_step(cover_file)
    shown = find_bench(opened)
    assert shown.step.digest == bench.step.digest
    assert set(opened.view.find_seen()) <= set(bench.assembly.by_name)
    assert [step.pieces for step in shown.order.steps] == [s.pieces for s in bench.order.steps]
    assert opened.build.text() == "lid"
    assert opened.views[ViewName.SUCTION].text() == opened.words.say("guess.view-suction")
    assert opened.pane == PANE
    lines = [opened.guessing.pane.parts.topLevelItem(n) for n in range(4)]
    assert [(line.text(0), line.text(1)) for line in lines if line] == [
        ("box", "1"),
        ("cover", "1"),
        ("washer", "4"),
        ("screw", "4"),
    ]


@pytest.mark.parametrize(
    ("name", "content", "what"),
    [
        ("note.step", b"a letter", "is no STEP file"),
        ("empty.stp", b"", "is empty"),
        ("cut.step", b"ISO-10303-21;\nHEADER;", "ends in the middle"),
    ],
)
def test_a_bad_file_is_refused_kindly_and_the_bench_stays(
    opened: PumpWindow, tmp_path: Path, name: str, content: bytes, what: str
) -> None:
    old = opened.standing
    file = tmp_path / name
    file.write_bytes(content)
    opened.opening.open_file(file)
    wait_for(opened)
    assert opened.pane == "build"
    assert what in opened.builds.note.text.text()
    assert "as it was" in opened.builds.note.text.text()
    assert opened.standing is old


def test_a_file_that_is_not_there_is_told(opened: PumpWindow, tmp_path: Path) -> None:
    old = opened.standing
    opened.opening.open_file(tmp_path / "gone.step")
    wait_for(opened)
    assert "cannot be read" in opened.builds.note.text.text()
    assert opened.standing is old


def test_reading_tells_how_far_it_is_and_is_left_at_once(
    opened: PumpWindow, cover_file: Path, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    left = threading.Event()

    def read_slowly(
        path: Path, progress: Callable[[int, int], None], is_wanted: Callable[[], bool]
    ) -> StepAssembly:
        assert path == cover_file
        progress(3, 7)
        while is_wanted():
            left.wait(0.01)
        left.set()
        raise StoppedError

    old = opened.standing
    monkeypatch.setattr(bench_work, "read_step", read_slowly)
    opened.opening.open_file(cover_file)
    strip = opened.changing.strip
    qtbot.waitUntil(lambda: "3 of 7" in strip.how_far.text(), timeout=LONGEST_MS)
    assert strip.bar.maximum() == 7
    strip.cancel.click()
    assert left.wait(1.0)
    assert strip.isHidden()
    assert opened.standing is old


def test_the_reading_process_is_ended_once_nobody_wants_it(
    cover_file: Path, tmp_path: Path
) -> None:
    asked = iter([True, False])
    with pytest.raises(StoppedError):
        step_file.read_step(cover_file, tmp_path / "kept", is_wanted=lambda: next(asked))
    assert not list((tmp_path / "kept").glob("*.npz"))


def test_a_file_dropped_onto_the_window_is_opened(
    opened: PumpWindow, cover_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Path] = []
    monkeypatch.setattr(opened.opening, "open_file", asked.append)
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(cover_file))])
    how = (
        Qt.DropAction.CopyAction,
        data,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    enter = QDragEnterEvent(QPoint(9, 9), *how)
    QApplication.sendEvent(opened, enter)
    assert enter.isAccepted()
    QApplication.sendEvent(opened, QDropEvent(QPointF(9, 9), *how))
    assert asked == [cover_file]


# ------------------------------------------------------------------ what works on it
def test_it_comes_apart_in_its_order_and_each_part_is_named(opened: PumpWindow) -> None:
    bench = find_bench(opened)
    steps = bench.order.steps
    opened.motion.set_apart(1.0)
    gone = {name for step in steps for name in step.pieces}
    assert all(np.any(opened.view.offsets[name]) for name in gone)
    opened.motion.set_apart(0.5 / len(steps))
    assert "screw" in opened.motion.name.text().lower()
    opened.motion.set_apart(0.0)


def test_a_refused_move_is_tried_and_told(opened: PumpWindow) -> None:
    opened.motion.set_apart(0.0)
    opened.trying.try_now("cover")
    assert "screw" in opened.motion.way.text().lower()
    opened.trying.stop()


def test_the_card_tells_what_there_is(opened: PumpWindow) -> None:
    opened.show_pane("part")
    opened._picked("cover")
    assert opened.pane == "part"
    assert opened.part.title.text() == "Cover"
    assert "screw" in opened.part.held.text().lower()
    assert not opened.part.duty.text()


def test_panes_for_our_own_pumps_say_so_and_lead_to_them(opened: PumpWindow) -> None:
    for pane in ("lesson", "shim", "service", "sheet"):
        opened.show_pane(pane)
        assert opened.panes.currentWidget() is opened.absent
        assert opened.absent.text.text() == opened.words.say(f"choosing.absent-{pane}")
    opened.absent.go.click()
    assert opened.pane == "build"


# ------------------------------------------------------------------ guesses
def test_line_and_part_light_each_other(opened: PumpWindow) -> None:
    opened.guessing.show()
    pane = opened.guessing.pane
    pane.choose("box")
    line = pane.parts.topLevelItem(3)
    assert line is not None
    pane.parts.setCurrentItem(line)
    assert opened.view.marks.lit == set(find_bench(opened).sets["screw"])
    assert "hexagon head" in pane.part.why.text()
    opened._picked("washer-2")
    assert opened.pane == PANE
    assert pane.chosen == "washer"
    assert opened.view.marks.lit == {"washer-2"}


def test_a_mended_guess_counts_at_once_and_can_be_forgotten(opened: PumpWindow) -> None:
    opened.guessing.show()
    pane = opened.guessing.pane
    pane.choose("washer")
    pane.part.name.setText("flat washer")
    pane.part.name.editingFinished.emit()
    wait_for(opened)
    assert opened.naming.tell_part("washer") == "flat washer"
    pane.part.kind.choose(Kind.BODY)
    pane.part.kind.activated.emit(0)
    wait_for(opened)
    bench = find_bench(opened)
    assert bench.guessed.kind_of("washer") is Kind.BODY
    assert bench.form.parts["washer"] == PartSaid("flat washer", kind=Kind.BODY)
    # the same as a form read by the command says
    told = parse_form(
        b'[parts.washer]\nname = "flat washer"\nis = "body"', "form", list_sets(bench.step)
    )
    twin = StepBench(bench.step, told)
    assert [s.pieces for s in twin.order.steps] == [s.pieces for s in bench.order.steps]
    pane.part.again.click()
    wait_for(opened)
    assert find_bench(opened).form == StepForm()


def test_another_part_may_stay_put_and_one_may_be_left_out(opened: PumpWindow) -> None:
    guessing = opened.guessing
    assert find_bench(opened).base == "box"
    guessing.say_of_part("cover", PartSaid(base=True))
    wait_for(opened)
    assert find_bench(opened).base == "cover"
    guessing.say_of_part("washer", PartSaid(ignore=True))
    wait_for(opened)
    assert "washer-1" not in opened.view.find_seen()
    assert len(find_bench(opened).assembly.pieces) == 6
    guessing.say_of_part("washer", PartSaid())
    wait_for(opened)
    guessing.say_of_part("cover", PartSaid())
    wait_for(opened)
    assert find_bench(opened).form == StepForm()


def test_a_joint_is_let_go_taken_back_and_typed(opened: PumpWindow) -> None:
    guessing, pane = opened.guessing, opened.guessing.pane
    guessing.show()
    whole = len(find_bench(opened).joints)
    pane.joints.list.setCurrentRow(0)
    assert opened.view.marks.lit >= {"cover", "box"}
    pane.joints.drop.click()
    wait_for(opened)
    assert len(find_bench(opened).joints) == whole - 1
    pane.joints.list.setCurrentRow(pane.joints.list.count() - 1)
    pane.joints.drop.click()
    wait_for(opened)
    assert len(find_bench(opened).joints) == whole
    old = opened.standing
    guessing.take_typed(None, TypedJoint("press", "cover", "bxo", "", ""))
    assert "box" in pane.note.text.text()  # the near match
    assert opened.standing is old
    guessing.take_typed(None, TypedJoint("press", "box", "cover", "with two levers", "0.02"))
    wait_for(opened)
    assert JointSaid(JointKind.PRESS, ("box", "cover"), (), "with two levers", 0.02) in (
        find_bench(opened).joints
    )
    guessing.take_back(find_bench(opened).form.joints[0])
    wait_for(opened)
    assert find_bench(opened).form == StepForm()


def test_a_form_is_saved_and_read_again_and_a_bad_one_changes_nothing(
    opened: PumpWindow, tmp_path: Path
) -> None:
    guessing, pane = opened.guessing, opened.guessing.pane
    guessing.say_of_part("screw", PartSaid("lid bolt", "lid bolts", before=("Hang the lid.",)))
    wait_for(opened)
    said = find_bench(opened)
    file = tmp_path / "lid.toml"
    guessing.save_file(file)
    assert str(file) in pane.note.text.text()
    again = open_step_with(said, file)
    assert [s.pieces for s in again.order.steps] == [s.pieces for s in said.order.steps]
    assert again.said("screw").before == ("Hang the lid.",)
    guessing.say_of_part("screw", PartSaid())
    wait_for(opened)
    guessing.read_file(file)
    wait_for(opened)
    assert find_bench(opened).said("screw").many == "lid bolts"
    old = opened.standing
    file.write_text('[parts.bolt]\nis = "spring"', encoding="utf-8")
    guessing.read_file(file)
    assert "bolt" in pane.note.text.text()
    assert opened.standing is old
    guessing.save_file(file / "where.toml")
    assert "cannot be written" in pane.note.text.text()
    guessing._try(StepForm())
    wait_for(opened)


def open_step_with(bench: StepBench, file: Path) -> StepBench:
    return StepBench(bench.step, parse_form(file.read_bytes(), "form", list_sets(bench.step)))


def test_another_way_up_turns_the_assembly(opened: PumpWindow) -> None:
    bench = find_bench(opened)
    high = {name: one.mesh.bounds[1][2] for name, one in bench.assembly.by_name.items()}
    assert high["cover"] > high["box"]
    pane = opened.guessing.pane
    pane.up.choose("-z")
    pane.up.activated.emit(0)
    wait_for(opened)
    turned = find_bench(opened).assembly.by_name
    assert turned["cover"].mesh.bounds[0][2] < turned["box"].mesh.bounds[0][2]
    opened.guessing._try(StepForm())
    wait_for(opened)


def test_the_file_with_all_that_was_said_of_it_comes_back(
    opened: PumpWindow, cover_file: Path, tmp_path: Path
) -> None:
    opened.guessing.say_of_part("screw", PartSaid("lid bolt", kind=Kind.SCREW))
    wait_for(opened)
    kept = opened.coming_back._read_bench()
    opened.guessing._try(StepForm())
    wait_for(opened)
    opened.coming_back._put_bench(kept)
    wanted = opened.changing.wanted
    assert isinstance(wanted, bench_work.StepChoice)
    assert wanted.path == cover_file.resolve()
    assert wanted.open().said("screw") == PartSaid("lid bolt", kind=Kind.SCREW)
    opened.changing.wanted = before = opened.changing.first
    gone = {"file": str(tmp_path / "gone.step"), "said": ""}
    opened.coming_back._put_bench(gone)
    assert opened.changing.wanted is before
    assert "gone.step" in opened.noticing.text.text()
    opened.noticing.clear()
    assert opened.changing.stands is not None
    opened.changing.wanted = opened.changing.stands


def test_what_is_said_and_no_more_is_written_and_read_again() -> None:
    sets = {"nut": ["nut-1", "nut-2"], "lid": ["lid"], "ring": ["ring"]}
    form = StepForm(
        "-y",
        {
            "nut": PartSaid('M6 "nut"', "nuts", Kind.NUT, before=("Lock out.", "Drain.")),
            "lid": PartSaid(base=True, flexible=False),
            "ring": PartSaid(ignore=True, flexible=True),
        },
        (
            JointSaid(JointKind.BOLTED, (), ("nut-1",)),
            JointSaid(JointKind.BOLTED, ("lid", "ring"), ("nut-2",)),
            JointSaid(JointKind.PRESS, ("lid", "ring"), (), "puller", 0.03),
        ),
    )
    assert parse_form(write_said(form).encode(), "form", sets) == form
    assert parse_form(write_said(StepForm()).encode(), "form", sets) == StepForm()


def test_what_was_off_by_hand_is_off_again_when_the_file_comes_back(opened: PumpWindow) -> None:
    hand = opened.dragging.hand
    assert hand is not None
    piece = find_bench(opened).order.steps[0].pieces[0]
    hand.take(hand.find_pulls(piece)[:1])
    left = opened.coming_back._read_by_hand()
    assert isinstance(left, list)
    assert len(left) == 1
    opened.dragging.put_all_back()
    opened.coming_back._put_by_hand(left)
    assert hand.off == {piece}
    assert any(np.any(there) for there in opened.view.offsets.values()), "and is seen to be"
    assert opened.motion.name.text() == "Together but for 1 piece"
    opened.dragging.put_all_back()
