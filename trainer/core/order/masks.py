"""What decides whether a piece is free, as masks: one bit a piece, so that a whole state is a few whole numbers.

A piece leaves straight along a direction when nothing that lies with it is ever met there. It also
leaves by two moves: drawn a way along, then aside. What bars either is one mask, worked out once for
each body that moves; asking whether a piece is free is then an AND or two.
"""

from __future__ import annotations

import functools
import operator
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly, Carry, Hold
from models.spec.joint import JointKind
from models.spec.mesh import Mesh
from trainer.core.order.answers import TakenOff
from trainer.core.order.blocking import Blocking
from trainer.core.order.directions import Direction

MOST_KEPT = 100_000
"""Answers of one kind that are kept; then they are forgotten and worked out anew."""


@dataclass(frozen=True, slots=True)
class WayOut:
    """One way a body can leave: along `direction` for good, or `draw_mm` along it and then along `aside`."""

    direction: Direction
    aside: Direction | None = None
    draw_mm: float = float("inf")


@dataclass(frozen=True, slots=True)
class Unit:
    """The mask of a unit, the number of the direction it leaves in, and whether that leaves anything loose."""

    mask: int
    direction: int
    is_loose: bool


@dataclass(slots=True, eq=False)
class Body:
    """What moves as one when a piece is taken: its mask, what ties it to others, and what bars each way out.

    ties: (present, members) masks of holds: the body is held while any bit of `present` is with it and
    any bit of `members`, which the body itself is not among. firm_ties: the same where all of `present` must be
    with it. unbolted: the ties that are no bolted joint, all of `present` needed. told: answers given before.
    """

    piece: int
    mask: int
    ties: tuple[tuple[int, int], ...]
    firm_ties: tuple[tuple[int, int], ...]
    unbolted: tuple[tuple[int, int], ...]
    told: dict[tuple[int, int], TakenOff] = field(default_factory=dict)
    _ways: tuple[tuple[int, WayOut], ...] | None = None

    def ways(self, masks: Masks) -> tuple[tuple[int, WayOut], ...]:
        """Give (bars, way), in the order in which they are tried; worked out when first asked, many bodies are held."""
        if self._ways is None:
            self._ways = tuple(masks.find_ways(self.piece, self.mask))
        return self._ways


@dataclass(slots=True, eq=False)
class Lone:
    """A body of one piece that nothing ever rides on, with the answers given before.

    near: all that an answer depends on while no unit is led. known: by what of that is in the lot, what
    moves and how; None for not yet.
    """

    body: Body
    near: int
    known: dict[int, tuple[int, TakenOff] | None] = field(default_factory=dict)


@dataclass(slots=True, eq=False)
class Masks:
    """Everything about an assembly that its states share; worked out on first use and kept."""

    assembly: Assembly
    blocking: Blocking
    names: tuple[str, ...]
    number: dict[str, int] = field(init=False)
    bulk: list[float] = field(init=False)
    bulkier: list[int] = field(init=False)
    carries: list[list[Carry]] = field(init=False)
    carriers: list[list[Carry]] = field(init=False)
    reach: list[int] = field(init=False)
    holds: list[list[Hold]] = field(init=False)
    ties: list[list[tuple[int, int, bool]]] = field(init=False)
    stretched: list[int] = field(init=False)
    cautions: list[list[tuple[int, str]]] = field(init=False)
    told_by: list[int] = field(init=False)
    carried_by: list[int] = field(init=False)
    alone: list[Lone | None] = field(init=False)
    asked: list[int] = field(init=False)
    second: list[list[int]] = field(init=False)
    lone: int = field(init=False)
    lone_bit: dict[str, int] = field(init=False)
    fastens: list[list[int]] = field(init=False)
    fastened: list[list[tuple[int, int]]] = field(init=False)
    clasped: list[list[tuple[int, int]]] = field(init=False)
    units: dict[tuple[int, int, int], Unit | None] = field(default_factory=dict)
    _solid: list[float] = field(default_factory=list)
    _met: dict[int, list[int]] = field(default_factory=dict)
    _bodies: dict[tuple[int, int], Body] = field(default_factory=dict)
    _loads: dict[tuple[int, int], int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        n = len(self.names)
        self.number = {name: i for i, name in enumerate(self.names)}
        asked = self.blocking.asked
        ways = range(len(self.blocking.directions))
        self.asked = [self.all if asked is None else to_mask(asked[d]) for d in ways]
        self._rank()
        self._sort_joints()
        self.carried_by = [
            self.mask(carry.carrier for carry in carriers) for carriers in self.carriers
        ]
        self.told_by = [
            self.carried_by[i] | union(there for there, _ in self.cautions[i]) for i in range(n)
        ]
        self.stretched = [
            self.carried_by[i] if piece.flexible else 0
            for i, piece in enumerate(self.assembly.pieces)
        ]
        self.second = [[] for _ in range(n)]
        for row, head in enumerate(self.blocking.asides.head):
            self.second[int(head)].append(row)
        self.reach = [self._load(1 << i, self.all, 0) for i in range(n)]
        self.alone = [self._find_lone(i) if self.reach[i] == 1 << i else None for i in range(n)]

        bits = {i: 1 << i for i, lone in enumerate(self.alone) if lone}
        self.lone = union(bits.values())
        self.lone_bit = {name: bits.get(i, 0) for i, name in enumerate(self.names)}

    def _find_lone(self, piece: int) -> Lone:
        body = self.body(piece, 1 << piece)
        near = self.told_by[piece] | union(bars for bars, _ in body.ways(self))
        near |= union(present | members for present, members, _ in self.ties[piece])
        return Lone(body, near)

    def _rank(self) -> None:
        """Work out each piece's bulk (of its box, in cubic mm) and the mask of all that is bulkier."""
        size = (self.blocking.high - self.blocking.low).astype(float)
        self.bulk = [float(value) for value in size.prod(axis=1)]
        self.bulkier, larger = [0] * len(self.bulk), 0
        for i in sorted(range(len(self.bulk)), key=lambda i: (-self.bulk[i], i)):
            self.bulkier[i] = larger
            larger |= 1 << i

    @property
    def solid_mm3(self) -> list[float]:
        """Give the volume of each piece's own material: a hose fills little of its box."""
        if not self._solid:
            self._solid = [_measure_volume(piece.mesh) for piece in self.assembly.pieces]
        return self._solid

    def find_heaviest(self, names: Iterable[str]) -> str:
        """Name the piece of most material, which stays put while others leave it."""
        volumes = self.solid_mm3
        return max(names, key=lambda name: volumes[self.number[name]])

    def _sort_joints(self) -> None:
        """List carries, holds and cautions by the pieces that they are about."""
        number, n = self.number, len(self.names)
        self.carries, self.carriers = [[] for _ in range(n)], [[] for _ in range(n)]
        for carry in self.assembly.carries:
            self.carries[number[carry.carrier]].append(carry)
            self.carriers[number[carry.carried]].append(carry)
        self.holds, self.ties = [[] for _ in range(n)], [[] for _ in range(n)]
        self.fastens = [[] for _ in range(n)]
        for hold in self.assembly.holds:
            present, members = self.mask(hold.present), self.mask(hold.members)
            for member in hold.members:
                self.holds[number[member]].append(hold)
                self.ties[number[member]].append((present, members, hold.kind is JointKind.BOLTED))
            for by in hold.present - hold.members:
                self.fastens[number[by]].append(present | members)
        self.fastened, self.clasped = [], []
        for ties in self.ties:
            bolted = {members for _, members, is_bolted in ties if is_bolted}
            self.fastened.append(
                [(union(by for by, to, is_bolted in ties if is_bolted and to == members), members)
                 for members in bolted]
            )  # fmt: skip
            self.clasped.append([(by, members) for by, members, is_bolted in ties if not is_bolted])
        self.cautions = [[] for _ in range(n)]
        for caution in self.assembly.cautions:
            there = self.mask(caution.while_there)
            for moving in caution.moving:
                self.cautions[number[moving]].append((there, caution.key))

    @property
    def all(self) -> int:
        """The mask of every piece."""
        return (1 << len(self.names)) - 1

    def mask(self, names: Iterable[str]) -> int:
        """Make the mask of pieces by name."""
        mask = 0
        for name in names:
            mask |= 1 << self.number[name]
        return mask

    def numbers(self, mask: int) -> Iterator[int]:
        """Yield the numbers of the bits that are set, lowest first."""
        while mask:
            low = mask & -mask
            yield low.bit_length() - 1
            mask ^= low

    def named(self, mask: int) -> tuple[str, ...]:
        """Name the pieces of a mask in the order of the build."""
        return tuple(self.names[i] for i in self.numbers(mask))

    def load(self, piece: int, lot: int, freed: int) -> int:
        """Find what moves with a piece: itself, and all that still rides on it within its lot."""
        there = self.reach[piece] & lot | 1 << piece
        if not there & freed & ~(1 << piece):
            return there  # what has never been taken off lies with what carries it
        key = piece, there & ~freed
        found = self._loads.get(key)
        if found is None:
            found = self._loads[key] = self._load(1 << piece, lot, freed)
        return found

    def _load(self, start: int, lot: int, freed: int) -> int:
        moving, waiting = start, list(self.numbers(start))
        while waiting:
            for carry in self.carries[waiting.pop()]:
                rider = self.number[carry.carried]
                if (lot & ~freed & ~moving) >> rider & 1:
                    moving |= 1 << rider
                    waiting.append(rider)
        return moving

    def body(self, piece: int, moving: int) -> Body:
        """Give the body that a piece moves as; `moving` holds the piece and what goes with it."""
        found = self._bodies.get((piece, moving))
        if found is None:
            if len(self._bodies) >= MOST_KEPT:
                self._bodies.clear()
            found = self._bodies[piece, moving] = self._make_body(piece, moving)
        return found

    def _make_body(self, piece: int, moving: int) -> Body:
        any_of: dict[int, int] = {}
        firm: set[tuple[int, int]] = set()
        unbolted: set[tuple[int, int]] = set()
        for present, members, is_bolted in {
            tie for i in self.numbers(moving) for tie in self.ties[i]
        }:
            others = members & ~moving
            if not others:
                continue
            if present & (present - 1):
                firm.add((present, others))
            else:
                any_of[others] = any_of.get(others, 0) | present
            if not is_bolted:
                unbolted.add((present, others))
        ties = tuple((present, others) for others, present in any_of.items())
        return Body(piece, moving, ties, tuple(sorted(firm)), tuple(sorted(unbolted)))

    def find_ways(self, piece: int, moving: int) -> Iterator[tuple[int, WayOut]]:
        """Yield the ways out and what bars them; a way that is barred whenever an earlier one is is left out."""
        kept: list[int] = []
        for bars, way in self._every_way(piece, moving):
            if not any(earlier & ~bars == 0 for earlier in kept):
                kept.append(bars)
                yield bars, way

    def _every_way(self, piece: int, moving: int) -> Iterator[tuple[int, WayOut]]:
        table = self.blocking
        asked = [d for d, tried in enumerate(self.asked) if not moving & ~tried]
        if self.stretched[piece]:  # over the nearer end of what it was stretched on
            over = list(self.numbers(self.stretched[piece]))
            asked.sort(key=lambda d: float(table.clear_mm[d][piece, over].max()))
        for d in asked:
            bars = union(self.met(d, i) for i in self.numbers(moving))
            yield bars & ~moving, WayOut(table.directions[d])
        if moving & ~self.reach[piece]:
            return  # second moves are measured with what rides on a piece, not for bolted units
        asides, own = table.asides, np.fromiter(self.numbers(moving), np.intp)
        for k in self.second[piece]:
            first, draw_mm = int(asides.first[k]), float(asides.draw_mm[k])
            if first in asked:
                met = table.travel_mm[first][own].min(axis=0) <= draw_mm
                then = table.directions[int(asides.then[k])]
                bars = to_mask(met | asides.bars[k]) & ~moving
                yield bars, WayOut(table.directions[first], then, draw_mm)

    def find_cautions(self, piece: int, stays: int) -> tuple[str, ...]:
        """Find why taking a piece off is wrong practice while these stay behind."""
        return tuple(reason for there, reason in self.cautions[piece] if there & stays)

    def tied(self, piece: int, lot: int) -> int:
        """Give the mask of all that holds tie a piece to within a lot; of a bolted joint the fasteners too."""
        mask = 0
        for by, members in self.fastened[piece]:
            if by & lot:
                mask |= members | by
        for present, members in self.clasped[piece]:
            if not present & ~lot:
                mask |= members
        return mask & lot

    def met(self, direction: int, piece: int) -> int:
        """Give the mask of all that a piece ever meets along a direction."""
        if direction not in self._met:
            rows = np.isfinite(self.blocking.travel_mm[direction])
            self._met[direction] = [to_mask(row) for row in rows]
        return self._met[direction][piece]


def is_held(body: Body, lot: int) -> bool:
    """Say whether a joint keeps a body on something else in a lot."""
    for present, others in body.ties:
        if present & lot and others & lot:
            return True
    if not body.firm_ties:
        return False
    return any(not present & ~lot and others & lot for present, others in body.firm_ties)


def _measure_volume(mesh: Mesh) -> float:
    """Give the volume in cubic mm that a closed mesh holds: tetrahedra from the origin to its triangles."""
    a, b, c = (mesh.points[mesh.triangles[:, i]].astype(np.float64) for i in range(3))
    return abs(float(np.einsum("ij,ij->", a, np.cross(b, c)))) / 6.0


def union(masks: Iterable[int]) -> int:
    """Join masks into one."""
    return functools.reduce(operator.or_, masks, 0)


def to_mask(flags: npt.NDArray[np.bool_]) -> int:
    """Turn an array of flags, one a piece, into a mask."""
    return int.from_bytes(np.packbits(flags, bitorder="little").tobytes(), "little")


PUMPS_KEPT = 8
"""More than a class is asked about at a time, or each would be prepared anew for every question; each holds its meshes."""


@functools.lru_cache(maxsize=PUMPS_KEPT)
def find_masks(assembly: Assembly, blocking: Blocking) -> Masks:
    """Find the masks of an assembly, once for each."""
    return Masks(assembly, blocking, blocking.names)
