"""Set labels in rows above and below a drawing, so that no text meets another text or a leader.

Every label has a leader that goes from its spot to the edge of the drawing and from there straight
up (or down) to the middle of its text. Labels stand in the order of their spots, in rows by turns;
a leader to an outer row passes between the texts of the inner ones. All of this is a set of least
distances between leaders, which two passes over the row satisfy. Plain sums in pixels.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

_MOST_ROWS = 5
_ROW_COST_PX = 30.0
_Places = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a label points (pixels from the upper left), and how wide its text is in pixels."""

    x_px: float
    y_px: float
    width_px: float


@dataclass(frozen=True, slots=True)
class Flag:
    """One label set: its leader runs from its spot to the edge of the drawing at `x_px`, then to its row.

    row counts from 0, outwards from the drawing; above tells on which side of it. The text stands
    with its middle over `x_px`, or as near as the picture's rim allows: from `left_px` on.
    """

    spot_x_px: float
    spot_y_px: float
    x_px: float
    left_px: float
    row: int
    above: bool


def lay_out_flags(
    spots: Mapping[str, Spot],
    left_px: float,
    right_px: float,
    gap_px: float,
    edges_px: tuple[float, float],
    *,
    only_below: bool = False,
) -> dict[str, Flag] | None:
    """Choose a side, a leader and a row for each label.

    Args:
        spots: what to set, by name.
        left_px: no text begins before it.
        right_px: no text ends after it.
        gap_px: least free space beside a text.
        edges_px: upper and lower edge of the drawing, where leaders bend.
        only_below: leave the upper side to something else.

    Returns:
        Flags by name; None where they do not fit.
    """
    flags: dict[str, Flag] = {}
    sides = (
        ([], sorted(spots, key=lambda name: spots[name].x_px)) if only_below else _share_out(spots)
    )
    for names, above in zip(sides, (True, False), strict=True):
        edge_px = edges_px[0] if above else edges_px[1]
        placed = _place_side(names, spots, (left_px, right_px), gap_px, edge_px)
        if placed is None:
            return None
        for name, (x_px, row) in placed.items():
            spot = spots[name]
            text_left = min(max(x_px - spot.width_px / 2, left_px), right_px - spot.width_px)
            flags[name] = Flag(spot.x_px, spot.y_px, x_px, text_left, row, above)
    return flags


def count_rows(flags: Mapping[str, Flag], *, above: bool) -> int:
    """Count the rows that the flags need on one side."""
    return max((flag.row + 1 for flag in flags.values() if flag.above is above), default=0)


def _share_out(spots: Mapping[str, Spot]) -> tuple[list[str], list[str]]:
    """Send of each pair of neighbours the higher one up and the other down, so that both sides fill evenly."""
    ordered = sorted(spots, key=lambda name: (spots[name].x_px, name))
    above: list[str] = []
    below: list[str] = []
    for index in range(0, len(ordered), 2):
        pair = sorted(ordered[index : index + 2], key=lambda name: spots[name].y_px)
        above.append(pair[0])
        below += pair[1:]
    return above, below


def _place_side(
    names: Sequence[str],
    spots: Mapping[str, Spot],
    limits: tuple[float, float],
    gap_px: float,
    edge_px: float,
) -> dict[str, tuple[float, int]] | None:
    best: dict[str, tuple[float, int]] | None = None
    least = float("inf")
    for rows in range(1, min(_MOST_ROWS, max(1, len(names))) + 1):
        order = _find_order(names, spots, rows, limits, gap_px, edge_px)
        if order is None:
            continue
        places = _place_in_rows([spots[name] for name in order], rows, limits, gap_px)
        assert places is not None
        # Long slanting leaders are hard to follow, and rows cost height: weigh one against the other.
        slant = (
            float(np.abs(places - [spots[name].x_px for name in order]).mean()) if order else 0.0
        )
        if slant + rows * _ROW_COST_PX < least:
            least = slant + rows * _ROW_COST_PX
            best = {
                name: (float(x_px), _row(i, rows))
                for i, (name, x_px) in enumerate(zip(order, places, strict=True))
            }
    return best


def _find_order(
    names: Sequence[str],
    spots: Mapping[str, Spot],
    rows: int,
    limits: tuple[float, float],
    gap_px: float,
    edge_px: float,
) -> list[str] | None:
    """Swap neighbours until no leader crosses the next, as far as that can be had; None where texts don't fit."""
    order = list(names)
    for _ in range(2 * len(order) + 1):
        places = _place_in_rows([spots[name] for name in order], rows, limits, gap_px)
        if places is None:
            return None
        crossed = _find_crossing([spots[name] for name in order], places, edge_px)
        if crossed is None:
            break
        order[crossed], order[crossed + 1] = order[crossed + 1], order[crossed]
    # The last swap may not have been placed, and texts of other widths may no longer fit in its order.
    fits = _place_in_rows([spots[name] for name in order], rows, limits, gap_px) is not None
    return order if fits else None


def _place_in_rows(
    spots: Sequence[Spot], rows: int, limits: tuple[float, float], gap_px: float
) -> _Places | None:
    """Place leaders in order, as near to their spots as the least distances allow; None where they don't fit."""
    if not spots:
        return np.zeros(0)
    half = np.array([spot.width_px / 2 for spot in spots])
    count = len(spots)
    apart = np.zeros((count, count))
    for i in range(count):
        for k in range(i + 1, count):
            own, other = _row(i, rows), _row(k, rows)
            if own == other:
                apart[i, k] = half[i] + half[k] + gap_px
            else:
                # The leader of the outer one passes beside the text of the inner one.
                apart[i, k] = (half[i] if own < other else half[k]) + gap_px / 2
    low, high = np.array([limits[0]] * count) + half, np.array([limits[1]] * count) - half
    wished = np.clip(np.array([spot.x_px for spot in spots]), low, high)
    leftmost, rightmost = _push_right(low, apart), _push_left(high, apart)
    if np.any(leftmost > rightmost + 1e-9):
        return None
    # Both pushes keep the distances, and so does their mean, and the larger or smaller of two such.
    middle = (_push_right(wished, apart) + _push_left(wished, apart)) / 2
    return np.asarray(np.minimum(np.maximum(middle, leftmost), rightmost))


def _push_right(start: _Places, apart: _Places) -> _Places:
    places = start.copy()
    for k in range(1, len(places)):
        places[k] = max(places[k], float((places[:k] + apart[:k, k]).max()))
    return places


def _push_left(start: _Places, apart: _Places) -> _Places:
    places = start.copy()
    for i in range(len(places) - 2, -1, -1):
        places[i] = min(places[i], float((places[i + 1 :] - apart[i, i + 1 :]).min()))
    return places


def _find_crossing(spots: Sequence[Spot], places: _Places, edge_px: float) -> int | None:
    """Find the first leader that crosses its right neighbour on the way to the edge."""
    for i in range(len(spots) - 1):
        first, second = spots[i], spots[i + 1]
        # At the level of the shallower spot, the one order must hold that holds at the edge.
        level = min((first.y_px, second.y_px), key=lambda y_px: abs(y_px - edge_px))
        if (
            _at_level(first, float(places[i]), edge_px, level)
            > _at_level(second, float(places[i + 1]), edge_px, level) + 1.0
        ):
            return i
    return None


def _at_level(spot: Spot, x_px: float, edge_px: float, level_px: float) -> float:
    depth = spot.y_px - edge_px
    share = 1.0 if abs(depth) < 1e-9 else (level_px - edge_px) / depth
    return x_px + (spot.x_px - x_px) * share


def _row(index: int, rows: int) -> int:
    return index % rows
