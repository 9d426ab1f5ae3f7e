"""What must be so at the drive end of every sound build: numbers 61 to 65 and 69."""

from __future__ import annotations

from models.spec.build import Build
from models.spec.rule import Rule

PILOT_PLAY_MM = 0.3
"""Most play between a pilot and what goes into it; common practice."""
FINGER_MM = 8.0
"""A slot wider than this lets a finger through to what turns behind it; common practice for guards near the danger."""

KEYED = {
    "coupling-hub": "coupling-key",
    "shaft-sheave": "shaft-sheave-key",
    "vacuum-sheave": "vacuum-sheave-key",
}
"""What turns with a shaft, and the key that makes it."""


def bell_misses_housing(build: Build) -> tuple[str, ...]:
    """Name the bell housing when its pilot or its flange does not fit the engine housing of its number."""
    if not build.has("bell-housing"):
        return ()
    row = build.numbers_at("bell-housing")
    play = row["pilot"] - row["pilot-diameter"]
    holes_whole = (
        row["pilot"] + row["engine-hole"] < row["bolt-circle"] < row["outside"] - row["engine-hole"]
    )
    return () if 0 < play <= PILOT_PLAY_MM and holes_whole else ("bell-housing",)


def disc_misses_flywheel(build: Build) -> tuple[str, ...]:
    """Name the flexible disc when it does not fit the flywheel's pilot, or is asked to reach to another depth."""
    if not build.has("flexible-disc"):
        return ()
    row = build.numbers_at("flexible-disc")
    play = row["pilot"] - row["rim-diameter"]
    aim = build.find_requirement(build.clearance("coupling-reach")).nominal
    fits = 0 < play <= PILOT_PLAY_MM and abs(aim - row["reach"]) < 1e-6
    return () if fits else ("flexible-disc",)


def disc_meets_bell(build: Build) -> tuple[str, ...]:
    """Name the flexible disc when it cannot be taken out through the big end of the bell housing."""
    if not build.has("flexible-disc", "bell-housing"):
        return ()
    bell = build.numbers_at("bell-housing")
    room = bell["drum-diameter"] - 2 * bell["wall"]
    fits = build.numbers_at("flexible-disc")["rim-diameter"] < room
    return () if fits else ("flexible-disc",)


def windows_open(build: Build) -> tuple[str, ...]:
    """Name guards that leave a window of the bell housing open at an edge, or have slots for a finger."""
    if not build.has("bell-housing"):
        return ()
    bell, bad = build.numbers_at("bell-housing"), []
    for place in ("window-guard-right", "window-guard-left"):
        if not build.has(place):
            bad.append("bell-housing")
            continue
        guard = build.numbers_at(place)
        covers = (
            guard["width"] > bell["window-width"]
            and guard["length"] > bell["window-length"]
            and guard["slot-width"] <= FINGER_MM
        )
        bad += [] if covers else [place]
    return tuple(dict.fromkeys(bad))


def set_screw_beside_key(build: Build) -> tuple[str, ...]:
    """Name the set screw when it does not stand on the coupling key but beyond one of its ends."""
    if not build.has("set-screw", "coupling-key"):
        return ()
    screw, key = build.piece_at("set-screw"), build.piece_at("coupling-key")
    apart = abs(float(screw.pose.origin[0]) - float(key.pose.origin[0]))
    straight = (float(key.row["length"]) - float(key.row["width"])) / 2
    return () if apart + float(screw.row["thread"]) / 2 <= straight else ("set-screw",)


def wheels_not_driven(build: Build) -> tuple[str, ...]:
    """Name what is keyed to a shaft and has no key: coupling hub, sheaves."""
    return tuple(wheel for wheel, key in KEYED.items() if build.has(wheel) and not build.has(key))


RULES = (
    Rule(61, "bell-fits-engine-housing", bell_misses_housing),
    Rule(62, "disc-fits-flywheel", disc_misses_flywheel),
    Rule(63, "disc-passes-bell", disc_meets_bell),
    Rule(64, "windows-guarded", windows_open),
    Rule(65, "set-screw-on-key", set_screw_beside_key),
    Rule(69, "wheels-keyed", wheels_not_driven),
)
