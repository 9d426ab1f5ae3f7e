"""Shaft seal: what keeps the liquid in where the shaft leaves the casing."""

from __future__ import annotations

import itertools
from dataclasses import replace
from functools import partial

from models.parts import (
    gland,
    lantern_ring,
    nut,
    o_ring,
    packing_ring,
    pipe,
    seal_bellows,
    seal_face,
    seal_retainer,
    seal_seat,
    seal_spring,
    stud,
)
from models.spec.build import Build
from models.spec.clearance import Clearance, ClearanceGroup, ClearanceKind
from models.spec.dimension import Dimension
from models.spec.family import System
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.rule import Rule
from models.spec.seat import Fill, LeftOut, Option, Place, Reseated, Rows, Seat, Span, Without
from models.spec.work import Work
from models.systems import seal_oil, seal_rules
from models.systems.limits import limit
from models.systems.shared import SEAL, TAKEN_UP, put_o_ring
from models.systems.thermal import make_growth

PLACES = (
    Place("seal-seat", seal_seat.PART, Seat("back", "back-plate", "seat-shoulder"), group=SEAL),
    put_o_ring("seat-o-ring", "seal-seat", ("back-plate", "seat-bore"), SEAL),
    Place("seal-face", seal_face.PART, Seat("lapped-face", "seal-seat", "lapped-face"), group=SEAL),
)  # fmt: skip

JOINTS = (
    Joint("seat-fit", JointKind.PRESS, ("back-plate", "seal-seat")),
    Joint("seat-seal", JointKind.SEALED, ("seal-seat", "seat-o-ring", "back-plate")),
    Joint("face-seal", JointKind.SEALED, ("seal-face", "face-o-ring", "shaft-sleeve")),
    Joint("bellows-seal", JointKind.SEALED, ("seal-bellows", "bellows-o-ring", "shaft-sleeve")),
    Joint("bellows-grip", JointKind.PRESS, ("seal-bellows", "seal-face"), fit=("carrier-bore", "outside")),
    Joint("seal-faces", JointKind.RUNNING, ("seal-face", "seal-seat")),
    *(Joint(f"packing-{n}", JointKind.SEALED, ("back-plate", f"packing-ring-{n}", "shaft-sleeve")) for n in range(1, 6)),
    Joint("lantern-place", JointKind.PRESS, ("back-plate", "lantern-ring"), tool="packing-hook"),
    Joint("gland-joint", JointKind.BOLTED, ("back-plate", "gland"), ("gland-nut",)),
    Joint("gland-studs", JointKind.THREADED, ("back-plate", "gland-stud"), ("gland-nut",)),
    Joint("gland-nuts", JointKind.THREADED, ("gland-stud", "gland-nut")),
    Joint("flush-line", JointKind.THREADED, ("back-plate", "lantern-line")),
)  # fmt: skip


def limit_line(build: Build, *, outwards: bool) -> Dimension:
    """Give what is required of the setting line: where the rotating unit stands when the seal has its working length.

    Between the line and the stationary face there is only what stands still, taken as drawn.

    Args:
        build: the build.
        outwards: the further the unit stands from the line, the shorter the seal.
    """
    length, line = build.clearance("seal-length"), build.clearance("seal-line")
    wanted = build.find_requirement(length)
    sign = -1.0 if outwards else 1.0
    still = build.find_nominal(build.read_chain(line) - build.read_chain(length) * sign)
    ends = sorted(still + sign * end for end in (wanted.lower, wanted.upper))
    return replace(wanted, nominal=still + sign * wanted.nominal, lower=ends[0], upper=ends[1])


CLEARANCES = (
    Clearance("seal-length", ClearanceKind.AXIAL, ("impeller", "hub-seat"), ("seal-seat", "lapped-face"), TAKEN_UP, effects=(make_growth("seal-length"),), group=ClearanceGroup.SEALS),
    Clearance("gland-travel", ClearanceKind.AXIAL, ("back-plate", "box-end"), ("gland", "flange-face"), limits=limit("gland-travel"), group=ClearanceGroup.SEALS),
)  # fmt: skip


# the line is scribed on the shaft in the plane of the chamber's face, before the seal goes in
SETTING_LINE = Clearance(
    "seal-line", ClearanceKind.OVERLAP, ("back-plate", "wet-face"), ("impeller", "hub-seat"), TAKEN_UP,
    limits=partial(limit_line, outwards=True), group=ClearanceGroup.SEALS,
)  # fmt: skip

DRIVEN_BY_HUB = Rows("impeller", ("impeller-seal-drive",))

COIL: tuple[Fill, ...] = (
    DRIVEN_BY_HUB,
    SETTING_LINE,
    Rows("seal-face", ("seal-face-coil",)),
    put_o_ring("face-o-ring", "seal-face", ("shaft-sleeve", "seal-journal"), SEAL, side="drive-end", part=o_ring.SLIDING),
    Place("seal-retainer", seal_retainer.PART, Seat("back", "impeller", "hub-seat"), group=SEAL),
    Place(
        "seal-spring", seal_spring.PART, Seat("suction-end", "seal-retainer", "spring-land"), group=SEAL,
        spans={"span": Span(("seal-face", "spring-face"), ("seal-retainer", "spring-land"))},
    ),
)  # fmt: skip
"""One coil spring in a retainer; the face slides on its O-ring as it wears."""

BELLOWS: tuple[Fill, ...] = (
    DRIVEN_BY_HUB,
    SETTING_LINE,
    Rows("seal-face", ("seal-face-bellows",)),
    Place(
        "seal-bellows", seal_bellows.PART, Seat("back", "impeller", "hub-seat"), group=SEAL,
        spans={"span": Span(("seal-face", "spring-face"), ("impeller", "hub-seat"))},
    ),
    put_o_ring("bellows-o-ring", "seal-bellows", ("shaft-sleeve", "seal-journal"), SEAL, side="drive-end"),
)  # fmt: skip
"""A metal bellows is spring and seal in one: its O-ring stands still on the shaft, only the convolutions move."""


def _put_packing(number: int, on: str, on_face: str = "drive-end") -> Place:
    """Put a packing ring on what lies below it in the box, its joint a quarter turn on from the last."""
    spans = {
        "box-bore": Span(("back-plate", "box-bore")),
        "shaft-diameter": Span(("shaft-sleeve", "seal-journal")),
    }
    return Place(
        f"packing-ring-{number}", packing_ring.PART, Seat("suction-end", on, on_face), row="packing-ring",
        mounts=("back-plate", f"packing-joint-{number}"), spans=spans, group=SEAL,
    )  # fmt: skip


PACKED: tuple[Fill, ...] = (
    Rows("back-plate", ("back-plate-packed",)),
    *(Without(place.name) for place in PLACES),
    *(Without(fill.name) for fill in seal_oil.GRAVITY_FEED if isinstance(fill, Place)),  # packing is cooled by its drip
    _put_packing(1, "back-plate", "box-bottom"),
    _put_packing(2, "packing-ring-1"),
    Place("lantern-ring", lantern_ring.PART, Seat("suction-end", "packing-ring-2", "drive-end"), group=SEAL),
    _put_packing(3, "lantern-ring"),
    _put_packing(4, "packing-ring-3"),
    _put_packing(5, "packing-ring-4"),
    Place("gland", gland.PART, Seat("nose-end", "packing-ring-5", "drive-end"), mounts=("back-plate", "gland"), group=SEAL),
    Place("gland-stud", stud.PART, Seat("inner-end", "back-plate", "gland-stud-bottom"), mounts=("back-plate", "gland-studs"), group=SEAL),
    Place("gland-nut", nut.PART, Seat("bearing-face", "gland", "nut-face"), mounts=("back-plate", "gland-nuts"), group=SEAL),
    Place(
        "lantern-line", pipe.LINE, Seat("start", "back-plate", "flush-pad"), mounts=("back-plate", "flush-port"),
        reaches={"end": ("back-plate", "lantern-port")}, group=SEAL,
    ),
)  # fmt: skip

OPTIONS = (
    Option(
        "shaft-seal",
        {"mechanical": (), "packed": PACKED},
        requires=(  # common practice
            ("packed", "bracket", "open", "packing drips and its gland is set by hand; in a closed bracket the drip would fill the oil bath"),
        ),
        excludes=(
            ("packed", "back-plate", "one-casting", "the flushing line lies between back plate and bracket and is taken off when they part; out of one casting it would not pass the window"),
        ),
    ),
    Option(
        "seal-spring",
        {"coil": COIL, "bellows": BELLOWS, "none": ()},
        requires=(  # common practice
            ("coil", "shaft-seal", "mechanical", "packing has no rotating face for a spring to push"),
            ("bellows", "shaft-seal", "mechanical", "packing has no rotating face for a bellows to push"),
            ("none", "shaft-seal", "packed", "the faces of a mechanical seal stay shut only because something pushes them"),
            ("none", "bracket", "open", "only packing has no spring, and it drips and is set by hand"),
        ),
    ),
)  # fmt: skip


def lantern_misses_port(build: Build, box: str = "back-plate") -> tuple[str, ...]:
    """Name the lantern ring when its port does not open between its two sides."""
    if not build.has("lantern-ring"):
        return ()
    row = build.piece_at(box).row
    port = float(build.position(box, "box-bottom") + row["lantern-port"])
    ends = [float(build.position("lantern-ring", face)) for face in ("suction-end", "drive-end")]
    half = float(row["port-bore"]) / 2
    return () if ends[0] < port - half and port + half < ends[1] else ("lantern-ring",)


def gland_has_no_grip(build: Build, box: str = "back-plate") -> tuple[str, ...]:
    """Name the gland when its nose does not stand in the box, or its flange has no travel left."""
    if not build.has("gland"):
        return ()
    end = float(build.position(box, "box-end"))
    nose = float(build.position("gland", "nose-end"))
    return () if nose < end < float(build.position("gland", "flange-face")) else ("gland",)


def packing_in_line(build: Build) -> tuple[str, ...]:
    """Name packing rings whose joint lies behind that of the ring before."""
    rings = [
        build.piece_at(f"packing-ring-{n}") for n in range(1, 6) if build.has(f"packing-ring-{n}")
    ]
    return tuple(
        after.name
        for before, after in itertools.pairwise(rings)
        if before.pose.turn_deg == after.pose.turn_deg
    )


RULES = (
    *seal_rules.RULES,
    Rule(42, "lantern-under-port", lantern_misses_port),
    Rule(43, "gland-can-follow", gland_has_no_grip),
    Rule(50, "packing-joints-staggered", packing_in_line),
)

MECHANICAL, IN_PACKING, COILED = (
    (("shaft-seal", "mechanical"),),
    (("shaft-seal", "packed"),),
    (("seal-spring", "coil"),),
)

FAULTS = (
    SeededFault("seat-o-ring-left-out", 40, (LeftOut("seat-o-ring"),), needs=MECHANICAL),
    SeededFault("face-o-ring-left-out", 40, (LeftOut("face-o-ring"),), needs=COILED),
    SeededFault("seal-spring-left-out", 41, (LeftOut("seal-spring"),), needs=COILED),
    SeededFault(
        "lantern-misplaced", 42,
        (
            Reseated("lantern-ring", Seat("suction-end", "packing-ring-1", "drive-end")),
            Reseated("packing-ring-2", Seat("suction-end", "lantern-ring", "drive-end")),
            Reseated("packing-ring-3", Seat("suction-end", "packing-ring-2", "drive-end")),
        ),
        needs=IN_PACKING, at=("lantern-ring",),
    ),
    SeededFault(
        "packing-joints-in-line", 50,
        tuple(
            Reseated(f"packing-ring-{n}", Seat("suction-end", on, "drive-end"), mounts=("back-plate", "packing-joint-4"))
            for n, on in ((3, "lantern-ring"), (5, "packing-ring-4"))
        ),
        needs=IN_PACKING, at=("packing-ring-3", "packing-ring-5", "packing-ring-4"),
    ),
    SeededFault(
        "packing-ring-left-out", 43,
        (LeftOut("packing-ring-5"), Reseated("gland", Seat("flange-face", "back-plate", "box-end"))),
        needs=IN_PACKING, at=("packing-ring-5", "gland"),
    ),
)  # fmt: skip

WORK = (
    Work("seal-spring-pushes", "impeller", critical=True, given="seal-spring"),
    Work("seal-bellows-pushes", "impeller", critical=True, given="seal-bellows"),
)  # fmt: skip

SYSTEM = System(
    places=PLACES,
    joints=JOINTS,
    options=OPTIONS,
    clearances=CLEARANCES,
    rules=RULES,
    faults=FAULTS,
    work=WORK,
)
