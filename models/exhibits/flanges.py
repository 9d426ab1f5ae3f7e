"""A pair of pipe flanges with gasket, bolts and nuts: two drillings, raised or flat faces."""

from __future__ import annotations

from models.parts import flange_gasket, hex_screw, nut, pipe_flange
from models.spec.build import Build
from models.spec.family import System, join_systems
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.rule import Rule
from models.spec.seat import LeftOut, Option, Place, Rows, Seat, Span
from models.spec.view import View
from models.spec.work import Work
from models.systems import rules

PIPE = "pipe"
FLANGES = ("upstream-flange", "downstream-flange")
ON_GASKET = Seat("suction-end", "upstream-flange", "face")

LEAST_PROUD, MOST_PROUD = 0.0, 1.0
"""How far a bolt stands out of its nut, in thread diameters: no thread left short, and not so long that it rusts in. Common practice."""
MOST_PLAY_MM = 4.0
"""Most play of a bolt in its hole: with more, flanges of another drilling have been forced together. Common practice."""


def faces_differ(build: Build) -> tuple[str, ...]:
    """Name the downstream flange when one face is raised and the other is not, or not as far."""
    rises = [build.numbers_at(place)["raise-height"] for place in FLANGES]
    return () if rises[0] == rises[1] else ("downstream-flange",)


def bolts_too_short(build: Build) -> tuple[str, ...]:
    """Name the bolts that do not come through their nuts, or stand out too far."""
    place = "flange-bolt"
    proud = float(build.position(place, "point") - build.position("flange-nut", "outer-end"))
    thread = build.numbers_at(place)["thread"]
    fits = LEAST_PROUD < proud <= MOST_PROUD * thread
    return () if fits else build.pieces_at(place)


def gasket_is_off(build: Build) -> tuple[str, ...]:
    """Name the gasket when it stands in the stream, or leaves part of the sealing face bare."""
    if not build.has("flange-gasket"):
        return ()  # that there is none says rule 1
    row, flange = build.numbers_at("flange-gasket"), build.numbers_at("upstream-flange")
    outside = float(build.diameter("flange-gasket", "outside"))
    sealing = flange["raise-diameter"] if flange["raise-height"] > 0 else flange["outside"]
    return () if flange["bore"] <= row["gasket-bore"] and outside >= sealing else ("flange-gasket",)


def drillings_differ(build: Build) -> tuple[str, ...]:
    """Name the flanges whose holes are not drilled alike, or do not suit the bolts."""
    bolt = build.numbers_at("flange-bolt")["thread"]
    first = build.numbers_at(FLANGES[0])
    bad = []
    for place in FLANGES:
        row = build.numbers_at(place)
        alike = all(row[key] == first[key] for key in ("bolt-circle", "holes"))
        if not (alike and bolt < row["hole"] <= bolt + MOST_PLAY_MM):
            bad.append(place)
    return tuple(bad)


RAISED, PN16 = (("facing", "raised"),), (("flanges", "pn16"),)

FAULTS = (
    SeededFault("flange-gasket-left-out", 1, (LeftOut("flange-gasket"),)),
    SeededFault("raised-against-flat", 125, (Rows("downstream-flange", ("flange-flat",)),), needs=RAISED, near=("downstream-flange", "face")),
    SeededFault("flange-bolts-short", 126, (Rows("flange-bolt", ("flange-bolt-short",)),)),
    SeededFault("gasket-in-the-stream", 127, (Rows("flange-gasket", ("flange-gasket-small",)),)),
    SeededFault("drillings-mixed", 128, (Rows("downstream-flange", ("drilling-class-150",)),), needs=PN16),
)  # fmt: skip

DRILLED = (*FLANGES, "flange-gasket")
"""What has rows of its own for each drilling, with the bolts that go through."""


def _drill(group: str) -> tuple[Rows, ...]:
    return (
        *(Rows(place, (f"drilling-{group}",)) for place in DRILLED),
        *(Rows(place, (f"flange-{group}",)) for place in FLANGES),
        Rows("flange-bolt", (f"flange-bolt-{group}",)),
    )


SYSTEM = System(
    places=(
        Place("upstream-flange", pipe_flange.PART, row="pipe-flange", group=PIPE),
        Place("flange-gasket", flange_gasket.RING, ON_GASKET, group=PIPE),
        Place("downstream-flange", pipe_flange.PART, Seat("face", "flange-gasket", "drive-end"), row="pipe-flange", mounts=("upstream-flange", "mate"), group=PIPE),
        Place("flange-bolt", hex_screw.PART, Seat("under-head", "upstream-flange", "bolt-face"), mounts=("upstream-flange", "bolts"), group=PIPE),
        Place("flange-nut", nut.PART, Seat("bearing-face", "downstream-flange", "bolt-face"), mounts=("upstream-flange", "bolts"), group=PIPE),
    ),
    joints=(
        Joint("flange-joint", JointKind.BOLTED, FLANGES, ("flange-nut",), wet=True, sealed_by=("flange-gasket",)),
        Joint("flange-seal", JointKind.SEALED, ("upstream-flange", "flange-gasket", "downstream-flange")),
        Joint("flange-nuts", JointKind.THREADED, ("flange-bolt", "flange-nut")),
    ),
    options=(
        Option("flanges", {"pn16": _drill("pn16"), "class-150": _drill("class-150")}),
        Option(
            "facing",
            {
                "raised": (),
                "flat": (
                    *(Rows(place, ("flange-flat",)) for place in FLANGES),
                    Place("flange-gasket", flange_gasket.FULL, ON_GASKET, spans={"rim": Span(("upstream-flange", "rim"))}, group=PIPE),
                ),
            },
        ),
    ),
    faults=FAULTS,
    rules=(
        Rule(1, "wet-joint-sealed", rules.unsealed_joints),
        Rule(125, "flange-faces-alike", faces_differ),
        Rule(126, "bolts-through-nuts", bolts_too_short),
        Rule(127, "gasket-covers-face", gasket_is_off),
        Rule(128, "flanges-drilled-alike", drillings_differ),
    ),
    work=(Work("pipe-empty", critical=True), Work("pipe-propped", "flange-nut", critical=True)),
    views=(
        View("flange-joint", "side", section=True, named=(*DRILLED, "flange-bolt", "flange-nut")),
        View("flange-faces", "side", section=True, named=(*DRILLED, "flange-bolt", "flange-nut"), close_to=("flange-gasket", "flange-bolt", "flange-nut"), above=True),
        View("flange-opened", "iso-drive", named=("upstream-flange", "flange-gasket", "flange-bolt"), away=("downstream-flange", "flange-nut")),
    ),
)  # fmt: skip

FAMILY = join_systems("flanges", SYSTEM)
