"""What is typed as a reply: by label, by name, by number; what cannot be read is refused with the remedy."""

from __future__ import annotations

import random
from collections.abc import Sequence

import pytest

from models.spec.build import Build
from models.spec.errors import RefusalError
from tests.plain_said import say_text
from trainer.console.replies import Asking, lay_out
from trainer.lesson.hinting import make_hint
from trainer.lesson.item import (
    Choice,
    Field,
    Form,
    InOrder,
    LineMark,
    LineVerdict,
    Number,
    OneOf,
    Pairs,
    Pointed,
    Reply,
    SomeOf,
)
from trainer.lesson.marking import mark_field, reply_rightly
from trainer.lesson.said import Name, Quantity, say
from trainer.session.bench import open_bench
from trainer.words import load_words

WORDS = load_words()


def make_choices(*texts: str) -> tuple[Choice, ...]:
    return tuple(Choice(f"id-{text[0]}", say_text(text), say_text("why")) for text in texts)


class Rising:
    """Judge that lines stand in rising order of their ids."""

    def judge(self, lines: Sequence[str]) -> tuple[LineMark, ...]:
        places = list(lines)
        return tuple(
            LineMark(
                line,
                LineVerdict.WRONG
                if any(other < line for other in places[place + 1 :])
                else LineVerdict.RIGHT,
                say_text("why"),
            )
            for place, line in enumerate(places)
        )

    def find_order(self) -> tuple[str, ...]:
        return ("id-c", "id-n", "id-s")


THREE = make_choices("nut", "shaft", "cover nut")
ONE = OneOf(THREE, frozenset({"id-s"}))
SOME = SomeOf(THREE, frozenset({"id-n", "id-s"}))
PAIRS = Pairs(THREE, make_choices("turns", "holds", "drives"), {"id-n": "id-h", "id-s": "id-t", "id-c": "id-d"})  # fmt: skip
GAP = Number(0.5, 0.48, 0.52, say_text("sum"))
ORDER = InOrder(THREE, Rising())
SOME_ORDER = InOrder(THREE, Rising(), frozenset({"id-c"}))


@pytest.fixture(scope="module")
def build() -> Build:
    return open_bench("packing/38").build


def read(build: Build, form: Form, typed: str, **given: object) -> Reply:
    field = Field("only", say_text("?"), form)
    return lay_out(Asking(WORDS, build, field, **given)).read(typed)  # type: ignore[arg-type]  # named by the test


@pytest.mark.parametrize(
    ("form", "typed", "reply"),
    [
        (ONE, "b", "id-s"),
        (ONE, " B) ", "id-s"),
        (ONE, "Shaft", "id-s"),
        (ONE, "cov", "id-c"),
        (ONE, "id-n", "id-n"),
        (SOME, "a c", ("id-n", "id-c")),
        (SOME, "ac", ("id-n", "id-c")),
        (SOME, "nut, cover nut", ("id-n", "id-c")),
        (SOME, "cover nut", ("id-c",)),
        (SOME, "a a", ("id-n",)),
        (PAIRS, "1b 2a 3c", {"id-n": "id-h", "id-s": "id-t", "id-c": "id-d"}),
        (PAIRS, "1=b, 3 - c", {"id-n": "id-h", "id-c": "id-d"}),
        (GAP, "20 thou", "20 thou"),
        (GAP, "0,5", "0,5"),
        (ORDER, "c a b", ("id-c", "id-n", "id-s")),
        (ORDER, "cab", ("id-c", "id-n", "id-s")),
        (ORDER, "cover nut; nut; shaft", ("id-c", "id-n", "id-s")),
        (SOME_ORDER, "a b", ("id-n", "id-s")),
        (ONE, "-", ""),
        (ORDER, " - ", ""),
    ],
)
def test_replies_are_read_by_label_and_by_name(
    build: Build, form: Form, typed: str, reply: Reply
) -> None:
    assert read(build, form, typed) == reply


@pytest.mark.parametrize(
    ("form", "typed", "said"),
    [
        (ONE, "", "Nothing was typed"),
        (ONE, "d", "from a to c"),
        (ONE, "screw", "none of the choices"),
        (SOME, "a d", "from a to c"),
        (PAIRS, "nut", "is no pair"),
        (PAIRS, "1a 1b", "stands twice"),
        (PAIRS, "7a", "from 1 to 3"),
        (GAP, "wide", "not a number"),
        (GAP, "5 kg", "units that do"),
        (ORDER, "c a", "some are missing: b shaft"),
        (ORDER, "c a a", "stands twice"),
    ],
)
def test_what_cannot_be_read_is_refused_with_the_remedy(
    build: Build, form: Form, typed: str, said: str
) -> None:
    with pytest.raises(RefusalError, match=said):
        read(build, form, typed)


def test_the_beginning_of_several_names_is_no_answer(build: Build) -> None:
    form = OneOf(make_choices("lock nut", "Lock washer"), frozenset({"id-l"}))
    with pytest.raises(RefusalError, match="may mean lock nut and Lock washer"):
        read(build, form, "lock")


def test_more_lines_than_letters_are_numbered(build: Build) -> None:
    lines = tuple(Choice(f"l{n}", say_text(f"line {n}!"), say_text("why")) for n in range(30))
    laid = lay_out(
        Asking(WORDS, build, Field("f", say_text("?"), SomeOf(lines, frozenset({"l2"}))))
    )
    assert laid.lines[0].strip().startswith("1)")
    assert laid.read("3 30") == ("l2", "l29")


def test_a_piece_is_pointed_at_by_number_or_name(build: Build) -> None:
    parts = {name: piece.place.name for name, piece in build.pieces.items()}
    part = next(iter(build.places))
    form = Pointed(frozenset(build.places[part]), parts)
    numbers = {one: number for number, one in enumerate(build.places, 1)}
    assert read(build, form, "1", numbers=numbers) == part
    name = WORDS.say(f"part.{part}.name")
    assert read(build, form, name) == part
    assert read(build, form, name, numbers=numbers) == part
    with pytest.raises(RefusalError, match="no number on the picture"):
        read(build, form, "99", numbers=numbers)
    with pytest.raises(RefusalError, match="no picture"):
        read(build, form, "1")
    with pytest.raises(RefusalError, match="Did you mean"):
        read(build, form, name + "x")


def test_where_the_question_names_the_part_only_its_number_will_do(build: Build) -> None:
    parts = {name: piece.place.name for name, piece in build.pieces.items()}
    part, other = list(build.places)[:2]
    form = Pointed(frozenset(build.places[part]), parts)
    given = {"numbers": {part: 1}, "is_named": True}
    with pytest.raises(RefusalError, match="names it already"):
        read(build, form, WORDS.say(f"part.{part}.name"), **given)
    assert read(build, form, WORDS.say(f"part.{other}.name"), **given) == other
    assert read(build, form, "1", **given) == part


# ------------------------------------------------------------------ hints
@pytest.mark.parametrize("form", [SOME, PAIRS, GAP, ORDER])
def test_a_hint_leaves_the_right_answer_possible_and_not_alone(form: Form) -> None:
    for seed in range(20):
        hint = make_hint(form, random.Random(seed))
        assert hint is not None
        if isinstance(form, Number):
            low, high = (hint.said.fields[name].value for name in ("least", "most"))  # type: ignore[union-attr]  # amounts
            assert low < form.low < form.high < high
            assert high - low > 5 * (form.high - form.low)
    assert mark_field(Field("f", say_text("?"), form), reply_rightly(form)).is_right


@pytest.mark.parametrize(("offered", "is_hinted"), [(2, False), (3, False), (4, True), (8, True)])
def test_a_hint_to_one_of_several_never_leaves_a_toss_up(offered: int, *, is_hinted: bool) -> None:
    right, *wrong = (Choice(f"id-{n}", say_text(f"c{n}"), say_text("why")) for n in range(offered))
    for seed in range(20):
        hint = make_hint(OneOf((*wrong, right), frozenset({right.id})), random.Random(seed))
        assert (hint is not None) == is_hinted
        if hint is not None:
            assert hint.said.fields["choice"] in [one.said for one in wrong]


def test_a_hint_to_pointing_names_the_right_piece_among_others(build: Build) -> None:
    parts = {name: piece.place.name for name, piece in build.pieces.items()}
    right = frozenset(next(iter(build.places.values())))
    hint = make_hint(Pointed(right, parts), random.Random(1))
    assert hint is not None
    named = hint.said.fields["pieces"]
    assert isinstance(named, tuple)
    pieces = {one.name for one in named if isinstance(one, Name)}
    assert pieces & right
    assert len({parts[piece] for piece in pieces}) > 2


def test_a_number_is_asked_for_with_its_unit(build: Build) -> None:
    for quantity in Quantity:
        form = Number(1.0, 0.9, 1.1, say("answer.blank"), quantity)
        assert lay_out(Asking(WORDS, build, Field("f", say_text("?"), form))).how
