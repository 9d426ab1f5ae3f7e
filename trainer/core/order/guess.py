"""Guess from shape which parts of a strange assembly are fasteners, and what each of them holds.

A STEP file says nothing of threads and joints, and without them everything slides off its studs.
Every guess says why and how sure it is, and a person may overrule each: `said` gives kinds, and
joints are replaced by whoever calls this. Names are never trusted: a file may call a bolt a nut.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from models.spec.joint import JointKind
from models.spec.step import StepPiece
from trainer.core.order.fasteners import Form, Look
from trainer.core.order.holes import SNUG, TIGHT, Hole, Surroundings

RING_TOOL = "snap-ring-pliers"
"""Key of the tool that takes a snap ring out."""


class Kind(StrEnum):
    """What a part is taken for."""

    SCREW = "screw"
    NUT = "nut"
    WASHER = "washer"
    STUD = "stud"
    PIN = "pin"
    KEY = "key"
    SNAP_RING = "snap-ring"
    O_RING = "o-ring"
    BODY = "body"


_WITH_SHANK = (Kind.SCREW, Kind.STUD, Kind.PIN)


class Surety(StrEnum):
    """How sure a guess is; SAID is no guess, a person said so."""

    SURE = "sure"
    LIKELY = "likely"
    SAID = "said"


@dataclass(frozen=True, slots=True)
class Guess:
    """What a part is taken for, how sure, and why (word keys)."""

    part: str
    kind: Kind
    surety: Surety
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GuessedJoint:
    """A joint by one fastener.

    BOLTED: `members` stay together while all of `by` are there. THREADED, PRESS, KEYED, SEALED: the
    first of `members` carries the second. own: the piece whose joint it is.
    """

    own: str
    kind: JointKind
    members: tuple[str, ...]
    by: tuple[str, ...] = ()
    tool: str = ""
    surety: Surety = Surety.LIKELY
    why: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Guessed:
    """All guesses on an assembly: by part; looks by piece; holes by the piece whose shank is in them; joints."""

    parts: Mapping[str, Guess]
    looks: Mapping[str, Look]
    holes: Mapping[str, Sequence[Hole]]
    joints: tuple[GuessedJoint, ...]

    def kind_of(self, part: str) -> Kind:
        """Say what a part is taken for."""
        return self.parts[part].kind


def guess_all(pieces: Sequence[StepPiece], said: Mapping[str, Kind] | None = None) -> Guessed:
    """Guess kinds and joints; `said` gives the kinds of parts that are known."""
    return _Guessing(pieces, said or {}).guess()


class _Guessing:
    """Hold what is looked up again and again while guessing."""

    def __init__(self, pieces: Sequence[StepPiece], said: Mapping[str, Kind]) -> None:
        self.said = said
        shanks = [piece.name for piece in pieces if said.get(piece.part) in _WITH_SHANK]
        self.around = Surroundings(pieces, shanks)
        self.sets: dict[str, list[str]] = {}
        for piece in pieces:
            self.sets.setdefault(piece.part, []).append(piece.name)

    def guess(self) -> Guessed:
        parts = {part: self._guess_part(part, names) for part, names in self.sets.items()}
        kinds = {name: parts[piece.part].kind for name, piece in self.around.pieces.items()}
        joints = [joint for name in self.around.pieces for joint in self._guess_joints(name, kinds)]
        return Guessed(parts, self.around.looks, self.around.holes, tuple(joints))

    # ------------------------------------------------------------------ kinds
    def _guess_part(self, part: str, names: list[str]) -> Guess:
        if part in self.said:
            return Guess(part, self.said[part], Surety.SAID, ("said",))
        form = self.around.looks[names[0]].form
        rule = _RULES.get(form)
        found = rule(self, names) if rule else None
        if found is None:
            return Guess(part, Kind.BODY, Surety.LIKELY, (f"no-{form.value}",))
        kind, surety, why = found
        return Guess(part, kind, surety, why)

    def guess_screw(self, names: list[str]) -> tuple[Kind, Surety, tuple[str, ...]] | None:
        hexagon = self.around.looks[names[0]].hexagon
        why = [f"head-{hexagon or 'plain'}"]
        in_hole = any(self.around.holes[name] for name in names)
        nutted = any(self._find_nuts(name) for name in names)
        if in_hole:
            why.append("in-nut" if nutted else "in-hole")
        if not hexagon and not in_hole:
            return None
        sure = in_hole and (bool(hexagon) or nutted)
        return Kind.SCREW, Surety.SURE if sure else Surety.LIKELY, tuple(why)

    def guess_rod(self, names: list[str]) -> tuple[Kind, Surety, tuple[str, ...]] | None:
        if any(self._find_nuts(name) for name in names):
            return Kind.STUD, Surety.SURE, ("plain-rod", "in-nut")
        small = all(self.around.is_small(name) for name in names)
        if small and any(self.around.holes[name] for name in names):
            return Kind.PIN, Surety.LIKELY, ("plain-rod", "in-hole")
        return None

    def guess_nut(self, names: list[str]) -> tuple[Kind, Surety, tuple[str, ...]] | None:
        on = any(self.around.is_on_shank(name) for name in names)
        surety = Surety.SURE if on else Surety.LIKELY
        return Kind.NUT, surety, ("hexagon", "on-shank") if on else ("hexagon",)

    def guess_plate_nut(self, names: list[str]) -> tuple[Kind, Surety, tuple[str, ...]] | None:
        if all(self.around.is_last_on_shank(name) for name in names):
            return Kind.NUT, Surety.LIKELY, ("one-tight-bore", "last-on-shank")
        return None

    def guess_washer(self, names: list[str]) -> tuple[Kind, Surety, tuple[str, ...]] | None:
        if all(self.around.is_last_on_shank(name) and self.around.is_tight(name) for name in names):
            return Kind.NUT, Surety.LIKELY, ("one-tight-bore", "last-on-shank")
        if any(self.around.is_on_shank(name) for name in names):
            return Kind.WASHER, Surety.SURE, ("flat-ring", "on-shank")
        return None

    def guess_snap_ring(self, names: list[str]) -> tuple[Kind, Surety, tuple[str, ...]] | None:
        if any(self.around.find_groove(name) for name in names):
            return Kind.SNAP_RING, Surety.SURE, ("open-ring", "in-groove")
        return Kind.SNAP_RING, Surety.LIKELY, ("open-ring",)

    def guess_o_ring(self, names: list[str]) -> tuple[Kind, Surety, tuple[str, ...]] | None:  # noqa: ARG002 - all rules are called alike
        return Kind.O_RING, Surety.SURE, ("round-section",)

    def guess_key(self, names: list[str]) -> tuple[Kind, Surety, tuple[str, ...]] | None:
        if all(self.around.is_small(name) for name in names) and self.around.find_keyed(names[0]):
            return Kind.KEY, Surety.SURE, ("bar", "half-in-shaft")
        return None

    def _is_nut(self, name: str) -> bool:
        said = self.said.get(self.around.pieces[name].part)
        if said is not None:
            return said is Kind.NUT
        form = self.around.looks[name].form
        if form is Form.NUT:
            return True
        if form is Form.WASHER:
            return self.around.is_last_on_shank(name) and self.around.is_tight(name)
        return form is Form.PLATE_NUT and self.around.is_last_on_shank(name)

    def _find_nuts(self, shank: str) -> list[str]:
        """Find the nuts on a shank, from its head to its tip."""
        limit = TIGHT * self.around.looks[shank].radius_mm
        return [
            hole.piece
            for hole in self.around.holes.get(shank, ())
            if hole.radius_mm <= limit and self._is_nut(hole.piece)
        ]

    # ----------------------------------------------------------------- joints
    def _guess_joints(self, name: str, kinds: Mapping[str, Kind]) -> list[GuessedJoint]:
        rule = _JOINTS.get(kinds[name])
        return rule(self, name, kinds) if rule else []

    def _bodies(self, name: str, kinds: Mapping[str, Kind]) -> list[Hole]:
        loose = {Kind.NUT, Kind.WASHER, Kind.SCREW, Kind.STUD, Kind.SNAP_RING, Kind.O_RING}
        return [hole for hole in self.around.holes.get(name, ()) if kinds[hole.piece] not in loose]

    def _nuts(self, name: str, kinds: Mapping[str, Kind]) -> list[str]:
        limit = TIGHT * self.around.looks[name].radius_mm
        return [
            hole.piece
            for hole in self.around.holes.get(name, ())
            if kinds[hole.piece] is Kind.NUT and hole.radius_mm <= limit
        ]

    def join_screw(self, name: str, kinds: Mapping[str, Kind]) -> list[GuessedJoint]:
        """A nut at the tip, or else the last tight hole, takes the thread; what lies before it is clamped."""
        bodies = self._bodies(name, kinds)
        nuts = self._nuts(name, kinds)
        if nuts and bodies:
            members = (*(hole.piece for hole in bodies), name)
            return [
                GuessedJoint(
                    name, JointKind.BOLTED, members, (nuts[-1],), "", Surety.SURE, "nut-on-screw"
                )
            ]
        if nuts:
            return [GuessedJoint(name, JointKind.THREADED, (name, nuts[-1]), why="nut-on-screw")]
        limit = TIGHT * self.around.looks[name].radius_mm if name in self.around.looks else 0.0
        tight = [hole.radius_mm <= limit for hole in bodies]
        if bodies and self.around.looks[name].form is Form.ROD and tight[0] and not tight[-1]:
            bodies.reverse()  # without a head, the tapped hole says where the tip is
        tapped = [hole for hole in bodies if hole.radius_mm <= limit]
        if not tapped:
            return []
        thread = tapped[-1]
        clamped = bodies[: bodies.index(thread)]
        if not clamped:
            return [
                GuessedJoint(name, JointKind.THREADED, (thread.piece, name), why="screwed-into")
            ]
        members = (*(hole.piece for hole in clamped), thread.piece)
        loose = all(hole.radius_mm > limit for hole in clamped)
        surety = Surety.SURE if loose else Surety.LIKELY
        why = "clamps-and-screwed-into" if loose else "last-hole-taps"
        return [GuessedJoint(name, JointKind.BOLTED, members, (name,), "", surety, why)]

    def join_stud(self, name: str, kinds: Mapping[str, Kind]) -> list[GuessedJoint]:
        """A stud stands in its last tight hole; a rod with nuts at both ends is held by both."""
        bodies = self._bodies(name, kinds)
        order = [hole.piece for hole in self.around.holes.get(name, ())]
        nuts = self._nuts(name, kinds)
        if not nuts or not bodies:
            return []
        places = [order.index(hole.piece) for hole in bodies]
        before = [nut for nut in nuts if order.index(nut) < min(places)]
        after = [nut for nut in nuts if order.index(nut) > max(places)]
        if before and after:
            members = (*(hole.piece for hole in bodies), name)
            both = (before[0], after[-1])
            rides = [
                GuessedJoint(nut, JointKind.THREADED, (name, nut), why="nut-on-rod") for nut in nuts
            ]
            bolted = GuessedJoint(
                name, JointKind.BOLTED, members, both, "", Surety.SURE, "nuts-at-both-ends"
            )
            return [bolted, *rides]
        foot = bodies[-1] if before else bodies[0]
        nut = before[0] if before else after[-1]
        joints = [GuessedJoint(name, JointKind.THREADED, (foot.piece, name), why="stud-stands-in")]
        if len(bodies) > 1:
            members = tuple(hole.piece for hole in bodies)
            joints.append(
                GuessedJoint(
                    nut, JointKind.BOLTED, members, (nut,), "", Surety.LIKELY, "nut-on-stud"
                )
            )
        return joints

    def join_pin(self, name: str, kinds: Mapping[str, Kind]) -> list[GuessedJoint]:
        tight = [
            hole
            for hole in self._bodies(name, kinds)
            if hole.radius_mm <= SNUG * self.around.looks[name].radius_mm
        ]
        if not tight:
            return []
        host = max(tight, key=lambda hole: hole.high_mm - hole.low_mm)
        return [GuessedJoint(name, JointKind.PRESS, (host.piece, name), why="pin-stays-in")]

    def join_ring(self, name: str, kinds: Mapping[str, Kind]) -> list[GuessedJoint]:
        host = self.around.find_groove(name)
        if not host:
            return []
        if kinds[name] is Kind.SNAP_RING:
            return [
                GuessedJoint(
                    name, JointKind.PRESS, (host, name), (), RING_TOOL, why="sits-in-groove"
                )
            ]
        return [GuessedJoint(name, JointKind.SEALED, (host, name), why="sits-in-groove")]

    def join_key(self, name: str, kinds: Mapping[str, Kind]) -> list[GuessedJoint]:  # noqa: ARG002 - all joint rules are called alike
        found = self.around.find_keyed(name)
        if found is None:
            return []
        return [
            GuessedJoint(
                name, JointKind.KEYED, (found[0], name), (), "", Surety.SURE, "lies-in-shaft"
            )
        ]


_RULES = {
    Form.SCREW: _Guessing.guess_screw,
    Form.ROD: _Guessing.guess_rod,
    Form.NUT: _Guessing.guess_nut,
    Form.PLATE_NUT: _Guessing.guess_plate_nut,
    Form.WASHER: _Guessing.guess_washer,
    Form.SNAP_RING: _Guessing.guess_snap_ring,
    Form.O_RING: _Guessing.guess_o_ring,
    Form.PRISM: _Guessing.guess_key,
}
_JOINTS = {
    Kind.SCREW: _Guessing.join_screw,
    Kind.STUD: _Guessing.join_stud,
    Kind.PIN: _Guessing.join_pin,
    Kind.KEY: _Guessing.join_key,
    Kind.SNAP_RING: _Guessing.join_ring,
    Kind.O_RING: _Guessing.join_ring,
}
