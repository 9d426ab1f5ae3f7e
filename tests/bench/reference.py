"""The straightforward ways with an existing library, for the benches: step a part along until it is clear.

trimesh's CollisionManager (FCL) holds all other parts; one part is moved along a direction step by
step until nothing lies ahead of it any more, and every step asks which parts it collides with.
"""

from __future__ import annotations

import itertools
import math
import random
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import trimesh

from models.spec.assembly import Assembly
from models.spec.mesh import Mesh
from tests.bench.bodies import Floats


@dataclass(frozen=True, slots=True)
class Stepped:
    """What stepping a sample took. found: (direction number, part) to whom it met after what travel, mm.

    whole_s: what all parts and directions would take, at the sample's time per step and with its
    time for setting up. steps, all_steps: of the sample, and of all. uncertain: relative standard error
    of the time per step. busy: processor time.
    """

    found: Mapping[tuple[int, str], Mapping[str, float]]
    sample_s: float
    sample_busy_s: float
    setup_s: float
    steps: int
    all_steps: int
    uncertain: float

    @property
    def whole_s(self) -> float:
        return self.setup_s + self.sample_s * self.all_steps / self.steps

    @property
    def whole_busy_s(self) -> float:
        return self.setup_s + self.sample_busy_s * self.all_steps / self.steps


def to_trimesh(mesh: Mesh) -> trimesh.Trimesh:
    return trimesh.Trimesh(mesh.points.astype(float), mesh.triangles, process=True)


def shrink(body: trimesh.Trimesh, by_mm: float) -> trimesh.Trimesh:
    """Move every face inwards: each corner to where the faces that meet there then meet, or nearest to it."""
    points = body.vertices.copy()
    normals: list[list[Floats]] = [[] for _ in points]
    for face, normal in zip(body.faces, body.face_normals, strict=True):
        for corner in face:
            normals[corner].append(normal)
    for i, around in enumerate(normals):
        if around:
            faces = np.unique(np.round(around, 4), axis=0)
            points[i] -= by_mm * np.linalg.lstsq(faces, np.ones(len(faces)), rcond=0.05)[0]
    return trimesh.Trimesh(points, body.faces, process=False)


def step_along(
    assembly: Assembly,
    directions: Sequence[Floats],
    *,
    step_mm: float,
    sample: int,
    shrink_mm: float = 0.0,
    seed: int = 1,
) -> Stepped:
    """Step a random sample of (part, direction), and count what all of them would be."""
    begin = time.perf_counter()
    bodies = {piece.name: to_trimesh(piece.mesh) for piece in assembly.pieces}
    if shrink_mm:
        bodies = {name: shrink(body, shrink_mm) for name, body in bodies.items()}
    library: Any = trimesh  # its collision module has no types
    manager = library.collision.CollisionManager()
    for name, body in bodies.items():
        manager.add_object(name, body)
    setup_s = time.perf_counter() - begin
    boxes = {name: body.bounds for name, body in bodies.items()}
    every = list(itertools.product(range(len(directions)), bodies))
    travels = {
        (d, name): list(_find_stops(boxes, name, directions[d], step_mm)) for d, name in every
    }
    chosen = random.Random(seed).sample(every, min(sample, len(every)))
    found, times = {}, list[float]()
    begin, busy = time.perf_counter(), time.process_time()
    for d, name in chosen:
        one = time.perf_counter()
        manager.remove_object(name)
        met: dict[str, float] = {}
        for travel in travels[d, name]:
            place = np.eye(4)
            place[:3, 3] = directions[d] * travel
            _, names = manager.in_collision_single(bodies[name], place, return_names=True)
            for other in names:
                met.setdefault(other, travel)
        found[d, name] = met
        manager.add_object(name, bodies[name])
        times.append(time.perf_counter() - one)
    sample_s, sample_busy_s = time.perf_counter() - begin, time.process_time() - busy
    steps = np.array([len(travels[key]) for key in chosen])
    every_step = sum(map(len, travels.values()))
    return Stepped(
        found, sample_s, sample_busy_s, setup_s, int(steps.sum()), every_step,
        _find_error(np.array(times), steps.astype(float)),
    )  # fmt: skip


def _find_error(times: Floats, steps: Floats) -> float:
    """Give the relative standard error of sum(times) / sum(steps), a ratio of two means, to first order."""
    rest = times - steps * times.sum() / steps.sum()
    return float(np.sqrt((rest**2).sum() * len(times) / max(1, len(times) - 1)) / times.sum())


def _find_stops(
    boxes: Mapping[str, Floats], name: str, way: Floats, step_mm: float
) -> Iterator[float]:
    """Yield the travels of a part until its box has passed all boxes that lie ahead of it."""
    k = int(np.abs(way).argmax())
    across = [i for i in range(3) if i != k]
    mine, far = boxes[name], 0.0
    for other, box in boxes.items():
        beside = np.all((box[0] < mine[1])[across] & (box[1] > mine[0])[across])
        if other != name and beside:
            far = max(far, float(box[1, k] - mine[0, k] if way[k] > 0 else mine[1, k] - box[0, k]))
    for i in range(math.ceil(far / step_mm) + 1):
        yield i * step_mm
