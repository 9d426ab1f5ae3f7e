"""Measure, ray by ray, how far each part can move before it meets another. Compiled loops.

All parts are scan-converted together, row by row, along the motion (`crossing.py`), where two of them
at least lie over one another (`spacing.py`). A ray counts for a part only where four copies of it, shifted
sideways by SHIFT_MM, are inside the part too: faces in contact, press fits and holes of nominal size then
do not read as collisions sideways. Depth is the ray's own where the four show a plane (flat faces, cones
and cylinders are exact), else the innermost of the four. For two parts on a ray the travel is where the one
ahead starts less where the other ends; of all rays the second smallest counts, since a single one may err.
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
    TILE,
    Field,
    Lists,
    cross,
    pair_crossings,
    sort_crossings,
)

PLANE_MM = 0.02
"""Depths of a ray and its four copies that lie in a plane within this are taken as a plane."""
GRAZE_MM = 1.5
"""How much before a contact that all copies see a whole ray may meet."""

F64 = npt.NDArray[np.float64]
I8 = npt.NDArray[np.int8]
I32 = npt.NDArray[np.int32]
I64 = npt.NDArray[np.int64]
Mask = npt.NDArray[np.bool_]
Spans = tuple[I32, I8, F64]
"""Intervals: part, whether whole (1) or kept by all copies (0), (start, end)."""
Row = tuple[I32, I32, Spans]
"""Intervals of one row: the first of each ray (-1 for none), the one after each, and the intervals."""
Laid = tuple[F64, I32, I64, I32, I32, tuple[int, int]]
"""Of a Field: edges, owner, index, listed, and its tiles' stride and low."""
Found = tuple[F64, F64, I64, I64]
"""What a Gaps holds."""
Ray = tuple[F64, I8, F64, F64, I64, I64, Mask, F64]
"""Room to work on one ray: crossings (depth, sign); intervals by copy (starts, ends, counts, where we are);
which of the ray's own are kept as they are; and the outcome (start, end)."""


@dataclass(frozen=True, slots=True, eq=False)
class Gaps:
    """The smallest and second smallest travel of all rays, (2, n, n) mm, inf where never.

    [0, a, b] is for a moving along +w up to b where all copies agree, [1, a, b] by whole rays. crossed,
    unsound: (n,) rays through a part, and those on which entries and exits do not balance, so that
    its mesh is not closed there.
    """

    least: F64
    second: F64
    crossed: I64
    unsound: I64

    def join(self, other: Gaps) -> Gaps:
        """Join the gaps of other rays; the order in which rays are joined makes no difference."""
        second = np.minimum(
            np.maximum(self.least, other.least), np.minimum(self.second, other.second)
        )
        least = np.minimum(self.least, other.least)
        return Gaps(least, second, self.crossed + other.crossed, self.unsound + other.unsound)

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
    _, _, starts, ends, counts, at, plain, kept = ray
    found, k = 0, 0
    at[:] = 0
    plain[: counts[MIDDLE]] = False
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
                plain[k] = start == starts[MIDDLE, k] and end == ends[MIDDLE, k]
            kept[found, 0], kept[found, 1] = start, end
            found += 1
        at[least] += 1


@loop
def _keep(j: int, lists: Lists, ray: Ray) -> tuple[int, int, bool, bool]:
    """Work out the intervals of one part on ray j of a row, and clear its lists.

    Returns how many intervals all copies agree on; how many there are with the whole ones that differ; whether
    the part is met at all; and whether its crossings balance.
    """
    head = lists[0]
    d, s, starts, ends, counts, _, plain, kept = ray
    met, sound = False, True
    for copy in range(COPIES):
        met = met or head[j, copy] >= 0
        n = sort_crossings(head[j, copy], lists, d, s)
        counts[copy], balanced = pair_crossings(n, d, s, starts[copy], ends[copy])
        sound = sound and balanced
        head[j, copy] = -1
    agreed = _agree(ray)
    n = agreed
    for k in range(counts[MIDDLE]):
        if not plain[k]:
            kept[n, 0], kept[n, 1] = starts[MIDDLE, k], ends[MIDDLE, k]
            n += 1
    return agreed, n, met, sound


@loop
def _note(
    least: F64, second: F64, by: I64, way: tuple[int, int, int], gap: float, ray: int
) -> None:
    """Note a gap (way: whole or not, which part, up to which); of several on one ray the least counts."""
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
def _meet(n: int, spans: Spans, least: F64, second: F64, by: I64, ray: int) -> None:
    """Note the gaps between all intervals of one ray that belong to different parts."""
    part, whole, span = spans
    for k in range(n):
        for m in range(k):
            if part[k] == part[m]:
                continue
            one, other = m, k
            if span[k, 0] + span[k, 1] <= span[m, 0] + span[m, 1]:
                one, other = k, m
            gap = span[other, 0] - span[one, 1]
            either = max(whole[k], whole[m])
            if either and gap < 0.0:  # sides that overlap: only copies can tell what that is
                continue
            _note(least, second, by, (int(either), part[one], part[other]), gap, ray)


@loop
def _choose(stride: I32, i: int, wanted: Mask) -> None:
    """Mark which rays of row i are asked; stride: that of the row's tiles."""
    for tile in range(len(stride)):
        every = stride[tile]
        for j in range(tile * TILE, (tile + 1) * TILE):
            wanted[j] = every > 0 and i % every == 0 and j % every == 0


@loop
def _make_ray(most: int) -> Ray:
    """Make room for a ray with that many crossings."""
    return (
        np.empty(most), np.empty(most, np.int8), np.empty((COPIES, most)), np.empty((COPIES, most)),
        np.zeros(COPIES, np.int64), np.zeros(MIDDLE, np.int64), np.zeros(most, np.bool_),
        np.empty((3 * most, 2)),
    )  # fmt: skip


@loop
def _make_spans(most: int) -> Spans:
    return np.empty(most, np.int32), np.empty(most, np.int8), np.empty((most, 2))


@loop
def _list_spans(
    i: int, laid: Laid, wanted: Mask, lists: Lists, ray: Ray, row: Row, found: Found
) -> None:
    """Scan-convert all parts along row i: list the intervals of each ray."""
    edges, owner, index, listed, _, low = laid
    row_head, row_after, (parts, whole, span) = row
    reach = np.zeros(3, np.int64)
    k, filled = index[i], 0
    while k < index[i + 1]:
        part = owner[listed[k]]
        reach[0], reach[1], reach[2] = len(wanted), 0, 0
        while k < index[i + 1] and owner[listed[k]] == part:
            cross(edges[listed[k]], i + low[0], low[1], wanted, lists, reach)
            k += 1
        for j in range(reach[0], reach[1]):
            if not wanted[j]:
                continue
            agreed, n, met, sound = _keep(j, lists, ray)
            found[2][part] += met
            found[3][part] += not sound
            for m in range(n):
                parts[filled], whole[filled] = part, m >= agreed
                span[filled, 0], span[filled, 1] = ray[7][m, 0], ray[7][m, 1]
                row_after[filled], row_head[j] = row_head[j], filled
                filled += 1


@loop
def _sweep(begin: int, end: int, laid: Laid, most: tuple[int, int], found: Found) -> None:
    """Scan-convert all parts along rows begin..end and note the gaps between them."""
    _, _, index, _, stride, _ = laid
    least, second, _, _ = found
    across = stride.shape[1] * TILE
    by, wanted = np.full(least.shape, -1, np.int64), np.zeros(across, np.bool_)
    head = np.full((across, COPIES), -1, np.int32)
    lists = head, np.empty(most[0]), np.empty(most[0], np.int8), np.empty(most[0], np.int32)
    on_ray = np.diff(index).max()  # a triangle crosses a ray once at most
    ray, spans = _make_ray(on_ray), _make_spans(3 * on_ray)
    row_head, row_after, in_row = (
        np.full(across, -1, np.int32),
        np.empty(most[1], np.int32),
        _make_spans(most[1]),
    )
    for i in range(begin, end):
        if index[i] == index[i + 1]:
            continue
        _choose(stride[i // TILE], i, wanted)
        _list_spans(i, laid, wanted, lists, ray, (row_head, row_after, in_row), found)
        for j in range(across):
            at, n = row_head[j], 0
            row_head[j] = -1
            while at >= 0:
                spans[0][n], spans[1][n] = in_row[0][at], in_row[1][at]
                spans[2][n, 0], spans[2][n, 1] = in_row[2][at, 0], in_row[2][at, 1]
                at, n = row_after[at], n + 1
            _meet(n, spans, least, second, by, i * across + j)


def split_rows(field: Field, pieces: int) -> list[tuple[int, int]]:
    """Split the rows into spans of about equal work."""
    rows = len(field.index) - 1
    shares = np.linspace(0, field.index[-1], pieces + 1)[1:-1]
    cuts = [0, *np.searchsorted(field.index, shares).tolist(), rows]
    return list(itertools.pairwise(cuts))


def measure_gaps(field: Field, rows: tuple[int, int]) -> Gaps:
    """Measure the travel between all parts of a field on some of its rows."""
    n = field.parts
    gaps = Gaps(
        np.full((2, n, n), np.inf), np.full((2, n, n), np.inf),
        np.zeros(n, np.int64), np.zeros(n, np.int64),
    )  # fmt: skip
    laid = field.edges, field.owner, field.index, field.listed, field.tiles.stride, field.tiles.low
    _sweep(*rows, laid, field.most, (gaps.least, gaps.second, gaps.crossed, gaps.unsound))
    return gaps
