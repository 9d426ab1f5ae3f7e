"""Every form of question in the real window, answered by hand rightly and wrongly, with what is said of it played in the picture."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tests.desktop.driving import Form, find_control, have_marked, wait_for_mark
from trainer.desktop.asking.choice_form import ChoiceForm
from trainer.desktop.asking.lines import LineState
from trainer.desktop.asking.number_form import NumberForm
from trainer.desktop.asking.order_form import OrderForm
from trainer.desktop.asking.pair_form import PairForm
from trainer.desktop.window import PumpWindow
from trainer.lesson.item import InOrder, MoveShown, OneOf, PiecesShown, SomeOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.wanted import Wanted
from trainer.session.answering import Asked
from trainer.session.asking import Benches, draw_item

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LEFT = Qt.MouseButton.LeftButton
LONG_MS = 60_000


@pytest.fixture
def asked(window: PumpWindow) -> Iterator[PumpWindow]:
    """The window with its walk open; in the end nothing is asked and nothing is marked in the picture."""
    window.show_pane("lesson")
    window.person.setText("")
    yield window
    window.trying.stop()
    window.lesson.go(0)


def ask(window: PumpWindow, kind: QuestionKind, form: type[Form], seed: str = "1") -> Form:
    bench = window.bench
    assert bench is not None
    item = draw_item(bench, Benches(), Wanted(kind), seed)
    window.lesson.question.ask(Asked(item, seed), bench.build, bench.build)
    found = find_control(window).find_form(form)
    assert found is not None
    return found


def press(form: ChoiceForm, id_: str) -> None:
    """Take a choice by its letter, as somebody without a mouse would."""
    QTest.keyClicks(form.list, "abcdefghij"[form.list.read_names().index(id_)])


def test_one_of_takes_a_letter_and_a_wrong_one_is_tried_in_the_picture(asked: PumpWindow) -> None:
    form = ask(asked, QuestionKind.NEXT_OFF, ChoiceForm)
    assert isinstance(form.form, OneOf)
    assert have_marked(asked) == "NOT MARKED", "nothing is answered yet"
    wrong = next(one for one in form.form.choices if isinstance(one.shown, MoveShown))
    press(form, wrong.id)
    assert form.read() == wrong.id
    assert have_marked(asked) == "✗ NOT YET"
    verdict = form.list.find_verdict(form.list.currentRow())
    assert form.list.chosen == wrong.id
    assert verdict is not None
    assert verdict.state is LineState.REFUSED
    assert verdict.why
    tried = asked.trying.replay.tried
    assert tried is not None
    assert isinstance(wrong.shown, MoveShown)
    assert tried.piece == wrong.shown.piece
    assert set(wrong.shown.taken) <= asked.view.marks.hidden, "what is off by then is not there"
    press(form, min(form.form.right))
    assert form.list.find_verdict(0) is None, "what was said was said of another answer"
    assert have_marked(asked) == "✓ RIGHT"
    assert asked.view.marks.lit == set(asked.bench.find_pieces(min(form.form.right))) if asked.bench else False  # fmt: skip


def test_some_of_takes_several_and_tells_what_was_missed(asked: PumpWindow) -> None:
    form = ask(asked, QuestionKind.REACH, ChoiceForm, seed="seed2")
    assert isinstance(form.form, SomeOf)
    one, *others = sorted(form.form.right)
    assert others, "several have to come off"
    press(form, one)
    assert have_marked(asked) == "✗ NOT YET"
    missed = form.list.find_verdict(form.list.read_names().index(others[0]))
    assert missed is not None
    assert missed.why.startswith("Missed.")
    for id_ in others:
        row = form.list.read_names().index(id_)
        form.list.setCurrentRow(row)
        QTest.keyClick(form.list, Qt.Key.Key_Space)
    assert set(form.list.taken) == set(form.form.right)
    assert have_marked(asked) == "✓ RIGHT"


def test_pairs_are_chosen_and_each_carries_its_reason(asked: PumpWindow) -> None:
    form = ask(asked, QuestionKind.MATCH, PairForm)
    right = dict(form.form.right)
    turned = dict(zip(right, [*list(right.values())[1:], next(iter(right.values()))], strict=True))
    for left, id_ in turned.items():
        form.choices[left].choose(id_)
    assert have_marked(asked) == "✗ NOT YET"
    assert all(why.text().count("✗") == 1 for why in form._whys.values())
    shown = form.form.left[0].shown
    assert isinstance(shown, PiecesShown)
    assert asked.view.marks.lit == set(shown.pieces)
    for left, id_ in right.items():
        form.choices[left].choose(id_)
    assert have_marked(asked) == "✓ RIGHT"


def test_a_gap_is_shown_with_its_chain_once_it_is_marked(asked: PumpWindow) -> None:
    form = ask(asked, QuestionKind.SHIM_THICKNESS, NumberForm)
    assert not asked.measuring.is_on
    form.edit.setText(f"{form.form.aim:.2f}")
    assert have_marked(asked) == "✓ RIGHT"
    assert asked.measuring.name == find_control(asked).item.subject
    asked.fit_view()
    assert not asked.measuring.is_on
    find_control(asked).again.click()
    assert asked.measuring.is_on


def test_an_order_from_which_lines_are_left_out(asked: PumpWindow) -> None:
    form = ask(asked, QuestionKind.TIGHTEN, OrderForm)
    assert isinstance(form.form, InOrder)
    assert form.form.extra, "not every line belongs"
    assert find_control(asked).asking.words.say("window.caution") in asked.lesson.question.caution.heading.text()  # fmt: skip
    assert asked.lesson.question.caution.isVisible()
    for id_ in form.form.extra:
        form.list.setCurrentRow(form.list.read_names().index(id_))
        QTest.keyClick(form.list, Qt.Key.Key_Delete)
    assert set(form.list.kept).isdisjoint(form.form.extra)
    order = form.form.judge.find_order()
    form.list.fill([*order, *form.form.extra], [*order, *form.form.extra])
    assert have_marked(asked) == "✗ NOT YET", "what does not belong counts"
    told = find_control(asked).feedback.text
    assert "have it marked again" in told.text()
    assert "One order that is right" not in told.text(), "first it is tried again"
    assert have_marked(asked) == "✗ NOT YET"
    assert "One order that is right" in told.text()
    form.list.leave_out(form.form.extra)
    assert form.read() == order
    assert have_marked(asked) == "✓ RIGHT"


def test_the_drawing_of_a_gauge_stands_beside_its_question(asked: PumpWindow, qtbot: QtBot) -> None:
    ask(asked, QuestionKind.READ_GAUGE, NumberForm)
    figure = asked.lesson.question.figure
    assert figure is not None
    assert figure.sheet.accessibleName(), "told to who cannot see it"
    qtbot.waitUntil(lambda: not figure.sheet.image.isNull(), timeout=LONG_MS)
    large = figure.show_large()
    assert large.width() > figure.width()
    large.close()


def test_practice_asks_and_keeps_under_the_name(asked: PumpWindow, qtbot: QtBot) -> None:
    practising, pane = asked.practising, asked.practising.pane
    asked.person.setText("Sam")
    practising.button.click()
    assert asked.pane == "practice"
    qtbot.waitUntil(lambda: not practising.is_busy, timeout=LONG_MS)
    assert "never asked" in pane.standing.text()
    assert set(pane.map.bars) == {"know-parts", "know-order", "set-clearances", "choose-components", "judge-faults"}  # fmt: skip
    pane.next.click()
    qtbot.waitUntil(lambda: not practising.is_busy, timeout=LONG_MS)
    control = pane.question.control
    assert control is not None
    assert asked.answering.control is control
    form = next(iter(control.forms.values()))
    if isinstance(form, ChoiceForm):
        form.list.toggle(0)
    elif isinstance(form, PairForm):
        next(iter(form.choices.values())).setCurrentIndex(1)
    elif isinstance(form, NumberForm):
        form.edit.setText("1")
    else:
        form.take_pick("impeller")
    QTest.mouseClick(control.mark, LEFT)
    wait_for_mark(asked)
    assert "Sam" in pane.question.note.text()
    assert asked.records is not None
    (attempt,) = asked.records.list_attempts("Sam", None)
    assert attempt.item == control.item.key
    assert (attempt.lesson, attempt.question) == ("", "")
    pane.look.click()
    qtbot.waitUntil(lambda: not practising.is_busy, timeout=LONG_MS)
    QTest.keyClick(asked, Qt.Key.Key_F4)
    asked.show_pane("lesson")
