"""The balance of a mechanical seal: how much of the pressure round it shuts the faces. Rules 1, 40, 41, 47 to 49 and 111 to 115."""

from __future__ import annotations

from functools import partial

from models.spec.build import Build
from models.spec.length import Length
from models.spec.result import Result
from models.spec.rule import Rule
from models.systems import rules, seal_rules

UNBALANCED_ABOVE = 1.0
"""An unbalanced seal is shut by more than the pressure on its faces alone. Common practice."""
BALANCED_LEAST, BALANCED_MOST = 0.65, 0.85
"""Balance ratios that balanced seals are usually made with: below, the faces may be blown open. Common practice."""


def balance_ratio(build: Build) -> Length:
    """Give the area on which the liquid's pressure shuts the faces as a share of the area of the faces.

    (D_o^2 - D_b^2) / (D_o^2 - D_i^2): D_o and D_i are outside and inside of the running nose, D_b is the
    balance diameter, on which the face's O-ring slides. It is without a unit. Source: common practice, from memory.
    """
    row = build.piece_at("seal-face").row
    outside, inside, balance = row["nose-outside"], row["nose-bore"], balance_diameter(build)
    return (outside * outside - balance * balance) / (outside * outside - inside * inside)


def balance_diameter(build: Build) -> Length:
    """Give the diameter in mm of what the face's O-ring slides on."""
    return build.diameter("seal-sleeve", "seal-journal")


BALANCE_RATIO = Result("balance-ratio", ("seal-face", "seal-sleeve"), balance_ratio)


def balance_is_off(build: Build) -> tuple[str, ...]:
    """Name the rotating face when its balance ratio is not that of such a seal."""
    ratio = float(balance_ratio(build))
    if build.options["seal-balance"] == "balanced":
        return () if BALANCED_LEAST <= ratio <= BALANCED_MOST else ("seal-face",)
    return () if ratio > UNBALANCED_ABOVE else ("seal-face",)


def nose_leaves_seat(build: Build) -> tuple[str, ...]:
    """Name the rotating face when its narrow nose does not run wholly on the wider seat."""
    nose, seat = build.numbers_at("seal-face"), build.numbers_at("seal-seat")
    covered = seat["bore"] <= nose["nose-bore"] < nose["nose-outside"] <= seat["outside"]
    return () if covered else ("seal-face",)


def face_cannot_slide(build: Build) -> tuple[str, ...]:
    """Name the sleeve when the rotating face does not slide freely on it, or its step stops the face as it wears."""
    face, journal = build.numbers_at("seal-face"), float(balance_diameter(build))
    under = float(build.diameter("seal-sleeve", "face-journal"))
    free = journal < face["bore"] and under < face["nose-bore"]
    if "step" in build.piece_at("seal-sleeve").faces:
        nose = float(build.position("seal-face", "lapped-face")) - face["nose-height"]
        free = free and nose - float(build.position("seal-sleeve", "step")) > LEAST_FOLLOW_MM
    return () if free else ("seal-sleeve",)


LEAST_FOLLOW_MM = 1.0
"""How far at least a face must be able to follow its seat as it wears and the shaft floats. Common practice."""


def ring_misses_journal(build: Build) -> tuple[str, ...]:
    """Name the O-ring of the rotating face when it is not squeezed, or lies beyond the journal it slides on."""
    if not build.has("face-o-ring"):
        return ()  # that there is none says rule 40
    ring = build.numbers_at("face-o-ring")
    squeezed = abs(ring["groove"] - ring["mate"]) / 2 < ring["section"]
    low = float(build.position("seal-sleeve", "flange-face"))
    high = "step" if "step" in build.piece_at("seal-sleeve").faces else "drive-end"
    end = float(build.position("seal-sleeve", high))
    lies = [float(build.position("face-o-ring", face)) for face in ("suction-end", "drive-end")]
    return () if squeezed and low < lies[0] and lies[1] < end else ("face-o-ring",)


def seat_meets_sleeve(build: Build) -> tuple[str, ...]:
    """Name the seat when what turns inside it does not clear it."""
    turning = float(build.diameter("seal-sleeve", "face-journal"))
    return () if turning < build.numbers_at("seal-seat")["bore"] else ("seal-seat",)


RULES = (
    Rule(1, "wet-joint-sealed", rules.unsealed_joints),
    Rule(40, "seal-rings-there", seal_rules.seal_rings_lacking),
    Rule(41, "spring-pushes-to-seat", seal_rules.spring_pushes_away),
    Rule(47, "seal-face-driven", seal_rules.face_not_driven),
    Rule(48, "hub-drives-seal", partial(seal_rules.hub_does_not_drive, hub_place="seal-sleeve")),
    Rule(49, "seal-can-follow", seal_rules.spring_cannot_follow),
    Rule(111, "seal-balance-as-named", balance_is_off),
    Rule(112, "nose-within-seat", nose_leaves_seat),
    Rule(113, "face-slides-on-sleeve", face_cannot_slide),
    Rule(114, "face-ring-on-journal", ring_misses_journal),
    Rule(115, "seat-clears-sleeve", seat_meets_sleeve),
)
