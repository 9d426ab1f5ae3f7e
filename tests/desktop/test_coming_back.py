"""What was left comes back, after a kill too; what cannot be used is told, and nothing is in the way of a start."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from tests.desktop.driving import find_control
from trainer.desktop.asking.order_form import OrderForm
from trainer.desktop.doing.keeping import Keeping, When
from trainer.desktop.doing.noticing import Noticing
from trainer.desktop.window import PumpWindow
from trainer.session.as_left import AsLeftFile, Plain, StrangeValueError, take_text
from trainer.words import load_words

HOUSE = Path(__file__).resolve().parents[2]
pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]


def run_and_kill(folder: Path, task: str) -> dict[str, object]:
    """Let a window work until it has said what it shows and that is on disk, and kill it with no chance to clear up."""
    command = [sys.executable, "-m", "tests.desktop.left_window", str(folder), task]
    with subprocess.Popen(command, cwd=HOUSE, stdout=subprocess.PIPE, text=True) as running:
        assert running.stdout
        shown = json.loads(running.stdout.readline())
        running.kill()
    return dict(shown)


def test_a_killed_window_comes_back_as_it_was(tmp_path: Path) -> None:
    left = run_and_kill(tmp_path, "write")
    assert (left["assembler"], left["apart"], left["page"]) == ("A. Halloran", 0.25, 1)
    assert "A. Halloran" in (tmp_path / "as-left.json").read_text(encoding="utf-8")
    assert left["by-hand"] == ["coupling-key"]
    assert left["tried"] == {"back-vane": [0.61, 0.4, 0.9]}
    practice = left["practice"]
    assert isinstance(practice, dict)
    assert len(practice["questions"]) == 1, "what was half answered"
    assert run_and_kill(tmp_path, "read") == left


# ---------------------------------------------------------------- keeping by itself
class Standing(QWidget):
    """A window of which only the keeping is of interest."""

    def __init__(self) -> None:
        super().__init__()
        self.words = load_words()
        self.noticed: list[str] = []
        self.noticing = self

    def tell(self, text: str) -> None:
        self.noticed.append(text)


def keep(
    folder: Path, window: Standing, name: str = "colour", *when: When
) -> tuple[Keeping, list[str]]:
    keeping = Keeping(window, AsLeftFile(folder))  # type: ignore[arg-type]  # what it uses of a window
    values = ["plain"]

    def put(value: Plain) -> None:
        values[0] = take_text(value)

    keeping.keep(name, lambda: values[0], put, *when)
    return keeping, values


def read_values(folder: Path) -> dict[str, object]:
    return dict(AsLeftFile(folder).read().values)


def test_a_value_is_kept_and_put_back(qapp: QObject, tmp_path: Path) -> None:
    del qapp
    keeping, values = keep(tmp_path, Standing())
    values[0] = "ochre"
    keeping.close()
    assert read_values(tmp_path) == {"colour": "ochre"}
    assert keep(tmp_path, Standing())[1] == ["ochre"]


def test_what_cannot_be_put_back_yet_is_not_lost(qapp: QObject, tmp_path: Path) -> None:
    del qapp
    AsLeftFile(tmp_path).write({"colour": "ochre", "of another version": 7})
    keeping, values = keep(tmp_path, Standing(), "colour", When.ORDER)
    keeping.look()
    keeping.reach(When.SOLIDS)
    assert values == ["plain"]
    keeping.close()
    assert read_values(tmp_path) == {"colour": "ochre", "of another version": 7}
    keeping, values = keep(tmp_path, Standing(), "colour", When.ORDER)
    keeping.reach(When.ORDER)
    assert values == ["ochre"]
    keeping.close()


def test_a_strange_value_is_told_and_the_rest_comes_back(qapp: QObject, tmp_path: Path) -> None:
    del qapp
    AsLeftFile(tmp_path).write({"colour": 12})
    window = Standing()
    keeping, values = keep(tmp_path, window)
    assert values == ["plain"]
    assert window.noticed == [load_words().say("desk.strange")]
    keeping.close()
    assert read_values(tmp_path) == {"colour": "plain"}


def test_a_damaged_file_is_told_with_where_it_lies_now(qapp: QObject, tmp_path: Path) -> None:
    del qapp
    (tmp_path / "as-left.json").write_text('{"format": 1, "val', encoding="utf-8")
    window = Standing()
    keep(tmp_path, window)[0].close()
    assert len(window.noticed) == 1
    assert "damaged" in window.noticed[0]
    assert str(tmp_path / "as-left-set-aside-1.json") in window.noticed[0]


def test_a_second_window_leaves_what_the_first_keeps_alone(qapp: QObject, tmp_path: Path) -> None:
    del qapp
    first, values = keep(tmp_path, Standing())
    values[0] = "ochre"
    window = Standing()
    second, others = keep(tmp_path, window)
    others[0] = "green"
    second.close()
    first.close()
    assert "Another window" in window.noticed[0]
    assert read_values(tmp_path) == {"colour": "ochre"}


def test_a_folder_that_refuses_is_told_once_and_work_goes_on(qapp: QObject, tmp_path: Path) -> None:
    del qapp
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    window = Standing()
    keeping, _ = keep(tmp_path / "file", window)
    keeping.look()
    keeping.close()
    assert len(window.noticed) == 1
    assert "cannot be kept" in window.noticed[0]


# ---------------------------------------------------------------- what the window keeps
def test_a_pump_that_is_no_more_is_told_and_the_usual_one_stays(window: PumpWindow) -> None:
    before = window.changing.wanted
    usual: dict[str, Plain] = {"build": window.changing.pump, "options": {}, "pack_mm": None}
    strange: list[dict[str, Plain]] = [
        {"build": "end-suction/9000"},
        {"options": {"impeller": "square"}},
        {"pack_mm": [-1.0]},
    ]
    for gone in ({**usual, **one} for one in strange):
        window.coming_back._put_bench(gone)
        assert window.changing.wanted == before
        assert "cannot be put on the bench any more" in window.noticing.text.text()
        window.noticing.clear()


@pytest.mark.parametrize(
    "strange",
    [
        {"cut": ["w", 0.0, 1]},
        {"cut": ["x", 0.0, 0]},
        {"up": [0.0, 0.0, 0.0]},
        {"mm_per_px": 0.0},
        {"focus_mm": ["a", 1, 2]},
    ],
)
def test_a_strange_view_changes_nothing(window: PumpWindow, strange: dict[str, Plain]) -> None:
    known = window.coming_back._read_view()
    assert isinstance(known, dict)
    with pytest.raises(StrangeValueError):
        window.coming_back._put_view({**known, **strange})
    assert window.coming_back._read_view() == known


def test_strange_moves_by_hand_and_strange_gaps_change_nothing(window: PumpWindow) -> None:
    no_moves: list[Plain] = [[[]], [["impeller"]], [["impeller", 0.0, "x", 1.0]], "none"]
    no_gaps: list[Plain] = [{"back-vane": [0.5]}, {"back-vane": [0.5, 0.9, 0.4]}, []]
    tried = window.service.read_tried()
    for put, values in (
        (window.coming_back._put_by_hand, no_moves),
        (window.service.put_tried, no_gaps),
    ):
        for strange in values:
            with pytest.raises(StrangeValueError):
                put(strange)
    assert window.dragging.hand is not None
    assert window.dragging.hand.moves == ()
    assert window.service.read_tried() == tried


def test_half_a_sheet_outlives_another_pump_in_between(window: PumpWindow) -> None:
    assert window.bench
    assert window.sheet.fields
    window.sheet.fields.edits[("serial",)].setText("SL-4711")
    number = window.sheet._id
    other = window.bench.build.name
    drafts = window.sheet.read_drafts()
    assert list(drafts) == [window.sheet._pump]
    assert other in window.sheet._pump
    window.sheet._begin_anew()
    assert window.sheet.read_drafts() == {}
    window.sheet.put_drafts(drafts)
    assert window.sheet.fields.edits[("serial",)].text() == "SL-4711"
    assert window.sheet._id == number
    window.sheet._begin_anew()


def test_a_half_written_answer_is_there_when_its_page_is_opened_again(window: PumpWindow) -> None:
    lesson = window.lesson.lesson
    assert lesson
    page = next(n for n, step in enumerate(lesson.steps) if step.ask and step.ask.kind.value == "put-in-order")  # fmt: skip
    window.lesson.go(page)
    control = find_control(window)
    before = control.describe()
    form = control.find_form(OrderForm)
    assert form is not None
    form.later.click()
    moved = control.describe()
    assert moved != before
    left = window.lesson.read_place()
    window.lesson.go(0)
    window.lesson.put_place(left)
    assert window.lesson.number == page
    assert find_control(window).describe() == moved
    window.lesson._drafts.clear()
    window.lesson.question._known = [moved]
    window.lesson.go(0)


def test_notices_stand_below_the_head_until_they_are_read(window: PumpWindow) -> None:
    assert isinstance(window.noticing, Noticing)
    window.noticing.tell("one")
    window.noticing.tell("two")
    window.noticing.tell("one")
    assert window.noticing.text.text() == "one\ntwo"
    assert window.noticing.strip.isVisible()
    window.noticing.done.click()
    assert not window.noticing.strip.isVisible()
