"""States of the window in which something is asked, for pictures: every kind as asked, hinted, worked out and marked."""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from functools import partial

from PySide6.QtTest import QTest

from tests.answering import reply_wrongly
from tests.desktop.driving import wait_until
from trainer.desktop.asking.choice_form import ChoiceForm
from trainer.desktop.asking.drawing import DrawnBenches
from trainer.desktop.asking.form import FormControl
from trainer.desktop.asking.number_form import NumberForm
from trainer.desktop.asking.order_form import OrderForm
from trainer.desktop.asking.pair_form import PairForm
from trainer.desktop.asking.posing import Pose, Posed
from trainer.desktop.doing.practising import PANE
from trainer.desktop.window import PumpWindow
from trainer.lesson.hinting import make_hint
from trainer.lesson.item import InOrder, Item, Reply
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.marking import reply_rightly
from trainer.lesson.outcome import Help
from trainer.lesson.practice import Next, Subject, Why
from trainer.lesson.wanted import Wanted
from trainer.session.asking import draw_item
from trainer.session.practising import Asked

SEED = "1"
State = Callable[[PumpWindow], None]


def stand(window: PumpWindow) -> None:
    """Show where the learner stands."""
    window.show_pane(PANE)
    window.practising.look()
    wait_until(lambda: not window.practising.is_busy)


def ask(window: PumpWindow, kind: QuestionKind, help_: Help = Help.UNAIDED, **given: str) -> Item:
    """Ask a question of practice, as it is asked with some help beside it; `given` as a lesson may ask for it."""
    stand(window)
    assert window.bench is not None
    bench, benches, chance = window.bench.twin, DrawnBenches(), random.Random(SEED)
    item = draw_item(bench, benches, Wanted(kind, given=given), SEED)
    following = Next(Subject(kind, item.subject, item.subject), Why.NEW, help_)
    example, hints = None, []
    if help_ is Help.EXAMPLE:
        example = draw_item(bench, benches, Wanted(kind), f"{SEED}/example")
    if help_ is not Help.UNAIDED:
        found = ((field.name, make_hint(field.form, chance)) for field in item.fields)
        hints = [(name, hint) for name, hint in found if hint is not None]
    asked = Asked(item, following, SEED, example, tuple(hints))
    window.practising._ask({}, Posed(Pose(following, SEED), asked, bench.build))
    figure = window.practising.pane.question.figure
    wait_until(lambda: figure is None or not figure.sheet.image.isNull())
    wait_until(lambda: not window.lessons.faulting.is_busy)
    return item


def answer(window: PumpWindow, kind: QuestionKind, *, rightly: bool) -> None:
    """Ask a question, answer it and have it marked; what is said of it is played to its end."""
    chance = random.Random(SEED)
    item, control = ask(window, kind), window.practising.pane.question.control
    assert control is not None
    for field in item.fields:
        reply = reply_rightly(field.form) if rightly else reply_wrongly(field.form, chance)
        if isinstance(field.form, InOrder) and not rightly:
            reply = tuple(reversed(field.form.judge.find_order()))
        fill_in(control.forms[field.name], reply)
    control.send()
    wait_until(lambda: not window.practising.pane.question.is_marking)
    QTest.qWait(50)  # the motion begins
    wait_until(lambda: window.trying.replay.tried is None)


def fill_in(form: FormControl, reply: Reply) -> None:
    """Fill a reply in as if a hand had."""
    match form:
        case ChoiceForm():
            form.list.take([reply] if isinstance(reply, str) else list(reply))
        case PairForm():
            assert isinstance(reply, Mapping)
            form.fill(dict(reply))
        case NumberForm():
            form.edit.setText(f"{float(str(reply)):.{form.form.digits}f}")
        case OrderForm():
            kept = list(reply)
            left_out = [line.id for line in form.form.lines if line.id not in kept]
            form.fill({"lines": [*kept, *left_out], "kept": kept})
        case _:
            form.take_pick(str(reply))


def make_states() -> dict[str, State]:
    """Make the states: practice, and KIND, KIND-hinted, KIND-example, KIND-right and KIND-wrong of every kind."""
    states: dict[str, State] = {"practice": stand}
    for kind in QuestionKind:
        states[str(kind)] = partial(_ask, kind=kind, help_=Help.UNAIDED)
        states[f"{kind}-hinted"] = partial(_ask, kind=kind, help_=Help.HINTED)
        states[f"{kind}-example"] = partial(_ask, kind=kind, help_=Help.EXAMPLE)
        states[f"{kind}-right"] = partial(answer, kind=kind, rightly=True)
        states[f"{kind}-wrong"] = partial(answer, kind=kind, rightly=False)
    return states


def _ask(window: PumpWindow, kind: QuestionKind, help_: Help) -> None:
    ask(window, kind, help_)


def leave(window: PumpWindow) -> None:
    """Ask nothing any more."""
    window.practising.look()
    wait_until(lambda: not window.practising.is_busy)
    window.show_pane("lesson")
