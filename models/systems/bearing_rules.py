"""What must be so of the bearings, the lock nut and the shaft that carries them, in every arrangement."""

from __future__ import annotations

from models.spec.build import Build
from models.spec.rule import Rule

TOUCHING_MM = 1e-6
PAIRS = (("bearing-paired", "bearing-outboard"), ("pair-suction", "pair-drive"))
"""Places of pairs: in a bearing housing, where an outboard bearing may also stand alone, and by themselves."""


def pair_not_back_to_back(build: Build) -> tuple[str, ...]:
    """Name an angular contact pair whose wide outer-ring faces do not lie against each other."""
    places = next((pair for pair in PAIRS if build.has(*pair)), ())
    pair = [build.piece_at(place) for place in places]
    if not pair:
        return ()
    if not all("back" in piece.faces for piece in pair):
        return tuple(piece.name for piece in pair)
    first, second = (build.position(place, "back") for place in places)
    touching = abs(float(second - first)) < TOUCHING_MM
    facing = [piece.faces["back"].facing for piece in pair] == [+1, -1]
    return () if touching and facing else tuple(piece.name for piece in pair)


def nut_misses_bearing(build: Build) -> tuple[str, ...]:
    """Name the lock nut when the shaft's plain journal or the end of its thread keeps it off the bearing."""
    shoulder = build.position("shaft", "thrust-shoulder")
    row = build.piece_at("shaft").row
    starts = float(build.position("lock-nut", "suction-end") - shoulder)
    ends = float(build.position("lock-nut", "drive-end") - shoulder)
    cut = float(row["outboard-journal-length"]) < starts and ends <= float(row["outboard-length"])
    return () if cut else ("lock-nut",)


def roller_at_drive_end(build: Build) -> tuple[str, ...]:
    """Name the roller bearing when it does not stand on the impeller's side of the thrust bearing."""
    if not build.has("roller-outer-ring"):
        return ()
    roller = build.position("roller-outer-ring", "outer-drive-end")
    room = build.position("bearing-housing", "thrust-shoulder") - roller
    return () if float(room) > 0 else ("roller-outer-ring",)


def inboard_cannot_float(build: Build) -> tuple[str, ...]:
    """Name the inboard ball bearing when the housing leaves its outer ring no room to both sides.

    The thrust bearing alone fixes the shaft; a warm shaft must be able to lengthen at the other end.
    """
    if not build.has("bearing-inboard"):
        return ()
    housing = build.piece_at("bearing-housing").row
    face = build.position("bearing-housing", "bracket-face")
    before = build.position("bearing-inboard", "outer-suction-end") - face
    after = build.position("bearing-inboard", "outer-drive-end") - face
    floats = float(before - housing["inboard-bore-start"]) > 0
    floats = floats and float(housing["inboard-bore-end"] - after) > 0
    return () if floats else ("bearing-inboard",)


def bearing_cannot_leave(build: Build) -> tuple[str, ...]:
    """Name what rides on the shaft inboard and is too wide to leave through the housing towards the drive end."""
    housing = build.piece_at("bearing-housing").row
    narrow = min(float(housing["cavity-diameter"]), float(housing["outboard-bore"]))
    bad = []
    for place, face in (("bearing-inboard", "outside"), ("roller-outer-ring", "outside")):
        if build.has(place) and float(build.diameter(place, face)) >= narrow:
            bad.append(place)
    if build.has("roller-inner-ring"):
        race = float(build.diameter("roller-inner-ring", "race"))
        if race >= float(build.piece_at("roller-outer-ring").row["outer-race"]):
            bad.append("roller-inner-ring")
    return tuple(bad)


def tab_misses_slot(build: Build) -> tuple[str, ...]:
    """Name the lock washer when its tongue or its bent tab does not fit the slot it must lie in, and the nut when it has none."""
    if not build.has("lock-washer"):
        return ("lock-nut",)
    washer, nut = build.piece_at("lock-washer").row, build.piece_at("lock-nut").row
    shaft = build.piece_at("shaft").row
    floor = float(nut["outside"]) / 2 - float(nut["slot-depth"])
    tab = float(washer["tab-height"])
    bent = floor < tab < float(nut["outside"]) / 2
    bent = bent and float(washer["tab-width"]) < float(nut["slot-width"])
    bent = bent and float(washer["tab-length"]) > float(washer["thickness"])
    bent = bent and "flat-tab-length" not in washer
    tongue = float(shaft["washer-slot-floor"]) < float(washer["tab-bottom"])
    tongue = tongue and float(washer["tab-bottom"]) < float(shaft["lock-thread"]) / 2
    tongue = tongue and float(washer["tab-width"]) < float(shaft["washer-slot-width"])
    return () if bent and tongue else ("lock-washer",)


def level_out_of_sight(build: Build) -> tuple[str, ...]:
    """Name the sight glass when it does not show the lowest rolling element's middle of each bearing.

    Oil stands as high as that. Source: common practice.
    """
    if not build.has("sight-glass"):
        return ()
    depth = float(build.piece_at("bearing-housing").row["sight-depth"])
    shown = float(build.piece_at("sight-glass-body").row["bore"]) / 2
    rows = [
        build.piece_at(place).row
        for place in ("bearing-inboard", "roller-outer-ring", "bearing-outboard")
        if build.has(place)
    ]
    levels = [float(row["bore"] + row["outside"]) / 4 for row in rows]
    seen = all(abs(level - depth) < shown for level in levels)
    return () if seen else ("sight-glass-body",)


def nipple_beside_bearing(build: Build) -> tuple[str, ...]:
    """Name grease nipples whose way ends on an outer ring or nearer the other bearing than its own."""
    if not build.has("relief-plug"):
        return ()
    inboard = "bearing-inboard" if build.has("bearing-inboard") else "roller-outer-ring"
    row = build.piece_at("bearing-housing").row
    face = build.position("bearing-housing", "bracket-face")
    start = float(build.position(inboard, "outer-drive-end") - face)
    end = float(row["thrust-shoulder-distance"])
    half, middle = float(row["grease-way"]) / 2, (start + end) / 2
    first, second = (float(row[f"nipple-{which}-position"]) for which in ("inboard", "outboard"))
    bad = [] if start + half < first < middle else ["grease-nipple-inboard"]
    return (*bad, *([] if middle < second < end - half else ["grease-nipple-outboard"]))


def roller_ring_loose(build: Build) -> tuple[str, ...]:
    """Name the roller bearing's outer ring when no snap ring keeps it in the housing."""
    ring = "roller-outer-ring"
    return (ring,) if build.has(ring) and not build.has("roller-snap-ring") else ()


RULES = (
    Rule(51, "pair-back-to-back", pair_not_back_to_back),
    Rule(52, "thrust-bearing-clamped", nut_misses_bearing),
    Rule(53, "roller-at-impeller-end", roller_at_drive_end),
    Rule(54, "inboard-bearing-floats", inboard_cannot_float),
    Rule(55, "bearings-leave-with-shaft", bearing_cannot_leave),
    Rule(56, "lock-tab-in-slot", tab_misses_slot),
    Rule(57, "oil-level-in-sight", level_out_of_sight),
    Rule(58, "grease-reaches-bearings", nipple_beside_bearing),
    Rule(59, "roller-ring-kept", roller_ring_loose),
)
