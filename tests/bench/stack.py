"""Pump-like assemblies of any number of parts, for the benches: bodies known in closed form.

A ring-section pump: one shaft, stage after stage, a cover, a bearing housing. Dimensions are made up.
Every kind of fit that makes relations hard is there: press fits of 0.02-0.05 mm, running gaps of
0.25 mm on the radius, screws in holes of their own diameter, gaskets in contact, keys in keyways, a
radial set-screw, a vertical valve, snap rings and O-rings in grooves, tilted plugs. Shaft along x,
suction end at low x, up is z.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from models.spec.assembly import Assembly, AssemblyPiece, Carry, Hold
from models.spec.joint import JointKind
from tests.bench.bodies import Block, Body, Form, Round, Vector, add, cut, rod, tube

Steps = tuple[tuple[bool, Form], ...]

PITCH = 61.5
"""From one stage to the next, with its gasket."""
GASKET = 1.5
CORE, DRIVE_END, STAGE = 9, 12, 15
"""Parts of the two ends of the pump and of each stage; cover screws make up the number."""
MOST_COVER_SCREWS = 16
SMALLEST = CORE + STAGE + 1


@dataclass
class Stack:
    """An assembly of n parts with the bodies that it was made of."""

    bodies: dict[str, Body] = field(default_factory=dict)
    holds: list[Hold] = field(default_factory=list)
    carries: list[Carry] = field(default_factory=list)

    def put(
        self, name: str, steps: Steps, axis: Vector | None = None, *, soft: bool = False
    ) -> None:
        self.bodies[name] = Body(steps, axis=axis, flexible=soft)

    def bolt(self, members: Iterable[str], by: str) -> None:
        """Hold members together by one fastener."""
        kind = JointKind.BOLTED
        self.holds.append(Hold(f"joint-{by}", kind, frozenset(members), frozenset({by})))

    def carry(self, carrier: str, carried: str, kind: JointKind = JointKind.PRESS) -> None:
        self.carries.append(Carry(f"fit-{carried}", kind, carrier, carried))

    def assemble(self) -> Assembly:
        """Make the meshes and the assembly."""
        pieces = tuple(
            AssemblyPiece(name, name.rstrip("-0123456789"), "made-up", "carbon-steel", "",
                          body.make_mesh(), body.flexible, body.axis)
            for name, body in self.bodies.items()
        )  # fmt: skip
        return Assembly("stack", pieces, tuple(self.holds), tuple(self.carries))


def make_stack(parts: int) -> Stack:
    """Make a pump-like assembly of this many parts.

    Raises:
        ValueError: fewer than SMALLEST.
    """
    if parts < SMALLEST:
        raise ValueError(f"a stack has {SMALLEST} parts at least, not {parts}")
    base = CORE if parts < CORE + DRIVE_END + STAGE + 1 else CORE + DRIVE_END
    stages = (parts - base - 1) // STAGE
    screws = parts - base - STAGE * stages
    assert 1 <= screws <= MOST_COVER_SCREWS
    stack, end = Stack(), stages * PITCH
    has_drive_end = base > CORE
    stack.put("shaft", _make_shaft(stages, end, has_drive_end))
    _add_suction_end(stack)
    for i in range(stages):
        _add_stage(stack, i, i * PITCH)
    _add_cover(stack, stages, end, screws, has_drive_end)
    if has_drive_end:
        _add_drive_end(stack, end)
    assert len(stack.bodies) == parts
    return stack


def _angle(turn_deg: float, radius: float) -> tuple[float, float]:
    turn = math.radians(turn_deg)
    return radius * math.sin(turn), radius * math.cos(turn)


def _screw_angles(stage: int) -> list[float]:
    return [20.0 + 45.0 * (stage % 2) + 90.0 * k for k in range(4)]


def _make_shaft(stages: int, end: float, has_drive_end: bool) -> Steps:
    steps = [*add(rod(-40, -20, 14), rod(-20, end + 45, 20))]
    if has_drive_end:
        steps += add(rod(end + 45, end + 140, 17))
    for i in range(stages):
        s = i * PITCH
        steps += cut(Block((s + 10, -4, 16), (s + 35, 4, 21)))
        steps += [*cut(rod(s + 50, s + 54, 21)), *add(rod(s + 50, s + 54, 18.2))]
    if has_drive_end:
        steps += [*cut(rod(end + 67, end + 69, 18)), *add(rod(end + 67, end + 69, 15.5))]
        steps += cut(Block((end + 100, -3, 14), (end + 125, 3, 18)))
    return tuple(steps)


def _add_suction_end(stack: Stack) -> None:
    body = [*tube(-60, -GASKET, 100, 80), *_web(-13.5, -GASKET)]
    body += cut(Round((-40, 0, 86), (-40, 0, 110), 6, 6))  # the valve's seat
    for turn in _screw_angles(0):
        body += cut(rod(-20, 0, 4, *_angle(turn, 90)))
    stack.put("suction-casing", tuple(body))
    stack.put("nut", tube(-36, -24, 23, 14))
    stack.put("washer", tube(-24, -20, 24, 14))
    stack.put("sleeve-0", tube(-20, 5, 26, 20))
    up = (0.0, 0.0, 1.0)
    stack.put("valve", add(Round((-40, 0, 86), (-40, 0, 130), 6, 6),
                           Round((-40, 0, 106), (-40, 0, 112), 11, 11)), up)  # fmt: skip
    cone = Round((-40, 0, 115), (-40, 0, 136), 12, 8)
    stack.put("valve-cap", (*add(cone), *cut(Round((-40, 0, 114), (-40, 0, 130), 6, 6))), up)
    stack.carry("suction-casing", "valve", JointKind.THREADED)
    stack.carry("valve", "valve-cap", JointKind.THREADED)


def _web(low: float, high: float) -> Steps:
    """The wall of a casing, its bore for a wear ring."""
    return (*add(rod(low, high, 80.5)), *cut(rod(low - 1, high + 1, 45)))


def _add_stage(stack: Stack, i: int, s: float) -> None:
    before = "suction-casing" if i == 0 else f"casing-{i}"
    casing, number = f"casing-{i + 1}", i + 1
    _add_casing(stack, i, s)
    gasket = [*tube(s - GASKET, s, 98, 82)]
    for turn in _screw_angles(i):
        gasket += cut(rod(s - 2, s + 1, 4, *_angle(turn, 90)))
    stack.put(f"gasket-{number}", tuple(gasket))
    impeller = [
        *add(rod(s + 5, s + 45, 30), rod(s + 30, s + 40, 70), rod(s + 14, s + 20, 70)),
        *add(*(_vane(s, k) for k in range(4)), rod(s - 12, s + 14, 40)),
        *cut(rod(s - 13, s + 19, 34), rod(s - 13, s + 46, 20)),
    ]
    impeller += add(rod(s + 5, s + 20, 30))
    impeller += cut(rod(s + 4, s + 46, 20), Block((s + 4, -4, 0), (s + 46, 4, 23)))
    stack.put(f"impeller-{number}", tuple(impeller))
    stack.put(f"key-{number}", add(Block((s + 10, -4, 16), (s + 35, 4, 22.5))))
    ring = [*add(rod(s - 13.5, s - GASKET, 45 + 0.02), rod(s - GASKET, s + 2, 50))]
    stack.put(f"wear-ring-{number}", (*ring, *cut(rod(s - 15, s + 3, 40.25))))
    screw_hole = Round((s + 58, 0, 18), (s + 58, 0, 30), 3, 3)
    stack.put(f"sleeve-{number}", (*tube(s + 45, s + 66.5, 26, 20), *cut(screw_hole)))
    up = (0.0, 0.0, 1.0)
    screw = Round((s + 58, 0, 20.0), (s + 58, 0, 25.5), 3, 3)
    stack.put(f"set-screw-{number}", add(screw), up)
    stack.put(f"o-ring-{number}", tube(s + 50.4, s + 53.6, 19.95, 18.2), soft=True)
    stack.put(f"snap-ring-{number}", tube(s + 44.2, s + 46.8, 82.7, 77), soft=True)
    stack.put(f"diffuser-{number}", tube(s + 8, s + 44, 80, 72))
    for kind, carrier, carried in (
        (JointKind.PRESS, before, f"wear-ring-{number}"),
        (JointKind.KEYED, "shaft", f"key-{number}"),
        (JointKind.THREADED, f"sleeve-{number}", f"set-screw-{number}"),
        (JointKind.SEALED, "shaft", f"o-ring-{number}"),
        (JointKind.PRESS, casing, f"snap-ring-{number}"),
        (JointKind.THREADED, casing, f"plug-{number}"),
    ):
        stack.carry(carrier, carried, kind)
    for k, turn in enumerate(_screw_angles(i)):
        at, name = _angle(turn, 90), f"stage-screw-{4 * i + k + 1}"
        stack.put(name, add(rod(s - 20, s + 40, 4, *at), rod(s + 40, s + 48, 7, *at)))
        stack.bolt((before, casing), name)


def _vane(s: float, k: int) -> Block:
    spans = ((45, 60, -2, 2), (-60, -45, -2, 2), (-2, 2, 45, 60), (-2, 2, -60, -45))
    y_low, y_high, z_low, z_high = spans[k]
    return Block((s + 19.5, y_low, z_low), (s + 30.5, y_high, z_high))


def _add_casing(stack: Stack, i: int, s: float) -> None:
    steps = [*tube(s, s + 60, 100, 80), *_web(s + 48, s + 60)]
    steps += [*cut(rod(s + 44, s + 47, 83))]
    for turn in _screw_angles(i):
        at = _angle(turn, 90)
        steps += cut(rod(s - 1, s + 41, 4, *at), rod(s + 40, s + 61, 7.5, *at))
    for turn in _screw_angles(i + 1):
        steps += cut(rod(s + 40, s + 61, 4, *_angle(turn, 90)))
    slant = (11.0, 0.0, 19.0) if i % 2 == 0 else (11.0, 0.0, -19.0)
    side = math.copysign(1.0, slant[2])
    foot = (s + 22, 0.0, side * 86)

    def along(share: float) -> Vector:
        return (foot[0] + slant[0] * share, 0.0, foot[2] + slant[2] * share)

    steps += cut(Round(foot, along(2.0), 4, 4))
    stack.put(f"casing-{i + 1}", tuple(steps))
    length = math.hypot(*slant)
    axis = (slant[0] / length, 0.0, slant[2] / length)
    plug = add(Round(foot, along(1.05), 4, 4), Round(along(1.05), along(1.35), 8, 8))
    stack.put(f"plug-{i + 1}", plug, axis)


def _add_cover(stack: Stack, stages: int, end: float, screws: int, has_drive_end: bool) -> None:
    turns = [8.75 + 22.5 * k for k in range(screws)]
    last = f"casing-{stages}"
    cover = [*tube(end, end + 20, 100, 30)]
    gasket = [*tube(end - GASKET, end, 98, 82)]
    holes = [*cut(*(rod(end - 20, end + 21, 4, *_angle(turn, 90)) for turn in turns))]
    if has_drive_end:
        holes += cut(*(rod(end + 5, end + 21, 3.5, *_angle(turn, 65)) for turn in (50, 230)))
    stack.put("cover", tuple(cover + holes))
    stack.put("cover-gasket", tuple(gasket + holes))
    casing = stack.bodies[last]
    stack.put(last, (*casing.steps, *cut(*(rod(end - 20, end, 4, *_angle(t, 90)) for t in turns))))
    for k, turn in enumerate(turns):
        at, name = _angle(turn, 90), f"cover-screw-{k + 1}"
        stack.put(name, add(rod(end - 20, end + 20, 4, *at), rod(end + 20, end + 28, 7, *at)))
        stack.bolt((last, "cover"), name)


def _add_drive_end(stack: Stack, end: float) -> None:
    stack.put("throat-bush", tube(end + 2, end + 18, 30.02, 26.25))
    housing = [*add(rod(end + 20, end + 80, 45), rod(end + 20, end + 30, 75))]
    housing += cut(rod(end + 19, end + 81, 35))
    for turn in (50, 230):
        housing += cut(rod(end + 19, end + 31, 3.5, *_angle(turn, 65)))
    for turn in (100, 280):
        housing += cut(rod(end + 65, end + 81, 2.5, *_angle(turn, 40)))
    stack.put("bearing-housing", tuple(housing))
    for k, turn in enumerate((50, 230)):
        at, name = _angle(turn, 65), f"housing-screw-{k + 1}"
        stack.put(name, add(rod(end + 5, end + 30, 3.5, *at), rod(end + 30, end + 37, 6, *at)))
        stack.bolt(("cover", "bearing-housing"), name)
    stack.put("bearing", tube(end + 48, end + 65, 35, 16.975))
    stack.put("shaft-ring", tube(end + 67.2, end + 68.8, 20, 15.6), soft=True)
    cap = [*tube(end + 80, end + 86, 45, 25)]
    for turn in (100, 280):
        cap += cut(rod(end + 79, end + 87, 2.5, *_angle(turn, 40)))
    stack.put("bearing-cap", tuple(cap))
    for k, turn in enumerate((100, 280)):
        at, name = _angle(turn, 40), f"cap-screw-{k + 1}"
        stack.put(name, add(rod(end + 65, end + 86, 2.5, *at), rod(end + 86, end + 91, 4, *at)))
        stack.bolt(("bearing-housing", "bearing-cap"), name)
    keyway = Block((end + 95, -3, 0), (end + 131, 3, 20.5))
    stack.put("hub", (*tube(end + 96, end + 130, 40, 17), *cut(keyway)))
    stack.put("hub-key", add(Block((end + 100, -3, 14), (end + 125, 3, 19.5))))
    stack.put(
        "hub-screw", add(Round((end + 115, 19, 0), (end + 115, 39, 0), 3, 3)), (0.0, 1.0, 0.0)
    )
    hub = stack.bodies["hub"]
    hole = Round((end + 115, 15, 0), (end + 115, 45, 0), 3, 3)
    stack.put("hub", (*hub.steps, *cut(hole)))
    stack.carry("cover", "throat-bush")
    stack.carry("shaft", "bearing")
    stack.carry("shaft", "shaft-ring")
    stack.carry("shaft", "hub-key", JointKind.KEYED)
    stack.carry("hub", "hub-screw", JointKind.THREADED)
