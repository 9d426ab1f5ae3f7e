"""Read off a build what its consequences in service depend on: the wheel, the rings, the bearings, the bolts."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from models.parts import bearing, bearing_roller
from models.parts.elements import Elements
from models.spec.build import Build, PlacedPiece
from models.spec.duty import Duty
from models.spec.joint import Joint, JointKind
from models.spec.part import Material, Numbers
from trainer.core.running.bearing_rating import Rating, rate_ball_bearing, rate_roller_bearing
from trainer.core.running.leakage import ENTRANCE_AND_EXIT, Liquid, RingGap, find_rim_pressure_pa
from trainer.core.running.preload import FACE_SHARE, USUAL_CLASS, Bolt
from trainer.core.running.thrust import HubRing, Running, Wheel

ELEMENTS: Mapping[str, Callable[[Numbers], Elements]] = {
    bearing.PART.kind: bearing.deep_groove_balls,
    bearing.BACK_DRIVE.kind: bearing.angular_balls,
    bearing.DOUBLE.kind: bearing.double_balls,
    bearing_roller.OUTER.kind: bearing_roller.rollers,
}
"""The rolling elements of each kind of bearing, as they are drawn."""
INBOARD, OUTBOARD = ("bearing-inboard", "roller-outer-ring"), ("bearing-paired", "bearing-outboard")
"""Places of the bearings at the impeller and at the drive end; which are filled follows from the options."""
LINE, SHEAVE = "balance-line", "shaft-sheave"
CLASSES = {Material.CARBON_STEEL: USUAL_CLASS, Material.STAINLESS: "A2-70"}
"""Property class by what a fastener is made of: an assumption, told on screen."""
TIGHTENED = ("nut", "hex-screw", "socket-screw")
"""Kinds of fasteners that are set by torque."""


@dataclass(frozen=True, slots=True)
class BearingSpot:
    """A bearing in its place: the piece, its elements, its rating, and the middle of it along the shaft in mm."""

    piece: str
    kind: str
    elements: Elements
    rating: Rating
    middle_mm: float


@dataclass(frozen=True, slots=True)
class BoltedJoint:
    """A bolted joint that is set by torque: its name, the place of its fasteners, how many, and one of them."""

    name: str
    fastener: str
    count: int
    bolt: Bolt


def read_wheel(build: Build, hub_clearance_mm: float | None, line_loss: float) -> Wheel:
    """Read what of the impeller the thrust depends on.

    Args:
        build: with an impeller on a shaft.
        hub_clearance_mm: running clearance of the hub ring on the diameter; None without one.
        line_loss: velocity heads lost in a balance line.
    """
    row = build.numbers_at("impeller")
    is_open = "vane-edge-distance" in row
    return Wheel(
        rim_mm=row["outside-diameter"],
        ring_mm=row["eye-diameter" if is_open else "nose-diameter"],
        eye_mm=row["eye-diameter"],
        shaft_mm=build.numbers_at("shaft")["seal-diameter"],
        vane_outer_mm=row["back-vane-outside"],
        vane_inner_mm=row.get("back-vane-inside", row["hub-diameter"]),
        vane_height_mm=row["back-vane-height"],
        is_open=is_open,
        hub_ring=None
        if hub_clearance_mm is None
        else _read_hub_ring(build, row, hub_clearance_mm, line_loss),
    )


def _read_hub_ring(build: Build, row: Numbers, clearance_mm: float, line_loss: float) -> HubRing:
    ends = (float(build.position("hub-ring", f"{end}-end")) for end in ("suction", "drive"))
    overlap = float(build.position("impeller", "hub-rim-end")) - min(ends)
    ring = RingGap(row["hub-rim-diameter"], clearance_mm, overlap)
    if build.has(LINE):
        bore = build.numbers_at(LINE)["bore"]
        return HubRing(ring, math.pi / 4 * bore**2, line_loss)
    holes = row["vane-count"] * math.pi / 4 * row["balance-hole-diameter"] ** 2
    return HubRing(ring, holes, ENTRANCE_AND_EXIT)


def with_hub_clearance(wheel: Wheel, clearance_mm: float) -> Wheel:
    """Give a wheel whose hub ring has another clearance."""
    assert wheel.hub_ring is not None
    ring = replace(wheel.hub_ring.ring, clearance_mm=clearance_mm)
    return replace(wheel, hub_ring=replace(wheel.hub_ring, ring=ring))


def read_running(build: Build, duty: Duty) -> Running:
    """Read what the pump runs at. Raises RefusalError when its impeller cannot give that head at that speed."""
    rim = build.numbers_at("impeller")["outside-diameter"]
    rim_pa = find_rim_pressure_pa(duty.head_m, rim, duty.speed_rpm, duty.density_kg_per_m3)
    liquid = Liquid(duty.density_kg_per_m3, duty.viscosity_mm2_per_s)
    return Running(
        rim_pa, duty.suction_kpa * 1e3, duty.flow_m3_per_h, duty.speed_rpm, duty.swirl, liquid
    )


def read_bearings(build: Build, places: tuple[str, ...]) -> tuple[BearingSpot, ...]:
    """Read the bearings that stand at those places, from suction to drive end."""
    found = [_read_bearing(build, build.piece_at(place)) for place in places if build.has(place)]
    return tuple(sorted(found, key=lambda spot: spot.middle_mm))


def _read_bearing(build: Build, piece: PlacedPiece) -> BearingSpot:
    row = build.numbers_at(piece.place.name)
    elements = ELEMENTS[piece.part.kind](row)
    ring = "inner" if "inner-suction-end" in piece.faces else "outer"
    ends = [float(build.position(piece.place.name, f"{ring}-{end}-end")) for end in ("suction", "drive")]  # fmt: skip
    return BearingSpot(piece.name, piece.part.kind, elements, rate(elements), sum(ends) / 2.0)


def rate(elements: Elements) -> Rating:
    """Rate a bearing by its rolling elements."""
    if elements.length_mm:
        return rate_roller_bearing(
            elements.count, elements.diameter_mm, elements.length_mm, elements.pitch_mm
        )
    return rate_ball_bearing(
        elements.count,
        elements.diameter_mm,
        elements.pitch_mm,
        elements.contact_deg,
        elements.rows,
    )


def read_impeller_middle(build: Build) -> tuple[float, float]:
    """Read where the middle of the impeller's rim stands along the shaft, and how wide the rim is with its shrouds, in mm."""
    row = build.numbers_at("impeller")
    shrouds = 1 if "vane-edge-distance" in row else 2
    width = row["outlet-width"] + shrouds * row["shroud-thickness"]
    back = float(build.position("impeller", "back-vane-tip")) - row["back-vane-height"]
    return back - width / 2.0, width


def read_belt_middle(build: Build) -> float | None:
    """Read where a belt pulls on the shaft, in mm along it; None without one."""
    if not build.has(SHEAVE):
        return None
    ends = (build.position(SHEAVE, f"{end}-end") for end in ("suction", "drive"))
    return sum(float(end) for end in ends) / 2.0


def list_bolted_joints(build: Build) -> tuple[BoltedJoint, ...]:
    """List the joints of a build whose nuts or screws are set by torque, in the build's order."""
    return tuple(
        BoltedJoint(joint.name, place, len(build.pieces_at(place)), _read_bolt(build, place))
        for joint in build.joints
        for place in _list_tightened(build, joint)
    )


def _list_tightened(build: Build, joint: Joint) -> list[str]:
    if joint.kind is not JointKind.BOLTED:
        return []
    return [place for place in joint.fasteners if build.piece_at(place).part.kind in TIGHTENED]


def _read_bolt(build: Build, place: str) -> Bolt:
    row = build.numbers_at(place)
    face = row["head-diameter"] if "head-diameter" in row else FACE_SHARE * row["across-flats"]
    return Bolt(row["thread"], face, CLASSES[build.piece_at(place).part.material])
