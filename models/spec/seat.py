"""Places of a family and the seats that position what fills them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from models.spec.clearance import Clearance
from models.spec.joint import Joint
from models.spec.part import Part


@dataclass(frozen=True, slots=True)
class Seat:
    """This place's `face` rests on `on_face` of the place `on`. Gaskets and shims are places in the series.

    held_off: (place, dimension): adjusting screws at that place hold the two faces apart by that
    dimension; of several screws set differently, by their mean on the axis.
    """

    face: str
    on: str
    on_face: str
    held_off: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Span:
    """A fitted part's dimension is the distance from one face to another, in mm.

    low and high are (place, face). For two planes: position of high less that of low, along the
    axis both are square to. For cylinders name one face only through `high` with `low` None: its
    diameter.
    """

    high: tuple[str, str]
    low: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Place:
    """A spot in the family that a part fills.

    row: name of the row group in the size table (default: the place's own name), so that equal
    parts share one definition while each piece keeps its own realisation.
    seat: None for the root. With mounts, None: it stands at the mount itself, as a belt does, which
    lies in a groove and rests on no plane.
    mounts: (host place, mount set): one piece for each mount. None: one piece on the axis.
    pack: filled by as many pieces as the chosen pack has, stacked in series.
    reaches: of a hose, line, belt or link, where it reaches to: key -> (host place, mount set). The
    piece gets the rows KEY-x, KEY-y, KEY-z: the first mount of that set, seen from its own origin
    in its own axes, in mm; and KEY-along-x, -y, -z: the unit direction of that mount.
    group: the sub-assembly it belongs to when the pump is shown in large pieces.
    turned: it stands end for end to the way its mount or host lies.
    """

    name: str
    part: Part
    seat: Seat | None = None
    row: str = ""
    mounts: tuple[str, str] | None = None
    spans: Mapping[str, Span] = field(default_factory=dict)
    pack: bool = False
    reaches: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    group: str = ""
    turned: bool = False


@dataclass(frozen=True, slots=True)
class AsOne:
    """An option value in which `place` is not a piece of its own: the part in `within` offers its faces too, and takes its Rows."""

    place: str
    within: str


@dataclass(frozen=True, slots=True)
class Without:
    """An option value in which nothing fills `place`."""

    place: str


@dataclass(frozen=True, slots=True)
class Rows:
    """An option value that gives what is at `place`, or one piece there, the rows of further groups of the size table.

    A part's shape follows from the rows it has: `balance-hole-diameter` in an impeller's row means
    that it has balance holes. A later group's row takes the place of an earlier one of the same key.
    """

    place: str
    groups: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A mistake in which nothing fills `place`, and what rested on it rests on what it would have rested on itself."""

    place: str


@dataclass(frozen=True, slots=True)
class Reseated:
    """A mistake in which whatever fills `place` rests by another face or on another part; `turned`: end for end.

    mounts: where it stands instead; where it always stands, if None.
    """

    place: str
    seat: Seat
    turned: bool = False
    mounts: tuple[str, str] | None = None


Fill = Place | AsOne | Without | Rows | Joint | Clearance
"""What an option's value says: a place to fill, cast into another or leave empty; rows, a joint, a clearance."""

Slip = LeftOut | Reseated
"""What only a mistake says."""


@dataclass(frozen=True, slots=True)
class Option:
    """A choice the shop has: what each value puts into the build. The first value is the usual one.

    requires: (value, other option, other value, because) rows; several rows of one value and one
    other option allow any of theirs.
    excludes: (value, other option, other value, because) rows.
    """

    name: str
    values: Mapping[str, tuple[Fill, ...]]
    requires: tuple[tuple[str, str, str, str], ...] = ()
    excludes: tuple[tuple[str, str, str, str], ...] = ()
