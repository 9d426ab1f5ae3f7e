"""A build: a size with its options, every piece with its own dimensions, placed by sums of Lengths."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from models.spec.clearance import Clearance, ClearanceKind
from models.spec.dimension import Dimension
from models.spec.errors import ContentError, Fault, RefusalError, say_near
from models.spec.face import Face
from models.spec.family import Family, list_part_clearances
from models.spec.joint import Joint, JointKind
from models.spec.length import Length, Term
from models.spec.part import Part
from models.spec.practice import Practice
from models.spec.seat import Fill, Place, Slip
from models.spec.table import SizeTable
from models.spec.turning import Pose, find_position
from models.spec.view import View
from models.spec.work import Work

TABLES = Path(__file__).resolve().parent.parent / "tables"

COLDEST_C, HOTTEST_C = -50.0, 300.0
"""Between these temperatures a metal's mean coefficient of expansion serves; beyond them it changes too much."""
SHAFT, CASING = "shaft", "casing"
"""What of a pump has a temperature of its own: all that turns, and all that stands."""


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
    gauges: Mapping[Term, float] = field(default_factory=dict)
    """By how much in mm, up or down, the gauge of a measured value may be off."""
    temperatures_c: Mapping[str, float] = field(default_factory=dict)
    """Temperature in C of SHAFT and CASING; what is not named has the 20 C at which it was measured."""

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

    @cached_property
    def joints(self) -> tuple[Joint, ...]:
        """The family's joints of which every member is there, and is more than one casting."""
        found = {joint.name: joint for joint in self.family.joints}
        found |= {fill.name: fill for fill in self._chosen_fills() if isinstance(fill, Joint)}
        return tuple(
            joint
            for joint in found.values()
            if self.has(*joint.members)
            and len({self.aliases.get(place, place) for place in joint.members}) > 1
        )

    @cached_property
    def clearances(self) -> tuple[Clearance, ...]:
        """The family's clearances whose two faces are there, and what the kinds of its parts bring along."""
        found = {clearance.name: clearance for clearance in self.family.clearances}
        found |= {fill.name: fill for fill in self._chosen_fills() if isinstance(fill, Clearance)}
        for names in self.places.values():
            found |= {c.name: c for c in list_part_clearances(self.pieces[names[0]].place)}
        return tuple(c for c in found.values() if self.has(c.low[0], c.high[0]))

    @cached_property
    def work(self) -> tuple[Work, ...]:
        """The family's work, less what comes before, or is given by, a place that this build lacks.

        Work before a place that is cast into another is gone too: nothing comes off there.
        """
        return tuple(
            w
            for w in self.family.work
            if self.has(*filter(None, (w.before, w.given))) and w.before not in self.aliases
        )

    @cached_property
    def practices(self) -> tuple[Practice, ...]:
        """The family's practices whose moving place is there."""
        return tuple(p for p in self.family.practices if self.has(p.moving))

    @cached_property
    def results(self) -> Mapping[str, Length]:
        """The family's named results of which every place is there."""
        return {
            result.name: result.compute(self)
            for result in self.family.results
            if self.has(*result.places)
        }

    def has(self, *places: str) -> bool:
        """Say whether every one of these places is filled, be it as part of another casting."""
        return all(self.pieces_at(place) for place in places)

    def _chosen_fills(self) -> list[Fill | Slip]:
        return self.family.list_fills(self.options)

    def pieces_at(self, place: str) -> tuple[str, ...]:
        """Name the pieces at a place; a place cast into another gives that other's piece."""
        return self.places.get(self.aliases.get(place, place), ())

    def piece_at(self, place: str) -> PlacedPiece:
        """Give the piece at a place; of a pack the last, on which what follows is seated."""
        return self.pieces[self.pieces_at(place)[-1]]

    def numbers_at(self, place: str) -> dict[str, float]:
        """Give the row of the piece at a place as plain numbers, in mm, degrees or counts; raises as `piece_at` does."""
        return {key: float(value) for key, value in self.piece_at(place).row.items()}

    def position(self, place: str, face: str) -> Length:
        """Give the position in mm of a plane face along the pump axis it is square to.

        Along the shaft positions are positive towards the drive end.
        """
        piece = self.piece_at(place)
        return find_position(piece.pose, piece.faces[face])

    def diameter(self, place: str, face: str) -> Length:
        """Give the diameter in mm of a cylindrical face."""
        return self.piece_at(place).faces[face].at

    def clearance(self, name: str) -> Clearance:
        """Give the clearance of that name. Raises RefusalError with near matches."""
        for clearance in self.clearances:
            if clearance.name == name:
                return clearance
        known = [clearance.name for clearance in self.clearances]
        raise RefusalError(f"no clearance is called {name!r}; {say_near(name, known)}")

    def has_clearance(self, name: str) -> bool:
        """Has it a clearance of that name?"""
        return any(clearance.name == name for clearance in self.clearances)

    def read_chain(self, clearance: Clearance) -> Length:
        """Give a clearance as one Length: position (or diameter) of its high face less that of its low face.

        What such a difference does not give is computed as the clearance says.
        """
        if clearance.compute is not None:
            return clearance.compute(self)
        if clearance.curves:
            parts = (curve.of(self, curve.inner(self)) for curve in clearance.curves)
            return sum(parts, Length(0.0))
        at = self.diameter if clearance.kind is ClearanceKind.DIAMETRAL else self.position
        return at(*clearance.high) - at(*clearance.low)

    def find_requirement(self, clearance: Clearance) -> Dimension:
        """Find what a clearance must be: nominal is the aim, its limits the least and most allowed.

        Raises:
            ContentError: neither the size table nor the clearance itself says it.
        """
        row = self.size.parts.get("clearance", {}).get(clearance.name)
        if row is not None:
            return row
        if clearance.limits is not None:
            return clearance.limits(self)
        shown = f"sizes/{self.name}.csv"
        raise ContentError(
            [Fault(shown, 1, 0, f"says nothing of the clearance {clearance.name}", f"add a row clearance.{clearance.name}")]
        )  # fmt: skip

    def find_limit(self, name: str, by_mm: float = 0.0) -> Dimension:
        """Find what the limit tables say of `name` in the band that `by_mm` lies in.

        Raises:
            ContentError: no table has such a limit, or none for that size.
        """
        bands = self.size.limits.get(name, ())
        for band in bands:
            if band.from_mm <= by_mm < band.below_mm:
                return band.required
        file = str(bands[0].required.source.file) if bands else "limits"
        what = f"says nothing of {name}" + (f" at {by_mm:g} mm" if bands else "")
        raise ContentError([Fault(file, 0, 0, what, f"add a row {name}, or clearance rows to the size table")])  # fmt: skip

    def find_nominal(self, length: Length) -> float:
        """Give what a length is at the drawing's nominals, to first order where it is no plain sum."""
        return float(length) + sum(
            sensitivity * (self.dimension(term).nominal - float(self.pieces[term[0]].row[term[1]]))
            for term, sensitivity in length.terms.items()
        )

    def view(self, name: str) -> View:
        """Give the view of that name. Raises RefusalError with near matches."""
        known = {view.name: view for view in self.family.views}
        if name not in known:
            raise RefusalError(f"{self.name} has no view {name!r}; {say_near(name, known)}")
        return known[name]

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
