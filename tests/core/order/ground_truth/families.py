"""Families of assemblies whose relations are known by formula, drawn by hypothesis. Lengths in mm."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from typing import Any

from hypothesis import strategies as st

from tests.bench.bodies import Block, Body, Form, Round, add, cut, rod
from tests.core.order.ground_truth.case import (
    ACROSS,
    BACK,
    FORWARD,
    NEVER_MM,
    RADIAL_MM,
    SEEN_MM,
    Case,
    find_facets,
)
from trainer.core.order.directions import SIX, Direction
from trainer.core.order.spacing import SHIFT_MM, STEP_MM

Draw = Callable[[st.SearchStrategy[Any]], Any]

clearances = st.one_of(st.just(0.05), st.floats(0.05, 0.5), st.floats(0.5, 5.0), st.just(5.0))
gaps = st.one_of(st.just(0.0), clearances)
sags = st.one_of(st.floats(0.0005, 0.01), st.floats(0.01, 0.065))
whole = st.integers


def tube(low: float, high: float, outer: float, bore: float, sag_mm: float) -> tuple[Body, float]:
    """Make a tube (bore 0: a rod) with facets of about this sag, and give the sag it has."""
    facets, sag = find_facets(outer, sag_mm)
    steps: tuple[tuple[bool, Form], ...] = add(rod(low, high, outer))
    if bore:
        steps += cut(rod(low - 1, high + 1, bore))
    return Body(steps, facets), sag


def draw_fit(draw: Draw, sag_mm: float) -> float:
    """Draw a clearance on the radius: a running gap, contact, or a press fit (negative) as deep as the law allows."""
    room = max(0.0, NEVER_MM - 2 * sag_mm)
    return float(draw(st.one_of(clearances, st.just(0.0), st.floats(-room, 0.0))))


@st.composite
def nested_rings(draw: Draw) -> Case:
    """Rings round each other, loose, in contact or pressed; each as long and as far along as it will."""
    case, spans, sag = Case(), [], draw(sags)
    bores: list[float] = []
    outers: list[float] = []
    worst = 0.0
    for i in range(draw(whole(2, 5))):
        bore = outers[-1] + draw_fit(draw, sag) if outers else float(draw(st.sampled_from([0, 6])))
        outer = bore + draw(st.floats(2.5, 12.0))
        low = draw(whole(-15, 15))
        high = low + draw(whole(3, 40))
        case.bodies[f"ring-{i}"], had = tube(low, high, outer, bore, sag)
        worst = max(worst, had)
        bores.append(bore)
        outers.append(outer)
        spans.append((low, high))
    for i, j in itertools.combinations(range(len(spans)), 2):
        if min(spans[i][1], spans[j][1]) > max(spans[i][0], spans[j][0]):
            gap = max(0.0, bores[j] - outers[i])
            case.meet_across(f"ring-{i}", f"ring-{j}", gap, worst)
    return case


@st.composite
def shoulders(draw: Draw) -> Case:
    """A ring on a shaft before a shoulder, too low to be one or high enough to be seen."""
    case, sag = Case(), draw(sags)
    bore = draw(st.floats(8, 40))
    fit = draw(st.one_of(st.just(0.0), st.floats(0.0, 1.0)))
    is_seen = draw(st.booleans())
    shaft_sag = find_facets(bore + 8.0, sag)[1]
    ring, ring_sag = tube(0, draw(whole(3, 20)), bore + draw(st.floats(8, 20)), bore, sag)
    both = ring_sag + shaft_sag
    room = max(0.0, NEVER_MM - both)
    height = SEEN_MM + both + draw(st.floats(0, 6)) if is_seen else draw(st.floats(-0.5, room))
    gap = draw(gaps)
    end = float(ring.box[1, 0])
    far = bore + max(height, -fit)
    shaft = Body(
        add(rod(-30, end + gap, bore - fit), rod(end + gap, end + gap + 30, far)),
        find_facets(far, sag)[0],
    )
    case.bodies = {"ring": ring, "shaft": shaft}
    case.meet_across("ring", "shaft", fit, both)
    if is_seen:
        case.meet("ring", "shaft", FORWARD, gap)
    return case


@st.composite
def bolted_stacks(draw: Draw) -> Case:
    """Plates, bolts in holes of their own size or wider, nuts below: heads at high x."""
    case, sag = Case(), draw(sags)
    radius, fit = draw(st.floats(2.5, 8)), draw(gaps)
    hole = radius + fit
    head, nut = hole + draw(st.floats(1.5, 4)), hole + draw(st.floats(1.5, 4))
    pitch = max(head, nut) + draw(st.floats(1, 15))
    wide = pitch + max(head, nut) + 3
    facets, worst = find_facets(head, sag)
    facets = max(facets, find_facets(nut, sag)[0])
    corners = list(itertools.product((-1, 1), (-1, 1)))[: draw(st.sampled_from([1, 2, 4]))]
    plates, at = [], 0.0
    for i in range(draw(whole(2, 4))):
        low, high = at, at + draw(st.floats(3, 15))
        at = high + draw(gaps)
        body = add(Block((low, -wide, -wide), (high, wide, wide)))
        body += cut(*(rod(low - 1, high + 1, hole, pitch * y, pitch * z) for y, z in corners))
        case.bodies[f"plate-{i}"] = Body(body, facets)
        plates.append((low, high))
    head_low = plates[-1][1] + draw(gaps)
    nut_high = -draw(gaps)
    for k, (y, z) in enumerate(corners):
        centre = pitch * y, pitch * z
        shank, cap = rod(-12, head_low, radius, *centre), rod(head_low, head_low + 5, head, *centre)
        case.bodies[f"bolt-{k}"] = Body(add(shank, cap), facets)
        ring = (*add(rod(nut_high - 6, nut_high, nut, *centre)), *cut(rod(-20, 1, radius, *centre)))
        case.bodies[f"nut-{k}"] = Body(ring, facets)
    for (i, one), (j, other) in itertools.combinations(enumerate(plates), 2):
        case.meet(f"plate-{i}", f"plate-{j}", FORWARD, other[0] - one[1])
    for k in range(len(corners)):
        case.meet_across(f"bolt-{k}", f"nut-{k}", 0.0, worst)
        case.meet(f"bolt-{k}", f"nut-{k}", BACK, head_low - nut_high)
        for i, (low, high) in enumerate(plates):
            case.meet(f"bolt-{k}", f"plate-{i}", BACK, head_low - high)
            case.meet(f"nut-{k}", f"plate-{i}", FORWARD, low - nut_high)
            case.meet_across(f"bolt-{k}", f"plate-{i}", fit, worst)
    _meet_neighbours(case, corners, pitch, (radius, head, nut), worst)
    return case


def _meet_neighbours(
    case: Case,
    corners: list[tuple[int, int]],
    pitch: float,
    radii: tuple[float, float, float],
    worst: float,
) -> None:
    """Say where bolts and nuts meet those of the next hole. radii: of shank, head and nut."""
    shank, head, nut = radii
    for (k, one), (m, other) in itertools.permutations(enumerate(corners), 2):
        for axis, back, forward in ((0, ACROSS[0], ACROSS[1]), (1, ACROSS[2], ACROSS[3])):
            if one[1 - axis] != other[1 - axis]:
                continue
            way = forward if other[axis] > one[axis] else back
            case.meet(f"bolt-{k}", f"bolt-{m}", way, 2 * (pitch - head), worst)
            case.meet(f"nut-{k}", f"nut-{m}", way, 2 * (pitch - nut), worst)
            case.meet(f"bolt-{k}", f"nut-{m}", way, 2 * pitch - shank - nut, worst)


@st.composite
def keys(draw: Draw) -> Case:
    """A key in its seat, a hub over both whose keyway runs through."""
    case, sag = Case(), draw(sags)
    radius = draw(st.floats(12, 30))
    fit = draw(gaps)
    half = radius * draw(st.floats(0.15, 0.3))
    bottom = radius * 0.75
    before, after, below, beside, above = (draw(gaps) for _ in range(5))
    wall = 1.5  # of the seat, at either side of the key
    beside = min(beside, math.sqrt(radius**2 - (bottom + wall) ** 2) - half)
    top = radius + fit + draw(st.floats(1.5, 4))
    low, high = 0.0, draw(st.floats(8, 30))
    facets, worst = find_facets(radius * 1.6 + fit + 10, sag)
    seat = Block(
        (low - before, -half - beside, bottom - below), (high + after, half + beside, radius + 1)
    )
    case.bodies["shaft"] = Body((*add(rod(-30, 60, radius)), *cut(seat)), facets)
    case.bodies["key"] = Body(add(Block((low, -half, bottom), (high, half, top))), facets)
    hub_low, hub_high = low - draw(st.floats(0, 10)), high + draw(st.floats(0, 10))
    bore = radius + fit
    keyway = Block((hub_low - 1, -half - beside, 0), (hub_high + 1, half + beside, top + above))
    hub = rod(hub_low, hub_high, radius * 1.6 + fit + 10)
    case.bodies["hub"] = Body(
        (*add(hub), *cut(rod(hub_low - 1, hub_high + 1, bore), keyway)), facets
    )
    case.meet("key", "shaft", BACK, before)
    case.meet("key", "shaft", FORWARD, after)
    case.meet("key", "shaft", Direction.DOWN, below)
    case.meet("key", "hub", Direction.UP, above)
    far = bottom + math.sqrt(bore**2 - half**2)
    case.meet("key", "hub", Direction.DOWN, far, worst)
    for way in ACROSS[:2]:
        case.meet("key", "shaft", way, beside)
        case.meet("key", "hub", way, beside)
    for way in (*ACROSS[:2], Direction.UP):
        case.meet("hub", "shaft", way, fit, worst)
    open_half = half + beside  # both are cut open at the top: they meet beside the keyway
    beside_it = math.sqrt(bore**2 - open_half**2) - math.sqrt(radius**2 - open_half**2)
    case.meet("hub", "shaft", Direction.DOWN, beside_it, worst)
    return case


@st.composite
def caps(draw: Draw) -> Case:
    """Cups over each other, and a plug in the innermost, all open at low x."""
    case, sag = Case(), draw(sags)
    outer, end = draw(st.floats(4, 15)), draw(st.floats(15, 30))
    made, had = tube(draw(st.floats(-10, 0)), end, outer, 0.0, sag)
    case.bodies["plug"] = made
    shells = [("plug", outer, end)]
    worst = had
    for i in range(draw(whole(1, 3))):
        bore = outer + draw_fit(draw, sag)
        inside = end + draw(gaps)
        outer, end = bore + draw(st.floats(2.5, 8)), inside + draw(st.floats(2, 8))
        facets, had = find_facets(outer, sag)
        worst = max(worst, had)
        steps = (*add(rod(0, end, outer)), *cut(rod(-1, inside, bore)))
        case.bodies[f"cup-{i}"] = Body(steps, facets)
        for name, theirs, their_end in shells:
            case.meet(name, f"cup-{i}", FORWARD, inside - their_end)
            case.meet_across(name, f"cup-{i}", max(0.0, bore - theirs), worst)
        shells.append((f"cup-{i}", outer, end))
    return case


@st.composite
def cones(draw: Draw) -> Case:
    """A cone before its seat; both have the same slope."""
    case, sag = Case(), draw(sags)
    angle = math.radians(draw(st.floats(15, 65)))
    wide, length = draw(st.floats(20, 35)), draw(st.floats(8, 25))
    narrow = wide - length * math.tan(angle)
    if narrow < 4:
        narrow, length = 4.0, (wide - 4) / math.tan(angle)
    gap = draw(gaps)
    facets, worst = find_facets(wide + 2, sag)
    case.bodies["cone"] = Body(add(rod(0, length, wide, end=narrow)), facets)
    hollow = rod(gap - 6, gap + length, wide + 6 * math.tan(angle), end=narrow)
    seat = add(rod(gap - 5, gap + length + 10, wide + 6 * math.tan(angle) + 5))
    case.bodies["seat"] = Body((*seat, *cut(hollow)), facets)
    late = 2 * worst / math.tan(angle)
    case.meet("cone", "seat", FORWARD, gap, late)
    case.meet_across("cone", "seat", gap * math.tan(angle), 2 * worst)
    return case


@st.composite
def ringed_grooves(draw: Draw) -> Case:
    """A ring in the groove of a shaft, and a housing round it: it leaves neither way."""
    case, sag = Case(), draw(sags)
    radius, fit, beside = draw(st.floats(12, 35)), draw(gaps), draw(gaps)
    facets, worst = find_facets(radius + 15, sag)
    bottom = radius - fit - SEEN_MM - 2 * worst - draw(st.floats(0, 3))
    before, after, length = draw(gaps), draw(gaps), draw(st.floats(1.5, 8))
    shaft = [*add(rod(-30, 40, radius)), *cut(rod(-before, length + after, radius + 1))]
    case.bodies["shaft"] = Body(
        (*shaft, *add(rod(-before - 1, length + after + 1, bottom))), facets
    )
    outer = radius + draw(st.floats(1, 4))
    ring = (*add(rod(0, length, outer)), *cut(rod(-1, length + 1, bottom + fit)))
    case.bodies["ring"] = Body(ring, facets)
    housing = (*add(rod(-10, 20, outer + beside + 5)), *cut(rod(-11, 21, outer + beside)))
    case.bodies["housing"] = Body(housing, facets)
    case.meet("ring", "shaft", BACK, before)
    case.meet("ring", "shaft", FORWARD, after)
    case.meet_across("ring", "shaft", fit, worst)
    case.meet_across("ring", "housing", beside, worst)
    case.meet_across("shaft", "housing", outer + beside - radius, worst)
    return case


@st.composite
def tilted_pins(draw: Draw) -> Case:
    """A pin in a tilted blind hole, and a disc on its axis that it meets on its way out."""
    case, sag = Case(), draw(sags)
    tilt, turn = math.radians(draw(st.floats(20, 70))), math.radians(draw(st.floats(0, 359)))
    axis = (
        math.sin(tilt) * math.cos(turn),
        math.sin(tilt) * math.sin(turn),
        math.cos(tilt),
    )
    radius, fit, below, gap = draw(st.floats(3, 8)), draw(gaps), draw(gaps), draw(gaps)

    def along(far: float) -> tuple[float, float, float]:
        return axis[0] * far, axis[1] * far, axis[2] * far

    deep = 20.0 + (radius + fit) * math.tan(tilt)  # the hole is closed all round for 20 mm
    wide = 150.0
    length, larger = deep + 60.0, radius + 5.0
    facets, worst = find_facets(larger, sag)
    hole = Round(along(-below), along(200), radius + fit, radius + fit)
    high = deep * math.cos(tilt)
    block = Block((-wide, -wide, -40 - below), (wide, wide, high))
    case.bodies["pin"] = Body(add(Round((0, 0, 0), along(length), radius, radius)), facets, axis)
    case.bodies["block"] = Body((*add(block), *cut(hole)), facets)
    disc = Round(along(length + gap), along(length + gap + 6), larger, larger)
    case.bodies["disc"] = Body(add(disc), facets)
    own = Direction("own-axis", axis)
    case.meet("pin", "disc", own, gap)
    case.meet("pin", "block", own.back, below)
    for way in SIX:
        inward = -sum(a * b for a, b in zip(way.along, axis, strict=True))
        across = math.sqrt(max(0.0, 1 - inward**2))
        travel, late = fit / across, RADIAL_MM
        if inward > 0.0:
            _meet_beside(case, way, (inward, across), gap, radius + larger, worst)
            # a slide across the hole nears its bottom too: by less than the law asks, either answer is right
            sunk = travel * inward - below
            bottom = below / inward
            late = (
                max(late, travel - bottom + late) if 0.0 < sunk < 3 * SEEN_MM + 2 * worst else late
            )
            travel = min(travel, bottom)
        case.meet("pin", "block", way, travel, worst / across, late)
    lowest = (length + gap) * math.cos(tilt) - larger * math.sin(tilt) - high
    corner = math.tan(tilt) * (SHIFT_MM + STEP_MM)  # on a slope, as the law says
    case.meet("disc", "block", Direction.DOWN, lowest, worst, max(RADIAL_MM, corner))
    return case


def _meet_beside(
    case: Case, way: Direction, speeds: tuple[float, float], gap: float, reach: float, worst: float
) -> None:
    """Say where a disc that slides across a pin's end, and nears it at a slant, meets it.

    speeds: towards the pin's end and across it. reach: the disc still covers part of the end so far. Near
    the edge of that, either answer is right: the shoulder lies in the grey band.
    """
    inward, across = speeds
    shoulder = reach * inward / across - gap
    if shoulder < NEVER_MM / 2 - worst:
        return
    if shoulder < 3 * SEEN_MM + 2 * worst:
        for key in (("disc", "pin", way.along), ("pin", "disc", way.back.along)):
            case.spans[key] = 0.0, math.inf
        return
    case.meet("disc", "pin", way, gap / inward, worst / inward)


FAMILIES = {
    "nested rings": nested_rings(),
    "shoulders": shoulders(),
    "bolted stacks": bolted_stacks(),
    "keys": keys(),
    "caps": caps(),
    "cones": cones(),
    "rings in grooves": ringed_grooves(),
    "tilted pins": tilted_pins(),
}
