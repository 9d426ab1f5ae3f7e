"""Measure, ray by ray, how far each part can move before it meets another. Compiled loops.

All parts are scan-converted together, row by row, along the motion (`crossing.py`), where two of them
at least lie over one another (`spacing.py`). For two parts on a ray the travel is where the one ahead
starts less where the other ends; of all rays the second smallest counts, since a single one may err.
A ray counts for a part only where four copies of it, shifted sideways by SHIFT_MM, are inside the part too:
faces in contact, press fits and holes of nominal size then do not read as collisions sideways. Depth is
the ray's own where the four show a plane (flat faces, cones and cylinders are exact), else the innermost of
the four. Copies are asked only on rays that can still bring the travel down, which few can.
Whole rays, copies or no, tell what else a contact so found is: when one meets up to GRAZE_MM before it,
a corner grazes there, and its travel counts.

The law of tolerance, for interference on the radius and `sagitta` of the coarser facets:

- what overlaps sideways by less than 2 x SHIFT_MM x cos(45 deg) (0.17 mm), interference + 2 x sagitta
  taken together, never reads as in the way by itself;
- a shoulder that stands out by more than 2 x SHIFT_MM + 2 x sagitta (0.24 mm and more) is seen, where two
  rays meet what is left of it after SHIFT_MM is taken off at either side: `spacing.py` says how many stand
  there. Between the two figures either answer may come;
- travel to flat and conical faces is exact but for the facets. A corner that runs onto a slope is read
  late by the slope times the distance of the second nearest ray from it. Travel is never read early,
  save by what overlaps less than the law asks and lies within GRAZE_MM before a contact that is seen.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trainer.core.order.compiled import loop
from trainer.core.order.crossing import (
    COPIES,
    MIDDLE,
    Field,
    Lists,
    cross_copies,
    cross_row,
    may_meet,
    pair_crossings,
    sort_crossings,
)
from trainer.core.order.spacing import TILE

PLANE_MM = 0.02
"""Depths of a ray and its four copies that lie in a plane within this are taken as a plane."""
GRAZE_MM = 1.5
"""How much before a contact that all copies see a whole ray may meet."""

F64 = npt.NDArray[np.float64]
I8 = npt.NDArray[np.int8]
I32 = npt.NDArray[np.int32]
I64 = npt.NDArray[np.int64]
Mask = npt.NDArray[np.bool_]
Tables = tuple[F64, F64, I64]
"""least, second: smallest and second smallest travel (n, n), and the ray that the smallest is from."""
Spans = tuple[I32, I32, I32, I32, F64, Mask]
"""Intervals of a row: the first of each ray (-1 for none), the next on the same ray; and of each its
part, ray, (start, end), and whether it is marked."""
Ray = tuple[F64, I8, F64, F64, I64, I64, F64]
"""Room to work on one ray: crossings (depth, sign); intervals by copy (starts, ends, counts, where we
are); and the outcome (start, end)."""
Work = tuple[Mask, Lists, Ray, I64]
"""Which rays of a row are wanted; room for their crossings, and for those of one; where each part's triangles
start in the row."""
Laid = tuple[F64, I32, I64, I32, I32, tuple[int, int]]
"""Of a Field: edges, owner, index, listed, and its tiles' stride and low."""


@dataclass(frozen=True, slots=True, eq=False)
class Gaps:
    """The smallest and second smallest travel of all rays, (2, n, n) mm, inf where never.

    [0, a, b] is for a moving along +w up to b where all copies agree, [1, a, b] by whole rays. rays: (2, n)
    how many go through a part, and on how many of those its entries and exits do not balance, so that
    its mesh is not closed there.
    """

    least: F64
    second: F64
    rays: I64

    def join(self, other: Gaps) -> Gaps:
        """Join the gaps of other rays; the order in which rays are joined makes no difference."""
        second = np.minimum(
            np.maximum(self.least, other.least), np.minimum(self.second, other.second)
        )
        return Gaps(np.minimum(self.least, other.least), second, self.rays + other.rays)

    def find_travel_mm(self) -> F64:
        """Find the travel (n, n): [a, b] is for a moving along +w up to b, mm; inf where never."""
        agreed, whole = self.second
        grazes = (whole < agreed) & (whole > agreed - GRAZE_MM) & np.isfinite(agreed)
        travel: F64 = np.maximum(np.where(grazes, whole, agreed), 0.0)
        return travel


@loop
def _flatten(depth: F64, at: I64, middle: float, innermost: float) -> float:
    """Give the ray's own depth if those of its copies, depth[copy, at[copy]], lie in a plane with it."""
    bent_u = abs(depth[0, at[0]] + depth[1, at[1]] - 2.0 * middle)
    bent_v = abs(depth[2, at[2]] + depth[3, at[3]] - 2.0 * middle)
    return middle if max(bent_u, bent_v) <= 2.0 * PLANE_MM else innermost


@loop
def _agree(ray: Ray) -> int:
    """Keep of a ray what lies inside all its copies. Returns how many intervals."""
    _, _, starts, ends, counts, at, kept = ray
    found, k = 0, 0
    at[:] = 0
    while True:
        start, end, least = -np.inf, np.inf, 0
        for c in range(MIDDLE):
            if at[c] == counts[c]:
                return found
            start = max(start, starts[c, at[c]])
            if ends[c, at[c]] < end:
                end, least = ends[c, at[c]], c
        if end > start:
            while k < counts[MIDDLE] and ends[MIDDLE, k] <= start:
                k += 1
            if k < counts[MIDDLE] and starts[MIDDLE, k] < end:
                start = _flatten(starts, at, starts[MIDDLE, k], start)
                end = _flatten(ends, at, ends[MIDDLE, k], end)
            kept[found, 0], kept[found, 1] = start, end
            found += 1
        at[least] += 1


@loop
def _note(least: F64, second: F64, by: I64, way: tuple[int, int], gap: float, ray: int) -> None:
    """Note a gap (way: of which part, up to which) on a ray; of several on one ray the least counts."""
    if gap >= second[way]:
        return
    if by[way] == ray:
        least[way] = min(least[way], gap)
    elif gap < least[way]:
        second[way] = least[way]
        least[way], by[way] = gap, ray
    else:
        second[way] = gap


@loop
def _meet(j: int, spans: Spans, ray: int, tables: Tables, lowest: float, known: F64) -> None:
    """Note the gaps between all intervals of ray j (`ray`: its number) that belong to different parts.

    lowest: gaps below are not noted. Intervals whose gap is below `known` are marked.
    """
    head, after, part, _, span, marked = spans
    least, second, by = tables
    k = head[j]
    while k >= 0:
        m = after[k]
        while m >= 0:
            if part[k] != part[m]:
                one, other = m, k
                if span[k, 0] + span[k, 1] <= span[m, 0] + span[m, 1]:
                    one, other = k, m
                gap, way = span[other, 0] - span[one, 1], (part[one], part[other])
                if gap < known[way]:
                    marked[k] = marked[m] = True
                if gap >= lowest:
                    _note(least, second, by, way, gap, ray)
            m = after[m]
        k = after[k]


@loop
def _choose(stride: I32, i: int, wanted: Mask) -> None:
    """Mark which rays of row i are asked; stride: that of the row's tiles."""
    for tile in range(len(stride)):
        every = stride[tile]
        for j in range(tile * TILE, (tile + 1) * TILE):
            wanted[j] = every > 0 and (i | j) & (every - 1) == 0  # strides are powers of two


@loop
def _add(spans: Spans, filled: int, part: int, j: int, start: float, end: float) -> None:
    head, after, parts, at_ray, span, marked = spans
    parts[filled], at_ray[filled], marked[filled] = part, j, False
    span[filled, 0], span[filled, 1] = start, end
    after[filled], head[j] = head[j], filled


@loop
def _list_whole(i: int, laid: Laid, work: Work, whole: Spans, rays: I64) -> int:
    """List the intervals of all parts on row i. Returns how many."""
    wanted, lists, ray, begins = work
    edges, owner, index, listed, _, low = laid
    head, reach = lists[0], np.zeros(3, np.int64)
    depth, sign, starts, ends, _, _, _ = ray
    k, filled = index[i], 0
    while k < index[i + 1]:
        part = owner[listed[k]]
        begins[part] = k
        reach[0], reach[1], reach[2] = len(wanted), 0, 0
        while k < index[i + 1] and owner[listed[k]] == part:
            cross_row(edges[listed[k]], i + low[0], low[1], wanted, lists, reach)
            k += 1
        for j in range(reach[0], reach[1]):
            if head[j, MIDDLE] >= 0:
                n = sort_crossings(head[j, MIDDLE], lists, depth, sign)
                n, sound = pair_crossings(n, depth, sign, starts[MIDDLE], ends[MIDDLE])
                head[j, MIDDLE] = -1
                rays[0, part] += 1
                rays[1, part] += not sound
                for m in range(n):
                    _add(whole, filled, part, j, starts[MIDDLE, m], ends[MIDDLE, m])
                    filled += 1
    return filled


@loop
def _pair_copies(j: int, lists: Lists, ray: Ray) -> bool:
    """Pair the crossings of the copies of ray j. Returns whether all of them have intervals."""
    head = lists[0]
    depth, sign, starts, ends, counts, _, _ = ray
    all_meet = True
    for copy in range(MIDDLE):
        n = sort_crossings(head[j, copy], lists, depth, sign)
        counts[copy], _ = pair_crossings(n, depth, sign, starts[copy], ends[copy])
        head[j, copy] = -1
        all_meet = all_meet and counts[copy] > 0
    return all_meet


@loop
def _find_marked(e: int, filled: int, whole: Spans, wanted: Mask) -> tuple[int, int, int]:
    """Set in `wanted` the rays with marks of the part whose intervals begin at e.

    Returns where the next part's begin, and the first and last such ray; last is -1 if there is none.
    """
    _, _, parts, at_ray, _, marked = whole
    part, first, last = parts[e], len(wanted), -1
    while e < filled and parts[e] == part:
        if marked[e]:
            wanted[at_ray[e]] = True
            first, last = min(first, at_ray[e]), max(last, at_ray[e])
        e += 1
    return e, first, last


@loop
def _cross_marked(
    i: int, k: int, ends: tuple[int, int], laid: Laid, wanted: Mask, lists: Lists
) -> None:
    """Add the crossings of a part's triangles, listed from k on, with the copies of wanted rays of row i.

    ends: first and last wanted ray.
    """
    edges, owner, index, listed, _, low = laid
    part, reach = owner[listed[k]], np.zeros(3, np.int64)
    while k < index[i + 1] and owner[listed[k]] == part:
        if may_meet(edges[listed[k]], low[1], ends[0], ends[1]):
            cross_copies(edges[listed[k]], i + low[0], low[1], wanted, lists, reach)
        k += 1


@loop
def _list_agreed(i: int, filled: int, laid: Laid, whole: Spans, work: Work, agreed: Spans) -> int:
    """List, for the rays of row i on which `whole` has marks, what all copies agree on. Returns how many."""
    wanted, lists, ray, begins = work
    parts, at_ray, span = whole[2], whole[3], whole[4]
    starts, ends, counts, kept = ray[2], ray[3], ray[4], ray[6]
    e, n_agreed = 0, 0
    while e < filled:
        part = parts[e]
        after, first, last = _find_marked(e, filled, whole, wanted)
        if last >= 0:
            _cross_marked(i, begins[part], (first, last), laid, wanted, lists)
        while e < after:
            j, n = at_ray[e], 0
            while e < after and at_ray[e] == j:
                starts[MIDDLE, n], ends[MIDDLE, n] = span[e, 0], span[e, 1]
                e, n = e + 1, n + 1
            counts[MIDDLE] = n
            if wanted[j] and _pair_copies(j, lists, ray):
                for m in range(_agree(ray)):
                    _add(agreed, n_agreed, part, j, kept[m, 0], kept[m, 1])
                    n_agreed += 1
            wanted[j] = False
    return n_agreed


@loop
def _make_ray(most: int) -> Ray:
    """Make room for a ray with that many crossings."""
    return (
        np.empty(most), np.empty(most, np.int8), np.empty((COPIES, most)), np.empty((COPIES, most)),
        np.zeros(COPIES, np.int64), np.zeros(MIDDLE, np.int64), np.empty((2 * most, 2)),
    )  # fmt: skip


@loop
def _make_spans(across: int, most: int) -> Spans:
    return (
        np.full(across, -1, np.int32), np.empty(most, np.int32), np.empty(most, np.int32), np.empty(most, np.int32),
        np.empty((most, 2)), np.empty(most, np.bool_),
    )  # fmt: skip


@loop
def _sweep(
    begin: int, end: int, laid: Laid, most: tuple[int, int, int], least: F64, second: F64, rays: I64
) -> None:
    """Scan-convert all parts along rows begin..end and note the gaps between them."""
    _, _, index, _, stride, _ = laid
    across, parts = stride.shape[1] * TILE, rays.shape[1]
    agreed_tables = least[0], second[0], np.full((parts, parts), -1, np.int64)
    whole_tables = least[1], second[1], np.full((parts, parts), -1, np.int64)
    head = np.full((across, COPIES), -1, np.int32)
    lists = head, np.empty(most[0]), np.empty(most[0], np.int8), np.empty(most[0], np.int32)
    ray = _make_ray(most[2])
    whole, agreed = _make_spans(across, most[1]), _make_spans(across, most[1])
    begins = np.zeros(parts, np.int64)
    asked = np.zeros(across, np.bool_), lists, ray, begins
    again = np.zeros(across, np.bool_), lists, ray, begins
    for i in range(begin, end):
        if index[i] == index[i + 1]:
            continue
        _choose(stride[i // TILE], i, asked[0])
        filled = _list_whole(i, laid, asked, whole, rays)
        for j in range(across):
            _meet(j, whole, i * across + j, whole_tables, 0.0, second[0])
            whole[0][j] = -1
        if _list_agreed(i, filled, laid, whole, again, agreed):
            for j in range(across):
                _meet(j, agreed, i * across + j, agreed_tables, -np.inf, second[0])
                agreed[0][j] = -1


def split_rows(field: Field, pieces: int) -> list[tuple[int, int]]:
    """Split the rows into spans of about equal work."""
    rows = len(field.index) - 1
    shares = np.linspace(0, field.index[-1], pieces + 1)[1:-1]
    cuts = [0, *np.searchsorted(field.index, shares).tolist(), rows]
    return list(itertools.pairwise(cuts))


def measure_gaps(field: Field, rows: tuple[int, int]) -> Gaps:
    """Measure the travel between all parts of a field on some of its rows."""
    n = field.parts
    gaps = Gaps(np.full((2, n, n), np.inf), np.full((2, n, n), np.inf), np.zeros((2, n), np.int64))
    laid = field.edges, field.owner, field.index, field.listed, field.tiles.stride, field.tiles.low
    _sweep(*rows, laid, field.most, gaps.least, gaps.second, gaps.rays)
    return gaps
