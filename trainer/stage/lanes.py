"""Set labels in lanes along the sides of a picture, with straight leaders that do not cross.

Each label has a spot inside and a place on one of the lanes. In a lane labels stand as near to abreast of
their spots as the room between them allows. Where two leaders cross, their labels change places: the two
sides of a crossing are together longer than without it, so every change shortens the whole, and the end
has no crossing. What stood in a lane before stays in it and in its order while nothing crosses, so that
labels move along quietly with what they point at. Plain sums in pixels.
Method: boundary labelling; the exchange is that of Croes' 2-opt (1958), both from memory.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np
import numpy.typing as npt

from trainer.stage.camera import Region

Points = npt.NDArray[np.float64]
MOST_ROUNDS = 4
MOST_MOVES = 12
MOST_TRIES = 4
MOVE_PX = 12.0
"""A label goes to a lane that is less crowded where that saves so much of all leaders together."""
GAIN_PX = 60.0
"""Two labels change places without crossing, too, where that saves so much leader."""
NEARER_SHARE = 0.55
"""A label goes to another lane only when that is nearer by this share: it must not go to and fro."""


class Lane(Enum):
    """A side of the picture: which coordinate runs along it (0 across, 1 down)."""

    LEFT = ("left", 1)
    RIGHT = ("right", 1)
    TOP = ("top", 0)
    BOTTOM = ("bottom", 0)

    @property
    def along(self) -> int:
        """The coordinate that runs along the lane."""
        return self.value[1]


@dataclass(frozen=True, slots=True)
class Placed:
    """Where a label stands: its lane, and the middle of its number in pixels."""

    lane: Lane
    x_px: float
    y_px: float


@dataclass(frozen=True, slots=True)
class Lanes:
    """The lanes there are: middles of labels lie on the sides of `frame`, at least `apart_px` from each other."""

    frame: Region
    apart_px: float
    sides: tuple[Lane, ...] = (Lane.TOP, Lane.BOTTOM, Lane.LEFT, Lane.RIGHT)

    def find_ends(self, lane: Lane) -> tuple[float, float]:
        """Find where a lane begins and ends along its side; corners belong to the upright lanes."""
        frame = self.frame
        if lane.along == 1:
            return frame.top, frame.bottom
        corner = self.apart_px if Lane.LEFT in self.sides else 0.0
        return frame.left + corner, frame.right - corner

    def find_line(self, lane: Lane) -> float:
        """Find the coordinate square to a lane, at which its labels stand."""
        frame = self.frame
        lines = {Lane.LEFT: frame.left, Lane.RIGHT: frame.right, Lane.TOP: frame.top}
        return lines.get(lane, frame.bottom)

    def count_room(self, lane: Lane) -> int:
        """Count the labels that a lane can take."""
        low, high = self.find_ends(lane)
        return int((high - low) / self.apart_px + 1e-9) + 1 if high >= low else 0

    @property
    def room(self) -> int:
        """How many labels find a place at all."""
        return sum(self.count_room(lane) for lane in self.sides)


def lay_out_lanes(
    spots: Mapping[str, tuple[float, float]], lanes: Lanes, before: Mapping[str, Placed]
) -> dict[str, Placed]:
    """Place labels in lanes.

    Args:
        spots: by name, the pixel (across, down) that a label points at, inside the frame.
        lanes: where labels may stand.
        before: where labels stood last; they keep lane and order as far as that can be.

    Returns:
        By name where each stands: all inside their lanes, none nearer than `apart_px` to another.

    Raises:
        ValueError: more labels than the lanes have room for.
    """
    names = list(spots)
    if not names:
        return {}
    if len(names) > lanes.room:
        raise ValueError(f"{len(names)} labels, but room for {lanes.room}")
    points = np.array([spots[name] for name in names], np.float64)
    chosen = _choose_lanes(names, points, lanes, before)
    orders = _order_lanes(names, points, chosen, before)
    orders = _relieve(points, orders, lanes, [name not in before for name in names])
    places = _set_places(points, orders, lanes)
    for _ in range(MOST_ROUNDS):
        held = _uncross(points, places)
        if np.array_equal(held, np.arange(len(names))):
            break
        # Who stands in whose place now; then every lane is spaced anew in its new order.
        holder = np.argsort(held)
        orders = {lane: [int(holder[one]) for one in order] for lane, order in orders.items()}
        places = _set_places(points, orders, lanes)
    held = _uncross(points, places)
    lane_of = {one: lane for lane, order in orders.items() for one in order}
    return {
        name: Placed(lane_of[int(at)], float(places[at, 0]), float(places[at, 1]))
        for name, at in zip(names, held, strict=True)
    }


def _choose_lanes(
    names: Sequence[str], points: Points, lanes: Lanes, before: Mapping[str, Placed]
) -> dict[Lane, list[int]]:
    """Send each label to the nearest lane with room; those that stood in one first, where they stood."""
    far = np.stack(
        [
            np.abs(points[:, 1 - lane.along] - lanes.find_line(lane))
            + _measure_beyond(points[:, lane.along], lanes.find_ends(lane))
            for lane in lanes.sides
        ],
        axis=1,
    )
    for number, name in enumerate(names):
        if name in before and before[name].lane in lanes.sides:
            far[number, lanes.sides.index(before[name].lane)] *= NEARER_SHARE
    room = {lane: lanes.count_room(lane) for lane in lanes.sides}
    chosen: dict[Lane, list[int]] = {lane: [] for lane in lanes.sides}
    # Who loses most by going elsewhere chooses first.
    ranked = np.sort(far, axis=1)
    loses = ranked[:, -1] - ranked[:, 0]
    for number in np.argsort(-loses, kind="stable"):
        for side in np.argsort(far[number], kind="stable"):
            lane = lanes.sides[int(side)]
            if len(chosen[lane]) < room[lane]:
                chosen[lane].append(int(number))
                break
    return chosen


def _measure_beyond(along: Points, ends: tuple[float, float]) -> Points:
    return np.asarray(np.maximum(ends[0] - along, 0.0) + np.maximum(along - ends[1], 0.0))


def _order_lanes(
    names: Sequence[str],
    points: Points,
    chosen: Mapping[Lane, Sequence[int]],
    before: Mapping[str, Placed],
) -> dict[Lane, list[int]]:
    """Order the labels of each lane: those that stood there as they stood, new ones where they point."""
    orders: dict[Lane, list[int]] = {}
    for lane, numbers in chosen.items():
        stood = {
            number: (before[names[number]].x_px, before[names[number]].y_px)[lane.along]
            for number in numbers
            if names[number] in before and before[names[number]].lane is lane
        }
        order = sorted(stood, key=lambda number: stood[number])
        new = [number for number in numbers if number not in stood]
        for number in sorted(new, key=lambda one: float(points[one, lane.along])):
            at = float(points[number, lane.along])
            behind = [i for i, one in enumerate(order) if float(points[one, lane.along]) <= at]
            order.insert(behind[-1] + 1 if behind else 0, number)
        orders[lane] = order
    return orders


def _relieve(
    points: Points, orders: Mapping[Lane, Sequence[int]], lanes: Lanes, is_new: Sequence[bool]
) -> dict[Lane, list[int]]:
    """Move new labels out of crowded lanes into others, as long as that makes all leaders together shorter."""
    best = {lane: list(order) for lane, order in orders.items()}
    if not any(is_new):
        return best
    far = {lane: np.abs(points[:, 1 - lane.along] - lanes.find_line(lane)) for lane in lanes.sides}
    lengths = np.linalg.norm(points - _set_places(points, best, lanes), axis=1)
    for _ in range(MOST_MOVES):
        wishes = sorted(
            (
                (float(far[lane][number] - lengths[number]), number, here, lane)
                for here, order in best.items()
                for number in order
                if is_new[number]
                for lane in lanes.sides
                if lane is not here and len(best[lane]) < lanes.count_room(lane)
            ),
            key=lambda wish: wish[:2],
        )
        for saved, number, here, lane in wishes[:MOST_TRIES]:
            if saved > -MOVE_PX:
                continue
            tried = dict(best)
            tried[here] = [one for one in best[here] if one != number]
            along = points[:, lane.along]
            after = sum(float(along[one]) <= float(along[number]) for one in best[lane])
            tried[lane] = [*best[lane][:after], number, *best[lane][after:]]
            shorter = np.linalg.norm(points - _set_places(points, tried, lanes), axis=1)
            if float(shorter.sum()) < float(lengths.sum()) - MOVE_PX:
                best, lengths = tried, shorter
                break
        else:
            break
    return best


def _set_places(points: Points, orders: Mapping[Lane, Sequence[int]], lanes: Lanes) -> Points:
    """Give every label its place (n, 2), abreast of its spot as far as the others let it."""
    places = np.zeros_like(points)
    for lane, order in orders.items():
        if order:
            wished = points[order, lane.along]
            places[order, lane.along] = space_out(wished, lanes.apart_px, lanes.find_ends(lane))
            places[order, 1 - lane.along] = lanes.find_line(lane)
    return places


def space_out(wished: Points, apart_px: float, ends: tuple[float, float]) -> Points:
    """Space places in their order, as near to where they are wished as the distance and the ends allow.

    The least sum of squares under an order: neighbours that would overlap are pooled and stand around the
    mean of their wishes (isotonic regression by pooling adjacent violators; Barlow et al. 1972, from memory).
    """
    count = len(wished)
    steps = apart_px * np.arange(count)
    sums: list[float] = []
    sizes: list[int] = []
    for wish in wished - steps:
        sums.append(float(wish))
        sizes.append(1)
        while len(sums) > 1 and sums[-2] / sizes[-2] >= sums[-1] / sizes[-1]:
            last, size = sums.pop(), sizes.pop()
            sums[-1] += last
            sizes[-1] += size
    means = np.repeat([total / size for total, size in zip(sums, sizes, strict=True)], sizes)
    last_start = ends[1] - apart_px * (count - 1)
    return np.asarray(np.clip(means, ends[0], max(ends[0], last_start)) + steps)


def _uncross(points: Points, places: Points) -> npt.NDArray[np.intp]:
    """Let labels change places until no two leaders cross: gives for each label (n,) the place it takes."""
    count = len(points)
    held = np.arange(count)
    reach = np.linalg.norm(points[:, None] - places[None], axis=2)
    while True:
        at = places[held]
        own = reach[np.arange(count), held]
        swapped = reach[:, held]
        gain = own[:, None] + own[None] - swapped - swapped.T
        # Only what truly saves is exchanged, so this ends.
        worth = np.where((find_crossings(points, at) & (gain > 1e-6)) | (gain > GAIN_PX), gain, 0.0)
        best = int(worth.argmax())
        first, second = divmod(best, count)
        if worth[first, second] <= 0.0:
            return held
        held[[first, second]] = held[[second, first]]


def find_crossings(starts: Points, ends: Points) -> npt.NDArray[np.bool_]:
    """Find which straight leaders (n) cross which, as (n, n)."""
    way = ends - starts
    # Where the others' ends lie, left or right of each leader.
    begins = _turn(way, starts[None] - starts[:, None])
    finishes = _turn(way, ends[None] - starts[:, None])
    parted = begins * finishes < 0.0
    return np.asarray(parted & parted.T)


def _turn(way: Points, to: Points) -> Points:
    return np.asarray(way[:, None, 0] * to[..., 1] - way[:, None, 1] * to[..., 0])
