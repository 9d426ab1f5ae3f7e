"""A clearance: the distance between two named faces that a rebuild must bring inside its limits."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from models.spec.dimension import Dimension, Unit
from models.spec.length import Length

if TYPE_CHECKING:
    from models.spec.build import Build


class ClearanceKind(StrEnum):
    """Kinds of clearance.

    AXIAL: between planes along the shaft. DIAMETRAL: bore diameter less journal diameter.
    OVERLAP: how far two faces reach past each other along the shaft.
    RADIAL: the least distance between bore and journal on one side.
    SHARE: a part of one, without unit, such as the squeeze of an O-ring.
    """

    AXIAL = "axial"
    DIAMETRAL = "diametral"
    OVERLAP = "overlap"
    RADIAL = "radial"
    SHARE = "share"

    @property
    def unit(self) -> Unit:
        """What its value and its limits are counted in: mm, or a plain number for a share."""
        return Unit.EACH if self is ClearanceKind.SHARE else Unit.MM


@dataclass(frozen=True, slots=True)
class Effect:
    """Something that changes a clearance beyond plain geometry, listed apart from its chain.

    change(build) gives the change in mm at the build's values (negative closes the gap).
    """

    key: str
    change: Callable[[Build], Length]


@dataclass(frozen=True, slots=True)
class Clearance:
    """Name two faces and what may lie between them.

    low and high are (place, face); the value is position (or diameter) of high less that of low.
    The requirement is the row `clearance.NAME` of the size table: nominal is the aim, its limits
    the least and most allowed. `taken_up` says to which side a float in the chain is pushed.
    `compute` gives the value where it is not that plain difference (an end float from a bearing's own
    clearance, the squeeze of an O-ring); low and high then name the faces it is looked at between.
    `limits` gives what is required where the size table has no row of its own for it.
    """

    name: str
    kind: ClearanceKind
    low: tuple[str, str]
    high: tuple[str, str]
    taken_up: str = ""
    effects: tuple[Effect, ...] = ()
    compute: Callable[[Build], Length] | None = None
    limits: Callable[[Build], Dimension] | None = None
