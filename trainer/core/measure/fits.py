"""Find the cylindrical fits of a build: which bore sits on which journal, and what lies between them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product

from models.spec.build import Build, PlacedPiece
from models.spec.face import Axis, Face, FaceKind
from models.spec.length import Length, Term
from models.spec.part import Material
from models.spec.turning import AXES

SAME_LINE_MM = 0.1
"""Two axes nearer than this are one."""
SAME_SIZE_MM = 1e-6


@dataclass(frozen=True, slots=True)
class FittedFace:
    """A cylindrical face that a drawing gives limits: whose, which, and by what dimension."""

    piece: str
    face: str
    term: Term


@dataclass(frozen=True, slots=True)
class CylindricalFit:
    """A bore on a journal of the same nominal size.

    joint: the declared joint whose fit it is, "" when none declares it. length_mm: how far they meet
    along their axis. between: bore less journal in mm, clearance above zero.
    """

    name: str
    joint: str
    size_mm: float
    bore: FittedFace
    journal: FittedFace
    length_mm: float
    between: Length


@dataclass(frozen=True, slots=True)
class _Spot:
    """Where a fitted face lies: its point along its line, and how far its piece reaches there, in mm."""

    fitted: FittedFace
    kind: FaceKind
    at: Length
    near_mm: float
    reach_mm: tuple[float, float]


def find_fits(build: Build, metals: frozenset[Material]) -> tuple[CylindricalFit, ...]:
    """Find every fit of a build, in the order of its pieces: those that joints declare, and those that lie so.

    Two faces make a fit when they lie about one line, have one nominal size, both have limits on their
    drawing, and meet along the line. Of several faces of one size on two pieces those nearest to each other count.
    What no joint declares counts between metals only: a lip or an O-ring has no fit.

    Args:
        build: the build.
        metals: what counts as metal.
    """
    spots = {
        (piece.name, spot.fitted.face): spot
        for piece in build.pieces.values()
        for spot in _list_spots(build, piece)
    }
    found = list(_list_declared(build, spots))
    told = {frozenset((fit.bore.piece, fit.journal.piece)) for fit in found}
    lines: dict[tuple[object, ...], list[_Spot]] = defaultdict(list)
    for spot in spots.values():
        size = round(build.dimension(spot.fitted.term).nominal / SAME_SIZE_MM)
        lines[*_find_line(build.pieces[spot.fitted.piece]), size].append(spot)
    for on_line in lines.values():
        found += _pair(build, on_line, told, metals)
    order = {name: number for number, name in enumerate(build.pieces)}
    return tuple(sorted(found, key=lambda fit: (order[fit.bore.piece], order[fit.journal.piece])))


def _list_declared(
    build: Build, spots: Mapping[tuple[str, str], _Spot]
) -> Iterator[CylindricalFit]:
    """List the fits that joints declare, where both diameters have limits."""
    for joint in build.joints:
        for members, _ in build.joint_pieces(joint) if joint.fit else ():
            faces = [spots.get(pair) for pair in zip(members, joint.fit, strict=True)]
            bore, journal = (
                next((spot for spot in faces if spot and spot.kind is kind), None)
                for kind in (FaceKind.BORE, FaceKind.JOURNAL)
            )
            if bore and journal:
                yield _make_fit(build, bore, journal, joint.name)


def _find_line(piece: PlacedPiece) -> tuple[Axis, int, int]:
    """Find the line about which a piece is turned: the axis it lies along, and where it crosses the other two."""
    across = [
        round(float(value) / SAME_LINE_MM)
        for axis, value in zip(AXES, piece.pose.origin, strict=True)
        if axis is not piece.pose.axis
    ]
    return piece.pose.axis, across[0], across[1]


def _list_spots(build: Build, piece: PlacedPiece) -> Iterator[_Spot]:
    pose = piece.pose
    start = float(pose.origin[AXES.index(pose.axis)])
    ends = [
        start + pose.sign * float(face.at)
        for face in piece.faces.values()
        if face.kind is FaceKind.PLANE and face.axis is Axis.X
    ]
    for name, face in piece.faces.items():
        term = _find_term(build, face)
        if term is not None and face.near is not None and len(ends) > 1:
            near = start + pose.sign * face.near[0]
            reach = (min(ends), max(ends))
            yield _Spot(FittedFace(piece.name, name, term), face.kind, face.at, near, reach)


def _find_term(build: Build, face: Face) -> Term | None:
    """Find the one dimension that a cylinder's diameter is, if a drawing gives it limits."""
    if face.kind is FaceKind.PLANE or len(face.at.terms) != 1:
        return None
    ((term, share),) = face.at.terms.items()
    drawn = build.dimension(term)
    return term if share == 1.0 and drawn.upper > drawn.lower else None


def _pair(
    build: Build,
    spots: list[_Spot],
    told: set[frozenset[str]],
    metals: frozenset[Material],
) -> Iterator[CylindricalFit]:
    """Pair the bores and journals of one line and size: of two pieces those that are nearest to each other."""
    bores, journals = (_group(spots, kind) for kind in (FaceKind.BORE, FaceKind.JOURNAL))
    for (outer, holes), (inner, shafts) in product(bores.items(), journals.items()):
        if outer == inner or {outer, inner} in told or not _can_fit(build, outer, inner, metals):
            continue
        for bore in holes:
            journal = _find_nearest(bore, shafts)
            if _find_nearest(journal, holes) is bore and _find_meeting(bore, journal) > 0.0:
                yield _make_fit(build, bore, journal)


def _group(spots: list[_Spot], kind: FaceKind) -> dict[str, list[_Spot]]:
    """Group the faces of one kind by their piece."""
    found: dict[str, list[_Spot]] = defaultdict(list)
    for spot in spots:
        if spot.kind is kind:
            found[spot.fitted.piece].append(spot)
    return found


def _can_fit(build: Build, outer: str, inner: str, metals: frozenset[Material]) -> bool:
    """Say whether two pieces can make a fit that no joint declares: both of metal, neither sprung into place."""
    parts = [build.pieces[name].part for name in (outer, inner)]
    return all(part.material in metals and not part.flexible for part in parts)


def _find_nearest(spot: _Spot, others: list[_Spot]) -> _Spot:
    return min(others, key=lambda one: abs(one.near_mm - spot.near_mm))


def _find_meeting(one: _Spot, other: _Spot) -> float:
    """Find over what length in mm two pieces lie over each other; none unless the face of one lies along the other."""
    low, high = (max(one.reach_mm[0], other.reach_mm[0]), min(one.reach_mm[1], other.reach_mm[1]))
    lies = any(low <= spot.near_mm <= high for spot in (one, other))
    return high - low if lies else 0.0


def _make_fit(build: Build, bore: _Spot, journal: _Spot, joint: str = "") -> CylindricalFit:
    return CylindricalFit(
        joint or f"{journal.fitted.piece}-in-{bore.fitted.piece}",
        joint,
        build.dimension(bore.fitted.term).nominal,
        bore.fitted,
        journal.fitted,
        _find_meeting(bore, journal),
        bore.at - journal.at,
    )
