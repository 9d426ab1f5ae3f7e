"""Something to be said, by key, with what goes into it: how results carry sentences without being any.

`words/telling_item.py` puts it into a language. So a question, its choices and its feedback can be
drawn, marked and compared without a word of any language.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

from trainer.core.order.answers import Refused


class NameOf(StrEnum):
    """What a name is the name of. PIECES: several, with a space between; whole sets are told as one."""

    PIECE = "piece"
    PIECES = "pieces"
    PART = "part"
    CLEARANCE = "clearance"
    OPTION = "option"
    VALUE = "value"
    PUMP = "pump"


@dataclass(frozen=True, slots=True)
class Name:
    """A piece, a part, a clearance and so on, to be called as the trade calls it; an option's value as OPTION=VALUE."""

    of: NameOf
    name: str


class Quantity(StrEnum):
    """What a number counts, by the unit in which it is kept here.

    SHARE is a part of one; TURN is turns of a screw; FLAT its sixths.
    """

    LENGTH = "mm"
    FORCE = "n"
    TORQUE = "nm"
    FLOW = "m3-per-h"
    LIFE = "h"
    PRESSURE = "kpa"
    TEMPERATURE = "c"
    SPEED = "rpm"
    MASS = "kg"
    SHARE = "share"
    TURN = "turn"
    FLAT = "flat"
    ANGLE = "deg"
    COUNT = "count"


@dataclass(frozen=True, slots=True)
class Amount:
    """A number with what it counts, and the digits after the point with which it is told (of a length: in mm)."""

    value: float
    quantity: Quantity = Quantity.LENGTH
    digits: int = 2


@dataclass(frozen=True, slots=True)
class Said:
    """Say the text of a key.

    key: in the catalogues of `words`; "" says `text`, an author's own words, with its braces filled.
    fields: what goes into it; of an author's words by what stands in the braces. A tuple is told as a list ("a, b and c").
    """

    key: str
    fields: Mapping[str, Filling] = field(default_factory=lambda: MappingProxyType({}))
    text: str = ""

    def __hash__(self) -> int:
        return hash((self.key, self.text, tuple(sorted(self.fields))))


Filling = str | int | Amount | Name | Said | Refused | tuple["Filling", ...]
"""What goes into a text; of a refused move the reason why it was refused."""


@dataclass(frozen=True, slots=True)
class Rested:
    """A number of a text, what it is the number of, and what it rests on.

    of: "" where only its source is known. source: the row of a table, or who says so; "" where the
    build itself gives it.
    """

    number: Filling
    of: Filling
    source: str = ""


def say(key: str, **fields: Filling) -> Said:
    """Make what is said of a key and its fields."""
    return Said(key, MappingProxyType(fields))


def name_part(name: str) -> Name:
    """Name a part."""
    return Name(NameOf.PART, name)


def name_piece(name: str) -> Name:
    """Name one piece."""
    return Name(NameOf.PIECE, name)


def name_pieces(names: Iterable[str]) -> Name:
    """Name several pieces."""
    return Name(NameOf.PIECES, " ".join(names))


def name_clearance(name: str) -> Name:
    """Name a clearance."""
    return Name(NameOf.CLEARANCE, name)
