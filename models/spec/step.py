"""What a STEP file holds, as plain data: pieces with names, colours, places and the plain shapes of their faces.

Read by models.solids.step_file; no kernel here.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from models.spec.mesh import Mesh

Vector = npt.NDArray[np.float64]
Triple = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Round:
    """A cylindrical face, or several that continue each other.

    at: a point on the axis, mm; axis: unit vector; low_mm, high_mm: its ends along the axis, counted
    from `at`; turn_deg: how much of the circle is there; hollow: a bore and not a shank.
    """

    at: Triple
    axis: Triple
    radius_mm: float
    low_mm: float
    high_mm: float
    turn_deg: float
    hollow: bool

    @property
    def length_mm(self) -> float:
        """Its length along the axis."""
        return self.high_mm - self.low_mm


@dataclass(frozen=True, slots=True)
class Flat:
    """A plane face: its outward normal, a point on it (mm) and its area."""

    at: Triple
    normal: Triple
    area_mm2: float


@dataclass(frozen=True, slots=True)
class Ring:
    """A toroidal face: its middle (mm), its axis, the radius of the ring and of its section."""

    at: Triple
    axis: Triple
    ring_mm: float
    section_mm: float


@dataclass(frozen=True, slots=True)
class SolidFacts:
    """Say what faces bound a solid. `others` counts the faces that are none of the three.

    centre: its centre of gravity, mm.
    """

    volume_mm3: float
    centre: Triple
    rounds: tuple[Round, ...]
    flats: tuple[Flat, ...]
    rings: tuple[Ring, ...]
    others: int

    def moved(self, rotation: Vector, shift_mm: Vector) -> SolidFacts:
        """Return these facts turned by `rotation` (3, 3) and then shifted by `shift_mm` (3,)."""

        def point(at: Triple) -> Triple:
            return _triple(rotation @ np.array(at) + shift_mm)

        def turned(way: Triple) -> Triple:
            return _triple(rotation @ np.array(way))

        return SolidFacts(
            self.volume_mm3,
            point(self.centre),
            tuple(Round(point(r.at), turned(r.axis), *_numbers(r), r.hollow) for r in self.rounds),
            tuple(Flat(point(f.at), turned(f.normal), f.area_mm2) for f in self.flats),
            tuple(Ring(point(r.at), turned(r.axis), r.ring_mm, r.section_mm) for r in self.rings),
            self.others,
        )


@dataclass(frozen=True, slots=True, eq=False)
class StepPiece:
    """One solid in its place.

    name: lower case with dashes, unique. shown: as the file calls it. part: shared by pieces of one
    shape. shown_part: as the file calls that. groups: the sub-assemblies it lies in, outermost first.
    colour: red, green, blue from 0 to 255, where the file gives one.
    """

    name: str
    shown: str
    part: str
    shown_part: str
    groups: tuple[str, ...]
    colour: tuple[int, int, int] | None
    mesh: Mesh
    facts: SolidFacts


@dataclass(frozen=True, slots=True)
class Overlap:
    """Two pieces share volume.

    depth_mm: how deep the deepest point of one's surface lies inside the other; at_mm: that point.
    """

    one: str
    other: str
    depth_mm: float
    volume_mm3: float
    at_mm: Triple

    @property
    def pair(self) -> frozenset[str]:
        """The two pieces."""
        return frozenset({self.one, self.other})


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Something of the file that is no piece, and why (a word key: no-solid, broken, not-closed)."""

    shown: str
    why: str


@dataclass(frozen=True, slots=True, eq=False)
class StepAssembly:
    """All that was read.

    digest: SHA-256 of the file. scale: how many times larger than life it was looked at, so that
    tolerances fit its size (1 for what lies on a bench). unchecked: pairs whose overlap could not be
    measured, since a mesh does not close.
    """

    name: str
    digest: str
    unit: str
    scale: float
    pieces: tuple[StepPiece, ...]
    overlaps: tuple[Overlap, ...]
    left_out: tuple[LeftOut, ...]
    unchecked: tuple[tuple[str, str], ...]


def _triple(vector: Vector) -> Triple:
    x, y, z = (float(value) for value in vector)
    return x, y, z


def _numbers(one: Round) -> tuple[float, float, float, float]:
    return one.radius_mm, one.low_mm, one.high_mm, one.turn_deg
