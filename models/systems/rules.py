"""What must be so on every sound build, whichever systems it is joined from. Numbers are shown to people and stay."""

from __future__ import annotations

import itertools

from models.parts import oil_seal
from models.parts.impeller import vane_angle_rad
from models.parts.waterway import spiral_radius_mm
from models.spec.build import Build
from models.spec.joint import JointKind
from models.spec.rule import Rule

STEPS_TOWARDS_IMPELLER = (
    "shoulder-diameter",
    "middle-diameter",
    "inboard-diameter",
    "seal-diameter",
    "impeller-seat-diameter",
)


def unsealed_joints(build: Build) -> tuple[str, ...]:
    """Name the pieces of wet joints of which a seal is missing or is trapped between nothing."""
    bad: list[str] = []
    seals = {joint.members[1]: joint for joint in build.joints if joint.kind is JointKind.SEALED}
    for joint in build.joints:
        if joint.wet:
            for place in joint.sealed_by or ("",):
                seal = seals.get(place)
                if seal is None or not all(build.pieces_at(member) for member in seal.members):
                    bad += [name for member in joint.members for name in build.pieces_at(member)]
    return tuple(dict.fromkeys(bad))


def steps_wrong(build: Build) -> tuple[str, ...]:
    """Name the shaft when its diameters do not step down towards the impeller, so that it could not leave."""
    row = build.piece_at("shaft").row
    sizes = [float(row[key]) for key in STEPS_TOWARDS_IMPELLER]
    return () if all(a > b for a, b in itertools.pairwise(sizes)) else ("shaft",)


def vanes_lead(build: Build) -> tuple[str, ...]:
    """Name the impeller when its vane tips do not trail the rotation (clockwise from the driver)."""
    row = build.numbers_at("impeller")
    trails = vane_angle_rad(row, row["outside-diameter"] / 2) > vane_angle_rad(
        row, row["eye-diameter"] / 2
    )
    return () if trails else ("impeller",)


def spiral_narrows(build: Build) -> tuple[str, ...]:
    """Name the volute when its spiral does not widen with rotation."""
    row = build.numbers_at("volute")
    widens = spiral_radius_mm(row, 360.0) > spiral_radius_mm(row, row["cutwater-angle"])
    return () if widens else ("volute",)


def lips_look_away(build: Build) -> tuple[str, ...]:
    """Name lip seals whose lip does not look at the oil in the bearing housing."""
    oil = float(
        build.position("bearing-housing", "thrust-shoulder")
        + build.position("shaft", "inboard-shoulder")
    )
    bad = []
    for place in ("oil-seal-inboard", "oil-seal-drive"):
        lip, back = float(build.position(place, "lip-side")), float(build.position(place, "back"))
        if (lip - back) * (oil / 2 - back) < 0:
            bad.append(place)
    return tuple(bad)


def garters_lacking(build: Build) -> tuple[str, ...]:
    """Name lip seals over whose lip no garter spring lies."""
    return tuple(
        piece.name
        for piece in build.pieces.values()
        if piece.part.kind == oil_seal.PART.kind and not build.has(f"garter-of-{piece.place.name}")
    )


RULES = (
    Rule(1, "wet-joint-sealed", unsealed_joints),
    Rule(2, "shaft-steps-down", steps_wrong),
    Rule(3, "vane-tips-trail", vanes_lead),
    Rule(4, "spiral-widens", spiral_narrows),
    Rule(6, "lip-faces-oil", lips_look_away),
    Rule(7, "lip-has-garter", garters_lacking),
)
