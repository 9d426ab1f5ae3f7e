"""Who stands in whose way, from bodies known in closed form: the truth that relations are held against.

Travel of a pair along a direction is the least gap of all rays. Rays are laid where it can be least:
close beside every edge of either body, through every axis, and spread over what both cover. A ray
counts only if both bodies are there for some way all round it, so that neither contact nor a press
fit nor an edge decides. Depths are exact; nothing here knows meshes or the program.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tests.bench.bodies import Block, Body, Flags, Floats, Form

MARGINS_MM = (0.2, 0.03)
"""Both bodies must reach this far round a ray. With the first, what meets surely meets: it is more than
fits and facets. With the second, what misses surely misses. Where the two differ is the grey band."""
BESIDE_MM = (0.29, 0.05)
"""How far beside an edge rays are laid."""
SPREAD = 17
"""Rays a side, laid over what both bodies cover."""
ROUND = 24
"""Rays laid round an edge that is seen as a circle."""
TRIES = 4000
"""Rays looked at, nearest first, for one round which both bodies are."""
CLOSE_MM = 0.04
"""How far round the least gap it is asked whether there is a lesser one."""
ZOOMS = 9
"""How often the place of the least gap is looked at closer."""
CONTACT_MM = 0.5
"""Bodies that share no more than this along a ray are in contact: a press fit of 0.02 mm seen at a grazing angle."""


class OverlapError(AssertionError):
    """Two bodies share more than a press fit: the generator is wrong."""


@dataclass(frozen=True, slots=True)
class Frame:
    """Directions across (u, v) and along (w) the motion, unit vectors."""

    u: Floats
    v: Floats
    w: Floats

    @classmethod
    def along(cls, way: Sequence[float]) -> Frame:
        """Make a frame for a direction of motion."""
        w = np.array(way, float)
        w /= np.linalg.norm(w)
        side = np.eye(3)[(int(np.abs(w).argmax()) + 1) % 3]
        u = side - (side @ w) * w
        u /= np.linalg.norm(u)
        return cls(u, np.cross(w, u), w)

    def flatten(self, points: Floats) -> Floats:
        """Give points (k, 3) as (u, v), (k, 2)."""
        return np.asarray(points @ np.column_stack([self.u, self.v]))

    def lift(self, flat: Floats) -> Floats:
        """Give the origins (k, 3) of rays through (u, v)."""
        return np.asarray(flat @ np.array([self.u, self.v]))


@dataclass(frozen=True, slots=True)
class Shade:
    """A form seen along the motion: its box (2, 2), and the circles of its ends if they are seen round."""

    low: Floats
    high: Floats
    middle: Floats
    radii: tuple[float, ...]


def cast_shade(form: Form, frame: Frame) -> Shade:
    """See a form along the motion."""
    if isinstance(form, Block):
        corners = np.array(np.meshgrid(*form.box.T)).reshape(3, -1).T
        flat = frame.flatten(corners)
        return Shade(flat.min(axis=0), flat.max(axis=0), flat.mean(axis=0), ())
    ends = frame.flatten(np.array([form.start, form.end]))
    radii = np.array([form.start_radius, form.end_radius])
    tilt = frame.flatten(form.axis[None])[0]
    out = radii[:, None] * np.sqrt(np.maximum(0.0, 1.0 - tilt**2))
    is_round = bool(np.linalg.norm(tilt) < 1e-9)
    seen = tuple(sorted({form.start_radius, form.end_radius})) if is_round else ()
    return Shade((ends - out).min(axis=0), (ends + out).max(axis=0), ends.mean(axis=0), seen)


def find_travel_mm(
    one: Body, other: Body, frame: Frame
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Find how far `one` moves along +w and along -w until it meets `other`, for both margins; inf where it never does."""
    shades = [[cast_shade(form, frame) for _, form in body.steps] for body in (one, other)]
    boxes = [_find_box(body, seen) for body, seen in zip((one, other), shades, strict=True)]
    low, high = np.maximum(boxes[0][0], boxes[1][0]), np.minimum(boxes[0][1], boxes[1][1])
    if np.any(high - low <= 2.0 * MARGINS_MM[1]):
        return NEVER
    near = [np.array([_is_near(shade, low, high) for shade in seen]) for seen in shades]
    if not (near[0].any() and near[1].any()):
        return NEVER
    one, other = one.keep_near(near[0]), other.keep_near(near[1])
    kept = [shade for seen in shades for shade in seen if _is_near(shade, low, high)]
    look = Look(one, other, frame)
    rays = _lay_rays(kept, low, high)
    reach = (high - low) / SPREAD
    gaps = look.find_gaps(rays)
    (sure_there, there), (sure_back, back) = (
        [look.find_least(rays, gaps[way], way, margin_mm, reach) for margin_mm in MARGINS_MM]
        for way in (0, 1)
    )
    return (sure_there, sure_back), (there, back)


NEVER = (math.inf, math.inf), (math.inf, math.inf)


def _find_box(body: Body, shades: Sequence[Shade]) -> tuple[Floats, Floats]:
    """Give the box that a body covers across the motion."""
    kept = [shade for shade, (adds, _) in zip(shades, body.steps, strict=True) if adds]
    return np.min([s.low for s in kept], axis=0), np.max([s.high for s in kept], axis=0)


def _is_near(shade: Shade, low: Floats, high: Floats) -> bool:
    """Say whether a form matters for rays in a window, and beside it."""
    return bool(np.all(shade.low <= high + 1.0) and np.all(shade.high >= low - 1.0))


def _lay_rays(shades: Sequence[Shade], low: Floats, high: Floats) -> Floats:
    """Lay rays (k, 2) beside all edges, along all axes, and spread over the window."""
    lines: list[Floats] = []
    for k in range(2):
        marks = [0.5 * (low[k] + high[k]), *np.linspace(low[k], high[k], SPREAD + 2)[1:-1]]
        for shade in shades:
            for edge in (shade.low[k], shade.high[k]):
                marks += [edge + side * far for side in (-1.0, 1.0) for far in BESIDE_MM]
            marks.append(
                shade.middle[k] + 1e-4
            )  # off the axis: a ray along two cones' sides says nothing
        line = np.array(marks)
        lines.append(np.unique(np.round(line[(line > low[k]) & (line < high[k])], 3)))
    clouds = [np.array(np.meshgrid(*lines)).reshape(2, -1).T]
    turns = 2.0 * np.pi * (np.arange(ROUND) + 0.137) / ROUND
    circle = np.column_stack([np.cos(turns), np.sin(turns)])
    rims = {(*np.round(shade.middle, 3), radius) for shade in shades for radius in shade.radii}
    for u, v, radius in sorted(rims):
        near = [radius + side * far for side in (-1.0, 1.0) for far in BESIDE_MM]
        clouds += [np.array([u, v]) + beside * circle for beside in near if beside > 0.0]
    rays = np.concatenate(clouds)
    return np.asarray(rays[((rays > low) & (rays < high)).all(axis=1)])


Gaps = tuple[Floats, Floats, Floats]
"""Gap of each ray, and the depths in the middle of the two intervals between which it lies; each (k,)."""


@dataclass(frozen=True, slots=True)
class Look:
    """Two bodies, and the direction in which one is moved."""

    one: Body
    other: Body
    frame: Frame

    def find_gaps(self, rays: Floats) -> tuple[Gaps, Gaps]:
        """Find each ray's least gap from the first body to the second, forwards and backwards."""
        origins, w = self.frame.lift(rays), self.frame.w
        a, b = self.one.find_intervals(origins, w), self.other.find_intervals(origins, w)
        k = len(rays)
        best: list[Gaps] = [
            (np.full(k, np.inf), np.full(k, np.nan), np.full(k, np.nan)) for _ in range(2)
        ]
        for i, j in itertools.product(range(a[0].shape[1]), range(b[0].shape[1])):
            both = np.isfinite(a[1][:, i]) & np.isfinite(b[1][:, j])
            a_low, a_high = (np.where(both, side[:, i], 0.0) for side in a)
            b_low, b_high = (np.where(both, side[:, j], 0.0) for side in b)
            a_middle, b_middle = (a_low + a_high) / 2.0, (b_low + b_high) / 2.0
            ahead = b_middle > a_middle
            for way, here, gap in ((0, ahead, b_low - a_high), (1, ~ahead, a_low - b_high)):
                least, mine, others = best[way]
                nearer = both & here & (gap < least)
                best[way] = (
                    np.where(nearer, gap, least),
                    np.where(nearer, a_middle, mine),
                    np.where(nearer, b_middle, others),
                )
        return best[0], best[1]

    def find_least(
        self, rays: Floats, gaps: Gaps, way: int, margin_mm: float, reach: Floats
    ) -> float:
        """Find the least gap of the rays that both bodies are all round; between rays it is sought on."""
        least, at = self._pick(rays, gaps, margin_mm)
        if math.isinf(least) or least <= 0.0 or not self._falls(at, least, way):
            return self._check(least)
        for _ in range(ZOOMS):
            offsets = np.linspace(-1.0, 1.0, 9)
            finer = at + reach * np.array(np.meshgrid(offsets, offsets)).reshape(2, -1).T
            found, where = self._pick(finer, self.find_gaps(finer)[way], margin_mm)
            if found < least:
                least, at = max(found, 0.0), where
            reach = reach * 0.4
        return self._check(least)

    def _falls(self, at: Floats, least: float, way: int) -> bool:
        """Say whether the gap is less close by: else bodies meet flat to flat, and nothing is to be sought."""
        turns = np.arange(8) * np.pi / 4.0 + 0.1
        around = at + CLOSE_MM * np.column_stack([np.cos(turns), np.sin(turns)])
        return bool((self.find_gaps(around)[way][0] < least - 1e-9).any())

    def _check(self, least: float) -> float:
        if least < -CONTACT_MM:
            raise OverlapError(f"bodies share {-least:.3f} mm along {self.frame.w}")
        return max(least, 0.0)

    def _pick(self, rays: Floats, gaps: Gaps, margin_mm: float) -> tuple[float, Floats]:
        """Pick the ray with the least gap that both bodies are all round."""
        gap, mine, others = gaps
        order = np.argsort(gap)
        order = order[np.isfinite(gap[order])][:TRIES]
        for begin in range(0, len(order), 64):
            some = order[begin : begin + 64]
            kept = self._is_all_round(self.one, rays[some], mine[some], margin_mm)
            kept &= self._is_all_round(self.other, rays[some], others[some], margin_mm)
            if kept.any():
                return float(gap[some][kept][0]), rays[some][kept][0]
        return math.inf, np.zeros(2)

    def _is_all_round(self, body: Body, rays: Floats, depth: Floats, margin_mm: float) -> Flags:
        """Say which rays have the body all round them at a depth."""
        turns = np.arange(8) * np.pi / 4.0 + 0.2
        flat = rays[None] + margin_mm * np.column_stack([np.cos(turns), np.sin(turns)])[:, None]
        points = self.frame.lift(flat.reshape(-1, 2)) + np.tile(depth, 8)[:, None] * self.frame.w
        return np.asarray(body.contains(points).reshape(8, -1).all(axis=0))


@dataclass(frozen=True, slots=True)
class Truth:
    """Travel of all pairs along one way and against it, (2, n, n) each: what surely meets, and what may."""

    sure_mm: Floats
    travel_mm: Floats

    @property
    def is_grey(self) -> Flags:
        """Where the law of tolerance lets either answer stand."""
        return np.asarray(np.isinf(self.sure_mm) != np.isinf(self.travel_mm))


def find_truth(bodies: Mapping[str, Body], way: Sequence[float], asked: Flags) -> Truth:
    """Find how far each body moves along `way` and against it until it meets each other one.

    asked: (n,) which bodies are tried; between two that are not, nothing is measured.
    """
    frame, names, n = Frame.along(way), list(bodies), len(bodies)
    tables = np.full((2, 2, n, n), np.inf)
    for a, b in itertools.combinations(range(n), 2):
        if asked[a] or asked[b]:
            try:
                found = find_travel_mm(bodies[names[a]], bodies[names[b]], frame)
            except OverlapError as error:
                raise OverlapError(f"{names[a]}, {names[b]}: {error}") from error
            for table, (there, back) in zip(tables, found, strict=True):
                table[0, a, b] = table[1, b, a] = there
                table[1, a, b] = table[0, b, a] = back
    return Truth(tables[0], tables[1])
