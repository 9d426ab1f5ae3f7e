"""Who stands in whose way, from bodies known in closed form: the truth that relations are held against.

Travel of a pair along a direction is the least gap of all rays. Rays are laid where it can be least:
close beside every edge of either body, through every axis, and spread over what both cover. A ray
counts only if both bodies are there for MARGIN_MM all round it, so that neither contact nor a press
fit nor an edge decides. Depths are exact; nothing here knows meshes or the program.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tests.bench.bodies import Block, Body, Flags, Floats, Form, Round

MARGIN_MM = 0.2
"""Both bodies must reach this far round a ray: more than fits and facets, less than any shoulder asked for."""
BESIDE_MM = 0.29
"""How far beside an edge rays are laid."""
SPREAD = 17
"""Rays a side, laid over what both bodies cover."""
ROUND = 24
"""Rays laid round an edge that is seen as a circle."""
TRIES = 4000
"""Rays looked at, nearest first, for one round which both bodies are."""
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
    one: Body, other: Body, frame: Frame, margin_mm: float = MARGIN_MM
) -> tuple[float, float]:
    """Find how far `one` moves along +w and along -w until it meets `other`; inf where it never does."""
    shades = [[cast_shade(form, frame) for _, form in body.steps] for body in (one, other)]
    boxes = [_find_box(body, seen) for body, seen in zip((one, other), shades, strict=True)]
    low, high = np.maximum(boxes[0][0], boxes[1][0]), np.minimum(boxes[0][1], boxes[1][1])
    if np.any(high - low <= 2.0 * margin_mm):
        return math.inf, math.inf
    near = [np.array([_is_near(shade, low, high) for shade in seen]) for seen in shades]
    if not (near[0].any() and near[1].any()):
        return math.inf, math.inf
    one, other = one.keep_near(near[0]), other.keep_near(near[1])
    kept = [shade for seen in shades for shade in seen if _is_near(shade, low, high)]
    rays = _lay_rays(kept, low, high)
    origins = frame.lift(rays)
    ahead, behind = _find_gaps(
        one.find_intervals(origins, frame.w), other.find_intervals(origins, frame.w)
    )
    return (
        _find_least(one, other, frame, rays, ahead, margin_mm),
        _find_least(one, other, frame, rays, behind, margin_mm),
    )


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
                marks += [edge - BESIDE_MM, edge + BESIDE_MM]
            marks.append(shade.middle[k] + 1e-4)  # off the axis: a ray along two cones' sides says nothing
        line = np.array(marks)
        lines.append(np.unique(np.round(line[(line > low[k]) & (line < high[k])], 3)))
    clouds = [np.array(np.meshgrid(*lines)).reshape(2, -1).T]
    turns = 2.0 * np.pi * (np.arange(ROUND) + 0.137) / ROUND
    circle = np.column_stack([np.cos(turns), np.sin(turns)])
    rims = {(*np.round(shade.middle, 3), radius) for shade in shades for radius in shade.radii}
    for u, v, radius in sorted(rims):
        for beside in (radius - BESIDE_MM, radius + BESIDE_MM, radius - 2.0 * BESIDE_MM):
            if beside > 0.0:
                clouds.append(np.array([u, v]) + beside * circle)
    rays = np.concatenate(clouds)
    return np.asarray(rays[((rays > low) & (rays < high)).all(axis=1)])


Gaps = tuple[Floats, Floats, Floats]
"""Gap of each ray, and the depths in the middle of the two intervals between which it lies; each (k,)."""


def _find_gaps(a: tuple[Floats, Floats], b: tuple[Floats, Floats]) -> tuple[Gaps, Gaps]:
    """Find each ray's least gap from the first body to the second, forwards and backwards."""
    k = len(a[0])
    best: list[Gaps] = [
        (np.full(k, np.inf), np.full(k, np.nan), np.full(k, np.nan)) for _ in range(2)
    ]
    with np.errstate(invalid="ignore"):
        for i in range(a[0].shape[1]):
            a_middle = (a[0][:, i] + a[1][:, i]) / 2.0
            for j in range(b[0].shape[1]):
                b_middle = (b[0][:, j] + b[1][:, j]) / 2.0
                both = np.isfinite(a[1][:, i]) & np.isfinite(b[1][:, j])
                ahead = both & (b_middle > a_middle)
                for way, here, gap in (
                    (0, ahead, b[0][:, j] - a[1][:, i]),
                    (1, both & ~ahead, a[0][:, i] - b[1][:, j]),
                ):
                    least, mine, others = best[way]
                    nearer = here & (gap < least)
                    best[way] = (
                        np.where(nearer, gap, least),
                        np.where(nearer, a_middle, mine),
                        np.where(nearer, b_middle, others),
                    )
    return best[0], best[1]


def _find_least(
    one: Body, other: Body, frame: Frame, rays: Floats, gaps: Gaps, margin_mm: float
) -> float:
    gap, mine, others = gaps
    order = np.argsort(gap)
    order = order[np.isfinite(gap[order])][:TRIES]
    for begin in range(0, len(order), 64):
        some = order[begin : begin + 64]
        kept = _is_all_round(one, frame, rays[some], mine[some], margin_mm)
        kept &= _is_all_round(other, frame, rays[some], others[some], margin_mm)
        if kept.any():
            least = float(gap[some][kept][0])
            if least < -CONTACT_MM:
                raise OverlapError(f"bodies share {-least:.3f} mm along {frame.w}")
            return max(least, 0.0)
    return math.inf


def _is_all_round(body: Body, frame: Frame, rays: Floats, depth: Floats, margin_mm: float) -> Flags:
    """Say which rays have the body all round them at a depth."""
    turns = np.arange(8) * np.pi / 4.0 + 0.2
    flat = rays[None] + margin_mm * np.column_stack([np.cos(turns), np.sin(turns)])[:, None]
    points = frame.lift(flat.reshape(-1, 2)) + np.tile(depth, 8)[:, None] * frame.w
    return np.asarray(body.contains(points).reshape(8, -1).all(axis=0))


def find_travels(
    bodies: Mapping[str, Body], way: Sequence[float], asked: Flags, margin_mm: float = MARGIN_MM
) -> Floats:
    """Fill (2, n, n): how far each body moves along `way` and against it until it meets each other one.

    asked: (n,) which bodies are tried; between two that are not, nothing is measured.
    """
    frame, names, n = Frame.along(way), list(bodies), len(bodies)
    travel = np.full((2, n, n), np.inf)
    for a in range(n):
        for b in range(a + 1, n):
            if asked[a] or asked[b]:
                try:
                    there, back = find_travel_mm(
                        bodies[names[a]], bodies[names[b]], frame, margin_mm
                    )
                except OverlapError as error:
                    raise OverlapError(f"{names[a]}, {names[b]}: {error}") from error
                travel[0, a, b] = travel[1, b, a] = there
                travel[1, a, b] = travel[0, b, a] = back
    return travel
