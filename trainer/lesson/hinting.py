"""Hints: what may be said to a question before it is answered, without answering it. One written rule a form.

| form | hint |
|---|---|
| one of | of more than three choices a wrong one goes; of fewer none, for what is left would be a toss-up: no hint |
| some of | how many are right |
| pairs | one pair is given |
| number | a band that it lies in, some WIDER times as wide as what is taken as right |
| pointed | a few pieces that it is among |
| in order | the line that comes first, and the one that comes last |
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from trainer.lesson.item import Form, InOrder, Number, OneOf, Pairs, Pointed, SomeOf
from trainer.lesson.said import Amount, Said, name_piece, say

WIDER = 8.0
FEWEST_KEPT = 3
AMONG = 4


@dataclass(frozen=True, slots=True)
class Hint:
    """What is said beside a field; the field itself stays as it is."""

    said: Said


def make_hint(form: Form, chance: random.Random) -> Hint | None:
    """Make the hint to a field; the same chance makes the same. None where a hint would leave nothing to think about."""
    return _RULES[type(form)](form, chance)


def _hint_one(form: Form, chance: random.Random) -> Hint | None:
    assert isinstance(form, OneOf)
    if len(form.choices) <= FEWEST_KEPT:
        return None
    wrong = [choice.said for choice in form.choices if choice.id not in form.right]
    return Hint(say("hint.one-of", choice=chance.choice(wrong)))


def _hint_some(form: Form, _chance: random.Random) -> Hint:
    assert isinstance(form, SomeOf)
    return Hint(say("hint.some-of", number=len(form.right)))


def _hint_pairs(form: Form, chance: random.Random) -> Hint:
    assert isinstance(form, Pairs)
    left = chance.choice(form.left)
    right = next(choice for choice in form.choices if choice.id == form.right[left.id])
    return Hint(say("hint.pairs", left=left.said, right=right.said))


def _hint_number(form: Form, chance: random.Random) -> Hint:
    assert isinstance(form, Number)
    unit = 10.0**-form.digits
    width = max(WIDER * (form.high - form.low), WIDER * unit)
    # The right one lies anywhere in the band but at its edges, so that its middle tells nothing.
    low = form.aim - width * chance.uniform(0.2, 0.8)
    band = (Amount(edge, form.quantity, form.digits) for edge in (low, low + width))
    least, most = band
    return Hint(say("hint.number", least=least, most=most))


def _hint_pointed(form: Form, chance: random.Random) -> Hint:
    assert isinstance(form, Pointed)
    right = min(form.right)
    part = form.parts[right]
    others = sorted({form.parts[piece] for piece in form.parts} - {part})
    drawn = chance.sample(others, min(AMONG - 1, len(others)))
    firsts = [min(p for p, of in form.parts.items() if of == one) for one in drawn]
    among = sorted([right, *firsts])
    said = tuple(name_piece(piece) for piece in among)
    return Hint(say("hint.pointed", pieces=said))


def _hint_order(form: Form, _chance: random.Random) -> Hint:
    assert isinstance(form, InOrder)
    order = form.judge.find_order()
    by_id = {choice.id: choice.said for choice in form.lines}
    return Hint(say("hint.in-order", first=by_id[order[0]], last=by_id[order[-1]]))


_RULES: Mapping[type[Form], Callable[[Form, random.Random], Hint | None]] = {
    OneOf: _hint_one,
    SomeOf: _hint_some,
    Pairs: _hint_pairs,
    Number: _hint_number,
    Pointed: _hint_pointed,
    InOrder: _hint_order,
}
