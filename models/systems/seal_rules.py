"""What must be so of the rotating half of a mechanical seal, with coil spring or bellows. Numbers 40, 41 and 47 to 49."""

from __future__ import annotations

from models.spec.build import Build
from models.spec.rule import Rule

PUSHERS = {"seal-spring": "seal-retainer", "seal-bellows": "seal-bellows"}
"""What pushes the rotating face, with what the hub turns it by."""


def spring_pushes_away(build: Build) -> tuple[str, ...]:
    """Name the rotating face when nothing pushes it, or what does pushes it away from the seat's lapped face."""
    if not build.has("seal-face", "seal-seat"):
        return ()
    if not any(build.has(pusher) for pusher in PUSHERS):
        return ("seal-face",)
    pushed = float(build.position("seal-face", "spring-face"))
    seat = float(build.position("seal-seat", "back"))
    lapped = float(build.position("seal-seat", "lapped-face"))
    return () if pushed < lapped < seat else ("seal-face",)


def face_not_driven(build: Build) -> tuple[str, ...]:
    """Name the rotating face when the lugs do not stand in its notches, or the carrier does not grip it."""
    if not build.has("seal-face") or spring_pushes_away(build):
        return ()  # where a face that looks the wrong way stands, rule 41 says
    face = build.numbers_at("seal-face")
    if build.has("seal-bellows"):
        gripped = face["outside"] > build.numbers_at("seal-bellows")["carrier-bore"]
        return () if gripped else ("seal-face",)
    lug = build.numbers_at("seal-retainer")
    enters = float(
        build.position("seal-retainer", "drive-end") - build.position("seal-face", "spring-face")
    )
    low, high = lug["lug-inside"], lug["lug-inside"] + 2 * lug["wall"]
    driven = (
        0 < enters < face["notch-length"]
        and face["notch-floor"] < low < high < face["outside"]
        and lug["lug-width"] < face["notch-width"]
    )
    return () if driven else ("seal-face",)


def hub_does_not_drive(build: Build, hub_place: str = "impeller") -> tuple[str, ...]:
    """Name what carries the dogs when they do not stand in the notches of the hub, or bottom there and lift the back."""
    bad = []
    for pusher, driver in PUSHERS.items():
        if not build.has(pusher):
            continue
        hub, dog = build.numbers_at(hub_place), build.numbers_at(driver)
        driven = (
            0 < dog["dog-length"] < hub["drive-notch-depth"]
            and dog["dog-width"] < hub["drive-notch-width"]
            and hub["drive-notch-inside"] < dog["dog-inside"] < hub["hub-diameter"]
        )
        bad += [] if driven else [driver]
    return tuple(bad)


def spring_cannot_follow(build: Build) -> tuple[str, ...]:
    """Name the spring that misses its retainer's landing or is pressed solid, or the bellows that is, or that rubs the shaft."""
    if build.has("seal-spring"):
        spring, shell = build.numbers_at("seal-spring"), build.numbers_at("seal-retainer")
        wire, mean = spring["wire-diameter"], spring["mean-diameter"]
        room = shell["outside"] - 2 * shell["wall"]
        lands = shell["bore"] < mean - wire and mean + wire < room
        return () if lands and (spring["coils"] + 1) * wire < spring["span"] else ("seal-spring",)
    if not build.has("seal-bellows"):
        return ()
    row, shaft = (
        build.numbers_at("seal-bellows"),
        float(build.diameter("shaft-sleeve", "seal-journal")),
    )
    left = row["span"] - row["carrier-floor"] - row["collar-length"]
    # each convolution is two sheets thick when pressed solid
    free = left > 2 * row["convolutions"] * row["sheet-thickness"] * LEAST_OPEN
    return () if free and row["bellows-bore"] > shaft else ("seal-bellows",)


LEAST_OPEN = 2.0
"""A working bellows is at least this many times as long as one pressed solid. Common practice."""


def seal_rings_lacking(build: Build) -> tuple[str, ...]:
    """Name what has a groove for an O-ring and no ring in it: liquid gets past it, whatever the faces do."""
    return tuple(
        place
        for place, ring in RINGED.items()
        if build.has(place) and "groove-wall" in build.piece_at(place).faces and not build.has(ring)
    )


RINGED = {
    "seal-seat": "seat-o-ring",
    "seal-face": "face-o-ring",
    "seal-bellows": "bellows-o-ring",
}
"""What of a mechanical seal is itself sealed by an O-ring in its groove."""


RULES = (
    Rule(40, "seal-rings-there", seal_rings_lacking),
    Rule(41, "spring-pushes-to-seat", spring_pushes_away),
    Rule(47, "seal-face-driven", face_not_driven),
    Rule(48, "hub-drives-seal", hub_does_not_drive),
    Rule(49, "seal-can-follow", spring_cannot_follow),
)
