"""Marking by forms: one written rule each, held by examples worked by hand."""

from __future__ import annotations

import pytest

from models.spec.errors import RefusalError
from tests.plain_said import say_text
from trainer.lesson.following import FollowJudge
from trainer.lesson.item import (
    Basis,
    Choice,
    Field,
    Form,
    InOrder,
    Item,
    Number,
    OneOf,
    Pairs,
    Pointed,
    Reply,
    SomeOf,
)
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.marking import mark_field, mark_item, read_amount
from trainer.lesson.said import Quantity

CHOICES = tuple(Choice(name, say_text(name), say_text(f"why {name}")) for name in "abcd")
SOME = SomeOf(CHOICES, frozenset("ab"))
PAIRS = Pairs(CHOICES[:2], CHOICES[2:], {"a": "c", "b": "d"})
MANY = SomeOf(CHOICES, frozenset("abc"))
GAP = Number(0.5, 0.48, 0.52, say_text("sum of the chain"))
NUT = Pointed(frozenset({"nut-1", "nut-2"}), {"nut-1": "nut", "nut-2": "nut", "key-1": "key"})
# Of four lines a comes before b, b before c and d; a fails all when it is late or missing, and d is never done.
STEPS = FollowJudge(
    taught=("a", "b", "c"),
    after={"b": frozenset("a"), "c": frozenset("b")},
    critical=frozenset("ad"),
    never=frozenset("d"),
    texts={name: say_text(name) for name in "abcd"},
)
ORDER = InOrder(CHOICES, STEPS, frozenset("d"))


@pytest.mark.parametrize(
    ("form", "reply", "score"),
    [
        (OneOf(CHOICES, frozenset("a")), "a", 1.0),
        (OneOf(CHOICES, frozenset("a")), "b", 0.0),
        (OneOf(CHOICES, frozenset("a")), "", 0.0),
        (SOME, ("a", "b"), 1.0),
        (SOME, ("a",), 0.5),
        (SOME, ("a", "c"), 0.0),
        (SOME, ("a", "b", "c"), 0.5),
        (SOME, ("c", "d"), 0.0),
        (SOME, ("a", "a"), 0.5),
        (MANY, ("a", "b"), 2 / 3),
        (MANY, ("a", "d"), 0.0),
        (PAIRS, {"a": "c", "b": "d"}, 1.0),
        (PAIRS, {"a": "c", "b": "c"}, 0.5),
        (PAIRS, {"a": "c"}, 0.5),
        (GAP, "0.5", 1.0),
        (GAP, "0,52 mm", 1.0),
        (GAP, "20 thou", 1.0),
        (GAP, "500 µm", 1.0),
        (GAP, "0.53", 0.0),
        (GAP, "0.52000000001", 1.0),
        (GAP, "0.5200001", 0.0),
        (NUT, "nut-2", 1.0),
        (NUT, "nut", 1.0),
        (NUT, "key", 0.0),
        (ORDER, ("a", "b", "c"), 1.0),
        (ORDER, ("a", "c", "b"), 2 / 3),
        (ORDER, ("a", "b"), 2 / 3),
        (ORDER, ("b", "a", "c"), 0.0),
        (ORDER, ("b", "c"), 0.0),
        (ORDER, ("a", "b", "c", "d"), 0.0),
        (ORDER, (), 0.0),
    ],
)
def test_each_form_has_its_rule(form: Form, reply: Reply, score: float) -> None:
    mark = mark_field(Field("only", say_text("?"), form), reply)
    assert mark.score == pytest.approx(score)
    assert mark.findings, "every answer is told something"


@pytest.mark.parametrize("right", ["a", "ab", "abc"])
def test_choosing_all_there_is_is_worth_nothing(right: str) -> None:
    form = SomeOf(CHOICES, frozenset(right))
    assert mark_field(Field("only", say_text("?"), form), tuple("abcd")).score == 0.0


def make_item(*fields: Field) -> Item:
    return Item(
        QuestionKind.PROCEDURE, "strip", "pump", {}, (), fields, Basis(say_text("as taught"))
    )


def test_mark_of_an_item_is_the_mean_of_its_fields_by_weight() -> None:
    one = Field("one", say_text("?"), OneOf(CHOICES, frozenset("a")), weight=3.0)
    item = make_item(one, Field("gap", say_text("?"), GAP))
    assert mark_item(item, {"one": "a"}).score == pytest.approx(0.75)
    assert mark_item(item, {"gap": "0.5"}).score == pytest.approx(0.25)
    with pytest.raises(RefusalError, match="nothing is asked under the name 'two'"):
        mark_item(item, {"two": "a"})


@pytest.mark.parametrize(
    ("lines", "fails"),
    [("abc", False), ("acb", False), ("bac", True), ("bc", True), ("abcd", True), ("", True)],
)
def test_a_critical_line_that_is_late_missed_or_never_done_fails_all_of_an_item(
    lines: str, fails: bool
) -> None:
    item = make_item(Field("order", say_text("?"), ORDER), Field("gap", say_text("?"), GAP))
    mark = mark_item(item, {"order": tuple(lines), "gap": "0.5"})
    assert mark.has_failed == fails
    assert (mark.score == 0.0) == fails


@pytest.mark.parametrize(
    ("form", "reply", "message"),
    [
        (OneOf(CHOICES, frozenset("a")), "e", "none of the choices"),
        (OneOf(CHOICES, frozenset("a")), ("a",), "one answer"),
        (SOME, {"a": "b"}, "a list is wanted"),
        (PAIRS, "a", "LEFT=RIGHT"),
        (PAIRS, {"c": "a"}, "none of the choices"),
        (NUT, "bolt", "no piece"),
        (ORDER, ("a", "a", "b"), "stands twice"),
        (ORDER, ("a", "e"), "none of the choices"),
    ],
)
def test_what_cannot_be_an_answer_is_refused_and_never_marked(
    form: Form, reply: Reply, message: str
) -> None:
    with pytest.raises(RefusalError, match=message):
        mark_field(Field("only", say_text("?"), form), reply)


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("-0.5", "answer.other-sign"),
        ("20", "answer.other-unit"),
        ("0,02", "answer.other-unit"),
        ("500", "answer.other-unit"),
        ("5.1 mm", "answer.other-point"),
        ("0,05 mm", "answer.other-point"),
        ("0.02 mm", ""),
        ("0.7", ""),
    ],
)
def test_a_slip_of_sign_unit_or_point_is_told_apart(typed: str, key: str) -> None:
    mark = mark_field(Field("only", say_text("?"), GAP), typed)
    assert mark.score == 0.0
    assert [one.said.key for one in mark.findings] == [*([key] if key else []), ""]


def test_of_a_wide_band_nothing_is_guessed_but_the_sign() -> None:
    wide = Number(0.02, 0.004, 0.036, say_text("sum of the chain"))
    told = {typed: mark_field(Field("only", say_text("?"), wide), typed) for typed in ("0.3", "-0.02")}  # fmt: skip
    assert [one.said.key for one in told["0.3"].findings] == [""]
    assert [one.said.key for one in told["-0.02"].findings] == ["answer.other-sign", ""]


@pytest.mark.parametrize(
    ("typed", "quantity", "value"),
    [
        ("0.5", Quantity.LENGTH, 0.5),
        ("0,5", Quantity.LENGTH, 0.5),
        ("20 thou", Quantity.LENGTH, 0.508),
        ("0.02in", Quantity.LENGTH, 0.508),
        ("500 µm", Quantity.LENGTH, 0.5),
        ("\N{MINUS SIGN}0.1", Quantity.LENGTH, -0.1),
        ("\N{EN DASH}0,1 mm", Quantity.LENGTH, -0.1),
        ("0.02''", Quantity.LENGTH, 0.508),
        ("0.02\N{DOUBLE PRIME}", Quantity.LENGTH, 0.508),
        ("1 1/2", Quantity.TURN, None),
        ("wide", Quantity.LENGTH, None),
        ("5 kg", Quantity.LENGTH, None),
        ("1.5 turns", Quantity.TURN, 1.5),
        ("12 kN", Quantity.FORCE, 12000.0),
        ("2,5 bar", Quantity.PRESSURE, 250.0),
        ("1.000,5", Quantity.LENGTH, None),
        ("1,000.5", Quantity.LENGTH, None),
        ("1 000,5", Quantity.LENGTH, 1000.5),
        (".5 mm", Quantity.LENGTH, 0.5),
        ("1e99" + "9", Quantity.LENGTH, None),
        ("9" * 400, Quantity.LENGTH, None),
        ("nan", Quantity.LENGTH, None),
        ("3 flats", Quantity.TURN, 0.5),
        ("0.5 turns", Quantity.FLAT, 3.0),
        ("40 %", Quantity.SHARE, 0.4),
        ("\u0661", Quantity.COUNT, None),
    ],
)
def test_numbers_are_read_with_their_units(
    typed: str, quantity: Quantity, value: float | None
) -> None:
    if value is None:
        with pytest.raises(RefusalError):
            read_amount(typed, quantity)
    else:
        assert read_amount(typed, quantity) == pytest.approx(value)
