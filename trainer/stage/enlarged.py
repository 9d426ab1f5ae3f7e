"""Show one gap larger than it is, true in kind: what touches goes on touching, and no other gap closes.

One side of the gap moves away along it, with all that rests on it. What ties both sides together round the gap, the
shaft and the casing, is drawn out in the picture between the two faces where it is tied; of a bore round a journal the
wall behind the bore is drawn thinner. So only the gap looks other than it is, and lengths that nobody reads there.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly, AssemblyPiece
from models.spec.build import Build, PlacedPiece
from models.spec.clearance import Clearance, ClearanceKind
from models.spec.face import Axis
from models.spec.mesh import Mesh
from models.spec.turning import AXES, find_facing
from trainer.core.measure.legs import Leg, find_stop, list_legs

WIDEST_MM = 5.0
"""A distance wider than this is seen as it is."""
WALL_SHARE = 0.6
"""So much of the wall behind a bore may be drawn away."""
DRAWN_OUT = 0.6
"""A piece may be drawn out by this share of the length between the faces where it is tied."""
KEPT_SHARE = 0.25
"""So much of any other gap must stay open."""
Vector = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Draw:
    """How far a piece is moved along the axis, in mm: `low_shift` up to `low_mm`, `high_shift` from `high_mm` on, evenly between."""

    low_mm: float
    low_shift: float
    high_mm: float
    high_shift: float

    @property
    def is_rigid(self) -> bool:
        """Does it move as it is?"""
        return self.low_shift == self.high_shift

    def at(self, places_mm: npt.NDArray[np.floating] | float) -> npt.NDArray[np.float64]:
        """Give how far what stands at a place is moved."""
        ends, shifts = (self.low_mm, self.high_mm), (self.low_shift, self.high_shift)
        return np.asarray(np.interp(np.asarray(places_mm, dtype=np.float64), ends, shifts))


STILL = Draw(0.0, 0.0, 1.0, 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class Enlarged:
    """A gap shown `factor` times its size: how each piece that moves is drawn. Of a bore the draw runs along the radius."""

    factor: float
    axis: Axis
    is_round: bool
    draws: Mapping[str, Draw]

    def shift(self, piece: str, point: Vector) -> Vector:
        """Give how far a point (3,) mm of a piece is moved, (3,) mm."""
        moved = self._move(self.draws.get(piece, STILL), point[None])
        return np.asarray(moved[0] - point)

    def find_offsets(self) -> dict[str, Vector]:
        """Give how far the pieces that move as they are do so, (3,) mm."""
        unit = np.zeros(3)
        unit[AXES.index(self.axis)] = 1.0
        rigid = {} if self.is_round else self.draws
        return {name: one.low_shift * unit for name, one in rigid.items() if one.is_rigid}

    def draw_out(self, assembly: Assembly) -> Assembly:
        """Give an assembly in which the pieces that are drawn out or thinned are so."""
        pieces = tuple(
            replace(piece, mesh=self._draw(piece))
            if piece.name in self.draws and not self.draws[piece.name].is_rigid
            else piece
            for piece in assembly.pieces
        )
        return replace(assembly, pieces=pieces)

    def _draw(self, piece: AssemblyPiece) -> Mesh:
        mesh, draw = piece.mesh, self.draws[piece.name]
        points, edges = (self._move(draw, one).astype(np.float32) for one in (mesh.points, mesh.edge_points))  # fmt: skip
        return replace(mesh, points=points, edge_points=edges)

    def _move(self, draw: Draw, points: npt.NDArray[np.floating]) -> Vector:
        moved = np.array(points, dtype=np.float64)
        if self.is_round:
            radii = np.hypot(moved[:, 1], moved[:, 2])
            factor = 1.0 + draw.at(radii) / np.maximum(radii, 1e-9)
            moved[:, 1:] *= factor[:, None]
        else:
            number = AXES.index(self.axis)
            moved[:, number] += draw.at(moved[:, number])
        return moved


def enlarge(
    build: Build, assembly: Assembly, clearance: Clearance, factor: float
) -> Enlarged | None:
    """Enlarge a gap, as wide as the build has it; None where it is no open gap, or not so much can be shown.

    `factor` 1 is the gap as it is.
    """
    gap = float(build.read_chain(clearance)) if clearance.is_plain else 0.0
    if not 0.0 < gap <= WIDEST_MM:
        return None
    if clearance.kind is ClearanceKind.DIAMETRAL:
        return _thin_wall(build, assembly, clearance, factor, gap)
    if clearance.kind is not ClearanceKind.AXIAL:
        return None
    return _Parting(build, clearance, (factor - 1.0) * gap).find(factor)


def _thin_wall(
    build: Build, assembly: Assembly, clearance: Clearance, factor: float, gap_mm: float
) -> Enlarged | None:
    """Draw the wall behind a bore thinner from within."""
    piece, bore = build.piece_at(clearance.high[0]), float(build.diameter(*clearance.high)) / 2.0
    points = assembly.by_name[piece.name].mesh.points
    outside = float(np.hypot(points[:, 1], points[:, 2]).max())
    shift = (factor - 1.0) * gap_mm / 2.0
    if shift > WALL_SHARE * (outside - bore):
        return None
    draw = Draw(bore, shift, outside, 0.0)
    return Enlarged(factor, Axis.Z, is_round=True, draws={piece.name: draw} if shift else {})


class _Parting:
    """The search for what moves when the two faces of a gap along an axis are parted by `wider_mm` more."""

    def __init__(self, build: Build, clearance: Clearance, wider_mm: float) -> None:
        self._build, self._clearance, self._wider_mm = build, clearance, wider_mm
        self._decided: dict[str, Draw] = {}
        self._followed: dict[str, Draw] = {}
        low = build.piece_at(clearance.low[0])
        self._axis = find_facing(low.pose, low.faces[clearance.low[1]])[0]

    def find(self, factor: float) -> Enlarged | None:
        """Find how each piece moves; None where that cannot be shown without closing or opening anything else."""
        if self._wider_mm and not (self._part() and self._make_room()):
            return None
        draws = {name: self._find(piece) for name, piece in self._build.pieces.items()}
        moved = {name: one for name, one in draws.items() if one.low_shift or one.high_shift}
        return Enlarged(factor, self._axis, is_round=False, draws=moved)

    def _part(self) -> bool:
        """Let the piece of the longest leg be drawn out, and what lies on the walk beyond it go along."""
        legs = list_legs(self._build, self._clearance)
        single = [leg for leg in legs if len(leg.pieces) == 1]
        longest = max(single, key=lambda leg: abs(leg.end_mm - leg.start_mm))
        if self._wider_mm > DRAWN_OUT * abs(longest.end_mm - longest.start_mm):
            return False
        at = legs.index(longest)
        is_low = self._is_low_side_loose(legs, at)
        shift = -self._wider_mm if is_low else self._wider_mm
        for leg in legs[:at] if is_low else legs[at + 1 :]:
            for piece in leg.pieces:
                self._decided[piece] = Draw(0.0, shift, 1.0, shift)
        for leg in legs[at + 1 :] if is_low else legs[:at]:
            for piece in leg.pieces:
                self._decided.setdefault(piece, STILL)
        moved, still = (longest.start_mm, longest.end_mm) if is_low else (longest.end_mm, longest.start_mm)  # fmt: skip
        self._decided[longest.pieces[0]] = _make_draw((moved, shift), (still, 0.0))
        return True

    def _is_low_side_loose(self, legs: tuple[Leg, ...], at: int) -> bool:
        """Does the low side hang on the piece that is drawn out, rather than carry it?"""
        drawn = legs[at].pieces[0]
        names = [self._build.piece_at(self._clearance.low[0]).name, *legs[0].pieces]
        return any(drawn in self._list_carriers(self._build.pieces[name]) for name in names)

    def _list_carriers(self, piece: PlacedPiece) -> list[str]:
        """List the pieces that carry a piece along the axis, nearest first."""
        carriers: list[str] = []
        while (stop := find_stop(self._build, piece, self._axis)) is not None:
            carriers.append(stop.other.name)
            piece = stop.other
        return carriers

    def _find(self, piece: PlacedPiece) -> Draw:
        """Find how a piece moves: as what it rests on does where it rests; what spans two parts, as both ends do."""
        name = piece.name
        if name in self._decided:
            return self._decided[name]
        if name not in self._followed:
            self._followed[name] = STILL  # a ring of seats would be a fault of the family
            stop = find_stop(self._build, piece, self._axis)
            shift = float(self._find(stop.other).at(float(stop.there))) if stop else 0.0
            self._followed[name] = self._find_spanned(piece) or Draw(0.0, shift, 1.0, shift)
        return self._followed[name]

    def _find_spanned(self, piece: PlacedPiece) -> Draw | None:
        for span in piece.place.spans.values():
            if span.low is None:
                continue
            ends = []
            for place, face in (span.low, span.high):
                carrier = self._build.piece_at(place)
                if find_facing(carrier.pose, carrier.faces[face])[0] is not self._axis:
                    break
                at = float(self._build.position(place, face))
                ends.append((at, float(self._find(carrier).at(at))))
            if len(ends) == 2:
                return _make_draw(*ends)
        return None

    # ------------------------------------------------------------------ room for what moves
    def _make_room(self) -> bool:
        """Let what would be run into go along, and draw out the casing between; False where something closes all the same."""
        for clearance in self._list_closing():
            ends = [self._build.piece_at(place) for place, _ in (clearance.low, clearance.high)]
            still = [piece for piece in ends if self._find(piece).is_rigid and not self._find(piece).low_shift]  # fmt: skip
            if len(still) != 1 or not self._take_along(still[0]):
                return False
        return not self._list_closing()

    def _list_closing(self) -> list[Clearance]:
        """List the other gaps that would close, or nearly so."""
        closing = []
        for one in self._build.clearances:
            if one.kind is not ClearanceKind.AXIAL or not one.is_plain or one is self._clearance:
                continue
            gap = float(self._build.read_chain(one))
            shifts = [
                float(self._find(self._build.piece_at(place)).at(float(self._build.position(place, face))))
                for place, face in (one.low, one.high)
            ]  # fmt: skip
            if gap > 0.0 and gap + shifts[1] - shifts[0] < KEPT_SHARE * gap:
                closing.append(one)
        return closing

    def _take_along(self, piece: PlacedPiece) -> bool:
        """Let a piece go along with what would run into it: what carries both it and the still side is drawn out."""
        still = self._build.piece_at(self._find_still_end()[0])
        way, base = self._walk_down(piece), self._walk_down(still)
        shared = next((name for name in way if name in base), "")
        if not shared or self._decided.get(shared, STILL) != STILL or shared == still.name:
            return False
        at, tied = self._find_tie(way, shared), self._find_tie(base, shared)
        shift = self._find_shift()
        edge = float(self._build.position(*self._find_still_end()))
        # from the gap on, where its wall is plain; else over all between the two faces where it is tied
        begin = edge if min(at, tied) < edge < max(at, tied) else at
        if abs(shift) > DRAWN_OUT * abs(tied - at):
            return False
        begin = at if abs(tied - begin) < abs(shift) / 2.0 else begin
        moved = way[: way.index(shared)]
        self._decided |= dict.fromkeys(moved, Draw(0.0, shift, 1.0, shift))
        self._decided[shared] = _make_draw((begin, shift), (tied, 0.0))
        self._followed = {}  # what rests on these is to be found anew
        return True

    def _find_shift(self) -> float:
        moved = self._find_moved_end()
        piece = self._build.piece_at(moved[0])
        return float(self._find(piece).at(float(self._build.position(*moved))))

    def _find_moved_end(self) -> tuple[str, str]:
        low = self._build.piece_at(self._clearance.low[0])
        at = float(self._build.position(*self._clearance.low))
        return self._clearance.low if float(self._find(low).at(at)) else self._clearance.high

    def _find_still_end(self) -> tuple[str, str]:
        ends = (self._clearance.low, self._clearance.high)
        return ends[1] if self._find_moved_end() == ends[0] else ends[0]

    def _walk_down(self, piece: PlacedPiece) -> list[str]:
        return [piece.name, *self._list_carriers(piece)]

    def _find_tie(self, way: list[str], shared: str) -> float:
        """Find where on the axis the last piece of a way rests on what both ways share."""
        last = self._build.pieces[way[way.index(shared) - 1]]
        stop = find_stop(self._build, last, self._axis)
        assert stop is not None
        return float(stop.there)


def _make_draw(one: tuple[float, float], other: tuple[float, float]) -> Draw:
    low, high = sorted((one, other))
    return Draw(*low, *high)
