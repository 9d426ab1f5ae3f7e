"""What the bench sheet of a build asks for: what is measured with which limits, parts, joints, tests."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from models.spec.build import TABLES, Build
from models.spec.clearance import ClearanceKind
from models.spec.errors import RefusalError
from models.spec.joint import JointKind
from models.spec.standard import read_standard
from trainer.core.measure.packs import MICROMETER_MM
from trainer.core.running.preload import FACE_SHARE, Bolt, find_usual_torque_nm
from trainer.session.sheet import Group

FOUR_PLACES = ("back-vane", "wear-plate")
"""Clearances that are measured by feelers at four places, turning the impeller."""
SET_BY_SHIMS = "back-vane"
"""The gap that the pack between shaft shoulder and hub is chosen for."""
RUNNING = ("wear-ring", "hub-ring")
"""Running clearances on the diameter without which a rebuild is not proved."""
END_FLOAT = "end-float"
NOT_MEASURED = (ClearanceKind.SHARE, ClearanceKind.RADIAL)
"""Kinds that are worked out and never measured on the bench."""
RUN_OUTS = {
    "shaft-at-seal": "shaft",
    "shaft-at-coupling": "shaft",
    "housing-register": "bearing-housing",
    "seal-chamber-face": "back-plate",
}
"""Where a dial stands, and the place without which it can't."""
RUN_OUT_LIMITS = "run-out-limits"
WHOLE = ("impeller", "bearing-housing")
"""Places without which a build is no pump to be rebuilt."""
RENEWED = frozenset({"flat-gasket", "o-ring", "seal-ring", "oil-seal", "tab-washer", "lock-washer", "packing-ring"})  # fmt: skip
"""Kinds of part that are new at every rebuild (common practice)."""
GAUGES = {"feelers": "0.01 mm", "dial": "0.005 mm", "micrometer": f"{MICROMETER_MM:g} mm"}
"""Gauges to begin with; how far each may be off is for its own certificate to say."""
GAUGE_OF = {
    Group.GAPS: "feelers",
    Group.END_FLOAT: "dial",
    Group.RUN_OUT: "dial",
    Group.OTHER: "micrometer",
}
APART = frozenset({"shim", "garter-spring"})
"""Kinds of part without a line of their own: shims are chosen as a pack, a garter spring comes with its lip seal."""
WRENCHED = frozenset({"hex-screw", "socket-screw", "nut"})
"""Kinds of fastener that are tightened by a torque."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """One line of the sheet: limits in mm, who says so, and whether the sheet waits for it as left."""

    group: Group
    name: str
    low_mm: float
    aim_mm: float
    high_mm: float
    required_by: str
    is_needed: bool

    @property
    def possible_mm(self) -> tuple[float, float]:
        """Between what a reading can lie at all: ten times the width of the limits beyond them, 2 mm at least.

        Not a limit of anything: what lies outside is a slip of the pen or of the unit.
        """
        reach = max(10.0 * (self.high_mm - self.low_mm), 2.0)
        low = self.low_mm - reach
        return (max(low, 0.0) if self.low_mm >= 0.0 else low, self.high_mm + reach)


@dataclass(frozen=True, slots=True)
class Bolting:
    """A bolted joint with its fasteners: their place, how many, their thread in mm, the usual torque of each.

    The torque is computed for teaching, for oiled steel of the usual class; the maker's value goes before it.
    """

    joint: str
    fastener: str
    count: int
    thread_mm: float
    taught_nm: float


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """All that the sheet of one build asks for. parts: how many pieces by place; tests: their keys."""

    build: Build
    wanted: tuple[Wanted, ...]
    parts: Mapping[str, int]
    renewed: frozenset[str]
    boltings: tuple[Bolting, ...]
    tests: tuple[str, ...]

    def of(self, group: Group) -> dict[str, Wanted]:
        """Give the lines of a group by name."""
        return {one.name: one for one in self.wanted if one.group is group}


def plan_sheet(build: Build) -> SheetPlan:
    """Plan the sheet of a build.

    Raises:
        RefusalError: it is no whole pump. ContentError: nothing says what a clearance must be.
    """
    if not build.has(*WHOLE):
        raise RefusalError(
            f"{build.name} is no whole pump: a bench sheet is filled in for a pump with impeller and bearing housing"
        )
    kinds = {place: build.piece_at(place).part.kind for place in build.places}
    return SheetPlan(
        build,
        (*_list_clearances(build), *_list_run_outs(build)),
        {place: len(pieces) for place, pieces in build.places.items() if kinds[place] not in APART},
        frozenset(place for place, kind in kinds.items() if kind in RENEWED),
        tuple(_list_boltings(build)),
        _list_tests(build),
    )


def _list_clearances(build: Build) -> list[Wanted]:
    found = []
    for clearance in build.clearances:
        if (
            clearance.kind in NOT_MEASURED or "." in clearance.name
        ):  # of every seal: it is bought to fit
            continue
        group = Group.GAPS if clearance.name in FOUR_PLACES else Group.OTHER
        group = Group.END_FLOAT if clearance.name == END_FLOAT else group
        row = build.find_requirement(clearance)
        needed = group is not Group.OTHER or clearance.name in RUNNING
        source = str(row.source)
        found.append(
            Wanted(group, clearance.name, row.lower, row.nominal, row.upper, source, needed)
        )
    return sorted(found, key=lambda one: (list(Group).index(one.group), not one.is_needed))


def _list_run_outs(build: Build) -> list[Wanted]:
    limits = read_standard(TABLES, RUN_OUT_LIMITS)
    rows = {where: limits[where]["limit"] for where, at in RUN_OUTS.items() if build.has(at)}
    return [
        Wanted(Group.RUN_OUT, where, 0.0, 0.0, row.nominal, str(row.source), is_needed=True)
        for where, row in rows.items()
    ]


def _list_boltings(build: Build) -> list[Bolting]:
    found = []
    for joint in build.joints:
        fasteners = joint.fasteners if joint.kind is JointKind.BOLTED else ()
        for place in fasteners:
            if build.piece_at(place).part.kind in WRENCHED:
                count, row = len(build.pieces_at(place)), build.numbers_at(place)
                head = (
                    FACE_SHARE * row["across-flats"]
                    if "across-flats" in row
                    else row["head-diameter"]
                )
                bolt = Bolt(row["thread"], head)
                torque = find_usual_torque_nm(bolt)
                found.append(Bolting(joint.name, place, count, row["thread"], torque))
    return found


def _list_tests(build: Build) -> tuple[str, ...]:
    tests = ["turns-free", "pressure"]
    if build.options.get("priming", "none") != "none":
        tests.append("vacuum-hold")
    if build.options.get("lubrication") == "oil":
        tests.append("oil-leak")
    return (*tests, "run-in")
