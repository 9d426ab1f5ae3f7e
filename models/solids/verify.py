"""Hold a build's solids against what it declares: valid, watertight, touching only where said, gaps equal to chains.

Judges from what was measured; what no memory knows is measured by the kernel, which is loaded only then.
"""

from __future__ import annotations

import hashlib
import importlib.metadata
import itertools
import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from models.solids.cache import MeshCache
from models.solids.keys import make_key
from models.solids.memory import Fact, FactMemory
from models.spec.build import Build, PlacedPiece
from models.spec.clearance import Clearance, ClearanceKind
from models.spec.face import Face
from models.spec.family import Family
from models.spec.holding import Pair, find_contacts, find_presses
from models.spec.joint import JointKind
from models.spec.rule import check_rules
from models.spec.turning import find_rotation, find_shift_mm

if TYPE_CHECKING:
    from models.solids.measuring import Measurer

TOUCH_MM = 1e-4
"""Pieces closer than this touch."""
OVERLAP_MM3 = 1e-2
"""Common volume below this is a contact: rounding of the kernel's booleans on long faces."""
CLEARANCE_ERROR_MM = 0.01
"""Largest difference allowed between the gap of the solids and the chain."""
_SOURCES = ("measuring.py", "shape.py", "tessellate.py", "verify.py")
"""Files whose change makes every remembered fact worthless."""
_BOX = slice(4, 10)
_FACES_FROM = 10


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is not as declared. `what` is a word key."""

    what: str
    build: str
    pieces: tuple[str, ...]
    amount: float = 0.0
    detail: str = ""


@dataclass(slots=True)
class Report:
    """What was looked at and what was found."""

    builds: int = 0
    solids: int = 0
    pairs: int = 0
    undeclared_overlaps: int = 0
    unsealed_joints: int = 0
    broken_rules: int = 0
    unplaced_parts: int = 0
    max_clearance_error_mm: float = 0.0
    problems: list[Problem] = field(default_factory=list)

    @property
    def is_ok(self) -> bool:
        """Nothing is other than declared."""
        return not self.problems


Progress = Callable[[str, int, int], None]


class Verifier:
    """Check builds one after another; what was measured once is remembered, on disk too if given a memory."""

    def __init__(
        self,
        progress: Progress | None = None,
        memory: FactMemory | None = None,
        cache: MeshCache | None = None,
    ) -> None:
        self._tell = progress or (lambda _what, _done, _of: None)
        self._memory = memory
        self._cache = cache or MeshCache()
        self._facts: dict[str, Fact] = {}
        self._judged: set[str] = set()
        self._filled: dict[str, set[str]] = {}
        self._families: dict[str, Family] = {}
        self._kernel: Measurer | None = None
        self.report = Report()

    def check(self, build: Build) -> None:
        """Check one build and add to the report. Raises OSError when what was measured cannot be kept."""
        try:
            self._check(build)
        finally:
            if self._memory is not None:
                self._memory.save()

    def check_places(self) -> None:
        """Report the places of each family checked that stood in none of its builds."""
        for name, family in self._families.items():
            for place in family.every_place():
                if place not in self._filled[name]:
                    self.report.unplaced_parts += 1
                    self._problem("part-unplaced", name, (place,))

    def _check(self, build: Build) -> None:
        family = self._families.setdefault(build.family.name, build.family)
        filled = self._filled.setdefault(family.name, set())
        filled |= {place for place in family.every_place() if build.has(place)}
        name = f"{build.name} {' '.join(f'{k}={v}' for k, v in build.options.items())}".strip()
        keys = {piece.name: make_key(piece) for piece in build.pieces.values()}
        solids: dict[str, Fact] = {}
        for done, piece in enumerate(build.pieces.values(), start=1):
            solids[piece.name] = self._measure_solid(keys[piece.name], piece)
            if keys[piece.name] not in self._judged:
                self._check_solid(name, piece, solids[piece.name])
            self._judged.add(keys[piece.name])
            self._tell("solids", done, len(build.pieces))
        self.report.builds += 1
        self.report.solids += sum(int(fact[1]) for fact in solids.values())
        touching = self._check_pairs(name, build, solids, keys)
        self._check_seals(name, build, touching)
        for clearance in build.clearances:
            self._check_clearance(name, build, clearance, keys)
        broken = check_rules(build, build.family.rules)
        self.report.broken_rules += len(broken)
        self.report.problems += [
            Problem("rule-broken", name, one.pieces, one.number, one.key) for one in broken
        ]

    def _problem(
        self, what: str, build: str, pieces: tuple[str, ...], amount: float = 0.0, detail: str = ""
    ) -> None:
        self.report.problems.append(Problem(what, build, pieces, amount, detail))

    def _measurer(self) -> Measurer:
        if self._kernel is None:
            from models.solids.measuring import Measurer

            self._kernel = Measurer(self._cache)
        return self._kernel

    def _find(self, told: object, measure: Callable[[], Fact]) -> Fact:
        """Find a fact by all that decides it, or measure it and keep it."""
        text = json.dumps([_version(), told], sort_keys=True)
        key = hashlib.sha256(text.encode()).hexdigest()[:32]
        fact = self._facts.get(key)
        if fact is None and self._memory is not None:
            fact = self._memory.find(key)
        if fact is None:
            fact = measure()
            if self._memory is not None:
                self._memory.learn(key, fact)
        self._facts[key] = fact
        return fact

    def _measure_solid(self, key: str, piece: PlacedPiece) -> Fact:
        faces = {name: _say_face(face) for name, face in sorted(piece.faces.items())}
        return self._find(["solid", key, faces], lambda: self._measurer().measure_solid(key, piece))

    def _check_solid(self, build: str, piece: PlacedPiece, fact: Fact) -> None:
        valid, solids, open_edges = fact[:3]
        if not valid or not solids:
            self._problem("solid-invalid", build, (piece.name,))
        if open_edges:
            self._problem("solid-open", build, (piece.name,), open_edges)
        names = sorted(piece.faces)
        for number in fact[_FACES_FROM:]:
            self._problem("face-missing", build, (piece.name,), detail=names[int(number)])

    def _check_pairs(
        self, name: str, build: Build, solids: Mapping[str, Fact], keys: Mapping[str, str]
    ) -> set[Pair]:
        contacts, presses = find_contacts(build), find_presses(build)
        touching: set[Pair] = set()
        near = list(_near_pairs(build, solids))
        for done, (a, b) in enumerate(near, start=1):
            pair = frozenset({a, b})
            distance, volume = self._measure_pair(build.pieces[a], build.pieces[b], keys)
            self._tell("pairs", done, len(near))
            if distance > TOUCH_MM:
                continue
            touching.add(pair)
            press = presses.get(pair, 0.0)
            if volume > OVERLAP_MM3 and not press:
                self.report.undeclared_overlaps += 1
                self._problem("overlap-undeclared", name, (a, b), volume)
            elif press and volume > press * min(solids[a][3], solids[b][3]):
                self.report.undeclared_overlaps += 1
                self._problem("overlap-too-deep", name, (a, b), volume)
            elif pair not in contacts:
                self._problem("contact-undeclared", name, (a, b))
        self.report.pairs += len(near)
        return touching

    def _measure_pair(self, a: PlacedPiece, b: PlacedPiece, keys: Mapping[str, str]) -> Fact:
        """Measure a pair once for each relative placement: stud 3 in nut 3 is stud 1 in nut 1 turned."""
        both = keys[a.name], keys[b.name]
        seen = find_rotation(a.pose).T
        turn = seen @ find_rotation(b.pose)
        shift = seen @ (find_shift_mm(b.pose) - find_shift_mm(a.pose))
        return self._find(
            ["pair", both, _say(turn, 9), _say(shift, 5)],
            lambda: self._measurer().measure_pair(both, a, b),
        )

    def _check_seals(self, name: str, build: Build, touching: set[Pair]) -> None:
        """A wet joint is sealed when each of its seals is there and really touches all it seals between."""
        seals = {j.members[1]: j for j in build.joints if j.kind is JointKind.SEALED}
        for joint in build.joints:
            for place_name in joint.sealed_by if joint.wet else ():
                seal = seals.get(place_name)
                found = [members for members, _ in build.joint_pieces(seal)] if seal else []
                loose = [one for one in found if not _is_trapped(one, touching)]
                if not found or loose:
                    self.report.unsealed_joints += 1
                    pieces = loose[0] if loose else build.pieces_at(place_name)
                    self._problem("joint-unsealed", name, pieces, detail=joint.name)
            if joint.wet and not joint.sealed_by:
                self.report.unsealed_joints += 1
                self._problem("joint-unsealed", name, joint.members, detail=joint.name)

    def _check_clearance(
        self,
        name: str,
        build: Build,
        clearance: Clearance,
        keys: Mapping[str, str],
    ) -> None:
        if not clearance.is_plain:
            return  # follows from dimensions, but no gap between two faces says it
        chain = float(build.read_chain(clearance))
        if clearance.kind is ClearanceKind.DIAMETRAL and chain < 0.0:
            return  # pressed in: the solids overlap, which its joint is held to
        low, high = (
            (build.piece_at(place_name), face)
            for place_name, face in (clearance.low, clearance.high)
        )
        both = keys[low[0].name], keys[high[0].name]
        fact = self._find(
            [
                "clearance", clearance.kind, both, _say_face(low[0].faces[low[1]]),
                _say_face(high[0].faces[high[1]]), _say(find_rotation(low[0].pose), 9),
                _say(find_rotation(high[0].pose), 9),
                _say(find_shift_mm(high[0].pose) - find_shift_mm(low[0].pose), 7),
            ],
            lambda: _found(self._measurer().measure_clearance(both, low, high, clearance.kind)),
        )  # fmt: skip
        if not fact[0]:
            return  # already reported as a missing face
        exact = fact[1]
        error = abs(exact - chain)
        self.report.max_clearance_error_mm = max(self.report.max_clearance_error_mm, error)
        if error > CLEARANCE_ERROR_MM:
            pieces = (clearance.low[0], clearance.high[0])
            self._problem("clearance-differs", name, pieces, error, clearance.name)


def _is_trapped(members: tuple[str, ...], touching: set[Pair]) -> bool:
    """Say whether a seal, the second of these pieces, touches all that it seals between."""
    carrier, seal, *mates = members
    return all(frozenset({seal, end}) in touching for end in (carrier, *mates))


def _near_pairs(build: Build, solids: Mapping[str, Fact]) -> Iterator[tuple[str, str]]:
    boxes = {name: _placed_box(build.pieces[name], fact) for name, fact in solids.items()}
    for a, b in itertools.combinations(solids, 2):
        (low, high), (other_low, other_high) = boxes[a], boxes[b]
        if not ((low > other_high + TOUCH_MM) | (other_low > high + TOUCH_MM)).any():
            yield a, b


Vector = npt.NDArray[np.float64]


def _placed_box(piece: PlacedPiece, fact: Fact) -> tuple[Vector, Vector]:
    """Give the lowest and highest corner of a piece's own box as it lies in the pump."""
    low, high = np.array(fact[_BOX]).reshape(2, 3)
    turn = find_rotation(piece.pose)
    centre = turn @ (low + high) / 2 + find_shift_mm(piece.pose)
    half: Vector = np.abs(turn) @ (high - low) / 2
    return centre - half, centre + half


def _found(exact_mm: float | None) -> Fact:
    return (0.0,) if exact_mm is None else (1.0, exact_mm)


def _say(numbers: Vector, places: int) -> list[float]:
    rounded: list[float] = (numbers.round(places) + 0.0).ravel().tolist()
    return rounded


def _say_face(face: Face) -> list[object]:
    return [face.kind, round(float(face.at), 9), face.axis, face.facing, face.near]


@cache
def _version() -> str:
    """Digest what decides a fact beside the solids: our own measuring and the libraries it asks."""
    digest = hashlib.sha256()
    for name in _SOURCES:
        digest.update(Path(__file__).with_name(name).read_bytes())
    for library in ("cadquery", "cadquery-ocp", "manifold3d"):
        digest.update(f"{library} {importlib.metadata.version(library)}".encode())
    return digest.hexdigest()
