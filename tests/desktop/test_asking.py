"""Questions are drawn and marked while the window stays alive, shown on the bench as they ask, and left where they were."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tests.desktop.driving import (
    Form,
    answer_something,
    find_control,
    go_to_question,
    have_marked,
    wait_for_mark,
    wait_for_question,
)
from trainer.desktop.asking import drawing, question_box
from trainer.desktop.asking.choice_form import ChoiceForm
from trainer.desktop.asking.number_form import NumberForm
from trainer.desktop.asking.order_form import OrderForm
from trainer.desktop.asking.posing import name_pump
from trainer.desktop.picture import numbers
from trainer.desktop.picture.numbers import Lettered
from trainer.desktop.window import PumpWindow
from trainer.lesson.item import MoveShown, PiecesShown
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.wanted import Wanted
from trainer.records import Attempt
from trainer.session.answering import Asked, mark_answer
from trainer.session.asking import Benches, draw_item
from trainer.session.bench import open_bench
from trainer.words import LengthUnit

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LEFT = Qt.MouseButton.LeftButton
LONG_MS = 60_000


class Held:
    """A piece of work that waits until it is let go, and how often it was begun."""

    def __init__(self, work: Callable[..., Any]) -> None:
        self._work = work
        self.begun, self.go = 0, threading.Event()

    def __call__(self, *given: Any) -> Any:
        self.begun += 1
        assert self.go.wait(60.0)
        return self._work(*given)


@pytest.fixture
def walk(window: PumpWindow) -> Iterator[PumpWindow]:
    """The window with its walk open; in the end nothing is asked, and nothing half answered is left."""
    window.show_pane("lesson")
    yield window
    window.trying.stop()
    window.lesson.go(0)
    window.lesson._drafts.clear()
    window.motion.set_apart(0.0)
    window.person.setText("")


@pytest.fixture
def practice(walk: PumpWindow) -> Iterator[PumpWindow]:
    """The window, where practice is left as if it had never been opened."""
    yield walk
    wait_for_practice(walk)
    walk.practising.pane.question.drop()
    walk.practising._left.clear()
    walk.practising._posed = None
    walk.show_pane("lesson")


def wait_for_practice(window: PumpWindow) -> None:
    for _ in range(LONG_MS // 20):
        if not window.practising.is_busy:
            return
        QTest.qWait(20)


def list_attempts(window: PumpWindow, person: str) -> tuple[Attempt, ...]:
    assert window.records is not None
    return window.records.list_attempts(person, None)


def ask(
    window: PumpWindow, kind: QuestionKind, form: type[Form], seed: str = "1", **given: str
) -> Form:
    """Ask a question in the walk that is answered in a form."""
    bench = window.bench
    assert bench is not None
    benches = Benches()
    item = draw_item(bench, benches, Wanted(kind, given=given), seed)
    is_here = (item.build, dict(item.options)) == (bench.name, dict(bench.build.options))
    build = bench.build if is_here else benches.open(item.build, item.options).build
    window.lesson.question.ask(Asked(item, seed), build, bench.build)
    found = find_control(window).find_form(form)
    assert found is not None
    return found


# ------------------------------------------------------------------ the window stays alive
def test_an_answer_is_marked_while_the_window_lives_and_once_however_often_it_is_pressed(
    walk: PumpWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    form, control = go_to_question(walk, OrderForm, "Kim"), find_control(walk)
    held = Held(mark_answer)
    monkeypatch.setattr(question_box, "mark_answer", held)
    handed_in = form.list.read_names()
    QTest.mouseClick(control.mark, LEFT)
    assert control.mark.text() == "Being marked …", "it is seen at once"
    QTest.mouseClick(control.mark, LEFT)
    form.list.shift(+1)
    assert form.list.read_names() != handed_in
    walk.look_from(next(iter(walk.views)))
    qtbot.waitUntil(lambda: held.begun == 1)
    assert walk.lesson.question.is_marking, "the window has gone on meanwhile"
    held.go.set()
    wait_for_mark(walk)
    assert held.begun == 1
    assert control.mark.text() == "Mark it"
    assert form.list.read_names() == handed_in, "what is marked is what was handed in"
    assert control.feedback.isVisible()
    assert len(list_attempts(walk, "Kim")) == 1


def test_an_answer_whose_page_is_left_meanwhile_is_recorded_once(
    walk: PumpWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    form, control = go_to_question(walk, NumberForm, "Lee"), find_control(walk)
    page = walk.lesson.number
    held = Held(mark_answer)
    monkeypatch.setattr(question_box, "mark_answer", held)
    form.edit.setText("0.95")
    QTest.mouseClick(control.mark, LEFT)
    draft = walk.lesson.question.read_draft()
    assert isinstance(draft, dict)
    assert "handed-in" in draft, (
        "were the program killed now, the same attempt would be tried again"
    )
    walk.lesson.go(0)
    held.go.set()
    walk.answering.close()
    (attempt,) = list_attempts(walk, "Lee")
    QTest.qWait(20)
    walk.lesson.go(page)
    assert find_control(walk).describe() != draft["answers"], "it is in the records, and no draft"
    walk.lesson.question.take_draft(draft)
    assert have_marked(walk) == "✓ RIGHT"
    assert [one.id for one in list_attempts(walk, "Lee")] == [attempt.id]


def test_a_question_that_takes_long_is_announced_and_one_of_a_page_that_was_left_is_not_asked(
    walk: PumpWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    lesson, question = walk.lesson.lesson, walk.lesson.question
    assert lesson is not None
    held = Held(draw_item)
    monkeypatch.setattr(drawing, "draw_item", held)
    page = next(n for n, step in enumerate(lesson.steps) if step.ask)
    walk.lesson.go(page)
    qtbot.waitUntil(lambda: "being drawn" in question.text.text(), timeout=LONG_MS)
    assert question.control is None
    walk.lesson.go(page - 1)
    held.go.set()
    assert not question.isVisible()
    walk.lesson.go(page)
    wait_for_question(walk)
    assert held.begun == 2
    assert find_control(walk).item.kind is lesson.steps[page].ask.kind  # type: ignore[union-attr]


# ------------------------------------------------------------------ how the pump stands
def test_a_wrong_move_is_played_together_and_the_slider_stays(walk: PumpWindow) -> None:
    form = ask(walk, QuestionKind.NEXT_OFF, ChoiceForm)
    walk.motion.set_apart(0.5)
    apart = walk.find_places(0.5)
    wrong = next(one for one in form.form.choices if isinstance(one.shown, MoveShown))
    form.list.take([wrong.id])
    have_marked(walk)
    assert walk.trying.replay.tried is not None
    assert walk.motion.apart == 0.5
    walk.trying.stop()
    assert walk.motion.apart == 0.5
    shown = walk.view.offsets
    assert all((shown[name] == place).all() for name, place in apart.items())


def test_what_need_not_come_off_is_seen_to_stay_while_the_part_comes(walk: PumpWindow) -> None:
    form = ask(walk, QuestionKind.REACH, ChoiceForm, "seed2")
    need_not = next(
        one for one in form.form.choices if one.id not in form.form.right and isinstance(one.shown, MoveShown)
    )  # fmt: skip
    form.list.take([need_not.id])
    have_marked(walk)
    tried = walk.trying.replay.tried
    assert tried is not None
    assert tried.is_free
    assert walk.bench is not None
    assert tried.piece in walk.bench.find_pieces(find_control(walk).item.subject)
    assert isinstance(need_not.shown, MoveShown)
    assert not set(walk.bench.find_pieces(need_not.id)) & set(need_not.shown.taken)


def test_the_pump_of_a_mistake_stands_in_the_picture_until_the_question_is_left(
    practice: PumpWindow, qtbot: QtBot
) -> None:
    window, faulting = practice, practice.lessons.faulting
    assert window.bench is not None
    item = draw_item(
        window.bench, Benches(), Wanted(QuestionKind.FIND_FAULT, given={"fault": "casing-gasket-left-out"}), "1"
    )  # fmt: skip
    window.practising.open()
    wait_for_practice(window)
    window.answering.stand(item.show)
    qtbot.waitUntil(lambda: faulting.is_on, timeout=LONG_MS)
    shown = window.view.surface.front
    assert shown is not None
    assert "casing-gasket" not in shown.assembly.by_name
    (field,) = item.fields
    assert isinstance(field.form.choices[0].shown, PiecesShown)  # type: ignore[union-attr]
    window.answering.stand(None)
    assert not faulting.is_on
    assert "casing-gasket" in shown.assembly.by_name


def test_a_pump_for_the_other_rotation_stands_mirrored(walk: PumpWindow, qtbot: QtBot) -> None:
    assert walk.bench is not None
    drawn = (
        draw_item(walk.bench, Benches(), Wanted(QuestionKind.SET_HAND), str(seed))
        for seed in range(20)
    )
    item = next(one for one in drawn if one.show and one.show.mirrored)
    walk.answering.stand(item.show)
    qtbot.waitUntil(lambda: walk.lessons.faulting.is_on, timeout=LONG_MS)
    shown, own = walk.view.surface.front, walk.assembly
    assert shown is not None
    assert own is not None
    low, high = (end[1] for end in own.by_name["volute"].mesh.bounds)
    mirrored = [end[1] for end in shown.assembly.by_name["volute"].mesh.bounds]
    assert mirrored == pytest.approx([-high, -low])
    assert -high != pytest.approx(low), "its branch stands to one side"
    walk.answering.stand(None)
    assert shown.assembly is own


def test_what_is_to_be_named_bears_no_name_until_it_is_marked(
    walk: PumpWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    painted: list[bool] = []
    monkeypatch.setattr(numbers, "paint_labels", lambda *_, is_named: painted.append(is_named))
    walk.finding.labelling.buttons[Lettered.NAMES].click()
    form = ask(walk, QuestionKind.NAME_IT, ChoiceForm)
    item = find_control(walk).item
    walk.answering.stand(item.show)
    assert [tag.text for tag in walk.view.tags.values()] == ["?"]
    walk.view.hovered.emit(next(iter(walk.view.marks.lit)))
    assert walk.pointing.tag.text == ""
    pane, told = walk.pane, walk.part.title.text()
    walk.view.picked.emit(next(iter(walk.view.marks.lit)))
    assert (walk.pane, walk.part.title.text()) == (pane, told)
    assert "its card opens once it is answered" in walk.motion.way.text()
    walk.view.repaint()
    form.list.take(form.form.right)
    assert have_marked(walk) == "✓ RIGHT"
    walk.view.repaint()
    assert (painted[0], painted[-1]) == (False, True)
    walk.finding.labelling.buttons[Lettered.NAMES].click()
    assert walk.answering.keeps_names is False
    assert walk.view.marks.lit
    assert "?" not in [tag.text for tag in walk.view.tags.values()], "now it is told"
    ask(walk, QuestionKind.WHAT_FOR, ChoiceForm)
    walk.answering.stand(find_control(walk).item.show)
    assert "?" not in [tag.text for tag in walk.view.tags.values()], "what is asked names it"


def test_after_a_close_look_at_a_gap_the_whole_comes_back_with_nothing_lit(
    walk: PumpWindow,
) -> None:
    form = ask(walk, QuestionKind.READ_GAP, NumberForm)
    form.edit.setText("9.99")
    have_marked(walk)
    assert walk.measuring.name == find_control(walk).item.subject
    walk.answering.stand(None)
    assert walk.measuring.name == ""
    assert walk.view.marks.lit == frozenset()
    assert walk.view.fitted.mm_per_px == walk.view.camera.mm_per_px


def test_another_pump_is_named_with_what_it_has_and_can_be_put_on_the_bench(
    walk: PumpWindow,
) -> None:
    question = walk.lesson.question
    ask(walk, QuestionKind.NAME_IT, ChoiceForm, "3", afresh="true")
    assert question._build is not None
    own = walk.bench.build if walk.bench else None
    assert not question.is_about(own)
    assert question._build.name.partition("/")[2] in question.away.text()
    assert question.put_on.isVisible()
    asked: list[tuple[str, object]] = []
    question.bench_asked.disconnect(walk.changing.change_build)
    question.bench_asked.connect(lambda *pump: asked.append(pump))
    QTest.mouseClick(question.put_on, LEFT)
    question.bench_asked.connect(walk.changing.change_build)
    assert asked == [(question._build.name, dict(question._build.options))]
    question.take_bench(question._build)
    assert question.away.isHidden()
    assert question.put_on.isHidden()
    assert question.is_here, "what is said of the answer is played now"


def test_the_page_of_a_question_about_another_pump_goes_on_asking_it_once_that_stands_there(
    walk: PumpWindow,
) -> None:
    pane, own = walk.lesson, walk.bench
    assert own is not None
    go_to_question(walk, NumberForm)
    page = pane.number
    ask(walk, QuestionKind.NAME_IT, ChoiceForm, "3", afresh="true")
    item, asked = find_control(walk).item, pane.question._build
    assert asked is not None
    shown: list[object] = []
    pane.show_asked.connect(shown.append)
    pane.show_asked.disconnect(walk.show_page)
    pane.set_bench(open_bench(asked.name, asked.options))
    pane.question.take_bench(asked)
    pane.show_asked.connect(walk.show_page)
    assert find_control(walk).item is item
    assert pane.question.is_here
    assert shown == [item.show]
    assert pane.put_on.isVisible(), "the pump of the page can be put back"
    pane.set_bench(own)
    wait_for_question(walk)
    assert pane.number == page
    assert find_control(walk).item.kind is QuestionKind.SHIM_THICKNESS


# ------------------------------------------------------------------ practice
def test_a_half_answered_question_of_practice_is_there_again(practice: PumpWindow) -> None:
    practising, pane = practice.practising, practice.practising.pane
    practising.open()
    wait_for_practice(practice)
    pane.next.click()
    wait_for_practice(practice)
    control = pane.question.control
    assert control is not None
    answered = answer_something(control)
    assert pane.question.asked is not None
    item, left = pane.question.asked.item, practising.read_left()
    pane.look.click()
    wait_for_practice(practice)
    assert not pane.question.isVisible()
    assert pane.next.text() == "Go on with the question begun"
    assert practising.read_left() == left, "it is kept while it is out of sight"
    practising._left.clear()
    practising.put_left(left)  # as after a start
    wait_for_practice(practice)
    wait_for_practice(practice)
    assert pane.question.control is not None
    assert pane.question.control.describe() == answered
    assert pane.question.control.item.key == item.key
    assert pane.question.control.item.stem == item.stem
    practising.leave()
    practising.toggle()
    assert pane.question.control.describe() == answered, "it was only out of sight"


def test_an_open_question_of_practice_is_written_anew_in_another_unit(practice: PumpWindow) -> None:
    practising, pane = practice.practising, practice.practising.pane
    practising.open()
    wait_for_practice(practice)
    bench = practice.bench
    assert bench is not None
    key = name_pump(bench.build.name, bench.build.options)
    pose = {"kind": "shim-thickness", "subject": "back-vane", "why": "new", "help": "hinted", "seed": "s"}  # fmt: skip
    answers = {"thickness": "0.4 mm"}
    practising._left[key] = {**pose, "answers": answers}
    practising.ask_next()
    wait_for_practice(practice)
    assert pane.question.control is not None
    before = pane.question.text.text()
    assert "\N{NO-BREAK SPACE}mm" in before
    practice.desk.set_unit(LengthUnit.INCH)
    assert pane.question.text.text() != before
    assert " in" in pane.question.text.text()
    assert pane.question.control.describe() == answers, "what was typed is what was meant"
    practice.desk.set_unit(LengthUnit.MM)
