"""Places of a family and the seats that position what fills them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from models.spec.part import Part


@dataclass(frozen=True, slots=True)
class Seat:
    """This place's `face` rests on `on_face` of the place `on`. Gaskets and shims are places in the series."""

    face: str
    on: str
    on_face: str


@dataclass(frozen=True, slots=True)
class Span:
    """A fitted part's dimension is the distance from one face to another, in mm.

    low and high are (place, face). For two planes: position of high less that of low.
    For cylinders name one face only through `high` with `low` None: its diameter.
    """

    high: tuple[str, str]
    low: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Place:
    """A spot in the family that a part fills.

    row: name of the row group in the size table (default: the place's own name), so that equal
    parts share one definition while each piece keeps its own realisation.
    mounts: (host place, mount set): one piece for each mount. None: one piece on the axis.
    pack: filled by as many pieces as the chosen pack has, stacked in series.
    group: the sub-assembly it belongs to when the pump is shown in large pieces.
    """

    name: str
    part: Part
    seat: Seat | None = None
    row: str = ""
    mounts: tuple[str, str] | None = None
    spans: Mapping[str, Span] = field(default_factory=dict)
    pack: bool = False
    group: str = ""


@dataclass(frozen=True, slots=True)
class AsOne:
    """An option value in which `place` is not a piece of its own: the part in `within` offers its faces too."""

    place: str
    within: str


@dataclass(frozen=True, slots=True)
class Option:
    """A choice the shop has: what each value puts into which place. The first value is the usual one.

    requires, excludes: (value, other option, other value) rows.
    """

    name: str
    values: Mapping[str, tuple[Place | AsOne, ...]]
    requires: tuple[tuple[str, str, str], ...] = ()
    excludes: tuple[tuple[str, str, str], ...] = ()
