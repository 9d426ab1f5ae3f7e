"""Put a question into lines as it is asked on paper: its fields, its choices with letters, room for a number."""

from __future__ import annotations

from collections.abc import Iterable
from string import ascii_lowercase

from models.spec.build import Build
from trainer.lesson.item import Choice, Field, InOrder, Item, Number, OneOf, Pairs, Pointed, SomeOf
from trainer.lesson.marking import list_right
from trainer.lesson.said import Rested, Said
from trainer.words.speech import Words
from trainer.words.telling_item import tell_filling, tell_said

ITEM = "- "
"""What a line of a list begins with, in Markdown."""


def tell_question(words: Words, build: Build, item: Item) -> str:
    """Tell a question as Markdown: what is asked, and field after field what can be answered; its drawing stands beside it."""
    told = list[str]()
    for said in item.stem:
        text = tell_said(words, build, said)
        if told and text.startswith(ITEM) and told[-1].rpartition("\n")[2].startswith(ITEM):
            told[-1] += f"\n{text}"  # one list, without gaps
        else:
            told.append(text)
    for field in item.fields:
        told.append(tell_said(words, build, field.asks))
        lines = list_form_lines(words, build, field)
        if lines:
            told.append("\n".join(lines))
    return "\n\n".join(told)


def list_form_lines(words: Words, build: Build, field: Field) -> list[str]:
    """List what stands below a field on paper."""
    match field.form:
        case OneOf() | SomeOf():
            return _letter(words, build, field.form.choices)
        case Pairs():
            left = [tell_said(words, build, one.said) for one in field.form.left]
            choices = _letter(words, build, field.form.choices)
            return [
                *(words.say("form.line", line=words.say("form.pair", left=one)) for one in left),
                "",
                *choices,
            ]
        case InOrder():
            return [
                words.say("form.line", line=tell_said(words, build, one.said))
                for one in field.form.lines
            ]
        case Number():
            return [words.say("form.number")]
        case Pointed():
            return [words.say("form.pointed")]


def tell_right(words: Words, build: Build, item: Item) -> str:
    """Tell what is right, field by field, and what it rests on."""
    right = [
        words.say("form.next").join(
            tell_filling(words, build, one) for one in list_right(field.form)
        )
        for field in item.fields
    ]
    told = words.say("form.field").join(right).rstrip(".")
    basis = tell_said(words, build, item.basis.said)
    return words.say("form.right", right=told, basis=basis)


def tell_worked(words: Words, build: Build, item: Item) -> str:
    """Tell what is right, and why, as an example is worked out beside a question like it."""
    reasons = dict.fromkeys(
        tell_said(words, build, why) for field in item.fields for why in _list_reasons(field)
    )
    return "\n".join((tell_right(words, build, item), *(f"{ITEM}{reason}" for reason in reasons)))


def _list_reasons(field: Field) -> list[Said]:
    """List why what is right is right; of pairs and orders nothing, whose right answer says it."""
    match field.form:
        case OneOf() | SomeOf():
            return [one.why for one in field.form.choices if one.id in field.form.right]
        case Number():
            return [field.form.why]
        case _:
            return []


def tell_rests(words: Words, build: Build, rests: Iterable[Rested]) -> str:
    """Tell what the numbers of a text rest on, as a list; "" where the build itself gives them all."""
    told = []
    for one in rests:
        number = tell_filling(words, build, one.number)
        of = tell_filling(words, build, one.of) if one.of else ""
        if one.source and of:
            told.append(words.say("lesson.rests", number=number, of=of, source=one.source))
        elif one.source:
            told.append(words.say("lesson.rests-on", number=number, source=one.source))
    return "\n".join(told)


def _letter(words: Words, build: Build, choices: tuple[Choice, ...]) -> list[str]:
    return [
        words.say("form.choice", letter=letter, choice=tell_said(words, build, choice.said))
        for letter, choice in zip(ascii_lowercase, choices, strict=False)
    ]
