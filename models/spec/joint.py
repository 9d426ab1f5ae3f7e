"""How parts are held together, in the family's own words (places, not yet pieces)."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class JointKind(StrEnum):
    """Kinds of joint. What each holds, carries and allows is worked out in models.spec.holding."""

    BOLTED = "bolted"
    PRESS = "press"
    KEYED = "keyed"
    THREADED = "threaded"
    SEALED = "sealed"
    RUNNING = "running"


@dataclass(frozen=True, slots=True)
class Joint:
    """Join two or more places.

    members: for BOLTED all that is clamped; for PRESS, KEYED and THREADED (carrier, carried);
    for SEALED (carrier, seal, mate...): the seal lives on the carrier and is trapped by all mates;
    for RUNNING the two places that run on each other without holding.
    fasteners: places whose pieces hold a BOLTED joint until the last is off, or keep a THREADED
    piece (a stud) from being wound out until they are off.
    fit: for a PRESS of metal, the cylindrical face of each member that makes the fit.
    tool: key of the tool that undoes it, "" for hand or spanner.
    wet: liquid or oil stands on one side, so `sealed_by` must name the seals.
    """

    name: str
    kind: JointKind
    members: tuple[str, ...]
    fasteners: tuple[str, ...] = ()
    fit: tuple[str, ...] = ()
    tool: str = ""
    wet: bool = False
    sealed_by: tuple[str, ...] = ()
