"""Three ways of relieving an impeller of its thrust, each with the parts round it, in an open casing.

Back vanes alone; a hub ring with balance holes to the eye; a hub ring with a line back to suction.
"""

from __future__ import annotations

from dataclasses import replace

from models.exhibits import open_casing
from models.exhibits.impellers import BEFORE, BEHIND
from models.spec.build import Build
from models.spec.family import System, join_systems
from models.spec.rule import Rule
from models.spec.seat import Place
from models.spec.view import View
from models.systems import balance_line, wear_parts

IMPELLER, HUB_RING = wear_parts.OPTIONS
HERE_FREE = replace(HUB_RING, requires=(), excludes=())
"""What the pump's other options ask or bar does not count where there is no bracket, shaft seal or volute."""

LINE = tuple(fill.name for fill in balance_line.LINE if isinstance(fill, Place))
"""The balance line with its fittings and rings."""


def vanes_meet_ring(build: Build) -> tuple[str, ...]:
    """Name the impeller when its back vanes reach inwards over the hub ring's seat: they would sweep its boss."""
    if not build.has("hub-ring"):
        return ()
    vanes = float(build.piece_at("impeller").row["back-vane-inside"])
    return () if vanes > float(build.diameter("back-plate", "ring-bore")) else ("impeller",)


RELIEF = System(
    joints=balance_line.JOINTS,
    always=IMPELLER.values["enclosed"],
    options=(HERE_FREE,),
    rules=(*wear_parts.RULES, *balance_line.RULES, Rule(144, "back-vanes-outside-ring", vanes_meet_ring)),
    faults=wear_parts.FAULTS,
    views=(
        View(
            "relief", "side", section=True, close_to=("impeller", "hub-ring", "wear-ring"), above=True,
            named=("suction-cover", "wear-ring", "impeller", "hub-ring", "back-plate"),
        ),
        View("relief-behind", "iso-drive", named=("impeller", "hub-ring"), away=(*BEFORE, *BEHIND, *LINE)),
        View("relief-line", "top", named=("suction-cover", "impeller", "back-plate", "balance-line", "open-casing", "shaft-carrier")),
    ),
)  # fmt: skip

FAMILY = join_systems("balance", open_casing.SYSTEM, RELIEF)
