"""Wet end in an open casing: the pump's own cover, back plate and impeller, held so that they can be seen.

The open casing stands in for the volute and the shaft carrier for bracket, bearings and housing; so every part
of the wet end stands to its neighbours as it does in the pump, and its clearances are the pump's.
"""

from __future__ import annotations

from collections.abc import Iterable

from models.exhibits.impeller_fixings import CUT_SHAFT, GENERAL_RULES
from models.parts import open_casing, shaft_carrier
from models.spec.family import System
from models.spec.joint import Joint, JointKind
from models.spec.seat import AsOne, Place, Seat
from models.systems import bracket, casing, impeller_fixing, rules
from models.systems.shared import FRAME, WET_END

STANDS_IN = {"volute": "open-casing", "bracket": "shaft-carrier"}
CASING_TAKEN = ("suction-cover", "cover-o-ring", "wear-ring", "cover-stud", "cover-nut", "casing-gasket")  # fmt: skip
FRAME_TAKEN = ("back-plate", "bracket-o-ring", "bracket-stud", "bracket-nut")
WORK_TAKEN = ("match-marks", "sling-cover", "bend-tab", "measure-back-vane")


def _take(places: Iterable[Place], names: tuple[str, ...]) -> tuple[Place, ...]:
    return tuple(place for place in places if place.name in names)


PLACES = (
    Place("open-casing", open_casing.PART, group=WET_END),
    *_take(casing.PLACES, CASING_TAKEN),
    *_take(bracket.PLACES, FRAME_TAKEN),
    Place("shaft-carrier", shaft_carrier.PART, Seat("casing-end", "back-plate", "bracket-face"), group=FRAME),
    Place(CUT_SHAFT.name, CUT_SHAFT.part, Seat("drive-end", "shaft-carrier", "shaft-floor"), group=CUT_SHAFT.group),
    *impeller_fixing.PLACES,
)  # fmt: skip


def _take_joints(*joints: Joint) -> tuple[Joint, ...]:
    """Take the joints between what is there; those of nothing but absent places would only be read."""
    there = {*(place.name for place in PLACES), *STANDS_IN}
    return tuple(joint for joint in joints if there.issuperset(joint.members))


JOINTS = (
    *_take_joints(*casing.JOINTS, *bracket.JOINTS, *impeller_fixing.JOINTS),
    Joint("shaft-carried", JointKind.PRESS, ("shaft-carrier", "shaft"), fit=("shaft-bore", "inboard-journal"), tool="bearing-puller"),
)  # fmt: skip

FIXED = ("fixing", "keyed")
"""How the impeller is fixed here for good."""


OF_FIXING = tuple(
    fault
    for fault in impeller_fixing.FAULTS
    if FIXED[1] in fault.list_needs().get(FIXED[0], (FIXED[1],))
)

SYSTEM = System(
    places=PLACES,
    joints=JOINTS,
    always=(
        *(AsOne(place, within) for place, within in STANDS_IN.items()),
        *impeller_fixing.OPTIONS[0].values[FIXED[1]],
    ),
    clearances=(*casing.CLEARANCES, *impeller_fixing.CLEARANCES),
    rules=(
        *(rule for rule in rules.RULES if rule.key in GENERAL_RULES),
        *impeller_fixing.RULES,
    ),
    faults=(*casing.FAULTS, *bracket.FAULTS, *OF_FIXING),
    work=tuple(work for work in (*casing.WORK, *impeller_fixing.WORK) if work.key in WORK_TAKEN),
)
