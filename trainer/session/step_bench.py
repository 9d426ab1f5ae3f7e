"""Somebody's assembly on the bench: what was read, guessed and said, and what follows, each worked out when first asked."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

import numpy as np
import numpy.typing as npt
import platformdirs

from models.solids.step_file import read_step
from models.spec.assembly import Assembly, AssemblyPiece, Carry, Hold
from models.spec.errors import ContentError, Fault, RefusalError, say_near
from models.spec.joint import JointKind
from models.spec.mesh import Mesh
from models.spec.step import Overlap, StepAssembly, StepPiece
from trainer.core.order.blocking import Blocking
from trainer.core.order.guess import Guessed, GuessedJoint, Kind, guess_all
from trainer.core.order.layout import Layout, make_layout
from trainer.core.order.marking import Marked, mark_order
from trainer.core.order.state import Refused, State
from trainer.core.order.stays import keep_base, prefer_ways
from trainer.core.order.teardown import Order, find_order
from trainer.session.step_form import NO_FORM, JointSaid, PartSaid, StepForm, read_form
from trainer.session.step_relations import find_step_relations, has_step_relations
from trainer.session.step_threads import Opened, find_thread_pairs, open_pieces

OVERLAP_MM = 0.2
"""Overlap that is tolerated unless another depth is asked for, for an assembly of bench size.

Facets alone make two equal cylinders share slivers of up to 0.1 mm.
"""
THREAD_DEPTH = 0.15
"""Overlap of a screw with the hole it is screwed into, in diameters, that is how threads are drawn.

Deepest for fine watch screws: 0.61343 x pitch / diameter is 0.134 at M1.6 (ISO 68-1, from memory).
"""
FACET_MM = 0.1
"""Twice the sag of the facets: as deep as two surfaces that only touch may seem to overlap, at bench size."""
FLEXIBLE = (Kind.O_RING, Kind.SNAP_RING)
_TURNS: Mapping[str, tuple[tuple[float, ...], ...]] = {
    "z": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "-z": ((1, 0, 0), (0, -1, 0), (0, 0, -1)),
    "y": ((1, 0, 0), (0, 0, -1), (0, 1, 0)),
    "-y": ((1, 0, 0), (0, 0, 1), (0, -1, 0)),
    "x": ((0, 0, -1), (0, 1, 0), (1, 0, 0)),
    "-x": ((0, 0, 1), (0, 1, 0), (-1, 0, 0)),
}
"""Rows that turn the named axis of a file upwards."""

Progress = Callable[[str, int, int], None]


@dataclass(frozen=True, slots=True)
class JudgedOverlap:
    """An overlap, and what it is: "contact" (no deeper than facets stray), "thread", "tolerated" or "too-deep"."""

    overlap: Overlap
    verdict: str


@dataclass(frozen=True, slots=True)
class Stuck:
    """A piece that never comes free by straight moves, and what keeps it at the end."""

    piece: str
    refused: Refused


class StepBench:
    """Put an assembly that was read from a file on the bench.

    Lengths inside `assembly`, `blocking` and `layout` are `scale` times life size, so that what a
    bench-sized pump is measured with fits a watch and a bridge; `to_life_mm` turns them back.

    Attributes:
        step: what was read. form: what a person said. overlap_mm: overlap tolerated, life size.
    """

    def __init__(
        self,
        step: StepAssembly,
        form: StepForm = NO_FORM,
        overlap_mm: float | None = None,
        progress: Progress | None = None,
        folder: Path | None = None,
    ) -> None:
        self.step = step
        self.form = form
        self.scale = step.scale
        self.overlap_mm = OVERLAP_MM / step.scale if overlap_mm is None else overlap_mm
        self._progress = progress
        self._folder = folder or platformdirs.user_cache_path("pumpwright")
        self.read_pieces = tuple(p for p in step.pieces if not self.said(p.part).ignore)
        if len(self.read_pieces) < 1:
            what = "every part is of no interest"
            raise ContentError([Fault(step.name, 0, 0, what, "leave one part in")])

    @property
    def name(self) -> str:
        """The name of the file, without its ending."""
        return self.step.name

    @property
    def identity(self) -> Hashable:
        """The file's content and which way is up: with other guesses it is the same assembly."""
        return self.step.digest, self.form.up

    @property
    def build(self) -> None:
        """No build: nothing is known of its dimensions."""
        return None

    @property
    def has_relations(self) -> bool:
        """Do the relations lie ready?"""
        return has_step_relations(self._measured, self._folder / "relations")

    def to_life_mm(self, length: float) -> float:
        """Turn a length of the assembly on the bench into life size, mm."""
        return length / self.scale

    def said(self, part: str) -> PartSaid:
        """Give what the form says of a part."""
        return self.form.parts.get(part, PartSaid())

    # ------------------------------------------------------------ what it is
    @cached_property
    def sets(self) -> Mapping[str, tuple[str, ...]]:
        """Pieces of each part."""
        return self.assembly.sets

    @cached_property
    def guessed(self) -> Guessed:
        """What each part is taken for, and which joints follow, before the form's own joints."""
        said = {name: part.kind for name, part in self.form.parts.items() if part.kind is not None}
        return guess_all(self.read_pieces, said)

    @cached_property
    def joints(self) -> tuple[GuessedJoint | JointSaid, ...]:
        """All joints in force: those of the form, and guesses that the form does not stand in for."""
        named = frozenset[str]().union(*(joint.own for joint in self.form.joints))
        here = {piece.name for piece in self.read_pieces}
        guesses = [
            joint
            for joint in self.guessed.joints
            if joint.own not in named and not named & set(joint.by)
        ]
        said = [
            joint
            for joint in self.form.joints
            if joint.members and here.issuperset((*joint.members, *joint.by))
        ]
        return (*guesses, *said)

    @cached_property
    def assembly(self) -> Assembly:
        """Pieces with meshes in place, and what holds and carries them; to draw and to mark with."""
        turn = np.array(_TURNS[self.form.up])
        pieces = tuple(self._make_piece(piece, turn) for piece in self.read_pieces)
        presses = {
            frozenset(joint.members): joint.interference_mm * self.scale
            for joint in self.form.joints
            if joint.interference_mm
        }
        name = self.step.name
        return Assembly(name, pieces, self._make_holds(), self._make_carries(), presses)

    def _make_piece(self, piece: StepPiece, turn: npt.NDArray[np.float64]) -> AssemblyPiece:
        kind = self.guessed.kind_of(piece.part)
        said = self.said(piece.part).flexible
        look = self.guessed.looks[piece.name]
        axis = turn @ look.axis if kind in (Kind.SCREW, Kind.STUD, Kind.NUT, Kind.PIN) else None
        return AssemblyPiece(
            piece.name,
            piece.part,
            kind.value,
            name_tone(piece),
            piece.groups[-1] if piece.groups else "",
            _scaled(piece.mesh, self.scale).moved(turn, np.zeros(3)),
            flexible=kind in FLEXIBLE if said is None else said,
            axis=None if axis is None else (float(axis[0]), float(axis[1]), float(axis[2])),
        )

    def _make_holds(self) -> tuple[Hold, ...]:
        """A bolt with a nut is held by the nut; what the two clamp is held while both are there."""
        holds = []
        for joint in self.joints:
            if joint.kind is not JointKind.BOLTED or not joint.members:
                continue
            rods = [m for m in joint.members if self._kinds[m] in (Kind.SCREW, Kind.STUD)]
            bodies = frozenset(joint.members) - frozenset(rods)
            by = frozenset(joint.by)
            name = "+".join(sorted(bodies or joint.members))
            if len(bodies) > 1:
                holds.append(Hold(name, joint.kind, bodies, by.union(rods)))
            for rod in rods:
                rest = bodies or frozenset(joint.members) - {rod}
                holds.append(Hold(name, joint.kind, rest | {rod}, by))
        return tuple(holds)

    def _make_carries(self) -> tuple[Carry, ...]:
        return tuple(
            Carry(f"{joint.members[1]}", joint.kind, joint.members[0], joint.members[1], joint.tool)
            for joint in self.joints
            if joint.kind is not JointKind.BOLTED
        )

    @cached_property
    def _kinds(self) -> dict[str, Kind]:
        return {piece.name: self.guessed.kind_of(piece.part) for piece in self.read_pieces}

    # -------------------------------------------------------------- overlaps
    @cached_property
    def overlaps(self) -> tuple[JudgedOverlap, ...]:
        """Pairs that share volume, deepest first, each judged."""
        here = {piece.name for piece in self.read_pieces}
        return tuple(
            JudgedOverlap(one, self._judge(one)) for one in self.step.overlaps if one.pair <= here
        )

    @cached_property
    def _threads(self) -> Mapping[frozenset[str], str]:
        return find_thread_pairs(self.guessed, self._kinds)

    def _judge(self, one: Overlap) -> str:
        press = self.assembly.press_mm.get(one.pair, 0.0) / self.scale
        if one.depth_mm <= FACET_MM / self.scale:
            return "contact"
        if one.pair in self._threads:
            radius = self.guessed.looks[self._threads[one.pair]].radius_mm
            if one.depth_mm <= THREAD_DEPTH * 2.0 * radius:
                return "thread"
        return "tolerated" if one.depth_mm <= max(self.overlap_mm, press) else "too-deep"

    @cached_property
    def opened(self) -> Opened:
        """What is measured in place of the meshes that are drawn: thread holes opened, tolerated overlaps cut off."""
        cut = {one.overlap.pair for one in self.overlaps if one.verdict != "too-deep"}
        turn = np.array(_TURNS[self.form.up], np.float64)
        threads = {pair: shank for pair, shank in self._threads.items() if pair in cut}
        looks = {
            name: self.guessed.looks[name].moved(turn, self.scale) for name in threads.values()
        }
        meshes = {piece.name: piece.mesh for piece in self.assembly.pieces}
        return open_pieces(meshes, threads, looks, cut - set(threads))

    @cached_property
    def _measured(self) -> Assembly:
        pieces = tuple(
            replace(piece, mesh=self.opened.meshes.get(piece.name, piece.mesh))
            for piece in self.assembly.pieces
        )
        return replace(self.assembly, pieces=pieces)

    # ------------------------------------------------------------- what follows
    @cached_property
    def blocking(self) -> Blocking:
        """Who stands in whose way; kept on disk by all that decides it."""
        tell = self._progress
        step = (lambda done, of: tell("relations", done, of)) if tell else None
        found = find_step_relations(self._measured, self._folder / "relations", step)
        return prefer_ways(found, [p.axis for p in self.assembly.pieces if p.axis is not None])

    @cached_property
    def said_base(self) -> str:
        """The piece that the form says stays put; "" without one."""
        return next((self.sets[n][0] for n, said in self.form.parts.items() if said.base), "")

    @cached_property
    def base(self) -> str:
        """The piece that stays put: the form's, or else the largest body, if all others come off it."""
        return self._order_and_base[1]

    @cached_property
    def order(self) -> Order:
        """One good teardown order; the base stays put and is not in it."""
        return self._order_and_base[0]

    @cached_property
    def _order_and_base(self) -> tuple[Order, str]:
        found = find_order(self.assembly, self.blocking)
        base = self.said_base or self._largest_body
        if not base:
            return found, ""
        kept = keep_base(self.assembly, self.blocking, found, base)
        if len(kept.stuck) > len(found.stuck) and not self.said_base:
            return found, ""
        return kept, base

    @cached_property
    def _largest_body(self) -> str:
        bodies = [p for p in self.read_pieces if self._kinds[p.name] is Kind.BODY]
        largest = max(bodies, key=lambda p: p.facts.volume_mm3, default=None)
        return largest.name if largest is not None else ""

    @cached_property
    def stuck(self) -> tuple[Stuck, ...]:
        """What never comes free by straight moves, with what holds it or is in its way at the end."""
        state = State(self.assembly, self.blocking)
        for step in self.order.steps:
            for taken in step.taken:
                state.take(taken.piece)
        found = [state.look(name) for name in self.order.stuck]
        return tuple(Stuck(one.piece, one) for one in found if isinstance(one, Refused))

    @cached_property
    def layout(self) -> Layout:
        """Where every piece stands when the assembly is apart."""
        return make_layout(self.order, self.blocking, self.assembly)

    def work_before(self, step: int) -> tuple[str, ...]:
        """Give the words of the work that comes before a step of the order, counted from 0."""
        part = self.order.steps[step].part
        first = all(earlier.part != part for earlier in self.order.steps[:step])
        return self.said(part).before if first else ()

    def find_pieces(self, name: str) -> tuple[str, ...]:
        """Find the piece, or all pieces of a part, by name. Raises RefusalError with near matches."""
        if name in self.assembly.by_name:
            return (name,)
        if name in self.sets:
            return self.sets[name]
        near = say_near(name, [*self.sets, *self.assembly.by_name])
        raise RefusalError(f"no piece or part is called {name!r}; {near}")

    def mark(self, groups: Sequence[Sequence[str]]) -> Marked:
        """Mark an order of groups of pieces; the base, which nobody takes off, is not asked."""
        helped = [self.base] if self.base else []
        return mark_order(self.assembly, self.blocking, groups, helped=helped)


def open_step(
    path: Path,
    form: Path | None = None,
    overlap_mm: float | None = None,
    progress: Progress | None = None,
    folder: Path | None = None,
) -> StepBench:
    """Read a STEP file and its form, and put the assembly on the bench.

    Args:
        path: the STEP file.
        form: the short form; none if None.
        overlap_mm: overlap tolerated; OVERLAP_MM at bench size if None.
        progress: called while relations are worked out.
        folder: where results are kept; the user's cache if None.

    Raises:
        SurroundingsError, ContentError: see read_step and read_form.
    """
    if overlap_mm is not None and not 0.0 <= overlap_mm < float("inf"):
        raise RefusalError(f"an overlap of {overlap_mm:g} mm cannot be; write 0 or more")
    step = read_step(path, folder / "step" if folder else None)
    said = read_form(form, list_sets(step)) if form else NO_FORM
    return StepBench(step, said, overlap_mm, progress, folder)


def list_sets(step: StepAssembly) -> dict[str, list[str]]:
    """List the pieces of each part of what was read, those of no interest too."""
    sets: dict[str, list[str]] = {}
    for piece in step.pieces:
        sets.setdefault(piece.part, []).append(piece.name)
    return sets


def name_tone(piece: StepPiece) -> str:
    """Name the tone of a piece by the file's colour; "" without one."""
    return "#{:02x}{:02x}{:02x}".format(*piece.colour) if piece.colour else ""


def _scaled(mesh: Mesh, scale: float) -> Mesh:
    share = np.float32(scale)
    points, edges = mesh.points * share, mesh.edge_points * share
    return Mesh(points, mesh.normals, mesh.triangles, edges, mesh.edges)
