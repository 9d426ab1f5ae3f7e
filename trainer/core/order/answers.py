"""What a state answers when a piece is asked for: it comes off, or it does not yet and why."""

from __future__ import annotations

from dataclasses import dataclass

from trainer.core.order.directions import Direction

LEAVES_LOOSE = "leaves-loose"
"""Caution: parting a unit from the rest leaves something loose that could fall. Computed, not declared."""


@dataclass(frozen=True, slots=True)
class Held:
    """A joint that still holds, and the fasteners or mates by which."""

    joint: str
    by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Way:
    """One direction in which a piece was tried: who is in the way, nearest first, and the travel to contact in mm."""

    direction: Direction
    blocked_by: tuple[str, ...]
    travel_mm: float


@dataclass(frozen=True, slots=True)
class TakenOff:
    """A piece comes off: in which direction, with what along, with which tool.

    as_unit: a joint of it still holds, so it leaves together with what it is joined to.
    cautions: word keys of why the move, though possible, is wrong practice.
    aside: where it goes on once it is drawn clear, if it cannot go straight on.
    """

    piece: str
    direction: Direction
    along: frozenset[str]
    tool: str = ""
    as_unit: bool = False
    aside: Direction | None = None
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Refused:
    """A piece cannot come off: held by joints, or blocked in its best direction, or both.

    until: what would have freed it, the fewest (then the smallest) pieces that hold or bar it.
    """

    piece: str
    held: tuple[Held, ...]
    way: Way | None
    until: tuple[str, ...] = ()

    @property
    def hindrance(self) -> frozenset[str]:
        """The pieces to show as being in the way: what holds the joint, or the first that is met."""
        held = frozenset(by for hold in self.held for by in hold.by)
        return held or frozenset(self.way.blocked_by[:1] if self.way else ())
