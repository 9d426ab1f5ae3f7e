"""What must be so of a lip seal, a bearing isolator and a cassette seal. Numbers 7 and 101 to 109."""

from __future__ import annotations

import itertools

from models.parts.isolator_stator import TEETH
from models.spec.build import Build
from models.spec.rule import Rule
from models.systems import rules

LIPS = {"track-lip-seal": "lip", "cassette-lips": "cassette"}
"""What carries a main lip, with the housing it stands in."""


def lips_look_away(build: Build) -> tuple[str, ...]:
    """Name the seals whose lip and spring do not look at the liquid they are to keep."""
    bad = []
    for place, stretch in LIPS.items():
        lip, back = (float(build.position(place, face)) for face in ("lip-side", "back"))
        fluid, air = (
            float(build.position("seal-stand", f"{stretch}-{side}"))
            for side in ("fluid-side", "air-side")
        )
        if (lip - back) * (fluid - air) <= 0:
            bad.append(place)
    return tuple(bad)


def lip_misses_track(build: Build) -> tuple[str, ...]:
    """Name the hardened track when the lip does not run on it all round, between its ends."""
    piece = build.piece_at("track-lip-seal")
    near = piece.faces["lip"].near
    assert near is not None
    lip = float(piece.pose.origin[0]) + piece.pose.sign * near[0]
    ends = [float(build.position("hardened-track", face)) for face in ("suction-end", "drive-end")]
    lead = 2 * float(build.piece_at("hardened-track").row["lead-in"])
    return () if ends[0] < lip < ends[1] - lead else ("hardened-track",)


def _float_mm(build: Build) -> float:
    """Give how far the rotor can move towards the stator before the unitising ring stops it, in mm."""
    ring = build.numbers_at("unitising-ring")["width"]
    rotor, stator = (build.numbers_at(place) for place in ("isolator-rotor", "isolator-stator"))
    return rotor["ring-groove-width"] + stator["ring-groove-width"] - 2 * ring


def _axial_gaps_mm(build: Build) -> list[float]:
    pairs = (("disc-face", "front"), ("tooth-end", "groove-floor"), ("rim-end", "flange-face"))
    return [
        float(build.position("isolator-stator", fixed) - build.position("isolator-rotor", turning))
        for turning, fixed in pairs
    ]


def _radial_gaps_mm(build: Build) -> list[float]:
    pairs = [("hub", "bore"), ("rim-inside", "front-outside")]
    pairs += [(f"tooth-{n}-{side}", f"groove-{n}-{side}") for n in TEETH for side in ("inside", "outside")]  # fmt: skip
    gaps = []
    for turning, fixed in pairs:
        room = float(
            build.diameter("isolator-stator", fixed) - build.diameter("isolator-rotor", turning)
        )
        outwards = turning == "hub" or turning.endswith("outside")
        gaps.append((room if outwards else -room) / 2)
    return gaps


def rotor_rubs(build: Build) -> tuple[str, ...]:
    """Name the rotor when it does not clear the stator all round and at either end of its float."""
    if not build.has("unitising-ring"):
        return ()  # without the ring it floats as it likes, which rule 105 says
    gaps = [*_radial_gaps_mm(build), *(gap - _float_mm(build) for gap in _axial_gaps_mm(build))]
    return () if min(gaps) > 0 else ("isolator-rotor",)


def teeth_stand_apart(build: Build) -> tuple[str, ...]:
    """Name the rotor when its teeth do not stand in the stator's grooves even when it is pulled out."""
    ends = [float(build.position("isolator-rotor", face)) for face in ("tooth-end", "rim-end")]
    front = float(build.position("isolator-stator", "front"))
    return () if all(end > front for end in ends) else ("isolator-rotor",)


def ring_lets_go(build: Build) -> tuple[str, ...]:
    """Name the unitising ring when it does not stand in the grooves of both, or what it should keep together."""
    if not build.has("unitising-ring"):
        return ("isolator-rotor", "isolator-stator")
    inside, outside = (
        float(build.diameter("unitising-ring", face)) for face in ("bore", "outside")
    )
    hub, hole = (
        float(build.diameter("isolator-rotor", "hub")),
        float(build.diameter("isolator-stator", "bore")),
    )
    floor = float(build.diameter("isolator-rotor", "ring-bottom"))
    width = build.numbers_at("unitising-ring")["width"]
    fits = all(
        width < build.numbers_at(place)["ring-groove-width"]
        for place in ("isolator-rotor", "isolator-stator")
    )
    held = floor < inside < hub and hole < outside
    return () if held and fits else ("unitising-ring",)


def isolator_slips(build: Build) -> tuple[str, ...]:
    """Name the rotor that its O-ring does not grip the shaft for, and the stator that is loose in its housing."""
    squeezed = False
    if build.has("drive-o-ring"):
        ring = build.numbers_at("drive-o-ring")
        squeezed = abs(ring["groove"] - ring["mate"]) / 2 < ring["section"]
    tight = float(build.diameter("isolator-stator", "outside")) > float(
        build.diameter("seal-stand", "isolator-bore")
    )
    return (*(() if squeezed else ("isolator-rotor",)), *(() if tight else ("isolator-stator",)))


def cassette_slips(build: Build) -> tuple[str, ...]:
    """Name the cassette's sleeve when it would not turn with the shaft, and its case when it would not stand still."""
    on_shaft = float(
        build.diameter("stub-shaft", "journal-2") - build.diameter("cassette-sleeve", "bore")
    )
    in_bore = float(
        build.diameter("cassette-case", "outside") - build.diameter("seal-stand", "cassette-bore")
    )
    return (
        *(() if on_shaft > 0 else ("cassette-sleeve",)),
        *(() if in_bore > 0 else ("cassette-case",)),
    )


def dust_lip_misses_flange(build: Build) -> tuple[str, ...]:
    """Name the lips when the dust lip does not run on the sleeve's flange, inside the flange's rim."""
    if "cassette-lips" in lips_look_away(build):
        return ()  # where a lip that looks the wrong way runs, rule 101 says
    edge = cassette_lips_edge_mm(build)
    lip = float(build.position("cassette-lips", "dust-lip"))
    flange = float(build.position("cassette-sleeve", "flange-face"))
    web = float(build.position("cassette-case", "web-air-face"))
    rim = float(build.diameter("cassette-sleeve", "flange-rim"))
    met = abs(lip - flange) < MET_MM and flange < web and edge < rim
    return () if met else ("cassette-lips",)


def cassette_lips_edge_mm(build: Build) -> float:
    """Give the diameter in mm of the dust lip's outer edge."""
    from models.parts.cassette_lips import DUST_OUT_SHARE

    row = build.numbers_at("cassette-lips")
    return row["web-bore"] + 2 * DUST_OUT_SHARE * row["garter-section"]


MET_MM = 1e-6
"""Sums of the same dimensions differ by less than this."""


def cassette_falls_apart(build: Build) -> tuple[str, ...]:
    """Name the sleeve when the lips are not caught between its flange and its rim, so that the seal is no one piece."""
    if "cassette-lips" in lips_look_away(build):
        return ()
    track, rim = (float(build.diameter("cassette-sleeve", face)) for face in ("track", "rim"))
    hole = float(build.diameter("cassette-case", "web-bore"))
    stops = [
        float(build.position(*end))
        for end in (
            ("cassette-sleeve", "flange-face"),
            ("cassette-case", "web-air-face"),
            ("cassette-lips", "lip-side"),
            ("cassette-sleeve", "rim-wall"),
        )
    ]
    caught = all(a < b for a, b in itertools.pairwise(stops))
    return () if track < rim < hole and caught else ("cassette-sleeve",)


RULES = (
    Rule(7, "lip-has-garter", rules.garters_lacking),
    Rule(101, "lip-faces-fluid", lips_look_away),
    Rule(102, "lip-on-hardened-track", lip_misses_track),
    Rule(103, "rotor-clears-stator", rotor_rubs),
    Rule(104, "labyrinth-interlocks", teeth_stand_apart),
    Rule(105, "ring-in-both-grooves", ring_lets_go),
    Rule(106, "rotor-turns-stator-stands", isolator_slips),
    Rule(107, "cassette-sleeve-turns-case-stands", cassette_slips),
    Rule(108, "dust-lip-on-flange", dust_lip_misses_flange),
    Rule(109, "cassette-is-one-piece", cassette_falls_apart),
)
