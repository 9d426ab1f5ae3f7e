"""What must be so of a belt drive on every sound build: sheaves in line, belt of the right length, all of it guarded."""

from __future__ import annotations

import math

from models.parts import belt_path
from models.spec.build import Build
from models.spec.rule import Rule
from models.systems.drive_end_rules import FINGER_MM

OUT_OF_LINE_DEG = 0.5
"""Most that a wedge belt may run out of line between two sheaves; common practice."""
LENGTH_MM = 1.0
"""Most that a belt's datum length may differ from the way round both sheaves; the slots take up as much and more."""
SLACK_SHARE = 0.01
"""By how much of the belt's length the sheaves must come together before it can be worked over a rim; common practice."""


def sheaves_out_of_line(build: Build) -> tuple[str, ...]:
    """Name both sheaves when their grooves do not lie in one plane."""
    if not build.has("vacuum-belt"):
        return ()
    sheaves = ("shaft-sheave", "vacuum-sheave")
    grooves = [
        float(build.position(place, "suction-end"))
        + build.piece_at(place).pose.sign * float(build.piece_at(place).row["edge"])
        for place in sheaves
    ]
    most = _find_centre_mm(build)[0] * math.tan(math.radians(OUT_OF_LINE_DEG))
    return () if abs(grooves[1] - grooves[0]) <= most else sheaves


def belt_wrong_length(build: Build) -> tuple[str, ...]:
    """Name the belt when it is not as long as the way round both sheaves, or cannot be slackened enough to come off."""
    if not build.has("vacuum-belt"):
        return ()
    row = build.numbers_at("vacuum-belt")
    one, other = (
        build.numbers_at(f"{which}-sheave")["datum-diameter"] for which in ("shaft", "vacuum")
    )
    now, slid = _find_centre_mm(build)
    runs = abs(belt_path.find_length_mm(now, one, other) - row["datum-length"]) <= LENGTH_MM
    comes_off = now - slid >= SLACK_SHARE * row["datum-length"]
    return () if runs and comes_off else ("vacuum-belt",)


def belt_unguarded(build: Build) -> tuple[str, ...]:
    """Name what of the belt drive can be reached by a hand past the guard: over the rims, at the sides, along the shaft."""
    if not build.has("vacuum-belt"):
        return ()
    if not build.has("belt-guard", "guard-back"):
        return ("vacuum-belt",)
    guard, bad = build.numbers_at("belt-guard"), []
    for place, radius in (("shaft-sheave", "shaft-radius"), ("vacuum-sheave", "pump-radius")):
        ends = [float(build.position(place, face)) for face in ("suction-end", "drive-end")]
        covered = (
            float(build.diameter(place, "rim")) / 2 < guard[radius]
            and float(build.position("guard-back", "front")) < min(ends)
            and max(ends) < float(build.position("belt-guard", "inside"))
        )
        bad += [] if covered else [place]
    gap = (guard["shaft-hole"] - float(build.diameter("shaft", "sheave-seat"))) / 2
    if gap > FINGER_MM or guard["slot-width"] > FINGER_MM:
        bad.append("belt-guard")
    return tuple(bad)


def hose_unclipped(build: Build) -> tuple[str, ...]:
    """Name the vacuum hose when one of its ends has no clip round it and draws air."""
    if not build.has("vacuum-hose"):
        return ()
    clipped = build.has("hose-clip-chamber", "hose-clip-pump")
    return () if clipped else ("vacuum-hose",)


def _find_centre_mm(build: Build) -> tuple[float, float]:
    """Find the distance between the sheaves' axes as the pump stands, and slid in to the end of its slots, in mm."""
    pump = build.piece_at("vacuum-pump").row
    screw = float(build.piece_at("vacuum-pump-screw").row["thread"])
    _, y, z = (float(value) for value in build.piece_at("vacuum-sheave").pose.origin)
    slid = y - math.copysign((float(pump["slot-length"]) - screw) / 2, y)
    return math.hypot(y, z), math.hypot(slid, z)


RULES = (
    Rule(66, "sheaves-in-line", sheaves_out_of_line),
    Rule(67, "belt-fits-sheaves", belt_wrong_length),
    Rule(68, "belt-guarded", belt_unguarded),
    Rule(70, "hose-clipped", hose_unclipped),
)
