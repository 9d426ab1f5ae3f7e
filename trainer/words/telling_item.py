"""Put into words what questions, choices and feedback say by key."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from models.spec.build import Build
from trainer.core.order.answers import Refused
from trainer.lesson.said import Amount, Filling, Name, NameOf, Quantity, Said
from trainer.lesson.written import BRACES
from trainer.words.speech import Words
from trainer.words.telling import (
    tell_clearance,
    tell_part,
    tell_piece,
    tell_pieces,
    tell_pump,
    tell_refused,
)


def tell_said(words: Words, build: Build, said: Said) -> str:
    """Tell what is said of a build, as Markdown."""
    fields = {name: tell_filling(words, build, filling) for name, filling in said.fields.items()}
    if not said.key:
        return BRACES.sub(lambda match: fields.get(match[1], match[0]), said.text)
    count = said.fields.get("number")
    if said.key in words.plurals and isinstance(count, int):
        del fields["number"]
        return words.count(said.key, count, **fields)
    return words.say(said.key, **fields)


def tell_filling(words: Words, build: Build, filling: Filling) -> str:
    """Tell what goes into a text: a name, an amount with its unit, a list, a text of its own."""
    match filling:
        case Said():
            return tell_said(words, build, filling)
        case Name():
            return _NAMES[filling.of](words, build, filling.name)
        case Refused():
            return tell_refused(words, build, filling)
        case tuple():
            return words.join([tell_filling(words, build, one) for one in filling])
        case str():
            return filling
        case _:
            if isinstance(filling, int):
                filling = Amount(filling, Quantity.COUNT, 0)
            return tell_amount(words, filling)


def tell_amount(words: Words, amount: Amount) -> str:
    """Tell a number with its unit."""
    if amount.quantity is Quantity.LENGTH:
        return words.millimetres(amount.value, amount.digits)
    if amount.quantity is Quantity.SHARE:
        return words.say("amount.share", value=words.number(100.0 * amount.value, amount.digits))
    return words.say(f"amount.{amount.quantity}", value=words.number(amount.value, amount.digits))


_NAMES: Mapping[NameOf, Callable[[Words, Build, str], str]] = {
    NameOf.PIECE: tell_piece,
    NameOf.PIECES: lambda words, build, name: tell_pieces(words, build, name.split()),
    NameOf.PART: lambda words, _build, name: tell_part(words, name),
    NameOf.CLEARANCE: lambda words, _build, name: tell_clearance(words, name),
    NameOf.OPTION: lambda words, _build, name: words.say(f"option.{name}"),
    NameOf.VALUE: lambda words, _build, name: words.say(f"option.{name.replace('=', '.')}"),
    NameOf.PUMP: lambda words, _build, name: tell_pump(words, name),
}
