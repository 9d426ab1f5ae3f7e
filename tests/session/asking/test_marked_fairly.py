"""Marks are fair: any valid order is full marks, and neither names nor which of equal parts is named changes a mark."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.spec.assembly import Assembly, AssemblyPiece
from models.spec.errors import RefusalError
from tests.answering import answer_rightly, list_wrong
from tests.bench.plain_replay import Replay, Rules
from trainer.core.order.blocking import Blocking
from trainer.core.order.marking import mark_order
from trainer.core.order.state import Refused, State
from trainer.lesson.item import (
    Answer,
    Choice,
    Form,
    InOrder,
    Item,
    MoveShown,
    OneOf,
    Pairs,
    Pointed,
    SomeOf,
)
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.marking import mark_item
from trainer.lesson.wanted import Wanted
from trainer.session.asking import Benches, draw_item, list_subjects
from trainer.session.asking.kinds import KINDS
from trainer.session.asking.replaying import ReplayJudge, Way

SMALL = ("packing/38", "impeller-fixings/100-250", "flanges/100")
PUMP = "end-suction/100-250"
BENCHES = Benches()
SEEDS = st.integers(0, 10_000)


@lru_cache(maxsize=8)
def rules(name: str) -> Rules:
    bench = BENCHES.open(name)
    return Rules.of(bench.assembly, bench.blocking)


def draw_judge(name: str, seed: int, way: Way) -> ReplayJudge:
    bench = BENCHES.open(name)
    wanted = Wanted(QuestionKind.PUT_IN_ORDER, given={"way": way.value})
    form = draw_item(bench, BENCHES, wanted, str(seed)).fields[0].form
    assert isinstance(form, InOrder)
    assert isinstance(form.judge, ReplayJudge)
    return form.judge


def help_along(state: Replay, unasked: list[str]) -> None:
    """Take off of some pieces all that comes, by the plain rules, and leave the others in the list."""
    while came := [name for name in unasked if state.take(name)]:
        unasked[:] = [name for name in unasked if name not in came]


def take_set(state: Replay, names: Sequence[str]) -> bool:
    """Take all of a set off, in whichever order its pieces come; say whether all did. Of a copy first."""
    for trial in (copy(state), state):
        left = list(names)
        while came := [name for name in left if trial.take(name)]:
            left = [name for name in left if name not in came]
        if left:
            return False
    return True


def copy(state: Replay) -> Replay:
    return Replay(state.rules, [set(lot) for lot in state.lots], set(state.freed))


def draw_valid(judge: ReplayJudge, chance: random.Random) -> list[str] | None:
    """Draw a teardown of the lines by the plain rules, next whatever comes; None where one way led nowhere."""
    places, state = judge.bench.build.places, Replay(rules(judge.bench.name))
    asked = {name for line in judge.lines for name in places[line]}
    unasked = [name for name in judge.bench.build.pieces if name not in asked]
    left, order = list(judge.lines), list[str]()
    while left:
        help_along(state, unasked)
        chance.shuffle(left)
        line = next((one for one in left if take_set(state, places[one])), None)
        if line is None:
            return None
        left.remove(line)
        order.append(line)
    return order


@pytest.mark.parametrize("name", SMALL)
@pytest.mark.parametrize("way", Way)
@given(seed=SEEDS)
@settings(max_examples=12)
def test_any_valid_order_gets_full_marks(name: str, way: Way, seed: int) -> None:
    check_valid_order(draw_judge(name, seed, way), random.Random(seed))


@pytest.mark.parametrize("seed", range(3))
def test_any_valid_order_of_a_pump_gets_full_marks(seed: int) -> None:
    check_valid_order(draw_judge(PUMP, seed, tuple(Way)[seed % 2]), random.Random(seed))


def check_valid_order(judge: ReplayJudge, chance: random.Random) -> None:
    order = draw_valid(judge, chance)
    assert order is not None
    if judge.way is Way.ASSEMBLY:
        order.reverse()
    assert list_wrong(judge.judge(order)) == []
    assert judge.mark(order).is_valid


@pytest.mark.parametrize("name", SMALL)
@given(seed=SEEDS)
@settings(max_examples=12)
def test_a_line_is_wrong_just_where_the_plain_rules_refuse_it(name: str, seed: int) -> None:
    judge, chance = draw_judge(name, seed, Way.TEARDOWN), random.Random(seed)
    lines = chance.sample(judge.lines, len(judge.lines))
    refused = {mark.line for mark in judge.judge(lines) if mark.verdict in {"wrong", "follows"}}
    assert refused == find_refused(judge, lines)


def find_refused(judge: ReplayJudge, lines: Sequence[str]) -> set[str]:
    """Replay lines by the plain rules; what is refused waits, and comes off by itself."""
    places, state = judge.bench.build.places, Replay(rules(judge.bench.name))
    asked = {name for line in lines for name in places[line]}
    unasked = [name for name in judge.bench.build.pieces if name not in asked]
    waiting, refused = list[str](), set[str]()
    for line in lines:
        coming = [*unasked, *waiting]
        help_along(state, coming)
        unasked = [name for name in unasked if name in coming]
        waiting = [name for name in waiting if name in coming]
        left = list(places[line])
        while came := [name for name in left if state.take(name)]:
            left = [name for name in left if name not in came]
        if left:
            refused.add(line)
        waiting += left
        help_along(state, waiting)
    return refused


@pytest.mark.parametrize("way", Way)
def test_a_line_that_is_missed_is_counted_once(way: Way) -> None:
    judge = draw_judge(PUMP, 1, way)
    right = judge.find_order()
    for line in right:
        marks = judge.judge([one for one in right if one != line])
        assert list_wrong(marks) == [line]


@pytest.mark.parametrize("way", Way)
@pytest.mark.parametrize("seed", range(3))
def test_a_move_that_is_shown_to_a_wrong_line_is_refused_where_it_is_shown(
    way: Way, seed: int
) -> None:
    judge, shown = draw_judge(PUMP, seed, way), 0
    lines = random.Random(seed).sample(judge.lines, len(judge.lines))
    for mark in judge.judge(lines):
        if isinstance(mark.shown, MoveShown):
            state = State(judge.bench.assembly, judge.bench.blocking)
            assert all(state.try_take(piece) for piece in mark.shown.taken)
            assert isinstance(state.look(mark.shown.piece), Refused)
            assert mark.shown.piece in judge.bench.build.places[mark.line]
            shown += 1
    assert shown or not list_wrong(judge.judge(lines))


# ------------------------------------------------------------------ names
def rename(assembly: Assembly, names: Mapping[str, str]) -> Assembly:
    """Give every piece another name."""

    def all_of(some: frozenset[str]) -> frozenset[str]:
        return frozenset(names[one] for one in some)

    def piece(one: AssemblyPiece) -> AssemblyPiece:
        return replace(one, name=names[one.name])

    return replace(
        assembly,
        pieces=tuple(map(piece, assembly.pieces)),
        holds=tuple(
            replace(one, members=all_of(one.members), present=all_of(one.present))
            for one in assembly.holds
        ),
        carries=tuple(
            replace(one, carrier=names[one.carrier], carried=names[one.carried])
            for one in assembly.carries
        ),
        press_mm={all_of(pair): value for pair, value in assembly.press_mm.items()},
        cautions=tuple(
            replace(one, moving=all_of(one.moving), while_there=all_of(one.while_there))
            for one in assembly.cautions
        ),
    )


def rename_table(blocking: Blocking, names: Mapping[str, str]) -> Blocking:
    return replace(blocking, names=tuple(names[one] for one in blocking.names))


@pytest.mark.parametrize("name", [*SMALL, PUMP])
def test_an_order_is_marked_alike_whatever_its_pieces_are_called(name: str) -> None:
    bench, chance = BENCHES.open(name), random.Random(name)
    pieces = list(bench.build.pieces)
    others = chance.sample([f"piece-{number}" for number in range(len(pieces))], len(pieces))
    names = dict(zip(pieces, others, strict=True))
    assembly, blocking = rename(bench.assembly, names), rename_table(bench.blocking, names)
    for _ in range(6):
        order = chance.sample(pieces, len(pieces))
        one = mark_order(bench.assembly, bench.blocking, [[piece] for piece in order])
        other = mark_order(assembly, blocking, [[names[piece]] for piece in order])
        assert one.score == other.score
        assert [(names[p], verdict) for p, verdict, _ in one.judged] == [
            (p, verdict) for p, verdict, _ in other.judged
        ]


def swap_equal(name: str, chance: random.Random) -> dict[str, str]:
    """Swap the numbers of equal pieces, of all sets of as many pieces alike: a stud goes with its own nut."""
    swapped: dict[str, str] = {}
    turned: dict[int, list[int]] = {}
    for names in BENCHES.open(name).build.places.values():
        turn = turned.setdefault(len(names), chance.sample(range(len(names)), len(names)))
        swapped |= {one: names[turn[number]] for number, one in enumerate(names)}
    return swapped


@pytest.mark.parametrize("name", ["flanges/100", "impellers/100-250"])
@given(seed=SEEDS)
@settings(max_examples=20)
def test_swapping_equal_parts_changes_no_mark(name: str, seed: int) -> None:
    bench, chance = BENCHES.open(name), random.Random(seed)
    swapped, fixed = swap_equal(name, chance), {"shim-1", "shim-2", "shim-3"}
    pieces = [piece for piece in bench.build.pieces if piece not in fixed]
    order = chance.sample(pieces, len(pieces))
    scores = [
        mark_order(bench.assembly, bench.blocking, [[one] for one in lines], reasons=False).score
        for lines in (order, [swapped[one] for one in order])
    ]
    assert scores[0] == scores[1]


def test_any_of_equal_pieces_that_is_pointed_at_is_right() -> None:
    bench = BENCHES.open(PUMP)
    for part, names in bench.build.places.items():
        wanted = Wanted(QuestionKind.POINT_OUT, given={"part": part})
        item = draw_item(bench, BENCHES, wanted, "1")
        assert isinstance(item.fields[0].form, Pointed)
        for piece in names:
            assert mark_item(item, {item.fields[0].name: piece}).is_right


# ------------------------------------------------------------------ ids
def rename_form(form: Form, prefix: str) -> Form:
    """Give every choice of a form another id, and put them in another order."""

    def renamed(choices: tuple[Choice, ...]) -> tuple[Choice, ...]:
        return tuple(replace(one, id=prefix + one.id) for one in reversed(choices))

    match form:
        case OneOf() | SomeOf():
            right = frozenset(prefix + one for one in form.right)
            return replace(form, choices=renamed(form.choices), right=right)
        case Pairs():
            pairs = {prefix + left: prefix + right for left, right in form.right.items()}
            return Pairs(renamed(form.left), renamed(form.choices), pairs)
        case _:
            return form


def rename_answer(item: Item, answer: Answer, prefix: str) -> Answer:
    found = {}
    for field in item.fields:
        reply = answer[field.name]
        if isinstance(field.form, OneOf | SomeOf):
            reply = (
                prefix + reply if isinstance(reply, str) else tuple(prefix + one for one in reply)
            )
        elif isinstance(field.form, Pairs) and isinstance(reply, Mapping):
            reply = {prefix + left: prefix + right for left, right in reply.items()}
        found[field.name] = reply
    return found


def answer_by_chance(item: Item, chance: random.Random) -> Answer:
    """Answer by chance, in whatever form: some of it right, some of it not."""
    found = dict(answer_rightly(item))
    for field in item.fields:
        form = field.form
        if isinstance(form, OneOf | SomeOf):
            ids = [choice.id for choice in form.choices]
            some = tuple(chance.sample(ids, chance.randint(1, len(ids))))
            found[field.name] = some if isinstance(form, SomeOf) else some[0]
        elif isinstance(form, Pairs):
            ids = [choice.id for choice in form.choices]
            found[field.name] = {one.id: chance.choice(ids) for one in form.left}
    return found


@pytest.mark.parametrize("kind", KINDS)
def test_marks_do_not_depend_on_ids_or_on_the_order_of_choices(kind: QuestionKind) -> None:
    bench, chance = BENCHES.open(PUMP), random.Random(kind)
    if not list_subjects(bench, kind):
        bench = BENCHES.open("self-priming/100")
    for seed in range(4):
        item = draw_item(bench, BENCHES, Wanted(kind), str(seed))
        fields = tuple(replace(one, form=rename_form(one.form, "x-")) for one in item.fields)
        other = replace(item, fields=fields)
        answer = answer_by_chance(item, chance)
        mark = mark_item(item, answer).score
        assert 0.0 <= mark <= 1.0
        assert mark_item(other, rename_answer(item, answer, "x-")).score == pytest.approx(mark)


@pytest.mark.parametrize("way", Way)
def test_the_whole_of_a_pump_can_be_asked_and_its_own_order_is_right(way: Way) -> None:
    bench = BENCHES.open(PUMP)
    given = {"way": way.value, "extent": "whole"}
    item = draw_item(bench, BENCHES, Wanted(QuestionKind.PUT_IN_ORDER, given=given), "1")
    form = item.fields[0].form
    assert isinstance(form, InOrder)
    assert len(form.lines) > 0.9 * len(bench.build.places)
    assert mark_item(item, answer_rightly(item)).is_right
    assert not mark_item(item, {"order": form.judge.find_order()[::-1]}).is_right


def test_parts_that_a_lesson_gives_are_asked_and_no_others() -> None:
    bench = BENCHES.open(PUMP)
    parts = ("suction-cover", "cover-nut", "impeller", "impeller-screw")
    wanted = Wanted(QuestionKind.PUT_IN_ORDER, given={"parts": parts, "way": "teardown"})
    item = draw_item(bench, BENCHES, wanted, "1")
    right = mark_item(item, {"order": ("cover-nut", "suction-cover", "impeller-screw", "impeller")})
    wrong = mark_item(item, {"order": ("suction-cover", "cover-nut", "impeller-screw", "impeller")})
    assert (right.score, wrong.score) == (1.0, 0.75)
    misspelt = Wanted(QuestionKind.PUT_IN_ORDER, given={"parts": ("impeler", "cover-nut")})
    with pytest.raises(RefusalError, match="impeller"):
        draw_item(bench, BENCHES, misspelt, "1")


@pytest.mark.parametrize("name", [PUMP, "self-priming/100", "packing/38"])
def test_an_order_of_a_few_parts_that_is_laid_by_chance_is_hardly_ever_right(name: str) -> None:
    bench, chance = BENCHES.open(name), random.Random(name)
    marks = []
    for seed in range(40):
        item = draw_item(bench, BENCHES, Wanted(QuestionKind.PUT_IN_ORDER), str(seed))
        form = item.fields[0].form
        assert isinstance(form, InOrder)
        lines = [line.id for line in form.lines]
        marks += [
            mark_item(item, {"order": tuple(chance.sample(lines, len(lines)))}) for _ in range(3)
        ]
    assert sum(mark.is_right for mark in marks) <= 0.08 * len(marks)
    assert sum(mark.score for mark in marks) <= 0.65 * len(marks)
