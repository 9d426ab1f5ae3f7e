"""Work through the places in dependency order and put every piece where its seat says; private to `making`."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from models.spec.build import Build, PlacedPiece
from models.spec.choosing import Filled
from models.spec.dimension import Dimension
from models.spec.errors import ContentError, Fault, RefusalError, say_near
from models.spec.face import Axis, Face, FaceKind
from models.spec.family import Family
from models.spec.length import Length, Term
from models.spec.part import Mount
from models.spec.seat import Place, Seat, Span
from models.spec.table import SizeTable
from models.spec.turning import AXES, Pose, find_facing, find_mount, find_position, turn_back


@dataclass
class Placing:
    """Work through the places in dependency order."""

    family: Family
    table: SizeTable
    chosen: dict[str, str]
    filled: Filled
    pack: tuple[Dimension, ...]
    measured: dict[Term, float]
    gauges: dict[Term, float] = field(default_factory=dict)
    pieces: dict[str, PlacedPiece] = field(default_factory=dict)
    at: dict[str, list[str]] = field(default_factory=dict)

    def build(self) -> Build:
        """Place every piece. Raises ContentError and RefusalError as make_build does."""
        waiting = list(self.filled.places)
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
        order = {place.name: i for i, place in enumerate(self.filled.places)}
        pieces = dict(sorted(self.pieces.items(), key=lambda item: order[item[1].place.name]))
        return Build(
            self.family,
            self.table,
            self.chosen,
            self.pack,
            self.measured,
            pieces,
            self.filled.aliases,
            self.gauges,
        )

    def _needs(self, place: Place) -> list[str]:
        needs = [place.seat.on] if place.seat else []
        needs += [place.seat.held_off[0]] if place.seat and place.seat.held_off else []
        needs += [place.mounts[0]] if place.mounts else []
        for span in place.spans.values():
            needs += [span.high[0]] + ([span.low[0]] if span.low else [])
        needs += [host for host, _ in place.reaches.values()]
        return [self.filled.aliases.get(name, name) for name in needs]

    def _is_placed(self, name: str) -> bool:
        return name in self.at

    def _piece(self, place: str) -> PlacedPiece:
        """Give the piece others seat on; an empty pack passes through to what it sits on."""
        return self.pieces[self.at[self.filled.aliases.get(place, place)][-1]]

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
        groups = [place.row or place.name, *self.filled.groups_of(place.name)]
        if name != place.name:
            groups += self.filled.groups_of(name)
        dimensions: dict[str, Dimension] = {}
        for group in groups:
            dimensions |= self.table.parts.get(group, {})
        dimensions |= extra
        row = {key: Length.of(name, key, self._value(name, d)) for key, d in dimensions.items()}
        for key, span in place.spans.items():
            row[key] = self._span(span)
        try:
            faces = place.part.faces(row)
            pose = self._pose(place, mount, faces, on)
            for key, (host, mounts) in place.reaches.items():
                row |= self._reach(key, pose, host, mounts)
        except KeyError as error:
            shown = f"sizes/{self.family.name}/{self.table.size}.csv"
            what = f"{' or '.join(groups)}.{error.args[0]} is missing, which {place.name} needs"
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
            return find_position(piece.pose, face)

        return at(span.high) - at(span.low) if span.low else at(span.high)

    def _reach(self, key: str, pose: Pose, host: str, mounts: str) -> dict[str, Length]:
        """Give where the first mount of a set lies and points, seen from a piece posed at `pose`."""
        piece = self._piece(host)
        if piece.part.mounts is None:
            raise ValueError(f"{piece.name} offers no mounts to reach to")
        spot, axis, sign, _ = find_mount(piece.pose, piece.part.mounts(piece.row)[mounts][0])
        apart = [spot[i] - pose.origin[i] for i in range(3)]
        along = [Length(sign if axis is other else 0) for other in AXES]
        names = [axis.value for axis in AXES]
        return {
            f"{key}-{name}": value
            for name, value in zip(names, turn_back(pose, apart), strict=True)
        } | {
            f"{key}-along-{name}": value
            for name, value in zip(names, turn_back(pose, along), strict=True)
        }

    def _pose(self, place: Place, mount: Mount, faces: Mapping[str, Face], on: str | None) -> Pose:
        if place.seat is None:
            if place.mounts is None:
                return Pose((Length(0), Length(0), Length(0)))
            return Pose(*find_mount(self._piece(place.mounts[0]).pose, mount))
        seat = place.seat
        below = self.pieces[on] if on else self._piece(seat.on)
        # in a pack each further shim lies on the one before with the same pair of faces
        rest = (
            below.faces["drive-end" if seat.face == "suction-end" else "suction-end"]
            if on
            else below.faces[seat.on_face]
        )
        mine = faces[seat.face]
        host = self._piece(place.mounts[0]) if place.mounts else below
        spot, axis, sign, turn = find_mount(host.pose, mount)
        sign = -sign if place.turned else sign
        rest_axis, rest_sign = find_facing(below.pose, rest)
        if (
            mine.axis is not Axis.X
            or rest_axis is not axis
            or rest.facing * rest_sign * mine.facing * sign != -1
        ):
            raise ValueError(f"{place.name}.{seat.face} does not face {seat.on}.{seat.on_face}")
        origin = list(spot)
        away = self._held_off(seat) * float(rest.facing * rest_sign)
        origin[AXES.index(axis)] = find_position(below.pose, rest) + away - mine.at * float(sign)
        return Pose((origin[0], origin[1], origin[2]), axis, sign, turn)

    def _held_off(self, seat: Seat) -> Length:
        """Give how far in mm adjusting screws hold the faces of a seat apart: the mean of what they are set to."""
        if seat.held_off is None:
            return Length(0.0)
        place, key = seat.held_off
        screws = [self.pieces[name].row[key] for name in self.at[place]]
        return sum(screws, Length(0.0)) / len(screws)

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
