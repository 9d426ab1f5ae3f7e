"""Hold a build's solids against what it declares: valid, watertight, touching only where said, gaps equal to chains.

Imports the kernel.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

import cadquery as cq
import numpy as np
from manifold3d import Error, Manifold
from manifold3d import Mesh as FacetMesh
from OCP.BRep import BRep_Tool
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS
from OCP.TopTools import TopTools_IndexedDataMapOfShapeListOfShape

from models.solids.keys import make_key
from models.solids.shape import find_face, make_shape, measure_gap_mm, place
from models.solids.tessellate import make_mesh
from models.spec.build import Build, PlacedPiece
from models.spec.clearance import Clearance, ClearanceKind
from models.spec.holding import Pair, find_contacts, find_presses
from models.spec.joint import JointKind
from models.spec.rule import check_rules
from models.spec.turning import find_rotation, find_shift_mm

TOUCH_MM = 1e-4
"""Pieces closer than this touch."""
OVERLAP_MM3 = 1e-2
"""Common volume below this is a contact: rounding of the kernel's booleans on long faces."""
PROXIMITY_MM = 0.2
"""Pairs of which no facets come nearer than this are not looked at exactly."""
FAR_MM = float("inf")
CLEARANCE_ERROR_MM = 0.01
"""Largest difference allowed between the gap of the solids and the chain."""


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
    max_clearance_error_mm: float = 0.0
    problems: list[Problem] = field(default_factory=list)

    @property
    def is_ok(self) -> bool:
        """Nothing is other than declared."""
        return not self.problems


Progress = Callable[[str, int, int], None]
PairFact = tuple[float, float]
"""(least distance mm, common volume mm3)."""


class Verifier:
    """Check builds one after another; solids and pairs that are the same are looked at once."""

    def __init__(self, progress: Progress | None = None) -> None:
        self._tell = progress or (lambda _what, _done, _of: None)
        self._shapes: dict[str, cq.Shape] = {}
        self._facets: dict[str, Manifold | None] = {}
        self._facts: dict[object, PairFact] = {}
        self.report = Report()

    def check(self, build: Build) -> None:
        """Check one build and add to the report."""
        name = f"{build.name} {' '.join(f'{k}={v}' for k, v in build.options.items())}".strip()
        keys = {piece.name: make_key(piece) for piece in build.pieces.values()}
        for done, piece in enumerate(build.pieces.values(), start=1):
            if keys[piece.name] not in self._shapes:
                self._shapes[keys[piece.name]] = make_shape(piece)
                self._check_solid(name, piece, self._shapes[keys[piece.name]])
                self._facets[keys[piece.name]] = _make_facets(self._shapes[keys[piece.name]])
            self._tell("solids", done, len(build.pieces))
        placed = {p.name: place(self._shapes[keys[p.name]], p.pose) for p in build.pieces.values()}
        self.report.builds += 1
        self.report.solids += sum(len(shape.Solids()) for shape in placed.values())
        touching = self._check_pairs(name, build, placed, keys)
        self._check_seals(name, build, touching)
        for clearance in build.clearances:
            self._check_clearance(name, build, clearance, keys)
        self.report.problems += [
            Problem("rule-broken", name, broken.pieces, broken.number, broken.key)
            for broken in check_rules(build, build.family.rules)
        ]

    def _problem(
        self, what: str, build: str, pieces: tuple[str, ...], amount: float = 0.0, detail: str = ""
    ) -> None:
        self.report.problems.append(Problem(what, build, pieces, amount, detail))

    def _check_solid(self, build: str, piece: PlacedPiece, shape: cq.Shape) -> None:
        if not BRepCheck_Analyzer(shape.wrapped).IsValid() or not shape.Solids():
            self._problem("solid-invalid", build, (piece.name,))
        open_edges = _count_open_edges(shape)
        if open_edges:
            self._problem("solid-open", build, (piece.name,), open_edges)
        for face in piece.faces:
            if find_face(shape, piece.faces[face]) is None:
                self._problem("face-missing", build, (piece.name,), detail=face)

    def _check_pairs(
        self, name: str, build: Build, placed: Mapping[str, cq.Shape], keys: Mapping[str, str]
    ) -> set[Pair]:
        contacts, presses = find_contacts(build), find_presses(build)
        touching: set[Pair] = set()
        near = list(_near_pairs(placed))
        for done, (a, b) in enumerate(near, start=1):
            pair = frozenset({a, b})
            distance, volume = self._measure(build.pieces[a], build.pieces[b], placed, keys)
            self._tell("pairs", done, len(near))
            if distance > TOUCH_MM:
                continue
            touching.add(pair)
            press = presses.get(pair, 0.0)
            if volume > OVERLAP_MM3 and not press:
                self.report.undeclared_overlaps += 1
                self._problem("overlap-undeclared", name, (a, b), volume)
            elif press and volume > press * min(placed[a].Area(), placed[b].Area()):
                self.report.undeclared_overlaps += 1
                self._problem("overlap-too-deep", name, (a, b), volume)
            elif pair not in contacts:
                self._problem("contact-undeclared", name, (a, b))
        self.report.pairs += len(near)
        return touching

    def _measure(
        self,
        a: PlacedPiece,
        b: PlacedPiece,
        placed: Mapping[str, cq.Shape],
        keys: Mapping[str, str],
    ) -> PairFact:
        """Measure a pair once for each relative placement, to a hundred-thousandth of a millimetre."""
        shift = tuple((find_shift_mm(b.pose) - find_shift_mm(a.pose)).round(5).tolist())
        turns = (
            a.pose.axis,
            a.pose.sign,
            a.pose.turn_deg,
            b.pose.axis,
            b.pose.sign,
            b.pose.turn_deg,
        )
        key = (keys[a.name], keys[b.name], shift, turns)
        if key not in self._facts:
            one, other = placed[a.name], placed[b.name]
            distance = measure_gap_mm(one, other) if self._may_touch(a, b, keys) else FAR_MM
            self._facts[key] = (distance, _common_mm3(one, other) if distance <= TOUCH_MM else 0.0)
        return self._facts[key]

    def _may_touch(self, a: PlacedPiece, b: PlacedPiece, keys: Mapping[str, str]) -> bool:
        """Say quickly, from facets, whether two pieces could touch or overlap; exact distance is slow for far pairs.

        A gap of more than PROXIMITY_MM between facets (well over twice their sag) is no contact.
        """
        near = []
        for piece in (a, b):
            facets = self._facets[keys[piece.name]]
            if facets is None:
                return True
            near.append(
                facets.transform(
                    np.column_stack([find_rotation(piece.pose), find_shift_mm(piece.pose)])
                )
            )
        return bool(near[0].min_gap(near[1], 2 * PROXIMITY_MM) < PROXIMITY_MM)

    def _check_seals(self, name: str, build: Build, touching: set[Pair]) -> None:
        """A wet joint is sealed when each of its seals is there and really touches all it seals between."""
        seals = {j.members[1]: j for j in build.joints if j.kind is JointKind.SEALED}
        for joint in build.joints:
            for place_name in joint.sealed_by if joint.wet else ():
                seal = seals.get(place_name)
                pieces = build.pieces_at(place_name)
                ends = (
                    [build.pieces_at(m)[-1] for i, m in enumerate(seal.members) if i != 1]
                    if seal
                    else []
                )
                if (
                    not pieces
                    or not ends
                    or any(frozenset({pieces[0], end}) not in touching for end in ends)
                ):
                    self.report.unsealed_joints += 1
                    self._problem("joint-unsealed", name, (*pieces, *ends), detail=joint.name)
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
        at = build.diameter if clearance.kind is ClearanceKind.DIAMETRAL else build.position
        chain = float(at(*clearance.high) - at(*clearance.low))
        ends = []
        for place_name, face in (clearance.low, clearance.high):
            piece = build.piece_at(place_name)
            found = find_face(self._shapes[keys[piece.name]], piece.faces[face])
            if found is None:
                return  # already reported as a missing face
            ends.append(place(found, piece.pose))
        if clearance.kind is ClearanceKind.OVERLAP:
            exact = ends[1].Center().x - ends[0].Center().x
        else:
            exact = measure_gap_mm(ends[0], ends[1]) * (
                2 if clearance.kind is ClearanceKind.DIAMETRAL else 1
            )
        error = abs(exact - chain)
        self.report.max_clearance_error_mm = max(self.report.max_clearance_error_mm, error)
        if error > CLEARANCE_ERROR_MM:
            pieces = (clearance.low[0], clearance.high[0])
            self._problem("clearance-differs", name, pieces, error, clearance.name)


def _near_pairs(placed: Mapping[str, cq.Shape]) -> Iterator[tuple[str, str]]:
    boxes = {name: shape.BoundingBox() for name, shape in placed.items()}
    for a, b in itertools.combinations(placed, 2):
        one, two = boxes[a], boxes[b]
        apart = (
            one.xmin > two.xmax + TOUCH_MM or two.xmin > one.xmax + TOUCH_MM
            or one.ymin > two.ymax + TOUCH_MM or two.ymin > one.ymax + TOUCH_MM
            or one.zmin > two.zmax + TOUCH_MM or two.zmin > one.zmax + TOUCH_MM
        )  # fmt: skip
        if not apart:
            yield a, b


def _make_facets(shape: cq.Shape) -> Manifold | None:
    """Make a closed facet model of a shape; None when its facets do not close, and exact distance must do."""
    mesh = make_mesh(shape)
    points, index = np.unique(mesh.points.round(4), axis=0, return_inverse=True)
    triangles = index[mesh.triangles]
    whole = (
        (triangles[:, 0] != triangles[:, 1])
        & (triangles[:, 1] != triangles[:, 2])
        & (triangles[:, 2] != triangles[:, 0])
    )
    facets = Manifold(FacetMesh(points.astype(np.float32), triangles[whole].astype(np.uint32)))
    return facets if facets.status() == Error.NoError and not facets.is_empty() else None


def _common_mm3(one: cq.Shape, other: cq.Shape) -> float:
    """Give the volume two shapes share. Raises RuntimeError when the kernel cannot say."""
    common = BRepAlgoAPI_Common(one.wrapped, other.wrapped)
    if not common.IsDone():
        raise RuntimeError("the kernel could not intersect two solids")
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(common.Shape(), properties)
    return abs(float(properties.Mass()))


def _count_open_edges(shape: cq.Shape) -> int:
    """Count edges that do not join exactly two faces; the seam of a closed face joins that face to itself."""
    table = TopTools_IndexedDataMapOfShapeListOfShape()
    TopExp.MapShapesAndUniqueAncestors_s(shape.wrapped, TopAbs_EDGE, TopAbs_FACE, table)
    count = 0
    for i in range(1, table.Extent() + 1):
        edge = TopoDS.Edge_s(table.FindKey(i))
        faces = [TopoDS.Face_s(face) for face in table.FindFromIndex(i)]
        seam = len(faces) == 1 and BRep_Tool.IsClosed_s(edge, faces[0])
        if not BRep_Tool.Degenerated_s(edge) and len(faces) != 2 and not seam:
            count += 1
    return count
