"""Answer drawn questions rightly or wrongly, and check that each is well made: what tests of questions share."""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Iterator, Sequence

from models.spec.build import Build
from trainer.lesson.item import (
    Answer,
    Choice,
    Form,
    InOrder,
    Item,
    LineMark,
    Number,
    OneOf,
    Pairs,
    Pointed,
    Reply,
    SomeOf,
)
from trainer.lesson.marking import ItemMark, mark_item, reply_rightly
from trainer.lesson.said import Said
from trainer.words.speech import Words
from trainer.words.telling_item import tell_said


def answer_rightly(item: Item) -> Answer:
    """Answer every field of an item rightly."""
    return {field.name: reply_rightly(field.form) for field in item.fields}


def reply_wrongly(form: Form, chance: random.Random) -> Reply:
    """Give a reply that is not all right."""
    match form:
        case OneOf() | SomeOf():
            wrong = [one.id for one in form.choices if one.id not in form.right]
            return chance.choice(wrong) if isinstance(form, OneOf) else (chance.choice(wrong),)
        case Pointed():
            return chance.choice(sorted(form.parts.keys() - form.right))
        case Pairs():
            left, right = list(form.right), list(form.right.values())
            return dict(zip(left, [*right[1:], right[0]], strict=True))
        case Number():
            return f"{form.high + max(abs(form.high - form.low), 1e-3):.9f}"
        case InOrder():
            return form.judge.find_order()[1:]


def check_well_made(item: Item, build: Build, words: Words) -> None:
    """Check what holds of every question: told whole, one right answer set, no two choices that say the same."""
    assert item.fields, item.key
    assert item.basis.source or item.basis.said.key, item.key
    for said in list_said(item):
        assert tell_said(words, build, said).strip(), item.key
    for field in item.fields:
        check_form(field.form, build, words, item.key)


def check_form(form: Form, build: Build, words: Words, key: str) -> None:
    for choices in list_choices(form):
        ids = [choice.id for choice in choices]
        told = [tell_said(words, build, choice.said) for choice in choices]
        assert len(set(ids)) == len(ids), (key, ids)
        assert len(set(told)) == len(told), (key, told)
    match form:
        case OneOf() | SomeOf():
            assert form.right, key
            assert form.right < {choice.id for choice in form.choices}, (
                key,
                "nothing is wrong, or what is right is not offered",
            )
            assert isinstance(form, SomeOf) or len(form.right) == 1, key
        case Pairs():
            assert form.right.keys() == {one.id for one in form.left}, key
            assert set(form.right.values()) <= {one.id for one in form.choices}, key
        case Number():
            assert form.low <= form.aim <= form.high, key
            assert math.isfinite(form.low + form.high), key
            for slip in form.mistakes:
                assert slip.high < form.low or form.high < slip.low, (key, "a slip that is right")
        case Pointed():
            assert form.right, key
            assert form.right < form.parts.keys(), key
        case InOrder():
            belong = [one.id for one in form.lines if one.id not in form.extra]
            assert sorted(form.judge.find_order()) == sorted(belong), key


def list_choices(form: Form) -> list[Sequence[Choice]]:
    match form:
        case OneOf() | SomeOf():
            return [form.choices]
        case Pairs():
            return [form.left, form.choices]
        case InOrder():
            return [form.lines]
        case _:
            return []


def list_said(item: Item) -> Iterator[Said]:
    """List all that is said of an item before it is answered."""
    yield from item.stem
    yield item.basis.said
    if item.caution is not None:
        yield item.caution
    for field in item.fields:
        yield field.asks
        for choice in itertools.chain.from_iterable(list_choices(field.form)):
            yield choice.said


def check_feedback(mark: ItemMark, build: Build, words: Words, key: str) -> None:
    """Check that whatever was answered is told something, each in words."""
    for field in mark.fields:
        assert field.findings, key
        for finding in field.findings:
            assert tell_said(words, build, finding.said).strip(), key


def check_answers(item: Item, build: Build, words: Words, chance: random.Random) -> None:
    """Check that a right answer is all right, and that each wrong one loses marks and is told why."""
    right = mark_item(item, answer_rightly(item))
    assert right.is_right, item.key
    check_feedback(right, build, words, item.key)
    for field in item.fields:
        answer = {**answer_rightly(item), field.name: reply_wrongly(field.form, chance)}
        wrong = mark_item(item, answer)
        assert wrong.score < right.score, item.key
        check_feedback(wrong, build, words, item.key)
        own = next(one for one in wrong.fields if one.name == field.name)
        assert not all(finding.is_right for finding in own.findings), item.key


def list_wrong(marks: Sequence[LineMark]) -> list[str]:
    """List the lines of an order that count against it."""
    return [mark.line for mark in marks if mark.verdict in {"wrong", "missed"}]
