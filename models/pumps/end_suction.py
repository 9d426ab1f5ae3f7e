"""End-suction pump on a bearing frame, joined from its systems.

Sides are suction end and drive end; axial positions count from the casing face, positive towards
the drive end. The shaft is taken up towards the suction end: the outboard bearing's outer ring
rests on the housing's thrust shoulder, where the impeller's pull holds it in service.
"""

from __future__ import annotations

from models.spec.family import System, join_systems
from models.systems import (
    bearing_frame,
    bracket,
    casing,
    concentric,
    drive_end,
    impeller_fixing,
    priming,
    rules,
    shaft_seal,
    vacuum_pump,
    wear_parts,
)

FAMILY = join_systems(
    "end-suction",
    casing.SYSTEM,
    bracket.SYSTEM,
    bearing_frame.SYSTEM,
    drive_end.SYSTEM,
    impeller_fixing.SYSTEM,
    shaft_seal.SYSTEM,
    priming.SYSTEM,
    vacuum_pump.SYSTEM,
    wear_parts.SYSTEM,
    concentric.SYSTEM,
    System(rules=rules.RULES),
)
