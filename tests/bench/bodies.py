"""Bodies of plain forms, known twice: as a mesh, and as what a ray meets in closed form.

A body is made step by step: a form added, a form cut out. Its mesh comes from manifold3d, with as
many facets as are asked for; its intervals on a ray come from quadratic equations and share nothing
with the mesh or with the program. Lengths in mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import manifold3d
import numpy as np
import numpy.typing as npt

from models.spec.mesh import Mesh

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Vector = tuple[float, float, float]

TOUCH_MM = 1e-7
"""Forms of one body that are this near to each other are one."""
MOST_FACETS = 720


@dataclass(frozen=True, slots=True)
class Round:
    """A cylinder or a frustum of a cone between two points of its axis."""

    start: Vector
    end: Vector
    start_radius: float
    end_radius: float

    @property
    def axis(self) -> Floats:
        """Unit vector from start to end."""
        way = np.subtract(self.end, self.start)
        return np.asarray(way / np.linalg.norm(way))

    @property
    def length(self) -> float:
        return math.dist(self.start, self.end)

    @property
    def box(self) -> Floats:
        """Lowest and highest corner, (2, 3)."""
        out = np.sqrt(np.maximum(0.0, 1.0 - self.axis**2))
        ends = [
            np.add(end, way * out * radius)
            for end, radius in ((self.start, self.start_radius), (self.end, self.end_radius))
            for way in (-1, 1)
        ]
        return np.array([np.min(ends, axis=0), np.max(ends, axis=0)])

    def make(self, facets: int) -> manifold3d.Manifold:
        """Make the mesh, corners on the true surface; equal axes give equal phases of the facets."""
        upright = manifold3d.Manifold.cylinder(
            self.length, self.start_radius, self.end_radius, facets
        )
        w = self.axis
        if w[np.abs(w).argmax()] < 0:  # a hole and its screw may run opposite ways
            return Round(self.end, self.start, self.end_radius, self.start_radius).make(facets)
        u = np.zeros(3)
        u[(int(np.abs(w).argmax()) + 1) % 3] = 1.0
        u -= (u @ w) * w
        u /= np.linalg.norm(u)
        return upright.transform(np.column_stack([u, np.cross(w, u), w, self.start]))

    def cross(self, origins: Floats, way: Floats) -> tuple[Floats, Floats]:
        """Give where rays (k, 3) along a unit vector enter and leave; inf, -inf where they miss."""
        axis, taper = self.axis, (self.end_radius - self.start_radius) / self.length
        from_start = origins - self.start
        along, speed = from_start @ axis, float(way @ axis)
        out, drift = from_start - along[:, None] * axis, way - speed * axis
        radius = self.start_radius + taper * along
        grow = taper * speed
        a = float(drift @ drift) - grow * grow
        b, c = out @ drift - grow * radius, (out * out).sum(axis=1) - radius * radius
        low, high = np.full(len(origins), -np.inf), np.full(len(origins), np.inf)
        if abs(a) < 1e-14:
            assert grow == 0.0, "a ray exactly along a cone's side has no quadratic"
            missed = c > 0.0
        else:
            square = b * b - a * c
            root = np.sqrt(np.maximum(square, 0.0))
            one, other = (-b - root) / a, (-b + root) / a
            if a > 0.0:
                missed, low, high = square < 0.0, one, other
            elif (
                grow > 0.0
            ):  # steep inside a cone that widens along the ray: in for good after the later root
                missed = np.zeros(len(origins), bool)
                low = np.where(square < 0.0, -np.inf, np.maximum(one, other))
            else:
                missed = np.zeros(len(origins), bool)
                high = np.where(square < 0.0, np.inf, np.minimum(one, other))
        first, last = _cross_slab(along, speed, 0.0, self.length)
        low, high = np.maximum(low, first), np.minimum(high, last)
        missed |= low >= high
        return np.where(missed, np.inf, low), np.where(missed, -np.inf, high)

    def contains(self, points: Floats, grown_mm: float = 0.0) -> Flags:
        """Say which points (k, 3) lie inside, the form grown a little."""
        axis, taper = self.axis, (self.end_radius - self.start_radius) / self.length
        from_start = points - self.start
        along = from_start @ axis
        out = np.sqrt(np.maximum(0.0, (from_start**2).sum(axis=1) - along**2))
        within = (along >= -grown_mm) & (along <= self.length + grown_mm)
        return np.asarray(within & (out <= self.start_radius + taper * along + grown_mm))


@dataclass(frozen=True, slots=True)
class Block:
    """A box with sides along the axes."""

    low: Vector
    high: Vector

    @property
    def box(self) -> Floats:
        """Lowest and highest corner, (2, 3)."""
        return np.array([self.low, self.high])

    def make(self, _facets: int) -> manifold3d.Manifold:
        """Make the mesh."""
        size = np.subtract(self.high, self.low)
        return manifold3d.Manifold.cube(tuple(size)).translate(self.low)

    def cross(self, origins: Floats, way: Floats) -> tuple[Floats, Floats]:
        """Give where rays (k, 3) along a unit vector enter and leave; inf, -inf where they miss."""
        low, high = np.full(len(origins), -np.inf), np.full(len(origins), np.inf)
        for k in range(3):
            first, last = _cross_slab(origins[:, k], float(way[k]), self.low[k], self.high[k])
            low, high = np.maximum(low, first), np.minimum(high, last)
        missed = low >= high
        return np.where(missed, np.inf, low), np.where(missed, -np.inf, high)

    def contains(self, points: Floats, grown_mm: float = 0.0) -> Flags:
        """Say which points (k, 3) lie inside, the form grown a little."""
        low, high = np.array(self.low) - grown_mm, np.array(self.high) + grown_mm
        return np.asarray(((points >= low) & (points <= high)).all(axis=1))


def _cross_slab(at: Floats, speed: float, low: float, high: float) -> tuple[Floats, Floats]:
    if abs(speed) < 1e-14:
        inside = (at > low) & (at < high)
        return np.where(inside, -np.inf, np.inf), np.where(inside, np.inf, -np.inf)
    one, other = (low - at) / speed, (high - at) / speed
    return np.minimum(one, other), np.maximum(one, other)


Form = Round | Block


@dataclass(frozen=True, slots=True)
class Body:
    """Forms added (True) and cut out (False), in this order. facets: sides of its round forms, 0 for as many as keep the sag below SAG_MM."""

    steps: tuple[tuple[bool, Form], ...]
    facets: int = 0
    axis: Vector | None = None
    flexible: bool = False

    @property
    def box(self) -> Floats:
        """Lowest and highest corner of all that is added, (2, 3)."""
        boxes = np.array([form.box for adds, form in self.steps if adds])
        return np.array([boxes[:, 0].min(axis=0), boxes[:, 1].max(axis=0)])

    def make_solid(self) -> manifold3d.Manifold:
        """Make the closed mesh."""
        solid = manifold3d.Manifold()
        for adds, form in self.steps:
            one = form.make(self.facets or find_facets(form))
            solid = solid + one if adds else solid - one
        return solid

    def make_mesh(self) -> Mesh:
        """Make the mesh as the program wants it."""
        return to_mesh(self.make_solid())

    def find_intervals(self, origins: Floats, way: Floats) -> tuple[Floats, Floats]:
        """Give entries and exits of rays (k, 3) along a unit vector, each (k, m), inf where there are no more."""
        spans = [form.cross(origins, way) for _, form in self.steps]
        first, last = np.array([span[0] for span in spans]), np.array([span[1] for span in spans])
        depths = np.concatenate([first, np.where(np.isinf(last), np.inf, last)])
        depths.sort(axis=0)
        with np.errstate(invalid="ignore"):
            middle = (depths[:-1] + depths[1:]) / 2.0
        inside = np.zeros(middle.shape, bool)
        for (adds, _), low, high in zip(self.steps, first, last, strict=True):
            if adds:
                inside |= (middle >= low - TOUCH_MM) & (middle <= high + TOUCH_MM)
            else:
                inside &= ~((middle > low + TOUCH_MM) & (middle < high - TOUCH_MM))
        inside &= np.isfinite(depths[1:])
        edge = np.zeros((1, inside.shape[1]), bool)
        before, after = np.concatenate([edge, inside]), np.concatenate([inside, edge])
        starts = np.sort(np.where(after & ~before, depths, np.inf), axis=0).T
        ends = np.sort(np.where(before & ~after, depths, np.inf), axis=0).T
        most = max(1, int(np.isfinite(starts).sum(axis=1).max(initial=0)))
        return starts[:, :most], ends[:, :most]

    def contains(self, points: Floats) -> Flags:
        """Say which points (k, 3) lie inside."""
        inside = np.zeros(len(points), bool)
        for adds, form in self.steps:
            if adds:
                inside |= form.contains(points, TOUCH_MM)
            else:
                inside &= ~form.contains(points, -TOUCH_MM)
        return inside

    def keep_near(self, near: Flags) -> Body:
        """Leave out the steps that are not marked."""
        kept = tuple(step for step, is_near in zip(self.steps, near, strict=True) if is_near)
        return Body(kept, self.facets)


SAG_MM = 0.02
"""How far a facet may lie below the true surface: what the program's own meshes are made with."""


def find_facets(form: Form, sag_mm: float = SAG_MM) -> int:
    """Find how many facets keep the sag of a round form below a limit; a multiple of four."""
    if isinstance(form, Block):
        return 4
    radius = max(form.start_radius, form.end_radius)
    share = min(1.0, sag_mm / radius)
    return min(MOST_FACETS, max(24, 4 * math.ceil(math.pi / math.acos(1.0 - share) / 4.0)))


def find_sag_mm(radius: float, facets: int) -> float:
    """Give how far the middle of a facet lies below the circle."""
    return radius * (1.0 - math.cos(math.pi / facets))


def to_mesh(solid: manifold3d.Manifold) -> Mesh:
    """Turn a closed manifold into the program's mesh."""
    raw = solid.to_mesh()
    points = np.asarray(raw.vert_properties, np.float32)[:, :3]
    none = np.zeros((0, 3), np.float32), np.zeros((0, 2), np.int32)
    triangles = np.asarray(raw.tri_verts, np.int32)
    return Mesh(points, np.zeros_like(points), triangles, *none)


def add(*forms: Form) -> tuple[tuple[bool, Form], ...]:
    """Steps that add forms."""
    return tuple((True, form) for form in forms)


def cut(*forms: Form) -> tuple[tuple[bool, Form], ...]:
    """Steps that cut forms out."""
    return tuple((False, form) for form in forms)


def rod(
    low: float, high: float, radius: float, y: float = 0.0, z: float = 0.0, end: float | None = None
) -> Round:
    """Make a cylinder along x (a frustum if `end`, its radius at `high`, is another one)."""
    return Round((low, y, z), (high, y, z), radius, radius if end is None else end)


def tube(low: float, high: float, outer: float, bore: float) -> tuple[tuple[bool, Form], ...]:
    """Steps for a tube along x about the shaft, by radii."""
    return (*add(rod(low, high, outer)), *cut(rod(low - 1.0, high + 1.0, bore)))
