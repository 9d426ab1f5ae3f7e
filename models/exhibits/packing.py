"""Packing in its stuffing box: as cut, with the gland just touching, and squeezed by the gland pulled up."""

from __future__ import annotations

from functools import partial

from models.parts import gland, lantern_ring, nut, packing_ring, stub_shaft, stud, stuffing_box
from models.spec.build import Build
from models.spec.clearance import Clearance, ClearanceGroup, ClearanceKind
from models.spec.family import System, join_systems
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.length import Length
from models.spec.part import Part
from models.spec.result import Result
from models.spec.rule import Rule
from models.spec.seat import LeftOut, Option, Place, Reseated, Rows, Seat, Span
from models.spec.view import View
from models.spec.work import Work
from models.systems import shaft_seal
from models.systems.limits import limit
from models.systems.shared import SEAL

BOX, JOURNAL = "stuffing-box", ("stub-shaft", "journal-1")
RINGS = tuple(f"packing-ring-{n}" for n in range(1, 1 + stuffing_box.PACKING_RINGS))
SEATS = {
    "packing-ring-1": (BOX, "box-bottom"),
    "packing-ring-2": ("packing-ring-1", "drive-end"),
    "packing-ring-3": ("lantern-ring", "drive-end"),
    "packing-ring-4": ("packing-ring-3", "drive-end"),
    "packing-ring-5": ("packing-ring-4", "drive-end"),
}
"""What each ring lies on: the lantern ring stands between the second and the third."""

LEAST_FILLING = 0.8
"""How much of the room across the box cut packing fills at least: thinner is the wrong size. Common practice."""


def _pack(part: Part, *, is_spread: bool) -> tuple[Place, ...]:
    spans = {"box-bore": Span((BOX, "box-bore")), "shaft-diameter": Span(JOURNAL)}
    return tuple(
        Place(
            name, part, Seat("suction-end", *SEATS[name]), row="packing-ring", group=SEAL,
            mounts=(BOX, f"packing-joint-{n}"), spans=spans if is_spread else {},
        )
        for n, name in enumerate(RINGS, start=1)
    )  # fmt: skip


def shortening_percent(build: Build) -> Length:
    """Give by how much of its width the first packing ring has been shortened, in percent."""
    ring = build.piece_at("packing-ring-1")
    return (1.0 - ring.faces["drive-end"].at / ring.row["free-width"]) * 100.0


def gland_touches(build: Build) -> tuple[str, ...]:
    """Name the gland when it does not clear the shaft and enter the box, or is looser on the shaft than in the box."""
    shaft, hole = float(build.diameter(*JOURNAL)), float(build.diameter("gland", "bore"))
    nose, box = float(build.diameter("gland", "nose")), float(build.diameter(BOX, "box-bore"))
    return () if shaft < hole and nose < box and box - nose < hole - shaft else ("gland",)


def nut_leaves_stud(build: Build) -> tuple[str, ...]:
    """Name the gland nuts when their studs do not come right through them."""
    stands = build.position("gland-stud", "outer-end") - build.position("gland-nut", "outer-end")
    return () if float(stands) > 0 else build.pieces_at("gland-nut")


def packing_of_wrong_size(build: Build) -> tuple[str, ...]:
    """Name the packing rings whose cut section does not go into the room between shaft and box, or is too thin for it."""
    shaft, box = float(build.diameter(*JOURNAL)), float(build.diameter(BOX, "box-bore"))
    bad = []
    for place in filter(build.has, RINGS):
        row = build.numbers_at(place)
        inside, outside = row["free-inside"], row["free-outside"]
        goes_in = shaft < inside < outside < box
        if not goes_in or outside - inside < LEAST_FILLING * (box - shaft):
            bad.append(place)
    return tuple(bad)


FAULTS = (
    *(fault for fault in shaft_seal.FAULTS if fault.key == "lantern-misplaced"),
    SeededFault(
        "packing-joints-in-line", 50,
        tuple(
            Reseated(f"packing-ring-{n}", Seat("suction-end", on, "drive-end"), mounts=(BOX, "packing-joint-3"))
            for n, on in ((4, "packing-ring-3"), (5, "packing-ring-4"))
        ),
        at=("packing-ring-4", "packing-ring-5"),
    ),
    SeededFault("packing-ring-left-out", 43, (LeftOut("packing-ring-5"),), needs=(("gland", "pulled-up"),)),
    SeededFault("packing-too-thin", 123, tuple(Rows(ring, ("packing-ring-thin",)) for ring in RINGS), needs=(("gland", "just-touching"),), at=("packing-ring-3",)),
    SeededFault("gland-studs-too-short", 122, (Rows("gland-stud", ("gland-stud-short",)),), at=("gland-stud", "gland-nut")),
)  # fmt: skip

SYSTEM = System(
    places=(
        Place(BOX, stuffing_box.PART, group=SEAL),
        Place("stub-shaft", stub_shaft.PART, group=SEAL),
        *_pack(packing_ring.AS_CUT, is_spread=False),
        Place("lantern-ring", lantern_ring.PART, Seat("suction-end", "packing-ring-2", "drive-end"), group=SEAL),
        Place("gland", gland.PART, Seat("nose-end", "packing-ring-5", "drive-end"), mounts=(BOX, "gland"), group=SEAL),
        Place("gland-stud", stud.PART, Seat("inner-end", BOX, "gland-stud-bottom"), mounts=(BOX, "gland-studs"), group=SEAL),
        Place("gland-nut", nut.PART, Seat("bearing-face", "gland", "nut-face"), mounts=(BOX, "gland-studs"), group=SEAL),
    ),
    joints=(
        *(Joint(f"in-box-{name}", JointKind.PRESS, (BOX, name), tool="packing-hook") for name in (*RINGS, "lantern-ring")),
        Joint("gland-joint", JointKind.BOLTED, (BOX, "gland"), ("gland-nut",)),
        Joint("gland-studs", JointKind.THREADED, (BOX, "gland-stud"), ("gland-nut",)),
        Joint("gland-nuts", JointKind.THREADED, ("gland-stud", "gland-nut")),
    ),
    always=(Rows(BOX, ("back-plate-packed",)),),
    options=(
        Option("gland", {"just-touching": (), "pulled-up": _pack(packing_ring.SQUEEZED, is_spread=True)}),
    ),
    clearances=(Clearance("gland-travel", ClearanceKind.AXIAL, (BOX, "box-end"), ("gland", "flange-face"), limits=limit("gland-travel"), group=ClearanceGroup.SEALS),),
    faults=FAULTS,
    rules=(
        Rule(42, "lantern-under-port", partial(shaft_seal.lantern_misses_port, box=BOX)),
        Rule(43, "gland-can-follow", partial(shaft_seal.gland_has_no_grip, box=BOX)),
        Rule(50, "packing-joints-staggered", shaft_seal.packing_in_line),
        Rule(121, "gland-clears-shaft", gland_touches),
        Rule(122, "gland-nut-on-stud", nut_leaves_stud),
        Rule(123, "packing-size-fits", packing_of_wrong_size),
    ),
    work=(Work("box-without-pressure", critical=True),),
    views=(
        View("packing", "side", section=True, named=(*RINGS, "lantern-ring", "gland", "stub-shaft", BOX), close_to=(*RINGS, "gland", "gland-nut")),
        View("packing-close", "side", section=True, named=(*RINGS, "lantern-ring", "gland", BOX), close_to=(BOX, "gland"), above=True),
    ),
    results=(Result("packing-shortened", ("packing-ring-1",), shortening_percent),),
)  # fmt: skip

FAMILY = join_systems("packing", SYSTEM)
