"""Rolling bearings: the five kinds a pump is built with, side by side on one arbor or each by itself.

Each part says which loads it carries; the pair's two bearings carry together what neither does alone.
"""

from __future__ import annotations

from models.parts import arbor, bearing, bearing_roller, lock_nut, lock_washer, spacer
from models.spec.build import Build
from models.spec.family import System, join_systems
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.part import Load
from models.spec.rule import Rule
from models.spec.seat import AsOne, Fill, Option, Place, Reseated, Rows, Seat, Without
from models.spec.view import View
from models.systems import bearing_frame, bearing_rules

On = tuple[str, str]
"""A place and the face of it on which something seats."""
COLLAR: On = ("arbor", "thrust-shoulder")
BACK_FORWARD = {+1: Load.AXIAL_FORWARD, -1: Load.AXIAL_BACKWARD}
"""The load along the shaft that an angular contact bearing carries, by the side its back looks to."""


def _put_single_row(on: On) -> tuple[Place, ...]:
    return (Place("ball-bearing", bearing.PART, Seat("inner-suction-end", *on), row="deep-groove-bearing"),)  # fmt: skip


def _put_double_row(on: On) -> tuple[Place, ...]:
    return (Place("double-row-bearing", bearing.DOUBLE, Seat("inner-suction-end", *on)),)


def _put_roller(on: On) -> tuple[Place, ...]:
    return (
        Place("roller-bearing", bearing_roller.OUTER, mounts=("roller-inner-ring", "rollers")),
        Place("roller-inner-ring", bearing_roller.INNER, Seat("inner-suction-end", *on), row="roller-bearing"),
    )  # fmt: skip


def _put_angular(on: On) -> tuple[Place, ...]:
    return (Place("angular-bearing", bearing.BACK_DRIVE, Seat("inner-suction-end", *on), row="angular-contact-bearing"),)  # fmt: skip


def _put_pair(on: On) -> tuple[Place, ...]:
    return (
        Place("pair-suction", bearing.BACK_DRIVE, Seat("inner-suction-end", *on), row="angular-contact-bearing"),
        Place("pair-drive", bearing.BACK_SUCTION, Seat("back", "pair-suction", "back"), row="angular-contact-bearing"),
    )  # fmt: skip


STATIONS = {
    "single-row": _put_single_row,
    "double-row": _put_double_row,
    "roller": _put_roller,
    "angular-contact": _put_angular,
    "back-to-back": _put_pair,
}
"""The kinds in their order along the arbor; the last place of each is the one that what follows seats on."""
SPACERS = tuple(f"spacer-{number}" for number in range(1, len(STATIONS)))


def _put_washer(on: str) -> Place:
    return Place("lock-washer", lock_washer.PART, Seat("suction-end", on, "inner-drive-end"))


def _put_row() -> tuple[Place, ...]:
    """Put every kind on the arbor with a spacer between, and the lock washer behind the last."""
    placed: list[Place] = []
    on = COLLAR
    for number, put in enumerate(STATIONS.values()):
        if number:
            here = SPACERS[number - 1]
            placed.append(Place(here, spacer.PART, Seat("suction-end", *on), row="spacer"))
            on = (here, "drive-end")
        placed += put(on)
        on = (placed[-1].name, "inner-drive-end")
    return (*placed, _put_washer(on[0]))


ROW = _put_row()


def _put_alone(kind: str) -> tuple[Fill, ...]:
    """Leave all but one kind off, seat that on the collar, and take an arbor of its length."""
    mine = STATIONS[kind](COLLAR)
    kept = {place.name for place in mine} | {"lock-washer"}
    gone = (Without(place.name) for place in ROW if place.name not in kept)
    return (*gone, *mine, _put_washer(mine[-1].name), Rows("arbor", (f"arbor-{kind}",)))


FITS = ("ball-bearing", "double-row-bearing", "roller-inner-ring", "angular-bearing", "pair-suction", "pair-drive")  # fmt: skip
"""What is pressed on the arbor."""

JOINTS = (
    *(
        Joint(f"{place}-fit", JointKind.PRESS, ("arbor", place), fit=("outboard-journal", "bore"), tool="bearing-puller")
        for place in FITS
    ),
    *(
        Joint(f"{place}-clamp", JointKind.BOLTED, ("arbor", place, "lock-washer"), ("lock-nut",))
        for place in (*FITS, *SPACERS)
    ),
    Joint("roller-running", JointKind.RUNNING, ("roller-inner-ring", "roller-bearing")),
    Joint("lock-tab", JointKind.KEYED, ("arbor", "lock-washer")),
    Joint("lock-thread", JointKind.THREADED, ("arbor", "lock-nut")),
)  # fmt: skip


def load_misses_back(build: Build) -> tuple[str, ...]:
    """Name angular contact bearings that are said to carry a load along the shaft otherwise than towards their back.

    The ball leans on the high shoulder of the outer ring, which stands at the back.
    """
    return tuple(
        piece.name
        for piece in build.pieces.values()
        if "back" in piece.faces
        and piece.part.carries - {Load.RADIAL} != {BACK_FORWARD[piece.faces["back"].facing]}
    )


def spacer_too_wide(build: Build) -> tuple[str, ...]:
    """Name spacers that would reach past an inner ring's shoulder to the cage or the outer ring."""
    rows = [build.numbers_at(place) for place in FITS if build.has(place)]
    least = min(
        row["inner-race"] if "inner-race" in row else _find_least_shoulder(row) for row in rows
    )
    return tuple(
        place
        for place in SPACERS
        if build.has(place) and float(build.diameter(place, "outside")) >= least
    )


def _find_least_shoulder(row: dict[str, float]) -> float:
    return min(bearing.inner_shoulder_mm(row), 2 * bearing.angular_shoulders_mm(row)[1])


SHARED_RULES = ("pair-back-to-back", "thrust-bearing-clamped", "lock-tab-in-slot")
RULES = (
    *(rule for rule in bearing_rules.RULES if rule.key in SHARED_RULES),
    Rule(141, "thrust-towards-back", load_misses_back),
    Rule(142, "spacer-on-inner-rings", spacer_too_wide),
)

SECOND_TURNED = (
    Reseated("pair-drive", Seat("front", "pair-suction", "back"), turned=True),
    Reseated("lock-washer", Seat("suction-end", "pair-drive", "inner-suction-end"), turned=True),
)
BOTH_TURNED = (
    Reseated("pair-suction", Seat("inner-drive-end", *COLLAR), turned=True),
    Reseated("pair-drive", Seat("front", "pair-suction", "front")),
    Reseated("lock-washer", Seat("suction-end", "pair-drive", "inner-suction-end"), turned=True),
)
AS_PAIR = (("arrangement", "back-to-back"),)
NUT_SLIPS = ("lock-tab-not-bent", "lock-washer-left-out")
FAULTS = (
    SeededFault("pair-in-tandem", 51, SECOND_TURNED, needs=AS_PAIR, at=("pair-drive",)),
    SeededFault("pair-face-to-face", 51, BOTH_TURNED, needs=AS_PAIR, at=("pair-suction",)),
    *(fault for fault in bearing_frame.FAULTS if fault.key in NUT_SLIPS),
)  # fmt: skip

NAMED = ("ball-bearing", "double-row-bearing", "roller-bearing", "angular-bearing", "pair-suction", "pair-drive")  # fmt: skip

SYSTEM = System(
    places=(
        Place("arbor", arbor.PART),
        *ROW,
        Place("lock-nut", lock_nut.PART, Seat("suction-end", "lock-washer", "drive-end")),
    ),
    joints=JOINTS,
    always=(AsOne("shaft", "arbor"),),
    options=(
        Option(
            "arrangement",
            {
                "side-by-side": (Rows("arbor", ("arbor-side-by-side",)),),
                **{k: _put_alone(k) for k in STATIONS},
            },
        ),
    ),
    rules=RULES,
    faults=FAULTS,
    views=(
        View("loads", "side", section=True, named=NAMED, loads=True),
        View(
            "bearing-section",
            "side",
            section=True,
            named=NAMED,
            close_to=(*NAMED, "roller-inner-ring"),
            above=True,
        ),
    ),
)

FAMILY = join_systems("rolling-bearings", SYSTEM)
