"""What a part looks like, taken alone: a screw, a rod, a nut, a washer, a ring, a key, or none of these.

Looks at face facts and mesh points only; what stands around it is looked at in guess.py. All limits
are ratios, since a file may be drawn in any unit: common practice for the proportions of fasteners,
held against the tables of hexagon screws, cap screws, nuts and washers from memory, with room to spare.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from models.spec.step import Flat, Round, SolidFacts

Vector = npt.NDArray[np.float64]

FULL_DEG = 300.0
"""A cylinder that goes at least this far round is a shank or a bore; a screw's flats take some of it."""
SAME_WAY = np.cos(np.radians(1.0))
STEP_UP = 1.12
"""A head is at least this many times as thick as its shank; less is a fillet or a fit."""
WIDEST_HEAD, LONGEST_HEAD = 3.4, 2.8
"""A head's greatest radius and its height, in shank radii."""
LEAST_ROD = 3.0
"""A plain rod is at least this many radii long; shorter is a disc."""
TALLEST_NUT, WIDEST_NUT = 3.4, 3.4
THICKEST_WASHER, WIDEST_WASHER = 0.75, 4.2
"""In radii of the bore."""
THICKEST_RING, WIDEST_RING = 0.5, 1.6
THICKEST_SECTION = 0.35
"""An O-ring's section radius in radii of the ring."""


class Form(StrEnum):
    """What a part looks like."""

    SCREW = "screw"
    ROD = "rod"
    NUT = "nut"
    PLATE_NUT = "plate-nut"
    WASHER = "washer"
    SNAP_RING = "snap-ring"
    O_RING = "o-ring"
    PRISM = "prism"
    NONE = "none"


@dataclass(frozen=True, slots=True, eq=False)
class Look:
    """A form with its measures in mm.

    at, axis: the line it is screwed or laid along, axis pointing from the tip to the head where there
    is a head. radius_mm: of shank or bore. low_mm, high_mm: its ends along the axis, counted from
    `at`. seat_mm: where the head begins (`high_mm` without a head). widest_mm: greatest radius.
    hexagon: "outside", "socket" or "".
    """

    form: Form
    at: Vector
    axis: Vector
    radius_mm: float
    low_mm: float
    high_mm: float
    seat_mm: float
    widest_mm: float
    hexagon: str = ""

    @property
    def length_mm(self) -> float:
        """Its whole length along the axis."""
        return self.high_mm - self.low_mm

    def moved(self, rotation: Vector, scale: float) -> Look:
        """Return this look `scale` times as large and turned by `rotation` (3, 3) about the origin."""
        radius, low, high, seat, widest = (
            scale * value
            for value in (self.radius_mm, self.low_mm, self.high_mm, self.seat_mm, self.widest_mm)
        )
        at, axis = scale * (rotation @ self.at), rotation @ self.axis
        return Look(self.form, at, axis, radius, low, high, seat, widest, self.hexagon)


NO_LOOK = Look(Form.NONE, np.zeros(3), np.array([0.0, 0.0, 1.0]), 0.0, 0.0, 0.0, 0.0, 0.0)


def find_look(facts: SolidFacts, points: npt.NDArray[np.floating]) -> Look:
    """Say what a part looks like, from its faces and its mesh points (n, 3) mm."""
    cloud = np.asarray(points, np.float64)
    for look in (_look_o_ring, _look_turned, _look_ring, _look_prism):
        found = look(facts, cloud)
        if found is not None:
            return found
    return NO_LOOK


def is_on_axis(at: Vector, axis: Vector, one: Round, off_mm: float) -> bool:
    """Say whether a round lies on a line, within 1 degree and `off_mm`."""
    if abs(axis @ np.array(one.axis)) < SAME_WAY:
        return False
    off = np.array(one.at) + np.array(one.axis) * (one.low_mm + one.high_mm) / 2.0 - at
    return bool(np.linalg.norm(off - (off @ axis) * axis) <= off_mm)


def find_span_mm(at: Vector, axis: Vector, one: Round) -> tuple[float, float]:
    """Find the ends of a round along a line, counted from `at`, lower first."""
    start = (np.array(one.at) - at) @ axis
    turn = 1.0 if axis @ np.array(one.axis) > 0 else -1.0
    ends = sorted((start + turn * one.low_mm, start + turn * one.high_mm))
    return float(ends[0]), float(ends[1])


def find_hexagon(facts: SolidFacts, at: Vector, axis: Vector) -> str:
    """Find six flats round a line, 60 degrees apart and equally far from it: "outside", "socket" or ""."""
    far: dict[str, list[float]] = {"outside": [], "socket": []}
    for flat in facts.flats:
        normal = np.array(flat.normal)
        if abs(normal @ axis) > 0.02:
            continue
        distance = float(normal @ (np.array(flat.at) - at))
        far["outside" if distance > 0 else "socket"].append(abs(distance))
    for where, distances in far.items():
        if len(distances) == 6 and max(distances) < 1.02 * min(distances):
            return where
    return ""


def _look_o_ring(facts: SolidFacts, cloud: Vector) -> Look | None:
    if not facts.rings or facts.rounds or facts.flats or facts.others:
        return None
    ring = facts.rings[0]
    alike = all(abs(one.ring_mm - ring.ring_mm) < 0.05 * ring.ring_mm for one in facts.rings)
    if not alike or ring.section_mm > THICKEST_SECTION * ring.ring_mm:
        return None
    at, axis = np.array(ring.at), np.array(ring.axis)
    low, high, widest = _measure(cloud, at, axis)
    return Look(Form.O_RING, at, axis, ring.ring_mm - ring.section_mm, low, high, high, widest)


def _look_turned(facts: SolidFacts, cloud: Vector) -> Look | None:
    """Look for a screw or a plain rod: solid, round, on one axis."""
    shanks = [one for one in facts.rounds if not one.hollow and one.turn_deg >= FULL_DEG]
    if not shanks:
        return None
    longest = max(shanks, key=lambda one: one.length_mm)
    at, axis = np.array(longest.at), np.array(longest.axis)
    low, high, widest = _measure(cloud, at, axis)
    length = high - low
    bored = sum(one.length_mm for one in facts.rounds if one.hollow)
    on_axis = all(is_on_axis(at, axis, one, 0.05 * widest) for one in shanks)
    if not on_axis or bored > 0.5 * length or _is_far_off_axis(facts, at, axis, widest):
        return None
    if widest < STEP_UP * longest.radius_mm:
        if length < LEAST_ROD * longest.radius_mm or bored:
            return None
        return Look(Form.ROD, at, axis, longest.radius_mm, low, high, high, widest)
    # the shank is the thinner of what is long: a short grub of thread relief is none
    slim = [one for one in shanks if STEP_UP * one.radius_mm < widest]
    shank = max(slim, key=lambda one: one.radius_mm * one.length_mm, default=None)
    return None if shank is None else _look_screw(facts, cloud, at, axis, shank, widest)


def _look_screw(
    facts: SolidFacts, cloud: Vector, at: Vector, axis: Vector, shank: Round, widest: float
) -> Look | None:
    along, out = _cylindrical(cloud, at, axis)
    low, high = float(along.min()), float(along.max())
    wide = along[out > STEP_UP * shank.radius_mm]
    room = 0.04 * (high - low)
    if wide.max() < high - room:  # the head is at the lower end: turn the axis over
        axis, along = -axis, -along
        low, high, wide = -high, -low, -wide
    seat = float(wide.min())
    radius = shank.radius_mm
    fits = (
        wide.max() >= high - room
        and high - seat <= LONGEST_HEAD * radius
        and widest <= WIDEST_HEAD * radius
        and seat - low >= 0.5 * radius
    )
    if not fits:
        return None
    hexagon = find_hexagon(facts, at, axis)
    return Look(Form.SCREW, at, axis, radius, low, high, seat, widest, hexagon)


def _look_ring(facts: SolidFacts, cloud: Vector) -> Look | None:
    """Look for a nut, a washer or a snap ring: one bore through, low and not much wider than it."""
    bores = [one for one in facts.rounds if one.hollow and one.turn_deg > 180.0]
    if not bores:
        return None
    bore = min(bores, key=lambda one: (-one.length_mm, one.radius_mm))
    at, axis = np.array(bore.at), np.array(bore.axis)
    if not all(is_on_axis(at, axis, one, 0.05 * bore.radius_mm) for one in bores):
        return None
    low, high, widest = _measure(cloud, at, axis)
    tall, wide = (high - low) / bore.radius_mm, widest / bore.radius_mm
    if bore.length_mm < 0.5 * (high - low):
        return None
    hexagon = find_hexagon(facts, at, axis)
    form = _choose_ring(facts, bore, (tall, wide), hexagon)
    if form is None:
        return None
    return Look(form, at, axis, bore.radius_mm, low, high, high, widest, hexagon)


def _choose_ring(
    facts: SolidFacts, bore: Round, size: tuple[float, float], hexagon: str
) -> Form | None:
    """Choose by proportions: how tall and how wide, in radii of the bore."""
    tall, wide = size
    if bore.turn_deg < 352.0 and tall < THICKEST_RING and wide < WIDEST_RING:
        return Form.SNAP_RING
    is_round = any(
        not one.hollow and one.turn_deg >= FULL_DEG and one.radius_mm > 0.97 * wide * bore.radius_mm
        for one in facts.rounds
    )
    is_nut_sized = tall <= TALLEST_NUT and 1.2 <= wide <= WIDEST_NUT
    if hexagon == "outside" and is_nut_sized:
        return Form.NUT
    if is_round and tall <= THICKEST_WASHER and 1.2 <= wide <= WIDEST_WASHER:
        return Form.WASHER
    return Form.PLATE_NUT if is_nut_sized and tall >= 0.25 else None


def _look_prism(facts: SolidFacts, cloud: Vector) -> Look | None:
    """Look for a key: a small bar with square or rounded ends. Its axis is its length."""
    if facts.rings or facts.others or not 4 <= len(facts.flats) <= 6:
        return None
    if any(one.hollow or not 150.0 < one.turn_deg < 210.0 for one in facts.rounds):
        return None
    largest = max(facts.flats, key=lambda flat: flat.area_mm2)
    first = np.array(largest.normal)
    second = next((n for n in _normals(facts.flats) if abs(n @ first) < 0.02), None)
    if second is None:
        return None
    frame = np.array([first, second, np.cross(first, second)])
    seen = cloud @ frame.T
    sizes = seen.max(axis=0) - seen.min(axis=0)
    if facts.volume_mm3 < 0.72 * sizes.prod():
        return None
    longest = int(np.argmax(sizes))
    others = np.sort(np.delete(sizes, longest))
    if sizes[longest] < 1.2 * others[1] or others[1] > 3.0 * others[0]:
        return None
    middle = (seen.max(axis=0) + seen.min(axis=0)) / 2.0 @ frame
    half = float(sizes[longest]) / 2.0
    return Look(
        Form.PRISM, middle, frame[longest], float(others[0]) / 2.0, -half, half, half,
        float(np.linalg.norm(others)) / 2.0,
    )  # fmt: skip


def _normals(flats: Sequence[Flat]) -> list[Vector]:
    return [np.array(flat.normal) for flat in flats]


def _cylindrical(cloud: Vector, at: Vector, axis: Vector) -> tuple[Vector, Vector]:
    off = cloud - at
    along = off @ axis
    return along, np.linalg.norm(off - along[:, None] * axis, axis=1)


def _measure(cloud: Vector, at: Vector, axis: Vector) -> tuple[float, float, float]:
    along, out = _cylindrical(cloud, at, axis)
    return float(along.min()), float(along.max()), float(out.max())


def _is_far_off_axis(facts: SolidFacts, at: Vector, axis: Vector, widest: float) -> bool:
    """Say whether more than a thread's worth of faces is neither along nor square to the axis: an arm, a lug."""
    askew = sum(
        0.05 < abs(np.array(flat.normal) @ axis) < 0.95 and flat.area_mm2 > 0.2 * widest**2
        for flat in facts.flats
    )
    across = [
        one
        for one in facts.rounds
        if not is_on_axis(at, axis, one, 0.1 * widest) and one.radius_mm > 0.3 * widest
    ]
    return bool(askew > 2 or across)


def make_shank_look(facts: SolidFacts, points: npt.NDArray[np.floating]) -> Look:
    """Take the longest round of a part as its shank, since a person said it has one; NO_LOOK where there is none."""
    shanks = [one for one in facts.rounds if not one.hollow and one.turn_deg >= FULL_DEG]
    if not shanks:
        return NO_LOOK
    longest = max(shanks, key=lambda one: one.length_mm)
    at, axis = np.array(longest.at), np.array(longest.axis)
    low, high, widest = _measure(np.asarray(points, np.float64), at, axis)
    return Look(Form.ROD, at, axis, longest.radius_mm, low, high, high, widest)
