"""What an author writes in braces is found with its place, and a number that stands bare never passes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.spec.errors import ContentError
from trainer.lesson import parse_lesson
from trainer.lesson.said import Amount, Quantity
from trainer.lesson.written import (
    End,
    Reference,
    RefersTo,
    Sourced,
    list_braced,
    list_trouble,
)

WORDS = st.text(alphabet="abc .,*-\n", max_size=30)


@pytest.mark.parametrize(
    ("text", "to", "name", "end"),
    [
        ("{clearance: back-vane}", RefersTo.CLEARANCE, "back-vane", None),
        ("{clearance:back-vane.most}", RefersTo.CLEARANCE, "back-vane", End.MOST),
        ("{limit: seat-o-ring.squeeze.aim}", RefersTo.LIMIT, "seat-o-ring.squeeze", End.AIM),
        ("{limit:\n  back-vane.least}", RefersTo.LIMIT, "back-vane", End.LEAST),
        ("{dimension: shaft.overhang}", RefersTo.DIMENSION, "shaft.overhang", None),
        ("{dimension: cover-nut-3.pitch.most}", RefersTo.DIMENSION, "cover-nut-3.pitch", End.MOST),
        ("{count: cover-nut}", RefersTo.COUNT, "cover-nut", None),
        ("{pump: end-suction/100-250}", RefersTo.PUMP, "end-suction/100-250", None),
    ],
)
def test_a_reference_is_read(text: str, to: RefersTo, name: str, end: End | None) -> None:
    (one,) = list_braced(f"before {text} after")
    assert isinstance(one, Reference)
    assert (one.to, one.name, one.end, one.at) == (to, name, end, 7)
    assert list_trouble(text) == ()


@pytest.mark.parametrize(
    ("text", "said", "amount"),
    [
        ("{25 kg | common practice}", "25 kg", None),
        ("{0.15 mm | common practice}", "0.15 mm", Amount(0.15, Quantity.LENGTH, 2)),
        ("{40 µm | common practice}", "40 µm", Amount(0.04, Quantity.LENGTH, 3)),
        ("{-2.5 mm | from memory}", "-2.5 mm", Amount(-2.5, Quantity.LENGTH, 1)),
        ("{M12 | ISO four thousand}", "M12", None),
    ],
)
def test_a_number_with_its_source_is_read(text: str, said: str, amount: Amount | None) -> None:
    (one,) = list_braced(text)
    assert isinstance(one, Sourced)
    assert one.said == said
    assert (one.amount is None) == (amount is None)
    if one.amount and amount:
        assert one.amount.value == pytest.approx(amount.value)
        assert (one.amount.quantity, one.amount.digits) == (amount.quantity, amount.digits)


@pytest.mark.parametrize(
    "text",
    ["1. first\n2) second", "the nut `cover-nut-3`", "   3. an item that stands in", "no number at all", "`100-250/a`"],
)  # fmt: skip
def test_some_digits_are_no_numbers(text: str) -> None:
    assert list_trouble(text) == ()


@pytest.mark.parametrize(
    ("text", "snippet"),
    [
        ("about 25 kg", "25"),
        ("**0.25 mm**", "0.25"),
        ("1. turn it 2 times", "2"),
        ("a ½ turn", "½"),
        ("from 3–4 mm", "3–4"),
        ("`0.25`", "`0.25`"),
        ("M12", "M12"),
        ("Ⅳ", "Ⅳ"),
        ("{a", "{"),
        ("a}", "}"),
        ("{}", "{}"),
        ("{clearance}", "{clearance}"),
        ("{limit: back-vane}", "{limit: back-vane}"),
        ("{count: Bad Name!}", "{count: Bad Name!}"),
        ("{25 kg |}", "{25 kg |}"),
        ("{kg | common practice}", "{kg | common practice}"),
        ("{1 | a | b}", "{1 | a | b}"),
    ],
)
def test_everything_else_is_trouble_at_its_place(text: str, snippet: str) -> None:
    (trouble,) = list_trouble(text)
    assert trouble.snippet == snippet
    assert text[trouble.at :].startswith(snippet)
    assert trouble.remedy


@given(WORDS, st.sampled_from("0123456789½²٣"), WORDS)
def test_a_bare_digit_never_passes(before: str, digit: str, after: str) -> None:
    # the letter before it keeps it from being the number of a list
    assert list_trouble(f"{before}a{digit}{after}")


@given(WORDS)
def test_words_alone_are_never_trouble(text: str) -> None:
    assert list_trouble(text) == ()


@given(st.text(max_size=80) | st.lists(st.sampled_from(["{", "}", "|", ":", "limit", "back-vane", ".least", "1.", "9", " ", "\n", "kg"]), max_size=20).map("".join))  # fmt: skip
def test_any_text_is_read_or_told(text: str) -> None:
    for trouble in list_trouble(text):
        assert text[trouble.at :].startswith(trouble.snippet)
    for braced in list_braced(text):
        assert text[braced.at :].startswith(f"{{{braced.text}}}")


@pytest.mark.parametrize(
    ("say", "place"),
    [
        ("say: |\n    one\n\n    two 9 mm\n", "7:9"),
        ("say: >\n    one 9 two\n", "5:9"),
        ("say: 'one\n    two 9'\n", "5:9"),
        ('say: "9 and\n    9 and 9"\n', "4:9"),
        ("say: one 9\n", "4:12"),
        ('say: "\\x39"\n', "4:12"),
        ('say: "\\u0664"\n', "4:8"),
    ],
)
def test_trouble_is_placed_in_the_file_however_the_text_is_written(say: str, place: str) -> None:
    block = f"title: T\nbuild: a/b\nsteps:\n- {say.rstrip()}\n  title: One\n"
    with pytest.raises(ContentError) as caught:
        parse_lesson(block.encode(), "f")
    line, column = place.split(":")
    fault = caught.value.faults[0]
    assert (fault.line, fault.column) == (int(line), int(column))
