"""Pieces, meshes, holds and carries: all that the order engine and the pictures need to know.

A build yields an Assembly; later a STEP file yields one too.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from models.spec.joint import JointKind
from models.spec.mesh import Mesh


@dataclass(frozen=True, slots=True, eq=False)
class AssemblyPiece:
    """One physical thing in its place. `part` is the name all pieces of its set share.

    axis: the way it is screwed or driven in, as (x, y, z), where it has one: it may leave along it.
    """

    name: str
    part: str
    kind: str
    material: str
    group: str
    mesh: Mesh
    flexible: bool = False
    axis: tuple[float, float, float] | None = None


@dataclass(frozen=True, slots=True)
class Hold:
    """Hold `members` together while all of `present` are with them.

    It refuses a move that takes some members and leaves others. A joint of eight nuts is eight
    holds, each of one nut; an O-ring clamped in its groove is one hold, present while both mates are.
    """

    joint: str
    kind: JointKind
    members: frozenset[str]
    present: frozenset[str]


@dataclass(frozen=True, slots=True)
class Carry:
    """`carried` stays on `carrier` when that moves, until it is taken off by itself (with `tool`, if named)."""

    joint: str
    kind: JointKind
    carrier: str
    carried: str
    tool: str = ""


@dataclass(frozen=True, slots=True)
class Caution:
    """A move that can be made but should not be: taking off any of `moving` while any of `while_there` lies with it and stays.

    key: word key of the reason, in a fitter's words.
    """

    key: str
    moving: frozenset[str]
    while_there: frozenset[str]


@dataclass(frozen=True, eq=False)
class Assembly:
    """Pieces with what holds and carries them, and which possible moves are wrong practice.

    press_mm: radial interference allowed between two pieces (unordered pair), mm.
    """

    name: str
    pieces: tuple[AssemblyPiece, ...]
    holds: tuple[Hold, ...] = ()
    carries: tuple[Carry, ...] = ()
    press_mm: Mapping[frozenset[str], float] = field(default_factory=dict)
    cautions: tuple[Caution, ...] = ()

    @cached_property
    def by_name(self) -> Mapping[str, AssemblyPiece]:
        """Pieces by their names."""
        return {piece.name: piece for piece in self.pieces}

    @cached_property
    def sets(self) -> Mapping[str, tuple[str, ...]]:
        """Names of the pieces of each part, in the order of the build."""
        found: dict[str, list[str]] = {}
        for piece in self.pieces:
            found.setdefault(piece.part, []).append(piece.name)
        return {part: tuple(names) for part, names in found.items()}
