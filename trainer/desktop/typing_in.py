"""Lengths typed in the window, by one rule: a bare number is in the unit on the screen, which is said beside the field.

A unit that is typed goes before it. A bare number that is no possible length in that unit is asked back.
"""

from __future__ import annotations

import re

from models.spec.errors import RefusalError
from models.spec.units import UNITS_MM
from trainer.session.shims import find_likely_unit
from trainer.session.typed import has_unit, read_length_mm
from trainer.words import Words

_BARE = re.compile(r"[+-]?[\d.,]+")
_PARTS = re.compile(r"([/+;])")


def tell_typed_unit(words: Words) -> str:
    """Tell beside a field in what a length is typed there."""
    return words.say(f"window.unit-{words.lengths.unit}")


def read_typed_mm(
    words: Words, typed: str, fault: str, possible_mm: tuple[float, float] | None = None
) -> float:
    """Read a typed length in mm.

    Args:
        words: say in what lengths are shown, and what is wrong.
        typed: what stands in the field.
        fault: key of the text that says what to write where this is no length; its field is `typed`.
        possible_mm: between what it can lie at all, where that is known.

    Raises:
        RefusalError: no length, or none that can be; of a bare number with the unit in which it could.
    """
    unit = str(words.lengths.unit)
    try:
        number = read_length_mm(typed)
    except RefusalError as error:
        raise RefusalError(words.say(fault, typed=typed)) from error
    is_bare = not has_unit(typed)
    read_mm = number * UNITS_MM[unit] if is_bare else number
    if possible_mm is None or possible_mm[0] <= read_mm <= possible_mm[1]:
        return read_mm
    low, high = (words.millimetres(one, 1) for one in possible_mm)
    likely = find_likely_unit(number, possible_mm, unit) if is_bare else ""
    told = words.say("numbers.impossible", typed=add_unit(typed, words.unit), low=low, high=high)
    bare = typed.strip()
    asked = (
        words.say("numbers.which-unit", meant=words.say(f"numbers.meant-{likely}", number=bare))
        if likely
        else words.say("numbers.again")
    )
    raise RefusalError(f"{told} {asked}")


def add_unit(typed: str, unit: str) -> str:
    """Give each bare number of a text its unit; several stand with / + or ; between them.

    So that what was typed still says the same when another unit is chosen for the screen.
    """
    return "".join(_add_to_one(part, unit) for part in _PARTS.split(typed))


def _add_to_one(part: str, unit: str) -> str:
    bare = part.strip()
    return part.replace(bare, f"{bare} {unit}") if _BARE.fullmatch(bare) else part
