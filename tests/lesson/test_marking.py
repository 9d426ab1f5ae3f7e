"""Marking by forms: one written rule each, held by examples worked by hand."""

from __future__ import annotations

import pytest

from models.spec.errors import RefusalError
from trainer.lesson.item import Choice, Field, Number, OneOf, Pairs, Reply, SomeOf
from trainer.lesson.marking import mark_field, read_amount
from trainer.lesson.said import Quantity, say_text

CHOICES = tuple(Choice(name, say_text(name), say_text(f"why {name}")) for name in "abcd")
SOME = SomeOf(CHOICES, frozenset("ab"))
PAIRS = Pairs(CHOICES[:2], CHOICES[2:], {"a": "c", "b": "d"})
GAP = Number(0.5, 0.48, 0.52, say_text("sum of the chain"))


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
        (PAIRS, {"a": "c", "b": "d"}, 1.0),
        (PAIRS, {"a": "c", "b": "c"}, 0.5),
        (PAIRS, {"a": "c"}, 0.5),
        (GAP, "0.5", 1.0),
        (GAP, "0,52 mm", 1.0),
        (GAP, "20 thou", 1.0),
        (GAP, "500 µm", 1.0),
        (GAP, "0.53", 0.0),
    ],
)
def test_each_form_has_its_rule(
    form: OneOf | SomeOf | Pairs | Number, reply: Reply, score: float
) -> None:
    mark = mark_field(Field("only", say_text("?"), form), reply)
    assert mark.score == pytest.approx(score)
    assert mark.findings, "every answer is told something"


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
        ("1 1/2", Quantity.TURN, None),
        ("wide", Quantity.LENGTH, None),
        ("5 kg", Quantity.LENGTH, None),
        ("1.5 turns", Quantity.TURN, 1.5),
        ("12 kN", Quantity.FORCE, 12000.0),
        ("2,5 bar", Quantity.PRESSURE, 250.0),
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
