"""Lengths typed in the window: beside each field stands what it reads, and what could be meant two ways is refused."""

from __future__ import annotations

from models.spec.errors import RefusalError
from trainer.session.typed import has_unit, read_length_mm
from trainer.words import Words


def tell_typed_unit(words: Words) -> str:
    """Tell beside a field in what a length is typed there."""
    return words.say(f"window.unit-{words.lengths.unit}")


def read_typed_mm(words: Words, typed: str, fault: str) -> float:
    """Read a typed length in mm.

    A bare number is millimetres while lengths are shown in millimetres. While they are shown in inches it is
    refused: 0.95 would be a gap of 24 mm to the program and of nearly a millimetre to whoever meant that.

    Args:
        words: say in what lengths are shown, and what is wrong.
        typed: what stands in the field.
        fault: key of the text that says what to write where this is no length; its field is `typed`.

    Raises:
        RefusalError: no length, or none whose unit is known.
    """
    try:
        read_mm = read_length_mm(typed)
    except RefusalError as error:
        raise RefusalError(words.say(fault, typed=typed)) from error
    if words.lengths.is_inch and not has_unit(typed):
        raise RefusalError(words.say("window.no-unit", typed=typed))
    return read_mm
