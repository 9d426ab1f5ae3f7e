"""Walk a chain through the pump, part by part, so that it can be drawn: from one face of a clearance to the other.

Each part on the way is crossed from the face where the walk enters it to the face where it leaves; what
rests on what is the build's own tree of seats. So the legs add up to the clearance, and a test holds it.
"""

from __future__ import annotations

from dataclasses import dataclass

from models.spec.build import Build, PlacedPiece
from models.spec.clearance import Clearance, ClearanceKind
from models.spec.errors import RefusalError
from models.spec.face import Axis, Face
from models.spec.length import Length, Term
from models.spec.turning import AXES, find_facing, find_position


@dataclass(frozen=True, slots=True)
class Leg:
    """One part crossed on the way round a chain.

    pieces: the part, or the adjusting screws that together hold one thing off another. axis: the pump's axis
    that the walk goes along. start_mm, end_mm: where it enters and leaves on that axis, at the build's
    values. terms: the dimensions crossed, as (piece, dimension).
    """

    pieces: tuple[str, ...]
    axis: Axis
    start_mm: float
    end_mm: float
    terms: tuple[Term, ...]


@dataclass(frozen=True, slots=True)
class Stop:
    """Where the walk leaves a piece for what it rests on: here on the piece, there on the other."""

    here: Length
    there: Length
    other: PlacedPiece
    between: tuple[str, ...] = ()


def list_legs(build: Build, clearance: Clearance) -> tuple[Leg, ...]:
    """List the legs of a chain, from its low face to its high face.

    Of a clearance between bore and journal these are the two diameters, up one and down the other.

    Raises:
        RefusalError: the clearance is computed otherwise, so that no walk leads from face to face.
    """
    if not clearance.is_plain:
        raise RefusalError(
            f"{clearance.name} is no plain distance between two faces: its dimensions lie in no row of parts to walk along"
        )
    if clearance.kind is ClearanceKind.DIAMETRAL:
        return _cross_diameters(build, clearance)
    low, high = (build.piece_at(place) for place, _ in (clearance.low, clearance.high))
    ends = low.faces[clearance.low[1]], high.faces[clearance.high[1]]
    axis, _ = find_facing(low.pose, ends[0])
    down, up = _list_stops(build, low, axis), _list_stops(build, high, axis)
    shared = _find_shared([low, *(s.other for s in down)], [high, *(s.other for s in up)])
    out, at, one = _walk(low, find_position(low.pose, ends[0]), down, shared)
    back, end, other = _walk(high, find_position(high.pose, ends[1]), up, shared)
    middle = [((shared,), at, end)] if shared else [((one,), at, ORIGIN), ((other,), ORIGIN, end)]
    way = [*out, *middle, *((names, b, a) for names, a, b in reversed(back))]
    return tuple(
        Leg(names, axis, float(a), float(b), tuple((b - a).terms))
        for names, a, b in way
        if (b - a).terms
    )


def _cross_diameters(build: Build, clearance: Clearance) -> tuple[Leg, ...]:
    """Cross the journal from top to bottom and the bore back up, both centred on the shaft."""
    legs = []
    for sense, (place, face) in ((-1.0, clearance.low), (1.0, clearance.high)):
        at = build.diameter(place, face)
        half = sense * float(at) / 2.0
        legs.append(Leg((build.piece_at(place).name,), Axis.Z, -half, half, tuple(at.terms)))
    return tuple(legs)


ORIGIN = Length(0.0)
"""Where pieces stand that nothing carries."""

_Way = list[tuple[tuple[str, ...], Length, Length]]


def _walk(
    piece: PlacedPiece, at: Length, stops: list[Stop], until: str
) -> tuple[_Way, Length, str]:
    """Walk from a point of a piece to the piece `until`; give what was crossed, where that is reached, and its name.

    With none to reach, walk on to the piece that nothing carries.
    """
    way: _Way = []
    for stop in stops:
        if piece.name == until:
            break
        way.append(((piece.name,), at, stop.here))
        if stop.between:
            way.append((stop.between, stop.here, stop.there))
        piece, at = stop.other, stop.there
    return way, at, piece.name


def _find_shared(one: list[PlacedPiece], other: list[PlacedPiece]) -> str:
    """Find the first piece that both rest on in the end; "" when each stands by itself, as on a stand of exhibits."""
    names = {piece.name for piece in other}
    return next((piece.name for piece in one if piece.name in names), "")


def _list_stops(build: Build, piece: PlacedPiece, axis: Axis) -> list[Stop]:
    """List how a piece is carried along an axis, down to the piece that carries all."""
    stops: list[Stop] = []
    while (stop := find_stop(build, piece, axis)) is not None:
        stops.append(stop)
        piece = stop.other
    return stops


def find_stop(build: Build, piece: PlacedPiece, axis: Axis) -> Stop | None:
    """Find what says where a piece stands along an axis; None for the piece that all others are placed from."""
    place, seat = piece.place, piece.place.seat
    if seat is not None:
        mine, below, rest = piece.faces[seat.face], build.piece_at(seat.on), None
        before = _find_before(build, piece) if place.pack else None
        if before is not None:
            below = before
            rest = below.faces["drive-end" if seat.face == "suction-end" else "suction-end"]
        else:
            rest = below.faces[seat.on_face]
        if _is_along(piece, mine, axis):
            here, there = find_position(piece.pose, mine), find_position(below.pose, rest)
            between = build.pieces_at(seat.held_off[0]) if seat.held_off else ()
            return Stop(here, there, below, between)
        if not place.mounts:
            return Stop(*(piece.pose.origin[AXES.index(axis)],) * 2, below)
    if place.mounts:
        spot = piece.pose.origin[AXES.index(axis)]
        return Stop(spot, spot, build.piece_at(place.mounts[0]))
    return None


def _is_along(piece: PlacedPiece, face: Face, axis: Axis) -> bool:
    return find_facing(piece.pose, face)[0] is axis


def _find_before(build: Build, piece: PlacedPiece) -> PlacedPiece | None:
    """Find the shim on which this one of a pack lies."""
    names = build.pieces_at(piece.place.name)
    number = names.index(piece.name)
    return build.pieces[names[number - 1]] if number else None
