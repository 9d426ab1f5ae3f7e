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


class ClearanceGroup(StrEnum):
    """Where a clearance belongs when they are listed: along the shaft, where it runs, at the seals and so on."""

    AXIAL = "axial-gaps"
    RUNNING = "running-clearances"
    SEALS = "seals"
    O_RINGS = "o-rings"
    BEARINGS = "bearings"
    DRIVE = "drive"
    PRIMING = "priming"


@dataclass(frozen=True, slots=True)
class Adjuster:
    """What sets a clearance by hand: the screws at `place`, of which `dimension` follows their turning by `pitch`.

    flats: how many flats the head has, by which a part of a turn is counted.
    """

    place: str
    dimension: str
    pitch: str
    flats: int


@dataclass(frozen=True, slots=True)
class Effect:
    """Something that changes a clearance beyond plain geometry, listed apart from its chain.

    change(build) gives the change in mm at the build's values (negative closes the gap).
    """

    key: str
    change: Callable[[Build], Length]


@dataclass(frozen=True, slots=True)
class Curve:
    """A part of a clearance that follows a chain of its own, but bent: `of` gives it in mm for a value of `inner`.

    `of` never falls as `inner` rises, so that its worst cases are those of `inner`.
    """

    inner: Callable[[Build], Length]
    of: Callable[[Build, Length], Length]


@dataclass(frozen=True, slots=True)
class Clearance:
    """Name two faces and what may lie between them.

    low and high are (place, face); the value is position (or diameter) of high less that of low.
    The requirement is the row `clearance.NAME` of the size table: nominal is the aim, its limits
    the least and most allowed. `taken_up` says to which side a float in the chain is pushed.
    `compute` gives the value where it is not that plain difference (an end float from a bearing's own
    clearance, the squeeze of an O-ring); low and high then name the faces it is looked at between.
    `curves` are summed in its place where the value bends so much that its limits would not follow from first derivatives.
    `limits` gives what is required where the size table has no row of its own for it.
    `adjusted_by` names the screws that set it.
    """

    name: str
    kind: ClearanceKind
    low: tuple[str, str]
    high: tuple[str, str]
    taken_up: str = ""
    effects: tuple[Effect, ...] = ()
    compute: Callable[[Build], Length] | None = None
    curves: tuple[Curve, ...] = ()
    limits: Callable[[Build], Dimension] | None = None
    group: ClearanceGroup = ClearanceGroup.AXIAL
    adjusted_by: Adjuster | None = None

    @property
    def is_plain(self) -> bool:
        """Is it the plain difference of its two faces?"""
        return self.compute is None and not self.curves
