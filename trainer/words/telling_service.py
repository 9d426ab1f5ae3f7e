"""Tell what a clearance does in service: amounts with as many digits as they are worth."""

from __future__ import annotations

import math

from models.spec.duty import Duty
from trainer.words.speech import Words

DIGITS = {
    "thrust_n": 0, "without_relief_n": 0, "chamber_kpa": 0, "leakage_m3_per_h": 1,
    "hub_leakage_m3_per_h": 1, "lost_percent": 1, "warm_gap_mm": 2,
}  # fmt: skip
LONGEST_H = 200_000.0
"""A rating life beyond this says no more than that the bearings do not wear out by fatigue first."""


def tell_amount(words: Words, name: str, value: float) -> str:
    """Tell a consequence by the name of its kind, without its unit."""
    if name == "life_h":
        return tell_life(words, value)
    rounded = round(value, DIGITS[name]) + 0.0  # no minus before a nought
    return words.number(rounded, DIGITS[name])


def tell_life(words: Words, life_h: float) -> str:
    """Tell a life in hours, to two digits; a very long one as longer than is worth telling."""
    if life_h > LONGEST_H:
        return words.say("service.life-long", hours=words.number(LONGEST_H, 0))
    step = 10.0 ** (math.floor(math.log10(life_h)) - 1) if life_h > 0.0 else 1.0
    return words.number(round(life_h / step) * step, 0)


def tell_duty(words: Words, duty: Duty) -> str:
    """Tell what a pump runs at, in a sentence."""
    return words.say(
        "service.duty",
        flow=words.number(duty.flow_m3_per_h, 0),
        head=words.number(duty.head_m, 0),
        speed=words.number(duty.speed_rpm, 0),
        density=words.number(duty.density_kg_per_m3, 0),
        suction=words.number(duty.suction_kpa, 0),
        shaft=words.number(duty.shaft_c, 0),
        casing=words.number(duty.casing_c, 0),
    )
