"""Draw-out frame of a self-priming pump: seal plate, oil chamber and bearing frame leave rearward as one unit.

Seal plate and oil chamber are the back plate and the enclosed bracket of other pumps under the names
they have here; what other systems seat on those they find on these. The seal plate is screwed to the
oil chamber and sealed in the casing's bore by an O-ring, so that it comes along. Shims under the flange
move the whole unit; jacking screws push it off.
"""

from __future__ import annotations

from models.parts import back_plate, bracket, flat_gasket, nut, socket_screw, stud
from models.spec.build import Build
from models.spec.family import System
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.rule import Rule
from models.spec.seat import AsOne, Fill, LeftOut, Place, Rows, Seat
from models.spec.work import Work
from models.systems import bracket as bracket_system
from models.systems import seal_oil
from models.systems.shared import FRAME, WET_END, put_o_ring

NAMED_HERE = {
    "back-plate": "seal-plate",
    "bracket": "oil-chamber",
    "bracket-o-ring": "chamber-o-ring",
    "bracket-stud": "frame-stud",
    "bracket-nut": "frame-nut",
}
"""Places of the bracket's system, and what they are called where the frame draws out."""

PLACES = (
    Place("frame-shim", flat_gasket.SHIM, Seat("suction-end", "volute", "rear-face"), group=FRAME),
    Place("seal-plate", back_plate.PART, Seat("casing-face", "frame-shim", "drive-end"), row="back-plate", group=FRAME),
    put_o_ring("frame-o-ring", "seal-plate", ("volute", "bore-rear"), FRAME, groove="spigot-groove"),
    Place("oil-chamber", bracket.PART, Seat("casing-end", "seal-plate", "bracket-face"), row="bracket", group=FRAME),
    put_o_ring("chamber-o-ring", "seal-plate", ("oil-chamber", "casing-register"), FRAME, row="bracket-o-ring"),
    Place("hold-screw", socket_screw.PART, Seat("under-head", "seal-plate", "hold-face"), mounts=("seal-plate", "hold-screws"), group=FRAME),
    Place("frame-stud", stud.PART, Seat("inner-end", "volute", "bracket-stud-bottom"), row="bracket-stud", mounts=("volute", "bracket-studs"), group=WET_END),
    Place("frame-nut", nut.PART, Seat("bearing-face", "oil-chamber", "nut-face"), row="casing-nut", mounts=("volute", "bracket-studs"), group=WET_END),
)  # fmt: skip

JOINTS = (
    *(joint for joint in bracket_system.JOINTS if joint.name not in ("casing-joint", "casing-seal")),
    Joint("casing-joint", JointKind.BOLTED, ("volute", "seal-plate", "oil-chamber"), ("frame-nut",), wet=True, sealed_by=("frame-o-ring", "bracket-o-ring")),
    Joint("frame-seal", JointKind.SEALED, ("seal-plate", "frame-o-ring", "volute")),
    # the shim hangs on the studs: it stays with the casing, like a gasket
    Joint("shim-place", JointKind.SEALED, ("volute", "frame-shim", "seal-plate")),
    Joint("hold-joint", JointKind.BOLTED, ("oil-chamber", "seal-plate"), ("hold-screw",)),
    Joint("hold-screws", JointKind.THREADED, ("oil-chamber", "hold-screw")),
)  # fmt: skip

ALWAYS: tuple[Fill, ...] = (
    *(AsOne(other, here) for other, here in NAMED_HERE.items()),
    Rows("oil-chamber", ("bracket-enclosed", "bracket-hold")),
    Rows("seal-plate", ("back-plate-draw-out",)),
    *seal_oil.OIL_BATH,
    *bracket_system.JACKING,
)

WORK = (Work("support-frame", "frame-nut", critical=True),)


def frame_does_not_draw_out(build: Build) -> tuple[str, ...]:
    """Name the impeller when it does not pass the casing's rear bore with the rest of the unit."""
    wheel = float(build.diameter("impeller", "outside"))
    return () if wheel < float(build.diameter("volute", "bore-rear")) else ("impeller",)


def plate_loose(build: Build) -> tuple[str, ...]:
    """Name the seal plate when no screw holds it to the oil chamber, so that it stays behind as the frame is drawn out."""
    return () if build.has("hold-screw") else ("seal-plate",)


RULES = (
    *bracket_system.RULES,
    Rule(89, "frame-draws-out", frame_does_not_draw_out),
    Rule(92, "seal-plate-held", plate_loose),
)

FAULTS = (
    SeededFault("frame-o-ring-left-out", 1, (LeftOut("frame-o-ring"),)),
    SeededFault("chamber-o-ring-left-out", 1, (LeftOut("chamber-o-ring"),)),
    SeededFault("frame-shim-left-out", 91, (LeftOut("frame-shim"),)),
    SeededFault("hold-screws-left-out", 92, (LeftOut("hold-screw"),)),
    *seal_oil.FAULTS,
)

SYSTEM = System(places=PLACES, joints=JOINTS, rules=RULES, faults=FAULTS, work=WORK, always=ALWAYS)
