"""Lay a field of a question out in lines, and read what is typed as a reply to it; one way a form."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from string import ascii_lowercase

from models.spec.build import Build
from models.spec.errors import RefusalError, find_near
from trainer.lesson.item import (
    Choice,
    Field,
    Form,
    InOrder,
    Number,
    OneOf,
    Pairs,
    Pointed,
    Reply,
    SomeOf,
)
from trainer.lesson.marking import mark_field, read_amount
from trainer.words import Words
from trainer.words.telling import tell_part, tell_piece
from trainer.words.telling_item import tell_said

LEFT_OPEN = "-"
"""What is typed to leave a field open."""
_APART = re.compile(r"\s*[;,]\s*")
_PAIR = re.compile(r"\s*(\d+)\s*[=:.)-]?\s*([a-z]+)", re.IGNORECASE)
_SIGNS = re.compile(r"\*\*|`")


@dataclass(frozen=True, slots=True)
class Asking:
    """What a field is asked with.

    numbers: by part its number on the picture; none where no picture was drawn. is_named: whether the question itself
    names what is to be pointed at, so that typing the name would show nothing.
    """

    words: Words
    build: Build
    field: Field
    numbers: Mapping[str, int] | None = None
    is_named: bool = False

    def tell(self, choice: Choice) -> str:
        """Tell a choice, without the signs of Markdown."""
        return make_plain_text(tell_said(self.words, self.build, choice.said))


@dataclass(frozen=True, slots=True)
class Laid:
    """A field laid out. lines: what can be chosen. how: how to answer. read: from what is typed to a reply.

    `read` raises RefusalError, with the remedy, for what cannot be read.
    """

    lines: tuple[str, ...]
    how: str
    read: Callable[[str], Reply]


def lay_out(asking: Asking) -> Laid:
    """Lay a field out."""
    laid = _LAYERS[type(asking.field.form)](asking)

    def read(typed: str) -> Reply:
        if typed.strip() == LEFT_OPEN:
            return ""
        if not typed.strip():
            raise RefusalError(asking.words.say("practice.nothing-typed"))
        reply = laid.read(typed.strip())
        mark_field(
            asking.field, reply
        )  # what marking would refuse is refused here, to be typed again
        return reply

    return Laid(laid.lines, laid.how, read)


def make_plain_text(markdown: str) -> str:
    """Take the signs for bold and code out of a text."""
    return _SIGNS.sub("", markdown)


# ------------------------------------------------------------------ the forms
def _lay_one(asking: Asking) -> Laid:
    form = asking.field.form
    assert isinstance(form, OneOf)
    labels = _label(form.choices, asking)
    return Laid(
        _list_lines(labels),
        asking.words.say("practice.how-one-of"),
        lambda typed: _find(asking.words, typed, labels),
    )


def _lay_some(asking: Asking) -> Laid:
    form = asking.field.form
    assert isinstance(form, SomeOf)
    labels = _label(form.choices, asking)
    return Laid(
        _list_lines(labels),
        asking.words.say("practice.how-some-of"),
        lambda typed: tuple(dict.fromkeys(_find_several(asking.words, typed, labels))),
    )


def _lay_pairs(asking: Asking) -> Laid:
    form, words = asking.field.form, asking.words
    assert isinstance(form, Pairs)
    labels = _label(form.choices, asking)
    left = {str(number): (one.id, asking.tell(one)) for number, one in enumerate(form.left, 1)}

    def read(typed: str) -> Reply:
        found: dict[str, str] = {}
        rest = typed
        while rest:
            match = _PAIR.match(rest)
            if match is None:
                raise RefusalError(words.say("practice.no-pair", typed=rest))
            one = _find(words, match[1], left)
            if one in found:
                raise RefusalError(words.say("practice.twice", name=left[match[1]][1]))
            found[one] = _find(words, match[2], labels)
            rest = rest[match.end() :].lstrip(" ,;")
        return found

    lines = (*_list_lines(left), *_list_lines(labels))
    return Laid(lines, words.say("practice.how-pairs"), read)


def _lay_number(asking: Asking) -> Laid:
    form = asking.field.form
    assert isinstance(form, Number)

    def read(typed: str) -> Reply:
        read_amount(typed, form.quantity)
        return typed

    return Laid((), asking.words.say(f"practice.how-number-{form.quantity}"), read)


def _lay_pointed(asking: Asking) -> Laid:
    form, words, build = asking.field.form, asking.words, asking.build
    assert isinstance(form, Pointed)
    names = {tell_piece(words, build, piece).casefold(): piece for piece in form.parts}
    parts = {tell_part(words, part).casefold(): part for part in form.parts.values()}
    ids = {one: one for one in (*form.parts, *form.parts.values())}
    known = names | parts | ids
    numbers = {str(number): part for part, number in (asking.numbers or {}).items()}

    def read(typed: str) -> Reply:
        if typed.isdigit():
            if typed not in numbers:
                key = "practice.no-number" if numbers else "practice.no-picture"
                raise RefusalError(words.say(key, typed=typed, most=len(numbers)))
            return numbers[typed]
        found = known.get(typed.casefold())
        if found is None:
            near = ", ".join(find_near(typed.casefold(), sorted({*names, *parts})))
            key = "practice.no-part-near" if near else "practice.no-part"
            raise RefusalError(words.say(key, typed=typed, near=near))
        if numbers and asking.is_named and form.parts.get(found, found) in right:
            raise RefusalError(words.say("practice.named-already"))
        return found

    right = {form.parts[piece] for piece in form.right}
    how = "practice.how-named"
    if numbers:
        how = "practice.how-number-of-it" if asking.is_named else "practice.how-pointed"
    return Laid((), words.say(how), read)


def _lay_order(asking: Asking) -> Laid:
    form, words = asking.field.form, asking.words
    assert isinstance(form, InOrder)
    labels = _label(form.lines, asking)

    def read(typed: str) -> Reply:
        lines = _find_several(words, typed, labels)
        twice = [one for one in lines if lines.count(one) > 1]
        told = {id_: f"{label} {text}" for label, (id_, text) in labels.items()}
        if twice:
            raise RefusalError(words.say("practice.twice", name=told[twice[0]]))
        left_out = [told[one.id] for one in form.lines if one.id not in lines]
        if left_out and not form.extra:
            raise RefusalError(words.say("practice.left-out", lines=words.join(left_out)))
        return tuple(lines)

    how = "practice.how-some-in-order" if form.extra else "practice.how-in-order"
    return Laid(_list_lines(labels), words.say(how), read)


_LAYERS: Mapping[type[Form], Callable[[Asking], Laid]] = {
    OneOf: _lay_one,
    SomeOf: _lay_some,
    Pairs: _lay_pairs,
    Number: _lay_number,
    Pointed: _lay_pointed,
    InOrder: _lay_order,
}

# ------------------------------------------------------------------ labels and names
Labels = Mapping[str, tuple[str, str]]
"""By what is typed: the id that is meant, and what it says."""


def _label(choices: Sequence[Choice], asking: Asking) -> Labels:
    """Label choices with letters; with numbers where there are more than letters."""
    few = len(choices) <= len(ascii_lowercase)
    labels = ascii_lowercase if few else [str(n) for n in range(1, len(choices) + 1)]
    return {label: (one.id, asking.tell(one)) for label, one in zip(labels, choices, strict=False)}


def _list_lines(labels: Labels) -> tuple[str, ...]:
    width = max((len(label) for label in labels), default=0)
    return tuple(f"{label:>{width}})  {text}" for label, (_, text) in labels.items())


def _find_several(words: Words, typed: str, labels: Labels) -> list[str]:
    """Find labels with spaces or commas between them, labels run together, or names with commas between them."""
    if _is_named(typed, labels):
        return [_find(words, typed, labels)]
    cells = [cell for cell in _APART.split(typed) if cell]
    if len(cells) == 1:
        cells = typed.split()
        if len(cells) == 1 and typed.isalpha() and all(sign in labels for sign in typed.lower()):
            cells = list(typed)
        elif not all(cell.casefold() in labels for cell in cells):
            cells = [typed]
    return [_find(words, cell, labels) for cell in cells]


def _is_named(typed: str, labels: Labels) -> bool:
    return typed.casefold() in {text.casefold() for _, text in labels.values()}


def _find(words: Words, typed: str, labels: Labels) -> str:
    """Find what one label, name or beginning of a name means. Raises RefusalError where it means nothing, or several."""
    wanted = typed.strip().rstrip(").").casefold()
    if wanted in labels:
        return labels[wanted][0]
    for id_, text in labels.values():
        if wanted in {text.casefold(), text.casefold().rstrip("."), id_.casefold()}:
            return id_
    begun = [(id_, text) for id_, text in labels.values() if text.casefold().startswith(wanted)]
    if len(begun) == 1:
        return begun[0][0]
    if begun:
        names = words.join([text for _, text in begun])
        raise RefusalError(words.say("practice.several", typed=typed, names=names))
    first, last = next(iter(labels)), list(labels)[-1]
    raise RefusalError(words.say("practice.no-choice", typed=typed, first=first, last=last))
