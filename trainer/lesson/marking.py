"""Mark answers, by one written rule a form.

| form | marks |
|---|---|
| one of | 1 for a right one, else 0 |
| some of | right ones chosen over the right ones, less wrong ones chosen over the right or the wrong ones, whichever are fewer; 0 at the least, so that choosing all is worth nothing |
| pairs | right pairs over pairs |
| number | 1 inside the band, else 0 |
| pointed | 1 for a right piece, else 0 |
| in order | 1 less counted faults over the lines that belong; 0 at the least, and 0 where a critical line is wrong or missed |

An item's mark is the mean of its fields', by weight; 0 where a critical line failed it. A blank is marked 0; what
cannot be read at all is refused and is no attempt.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from models.spec.errors import RefusalError
from models.spec.units import SPELT_MM
from trainer.lesson.item import (
    Answer,
    Choice,
    Field,
    Finding,
    Form,
    InOrder,
    Item,
    LineMark,
    LineVerdict,
    Number,
    OneOf,
    Pairs,
    PiecesShown,
    Pointed,
    Reply,
    SomeOf,
)
from trainer.lesson.said import Name, NameOf, Quantity, Said, name_piece, say

FULL = 1.0
FAULTS = frozenset({LineVerdict.WRONG, LineVerdict.MISSED})
"""What counts against an order."""
ROUNDING = 1e-9
"""Far below what any gauge shows: it only keeps 0.1 + 0.2 from missing 0.3."""

UNITS: Mapping[Quantity, Mapping[str, float]] = {
    Quantity.LENGTH: SPELT_MM,
    Quantity.FORCE: {"n": 1.0, "kn": 1000.0, "lbf": 4.4482216152605},
    Quantity.TORQUE: {"nm": 1.0, "lbft": 1.3558179483314, "ftlb": 1.3558179483314},
    Quantity.FLOW: {"m3/h": 1.0, "m³/h": 1.0, "l/min": 0.06, "l/s": 3.6},
    Quantity.LIFE: {"h": 1.0},
    Quantity.PRESSURE: {"kpa": 1.0, "bar": 100.0, "mpa": 1000.0, "psi": 6.894757293168},
    Quantity.TEMPERATURE: {"c": 1.0, "°c": 1.0},
    Quantity.SPEED: {"rpm": 1.0, "1/min": 1.0},
    Quantity.MASS: {"kg": 1.0, "g": 1e-3},
    Quantity.SHARE: {"%": 0.01},
    Quantity.TURN: {"turn": 1.0, "turns": 1.0, "flat": 1 / 6, "flats": 1 / 6},
    Quantity.FLAT: {"flat": 1.0, "flats": 1.0, "turn": 6.0, "turns": 6.0},
    Quantity.ANGLE: {"deg": 1.0, "°": 1.0},
    Quantity.COUNT: {},
}  # fmt: skip
"""Units as typed, in the unit that a quantity is kept in. Exact by definition (pound force: international
yard and pound agreement of 1959; standard gravity: CGPM 1901)."""
WIDE = 1.5
"""From this factor between the ends of a band on, nothing is guessed from a number that lies beside it."""
TOLD_UNITS = ("um", "thou", "in")
"""Units in which a number may be meant that is typed without one."""
_MINUS = "\N{MINUS SIGN}\N{EN DASH}"
"""What stands for a minus where an editor puts it."""
_TYPED = re.compile(r"([-+" + _MINUS + r"]?[0-9 ]*[.,]?[0-9]+(?:[eE][-+]?[0-9]{1,2})?)\s*(.*)\Z")
_PLAIN = str.maketrans({",": ".", " ": "", **dict.fromkeys(_MINUS, "-")})


@dataclass(frozen=True, slots=True)
class FieldMark:
    """How one field went.

    right: what is right, to be shown. findings: what is said of the answer. lines: of an order every line judged.
    """

    name: str
    score: float
    findings: tuple[Finding, ...]
    right: tuple[Said | Name, ...]
    lines: tuple[LineMark, ...] = ()

    @property
    def is_right(self) -> bool:
        """Is it all right?"""
        return self.score >= FULL - ROUNDING

    @property
    def has_failed(self) -> bool:
        """Is a critical line wrong or missed?"""
        return _has_failed(self.lines)


@dataclass(frozen=True, slots=True)
class ItemMark:
    """How an item went. score: 0 to 1. has_failed: a critical line was wrong or missed."""

    score: float
    fields: tuple[FieldMark, ...]
    has_failed: bool = False

    @property
    def is_right(self) -> bool:
        """Is it all right?"""
        return self.score >= FULL - ROUNDING


def mark_item(item: Item, answer: Answer) -> ItemMark:
    """Mark an answer to an item.

    Raises:
        RefusalError: a reply names no choice, piece or line there is, or is no number; it is no attempt.
    """
    unknown = set(answer) - {field.name for field in item.fields}
    if unknown:
        raise RefusalError(f"nothing is asked under the name {min(unknown)!r}")
    marks = tuple(mark_field(field, answer.get(field.name, "")) for field in item.fields)
    weight = sum(field.weight for field in item.fields)
    score = sum(f.weight * mark.score for f, mark in zip(item.fields, marks, strict=True)) / weight
    failed = any(mark.has_failed for mark in marks)
    return ItemMark(0.0 if failed else score, marks, failed)


def mark_field(field: Field, reply: Reply) -> FieldMark:
    """Mark the reply to one field. Raises RefusalError as `mark_item` does."""
    form = field.form
    lines = _judge_lines(form, reply) if isinstance(form, InOrder) else ()
    ruled: _Ruled
    if not reply:
        ruled = 0.0, (Finding(say("answer.blank"), is_right=False),)
    elif isinstance(form, InOrder):
        ruled = _mark_lines(form, lines)
    else:
        ruled = _RULES[type(form)](form, reply)
    score, findings = ruled
    return FieldMark(field.name, max(0.0, score), findings, list_right(form), lines)


def list_right(form: Form) -> tuple[Said | Name, ...]:
    """List what is right, to be shown: the choices, the pairs, the number, the piece, or one right order."""
    match form:
        case OneOf() | SomeOf():
            return tuple(choice.said for choice in form.choices if choice.id in form.right)
        case Pairs():
            by_id = {choice.id: choice for choice in form.choices}
            return tuple(
                say("answer.pair", left=one.said, right=by_id[form.right[one.id]].said)
                for one in form.left
            )
        case Number():
            return (say("answer.number", number=form.right_amount),)
        case Pointed():
            return (name_piece(min(form.right)),)
        case InOrder():
            by_id = {choice.id: choice for choice in form.lines}
            return tuple(by_id[line].said for line in form.judge.find_order())


def reply_rightly(form: Form) -> Reply:
    """Give a reply that is all right."""
    match form:
        case OneOf() | Pointed():
            return min(form.right)
        case SomeOf():
            return tuple(sorted(form.right))
        case Pairs():
            return dict(form.right)
        case Number():
            return f"{form.aim:.9f}"
        case InOrder():
            return form.judge.find_order()


def read_amount(typed: str, quantity: Quantity) -> float:
    """Read a number as typed, with or without a unit; a decimal comma is a decimal point.

    Returns:
        The number in the unit that the quantity is kept in; a bare number is taken to be in it.

    Raises:
        RefusalError: no number, or a unit that counts something else.
    """
    found = _TYPED.match(typed.strip())
    if found is None:
        raise RefusalError(f"{typed!r} is not a number; write it like 0.35 or 0.35 mm")
    number = found[1].translate(_PLAIN)
    unit = _trim_unit(found[2])
    value = float(number)
    if not math.isfinite(value):
        raise RefusalError(f"{typed!r} is not a finite number")
    if not unit:
        return value
    units = UNITS[quantity]
    if unit not in units:
        # of several spellings of one unit the first is told
        first = dict[float, str]()
        for one, factor in units.items():
            first.setdefault(factor, one)
        known = ", ".join(first.values()) or "none"
        raise RefusalError(f"{found[2]!r} does not fit here; units that do: {known}")
    return value * units[unit]


def _trim_unit(typed: str) -> str:
    return typed.lower().replace(" ", "").replace("·", "").rstrip(".")


def _read_unit(typed: str) -> str:
    """Read the unit of a number that can be read; "" where it has none."""
    found = _TYPED.match(typed.strip())
    assert found is not None
    return _trim_unit(found[2])


# ------------------------------------------------------------------ the rules
_Ruled = tuple[float, tuple[Finding, ...]]


def _mark_one(form: Form, reply: Reply) -> _Ruled:
    assert isinstance(form, OneOf)
    choice = _find_choice(form.choices, _as_text(reply))
    right = choice.id in form.right
    return float(right), (Finding(choice.why, right, choice.shown),)


def _mark_some(form: Form, reply: Reply) -> _Ruled:
    assert isinstance(form, SomeOf)
    chosen = [_find_choice(form.choices, id_) for id_ in dict.fromkeys(_as_texts(reply))]
    hits = sum(choice.id in form.right for choice in chosen)
    findings = [Finding(c.why, c.id in form.right, c.shown) for c in chosen]
    missed = form.right - {choice.id for choice in chosen}
    findings += [
        Finding(say("answer.missed", choice=c.said, why=c.why), is_right=False, shown=c.shown)
        for c in form.choices
        if c.id in missed
    ]
    # A wrong one costs what a right one brings; where right ones are many, so much that all together are worth nothing.
    wrong, there_are = len(chosen) - hits, len(form.choices) - len(form.right)
    lost = wrong / min(len(form.right), there_are) if wrong else 0.0
    return hits / len(form.right) - lost, tuple(findings)


def _mark_pairs(form: Form, reply: Reply) -> _Ruled:
    assert isinstance(form, Pairs)
    if not isinstance(reply, Mapping):
        raise RefusalError("pairs are given as LEFT=RIGHT")
    findings: list[Finding] = []
    for left, chosen in reply.items():
        one, other = _find_choice(form.left, left), _find_choice(form.choices, chosen)
        right = form.right[one.id] == other.id
        said = say("answer.pair-is-right" if right else "answer.pair-is-wrong", left=one.said,
                   why=one.why, chosen=other.why)  # fmt: skip
        findings.append(Finding(said, right, one.shown))
    hits = sum(finding.is_right for finding in findings)
    findings += [
        Finding(say("answer.pair-missed", left=one.said, why=one.why), is_right=False)
        for one in form.left
        if one.id not in reply
    ]
    return hits / len(form.left), tuple(findings)


def _mark_number(form: Form, reply: Reply) -> _Ruled:
    assert isinstance(form, Number)
    value = read_amount(_as_text(reply), form.quantity)
    if form.low - ROUNDING <= value <= form.high + ROUNDING:
        return 1.0, (Finding(form.why, is_right=True, shown=form.shown),)
    slips = [m.why for m in form.mistakes if m.low - ROUNDING <= value <= m.high + ROUNDING]
    slips += _find_slips(form, _as_text(reply), value)
    return 0.0, tuple(
        Finding(why, is_right=False, shown=form.shown) for why in (*slips[:1], form.why)
    )


def _find_slips(form: Number, typed: str, value: float) -> list[Said]:
    """Find the slips of pen that any number can have: the other sign, another unit, the point in another place."""

    def is_right(other: float) -> bool:
        return form.low - ROUNDING <= other <= form.high + ROUNDING

    if is_right(-value):
        return [say("answer.other-sign")]
    ends = sorted((abs(form.low), abs(form.high)))
    if form.low * form.high <= 0.0 or ends[1] > WIDE * ends[0]:
        return []  # so wide a band holds figures of all kinds
    is_bare = _read_unit(typed) == ""
    others = {factor: unit for unit, factor in UNITS[form.quantity].items() if unit in TOLD_UNITS}
    unit = next((unit for factor, unit in others.items() if is_right(value * factor)), "")
    if is_bare and unit:
        return [say("answer.other-unit", unit=unit, kept=str(form.quantity))]
    if any(is_right(value * factor) for factor in (0.01, 0.1, 10.0, 100.0, 1000.0)):
        return [say("answer.other-point")]
    return []


def _mark_pointed(form: Form, reply: Reply) -> _Ruled:
    assert isinstance(form, Pointed)
    piece = _as_text(reply)
    if piece not in form.parts:
        matching = sorted(one for one, part in form.parts.items() if part == piece)
        if not matching:
            raise RefusalError(f"there is no piece called {piece!r} to point at")
        # Whole sets are told by their part, as somebody types it who points at no single piece.
        piece = next((one for one in matching if one in form.right), matching[0])
    part = form.parts[piece]
    if piece in form.right:
        return 1.0, (Finding(say("answer.pointed", part=Name(NameOf.PART, part)), is_right=True),)
    why = form.why.get(piece) or form.why.get(part)
    named = say("answer.pointed-other", piece=name_piece(piece))
    shown = PiecesShown(tuple(sorted(form.right)))
    return 0.0, tuple(
        Finding(said, is_right=False, shown=shown) for said in (named, why) if said is not None
    )


def _judge_lines(form: InOrder, reply: Reply) -> tuple[LineMark, ...]:
    lines = _as_texts(reply) if reply else ()
    for line in lines:
        _find_choice(form.lines, line)
    if len(set(lines)) < len(lines):
        raise RefusalError("a line stands twice; give each once")
    return form.judge.judge(lines)


def _mark_lines(form: InOrder, judged: tuple[LineMark, ...]) -> _Ruled:
    belong = len(form.lines) - len(form.extra)
    faults = sum(mark.verdict in FAULTS for mark in judged)
    findings = tuple(
        Finding(mark.why, mark.verdict in {LineVerdict.RIGHT, LineVerdict.POOR}, mark.shown)
        for mark in judged
        if mark.why is not None
    )
    return 0.0 if _has_failed(judged) else 1.0 - faults / belong, findings


def _has_failed(judged: Iterable[LineMark]) -> bool:
    """Is a critical line wrong or missed?"""
    return any(mark.is_critical and mark.verdict in FAULTS for mark in judged)


_RULES: Mapping[type[Form], Callable[[Form, Reply], _Ruled]] = {
    OneOf: _mark_one,
    SomeOf: _mark_some,
    Pairs: _mark_pairs,
    Number: _mark_number,
    Pointed: _mark_pointed,
}


def _find_choice(choices: tuple[Choice, ...], id_: str) -> Choice:
    for choice in choices:
        if choice.id == id_:
            return choice
    raise RefusalError(f"{id_!r} is none of the choices")


def _as_text(reply: Reply) -> str:
    if not isinstance(reply, str):
        raise RefusalError("one answer is wanted here, not several")
    return reply


def _as_texts(reply: Reply) -> tuple[str, ...]:
    if isinstance(reply, Mapping):
        raise RefusalError("a list is wanted here, not pairs")
    return (reply,) if isinstance(reply, str) else tuple(reply)
