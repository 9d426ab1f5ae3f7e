"""A build: a size with its options, every piece with its own dimensions, placed by sums of Lengths."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path

from models.spec.clearance import Clearance
from models.spec.dimension import Dimension
from models.spec.errors import ContentError, Fault, ImpossibleChoiceError, RefusalError, say_near
from models.spec.face import Axis, Face, FaceKind
from models.spec.joint import Joint, JointKind
from models.spec.length import Length, Term
from models.spec.part import Mount, Part
from models.spec.practice import Practice
from models.spec.rule import Rule
from models.spec.seat import AsOne, Option, Place, Span
from models.spec.table import SizeTable, list_sizes, read_size
from models.spec.work import Work

TABLES = Path(__file__).resolve().parent.parent / "tables"


@dataclass(frozen=True, slots=True)
class Family:
    """A family of pumps: its places in build order (root first), joints, options, clearances, rules, work and practices."""

    name: str
    places: tuple[Place, ...]
    joints: tuple[Joint, ...]
    options: tuple[Option, ...] = ()
    clearances: tuple[Clearance, ...] = ()
    rules: tuple[Rule, ...] = ()
    work: tuple[Work, ...] = ()
    practices: tuple[Practice, ...] = ()

    def option_values(self) -> dict[str, list[str]]:
        """List each option's values, the usual one first."""
        return {option.name: list(option.values) for option in self.options}


@dataclass(frozen=True, slots=True)
class Pose:
    """Where a piece is: its origin as Lengths in mm, the pump axis its own x takes, and its turn about it."""

    origin: tuple[Length, Length, Length]
    axis: Axis = Axis.X
    sign: int = 1
    turn_deg: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class PlacedPiece:
    """One physical thing of a build."""

    name: str
    place: Place
    dimensions: Mapping[str, Dimension]
    row: Mapping[str, Length]
    faces: Mapping[str, Face]
    pose: Pose

    @property
    def part(self) -> Part:
        """The kind of component it is."""
        return self.place.part


@dataclass(frozen=True, eq=False)
class Build:
    """Every piece of one pump as chosen, measured and shimmed."""

    family: Family
    size: SizeTable
    options: Mapping[str, str]
    pack: tuple[Dimension, ...]
    measured: Mapping[Term, float]
    pieces: Mapping[str, PlacedPiece]
    aliases: Mapping[str, str] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """FAMILY/SIZE, as people write it."""
        return f"{self.family.name}/{self.size.size}"

    @cached_property
    def places(self) -> Mapping[str, tuple[str, ...]]:
        """Piece names by place, in mount order."""
        found: dict[str, list[str]] = {}
        for piece in self.pieces.values():
            found.setdefault(piece.place.name, []).append(piece.name)
        return {place: tuple(names) for place, names in found.items()}

    def pieces_at(self, place: str) -> tuple[str, ...]:
        """Name the pieces at a place; a place cast into another gives that other's piece."""
        return self.places.get(self.aliases.get(place, place), ())

    def piece_at(self, place: str) -> PlacedPiece:
        """Give the piece at a place; of a pack the last, on which what follows is seated."""
        return self.pieces[self.pieces_at(place)[-1]]

    def position(self, place: str, face: str) -> Length:
        """Give the axial position in mm (positive towards the drive end) of a plane face."""
        piece = self.piece_at(place)
        return piece.pose.origin[0] + piece.faces[face].at * float(piece.pose.sign)

    def diameter(self, place: str, face: str) -> Length:
        """Give the diameter in mm of a cylindrical face."""
        return self.piece_at(place).faces[face].at

    def clearance(self, name: str) -> Clearance:
        """Give the clearance of that name. Raises RefusalError with near matches."""
        for clearance in self.family.clearances:
            if clearance.name == name:
                return clearance
        known = [clearance.name for clearance in self.family.clearances]
        raise RefusalError(f"no clearance is called {name!r}; {say_near(name, known)}")

    def dimension(self, term: Term) -> Dimension:
        """Give the drawing row behind a term of a chain."""
        return self.pieces[term[0]].dimensions[term[1]]

    def joint_pieces(self, joint: Joint) -> Iterator[tuple[tuple[str, ...], tuple[str, ...]]]:
        """Give (member pieces, fastener pieces) of each physical instance of a joint.

        Places with several pieces are paired by number (stud 3 with nut 3); a single piece pairs with all.
        """
        members = [self.pieces_at(place) for place in joint.members]
        if joint.kind is JointKind.BOLTED:
            flat = tuple(dict.fromkeys(itertools.chain.from_iterable(members)))
            yield (
                flat,
                tuple(
                    itertools.chain.from_iterable(
                        self.pieces_at(place) for place in joint.fasteners
                    )
                ),
            )
            return
        most = max(len(names) for names in members)
        fasteners = [self.pieces_at(place) for place in joint.fasteners]
        for i in range(most):
            chosen = tuple(
                names[i] if len(names) == most else names[0] for names in members if names
            )
            by = tuple(names[i] if len(names) == most else names[0] for names in fasteners if names)
            if len(dict.fromkeys(chosen)) == len(joint.members):
                yield chosen, by


def make_build(
    family: Family,
    size: str,
    options: Mapping[str, str] | None = None,
    *,
    measured: Mapping[Term, float] | None = None,
    pack: Sequence[Dimension] | None = None,
    tables: Path = TABLES,
) -> Build:
    """Make a build from its size table.

    Args:
        family: the family.
        size: the name of its size table.
        options: chosen values; those not named take their first value.
        measured: values in mm by (piece, dimension) that replace the middle of the limits.
        pack: thickness dimensions of the shims, shaft shoulder first; default: the table's `pack` rows.
        tables: folder of tables.

    Raises:
        ContentError: a table is wrong. RefusalError: unknown or impossible option, size or measurement.
    """
    sizes = list_sizes(tables, family.name)
    if size not in sizes:
        raise RefusalError(f"no build is called {family.name}/{size}; {say_near(size, sizes)}")
    table = read_size(tables, family.name, size)
    chosen = _choose(family, options or {})
    places, aliases = _fill(family, chosen)
    chosen_pack = pack if pack is not None else table.parts.get("pack", {}).values()
    thicknesses = tuple(replace(shim, key="thickness") for shim in chosen_pack)
    return _Placing(
        family, table, chosen, places, aliases, thicknesses, dict(measured or {})
    ).build()


def _choose(family: Family, wanted: Mapping[str, str]) -> dict[str, str]:
    known = family.option_values()
    for name, value in wanted.items():
        if name not in known:
            raise RefusalError(f"{family.name} has no option {name!r}; {say_near(name, known)}")
        if value not in known[name]:
            raise RefusalError(
                f"option {name} has no value {value!r}; {say_near(value, known[name])}"
            )
    chosen = {name: wanted.get(name, values[0]) for name, values in known.items()}
    for option in family.options:
        _check_together(option, chosen)
    return chosen


def _check_together(option: Option, chosen: Mapping[str, str]) -> None:
    for value, other, other_value in option.requires:
        if chosen[option.name] == value and chosen[other] != other_value:
            raise ImpossibleChoiceError(f"{option.name}={value} requires {other}={other_value}")
    for value, other, other_value in option.excludes:
        if chosen[option.name] == value and chosen[other] == other_value:
            raise ImpossibleChoiceError(f"{option.name}={value} excludes {other}={other_value}")


def _fill(family: Family, chosen: Mapping[str, str]) -> tuple[list[Place], dict[str, str]]:
    """Put each option's parts into their places; a place an option casts into another becomes an alias."""
    places = {place.name: place for place in family.places}
    aliases: dict[str, str] = {}
    for option in family.options:
        for fill in option.values[chosen[option.name]]:
            if isinstance(fill, AsOne):
                places.pop(fill.place, None)
                aliases[fill.place] = fill.within
            else:
                places[fill.name] = fill
    return list(places.values()), aliases


@dataclass
class _Placing:
    """Work through the places in dependency order; private to make_build."""

    family: Family
    table: SizeTable
    chosen: dict[str, str]
    places: list[Place]
    aliases: dict[str, str]
    pack: tuple[Dimension, ...]
    measured: dict[Term, float]
    pieces: dict[str, PlacedPiece] = field(default_factory=dict)
    at: dict[str, list[str]] = field(default_factory=dict)

    def build(self) -> Build:
        waiting = list(self.places)
        while waiting:
            ready = [
                place
                for place in waiting
                if all(self._is_placed(name) for name in self._needs(place))
            ]
            if not ready:
                raise ValueError(
                    f"seats form no tree at: {', '.join(place.name for place in waiting)}"
                )
            for place in ready:
                self._put(place)
            waiting = [place for place in waiting if place not in ready]
        self._check_measured()
        order = {place.name: i for i, place in enumerate(self.places)}
        pieces = dict(sorted(self.pieces.items(), key=lambda item: order[item[1].place.name]))
        return Build(
            self.family, self.table, self.chosen, self.pack, self.measured, pieces, self.aliases
        )

    def _needs(self, place: Place) -> list[str]:
        needs = [place.seat.on] if place.seat else []
        needs += [place.mounts[0]] if place.mounts else []
        for span in place.spans.values():
            needs += [span.high[0]] + ([span.low[0]] if span.low else [])
        return [self.aliases.get(name, name) for name in needs]

    def _is_placed(self, name: str) -> bool:
        return name in self.at

    def _piece(self, place: str) -> PlacedPiece:
        """Give the piece others seat on; an empty pack passes through to what it sits on."""
        return self.pieces[self.at[self.aliases.get(place, place)][-1]]

    def _put(self, place: Place) -> None:
        names = self.at.setdefault(place.name, [])
        if place.pack:
            seat = place.seat
            assert seat is not None
            if not self.pack:  # nothing between: what follows rests on what the pack would rest on
                raise RefusalError("the shim pack is empty; this build needs at least one shim")
            for number, thickness in enumerate(self.pack, start=1):
                on = names[-1] if names else None
                names.append(f"{place.name}-{number}")
                self._place(place, names[-1], Mount(), on, {"thickness": thickness})
            return
        mounts: tuple[Mount, ...] = (Mount(),)
        if place.mounts:
            host = self._piece(place.mounts[0])
            if host.part.mounts is None:
                raise ValueError(f"{host.name} offers no mounts for {place.name}")
            mounts = host.part.mounts(host.row)[place.mounts[1]]
        for number, mount in enumerate(mounts, start=1):
            name = place.name if len(mounts) == 1 else f"{place.name}-{number}"
            names.append(name)
            self._place(place, name, mount, None, {})

    def _place(
        self, place: Place, name: str, mount: Mount, on: str | None, extra: Mapping[str, Dimension]
    ) -> None:
        dimensions = {**self.table.parts.get(place.row or place.name, {}), **extra}
        row = {key: Length.of(name, key, self._value(name, d)) for key, d in dimensions.items()}
        for key, span in place.spans.items():
            row[key] = self._span(span)
        try:
            faces = place.part.faces(row)
            pose = self._pose(place, mount, faces, on)
        except KeyError as error:
            shown = f"sizes/{self.family.name}/{self.table.size}.csv"
            what = f"{place.row or place.name}.{error.args[0]} is missing, which {place.name} needs"
            raise ContentError([Fault(shown, 0, 0, what, "add the row")]) from error
        self.pieces[name] = PlacedPiece(name, place, dimensions, row, faces, pose)

    def _value(self, piece: str, dimension: Dimension) -> float:
        return self.measured.get((piece, dimension.key), dimension.middle)

    def _span(self, span: Span) -> Length:
        def at(end: tuple[str, str]) -> Length:
            piece = self._piece(end[0])
            face = piece.faces[end[1]]
            if face.kind is not FaceKind.PLANE:
                return face.at
            return piece.pose.origin[0] + face.at * float(piece.pose.sign)

        return at(span.high) - at(span.low) if span.low else at(span.high)

    def _pose(self, place: Place, mount: Mount, faces: Mapping[str, Face], on: str | None) -> Pose:
        if place.seat is None:
            return Pose((Length(0), Length(0), Length(0)))
        seat = place.seat
        below = self.pieces[on] if on else self._piece(seat.on)
        # in a pack each further shim lies on the one before with the same pair of faces
        rest = (
            below.faces["drive-end" if seat.face == "suction-end" else "suction-end"]
            if on
            else below.faces[seat.on_face]
        )
        mine = faces[seat.face]
        if rest.axis is not mount.axis or rest.facing * mount.sign * mine.facing != -1:
            raise ValueError(f"{place.name}.{seat.face} does not face {seat.on}.{seat.on_face}")
        host = self._piece(place.mounts[0]) if place.mounts else below
        shift = (mount.x, mount.y, mount.z)
        origin = [host.pose.origin[i] + shift[i] for i in range(3)]
        along = list(Axis).index(mount.axis)
        origin[along] = (
            below.pose.origin[along]
            + rest.at * float(below.pose.sign)
            - mine.at * float(mount.sign)
        )
        return Pose((origin[0], origin[1], origin[2]), mount.axis, mount.sign, mount.turn_deg)

    def _check_measured(self) -> None:
        for (name, key), value in self.measured.items():
            if name not in self.pieces:
                raise RefusalError(f"no piece is called {name!r}; {say_near(name, self.pieces)}")
            dimensions = self.pieces[name].dimensions
            if key not in dimensions:
                raise RefusalError(f"{name} has no dimension {key!r}; {say_near(key, dimensions)}")
            drawn = dimensions[key]
            # far outside what could ever be filed, ground or worn away: almost always a slip of unit
            room = 1.0 + 0.25 * abs(drawn.nominal)
            if not math.isfinite(value) or abs(value - drawn.nominal) > room:
                raise RefusalError(
                    f"{name}.{key} measured as {value:g} mm, but the drawing says {drawn.nominal:g} mm; "
                    "is it in inches? Give millimetres"
                )
