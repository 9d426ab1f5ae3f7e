"""How one part leaves a pump: what holds it, what it comes off after, what comes off with it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from models.spec.assembly import Assembly
from models.spec.build import Build
from models.spec.joint import JointKind
from trainer.core.order.blocking import Blocking
from trainer.core.order.needed import find_needed
from trainer.core.order.teardown import Order


class Role(StrEnum):
    """What a part is to a joint that holds it, as word keys."""

    CLAMPED = "clamped"
    CLAMPS = "clamps"
    PRESSED = "pressed"
    KEYED = "keyed"
    SCREWED = "screwed"
    TRAPPED = "trapped"


CARRIED = {
    JointKind.PRESS: Role.PRESSED,
    JointKind.KEYED: Role.KEYED,
    JointKind.THREADED: Role.SCREWED,
    JointKind.SEALED: Role.TRAPPED,
}
"""What the second member of a joint of each kind is to it."""


@dataclass(frozen=True, slots=True)
class Fixing:
    """One joint that holds a part.

    others: places of what it is joined to, or of what it clamps. by: places of the fasteners that hold
    it there. tool: key of what undoes it, "" for hand or spanner.
    """

    joint: str
    role: Role
    others: tuple[str, ...]
    by: tuple[str, ...] = ()
    tool: str = ""


@dataclass(frozen=True, slots=True)
class Leaving:
    """How a part leaves the pump in an order, in pieces.

    step: the number of its first step, counted from 0. after: what that order has to take off before it. along: what comes off with it. rides_on: what it
    leaves the pump on, when it is stripped from that at the bench; empty when it leaves by itself.
    """

    step: int
    after: tuple[str, ...]
    along: tuple[str, ...]
    rides_on: tuple[str, ...]


def find_fixings(build: Build, place: str) -> tuple[Fixing, ...]:
    """Find the joints that hold the part in a place; what runs against it or rides on it does not hold it."""
    found = []
    for joint in build.joints:
        members = [build.aliases.get(member, member) for member in joint.members]
        others = tuple(dict.fromkeys(one for one in members if one != place))
        by = tuple(fastener for fastener in joint.fasteners if build.has(fastener))
        if joint.kind in CARRIED:
            if members[1] == place:
                role = CARRIED[joint.kind]
                found.append(Fixing(joint.name, role, others, by, joint.tool))
        elif joint.kind is JointKind.BOLTED:
            if place in by:
                found.append(Fixing(joint.name, Role.CLAMPS, others))
            elif place in members:
                found.append(Fixing(joint.name, Role.CLAMPED, others, by, joint.tool))
    return tuple(found)


def find_leaving(assembly: Assembly, blocking: Blocking, order: Order, part: str) -> Leaving | None:
    """Find how a part leaves in a right order of its assembly; None when the order never takes it off."""
    number = next((n for n, step in enumerate(order.steps) if step.part == part), None)
    if number is None:
        return None
    own = set(assembly.sets[part])
    needed = find_needed(assembly, blocking, order, number)
    along = {
        name
        for step in order.steps
        if step.part == part
        for taken in step.taken
        for name in taken.along
    }
    return Leaving(
        number,
        tuple(name for one in needed for name in order.steps[one].pieces),
        tuple(piece.name for piece in assembly.pieces if piece.name in along - own),
        _find_carrier(order, number, own),
    )


def _find_carrier(order: Order, number: int, own: set[str]) -> tuple[str, ...]:
    """Find what takes the part along first."""
    for step in order.steps[:number]:
        found = tuple(taken.piece for taken in step.taken if own & taken.along)
        if found:
            return found
    return ()
