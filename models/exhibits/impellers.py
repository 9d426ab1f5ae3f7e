"""Impellers and what they run on: enclosed in a wear ring, or semi-open along a wear plate, in an open casing."""

from __future__ import annotations

from models.exhibits import open_casing
from models.spec.family import System, join_systems
from models.spec.view import View
from models.systems import wear_parts

BEHIND = ("back-plate", "bracket-o-ring", "shaft-carrier", "bracket-nut", "bracket-stud", "casing-gasket", "open-casing")  # fmt: skip
BEFORE = ("suction-cover", "cover-o-ring", "wear-ring", "cover-nut", "cover-stud")
PLATE = ("wear-plate", "wear-plate-screw")
IMPELLER, HUB_RING = wear_parts.OPTIONS

WEAR = System(
    options=(IMPELLER,),
    rules=tuple(rule for rule in wear_parts.RULES if rule.key != "hub-ring-relieved"),
    faults=wear_parts.FAULTS,
    views=(
        View(
            "running-surfaces", "side", section=True, close_to=("impeller", "wear-ring", "wear-plate"), above=True,
            named=("suction-cover", "wear-ring", "wear-plate", "impeller", "back-plate"),
        ),
        View("running-gap", "side", section=True, close_to=("wear-ring", "wear-plate"), above=True, named=("suction-cover", "wear-ring", "wear-plate", "impeller")),
        View("impeller-in-casing", "iso", section=True, named=("suction-cover", "impeller", "back-plate", "open-casing", "shaft-carrier")),
        View("impeller-front", "iso", named=("impeller", "shaft"), away=(*BEFORE, *PLATE, *BEHIND)),
        View("back-vanes", "iso-drive", named=("impeller", "shaft"), away=(*BEFORE, *PLATE, *BEHIND)),
    ),
)  # fmt: skip

FAMILY = join_systems("impellers", open_casing.SYSTEM, WEAR)
