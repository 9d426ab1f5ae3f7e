"""Self-priming pump, joined from its systems; shaft, bearings, seal, fixing and drive end are those of the end-suction pump."""

from __future__ import annotations

from models.spec.family import System, join_systems
from models.spec.seat import Option
from models.systems import (
    bearing_frame,
    draw_out,
    drive_end,
    impeller_fixing,
    inspection_cover,
    priming_casing,
    rules,
    shaft_seal,
)

SEAL = System(
    places=shaft_seal.PLACES,
    joints=shaft_seal.JOINTS,
    options=(Option("seal-spring", {"coil": shaft_seal.COIL, "bellows": shaft_seal.BELLOWS}),),
    clearances=shaft_seal.CLEARANCES,
    rules=shaft_seal.RULES,
    faults=shaft_seal.FAULTS,
    work=shaft_seal.WORK,
)
"""Only mechanical seals: the closed bracket is their oil chamber, in which packing could not drip."""

FAMILY = join_systems(
    "self-priming",
    priming_casing.SYSTEM,
    inspection_cover.SYSTEM,
    draw_out.SYSTEM,
    bearing_frame.SYSTEM,
    drive_end.SYSTEM,
    impeller_fixing.SYSTEM,
    SEAL,
    System(rules=rules.RULES),
)
