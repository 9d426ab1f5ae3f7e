"""How hard a torque clamps a bolted joint, and how near that comes to what its bolt can bear."""

from __future__ import annotations

import math
from dataclasses import dataclass

from models.spec.errors import RefusalError, say_near
from trainer.core.running.ranges import check_range

COARSE_PITCH_MM = {
    6.0: 1.0,
    8.0: 1.25,
    10.0: 1.5,
    12.0: 1.75,
    16.0: 2.0,
    20.0: 2.5,
    24.0: 3.0,
    30.0: 3.5,
}
"""Pitch of the coarse metric threads by their diameter. Source: ISO 261, from memory."""
USUAL_CLASS = "8.8"
USUAL_SHARE = 0.75
"""Preload as a share of the proof load, for joints that are taken apart again (common practice)."""
USUAL_FRICTION, FRICTION_BAND = 0.12, (0.10, 0.16)
"""Friction of oiled steel in the thread and under the head, and how far it is spread (from memory)."""
FACE_SHARE, HOLE_SHARE = 0.92, 1.1
"""Of a hexagon: width of its bearing face by that across flats; clearance hole by the thread. From memory (ISO 4014, 273)."""
ASSUMPTIONS = ("bolts-class", "bolts-friction", "bolts-clean", "bolts-no-load")


@dataclass(frozen=True, slots=True)
class Strength:
    """Of a property class, in MPa: proof stress and least yield, to 16 mm thread and above."""

    proof_mpa: tuple[float, float]
    yield_mpa: tuple[float, float]


STRENGTHS = {
    "8.8": Strength((580.0, 600.0), (640.0, 660.0)),
    "10.9": Strength((830.0, 830.0), (940.0, 940.0)),
    "12.9": Strength((970.0, 970.0), (1100.0, 1100.0)),
    "A2-70": Strength((450.0, 450.0), (450.0, 450.0)),
}
"""Source: ISO 898-1, mechanical properties; proof stress as its tables of proof loads give it, yield from memory.
The stainless class: 0.2 % proof stress of ISO 3506-1 for both, from memory."""


@dataclass(frozen=True, slots=True)
class Bolt:
    """A bolt, stud or screw with a coarse thread: thread and bearing face of head or nut in mm, and its property class."""

    thread_mm: float
    face_mm: float
    property_class: str = USUAL_CLASS


@dataclass(frozen=True, slots=True)
class Preload:
    """What a torque does to one bolt.

    preload_n: at the friction given. least_n, most_n: at the ends of the band of friction. proof_n: what it must bear
    without lasting stretch. share: preload by proof load; yield_share: pull and twist together, by the least yield.
    """

    torque_nm: float
    preload_n: float
    least_n: float
    most_n: float
    proof_n: float
    share: float
    most_share: float
    yield_share: float


def find_pitch_mm(thread_mm: float) -> float:
    """Find the pitch of a coarse metric thread. Raises RefusalError for a thread that is not in the list."""
    if thread_mm not in COARSE_PITCH_MM:
        known = ", ".join(f"M{thread:g}" for thread in COARSE_PITCH_MM)
        raise RefusalError(f"thread_mm is {thread_mm:g}; coarse threads known: {known}")
    return COARSE_PITCH_MM[thread_mm]


def find_stress_area_mm2(thread_mm: float, pitch_mm: float) -> float:
    """Find the area of a thread that stands for its strength, in mm2: pi/4 (d - 0.9382 P)^2.

    Source: ISO 898-1, 9.1.6.
    """
    return math.pi / 4.0 * (thread_mm - 0.9382 * pitch_mm) ** 2


def find_strength(property_class: str, thread_mm: float) -> tuple[float, float]:
    """Find proof stress and least yield in MPa. Raises RefusalError for an unknown class."""
    if property_class not in STRENGTHS:
        raise RefusalError(
            f"no property class is called {property_class!r}; {say_near(property_class, STRENGTHS)}"
        )
    strength, place = STRENGTHS[property_class], int(thread_mm > 16.0)
    return strength.proof_mpa[place], strength.yield_mpa[place]


def find_proof_load_n(bolt: Bolt) -> float:
    """Find the proof load in N: proof stress times stress area. Source: ISO 898-1."""
    area = find_stress_area_mm2(bolt.thread_mm, find_pitch_mm(bolt.thread_mm))
    return find_strength(bolt.property_class, bolt.thread_mm)[0] * area


def find_torque_by_factor_nm(preload_n: float, thread_mm: float, factor: float = 0.2) -> float:
    """Find the torque for a preload in N m by one factor: T = K F d.

    Source: Shigley, Mechanical Engineering Design, chapter on screws and fasteners, K = 0.2 as usual; from memory.

    Raises:
        RefusalError: K outside 0.1 to 0.3.
    """
    check_range("torque_factor", factor, 0.1, 0.3)
    return factor * preload_n * thread_mm / 1000.0


def find_torque_per_preload_m(bolt: Bolt, friction: float) -> float:
    """Find how much torque one newton of preload needs, in m: 0.16 P + 0.58 d2 mu + D mu / 2.

    The first term lifts the load along the thread, the second is lost in the thread, the third under the head or
    nut, whose mean diameter D lies between its bearing face and the hole. Friction is the same in both.
    Source: VDI 2230 Part 1, tightening torque, from memory.

    Raises:
        RefusalError: friction outside 0.04 to 0.4.
    """
    check_range("thread_friction", friction, 0.04, 0.4)
    pitch = find_pitch_mm(bolt.thread_mm)
    flank = bolt.thread_mm - 0.6495 * pitch
    mean = (bolt.face_mm + HOLE_SHARE * bolt.thread_mm) / 2.0
    return (0.16 * pitch + 0.58 * flank * friction + mean / 2.0 * friction) / 1000.0


def find_preload(
    bolt: Bolt, torque_nm: float, friction: float = USUAL_FRICTION, band: tuple[float, float] = FRICTION_BAND
) -> Preload:  # fmt: skip
    """Find what a torque does to a bolt.

    Pull and twist act together while it is tightened: sqrt(s^2 + 3 t^2), the twist that of the thread alone on the
    circle of the stress area. Source: VDI 2230 Part 1, from memory.

    Raises:
        RefusalError: an unknown thread or class, friction outside 0.04 to 0.4, torque below zero.
    """
    check_range("torque_nm", torque_nm, 0.0, 1e4, "N m")
    preload = torque_nm / find_torque_per_preload_m(bolt, friction)
    least, most = (torque_nm / find_torque_per_preload_m(bolt, mu) for mu in (band[1], band[0]))
    pitch = find_pitch_mm(bolt.thread_mm)
    area = find_stress_area_mm2(bolt.thread_mm, pitch)
    across = math.sqrt(4.0 * area / math.pi)
    flank = bolt.thread_mm - 0.6495 * pitch
    twist_nmm = preload * (0.16 * pitch + 0.58 * flank * friction)
    pull, twist = preload / area, 16.0 * twist_nmm / (math.pi * across**3)
    proof, least_yield = find_strength(bolt.property_class, bolt.thread_mm)
    proof_n = proof * area
    return Preload(
        torque_nm, preload, least, most, proof_n, preload / proof_n, most / proof_n,
        math.hypot(pull, math.sqrt(3.0) * twist) / least_yield,
    )  # fmt: skip


def find_usual_torque_nm(
    bolt: Bolt, share: float = USUAL_SHARE, friction: float = USUAL_FRICTION
) -> float:
    """Find the torque that brings a bolt to a share of its proof load at a friction, in N m.

    Raises:
        RefusalError: a share outside 0.3 to 0.9.
    """
    check_range("preload_share", share, 0.3, 0.9)
    return share * find_proof_load_n(bolt) * find_torque_per_preload_m(bolt, friction)
