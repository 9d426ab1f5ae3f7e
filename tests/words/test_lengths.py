"""Lengths are written in millimetres or in decimal inches; an inch is 25.4 mm exactly (international yard and pound agreement, 1959)."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from trainer.words import LengthUnit, load_words
from trainer.words.telling_shims import tell_packet, tell_shim_shortly

INCHES = load_words()
INCHES.lengths.unit = LengthUnit.INCH


def test_lengths_are_in_millimetres_until_somebody_wants_inches() -> None:
    words = load_words()
    assert words.millimetres(0.4) == "0.40 mm"
    words.lengths.unit = LengthUnit.INCH
    assert words.millimetres(0.4) == "0.0157 in"
    assert words.millimetres(25.4, 0) == "1.00 in"
    assert (words.length(0.4), words.unit) == ("0.0157", "in")


def test_other_words_stay_as_they_are() -> None:
    one, other = load_words(), load_words()
    one.lengths.unit = LengthUnit.INCH
    assert other.millimetres(1.0) == "1.00 mm"


@given(st.floats(0.0, 900.0), st.integers(0, 3))
def test_an_inch_loses_nothing_that_millimetres_show(value_mm: float, digits: int) -> None:
    shown_mm = 25.4 * float(INCHES.length(value_mm, digits).replace(",", ""))
    assert abs(shown_mm - value_mm) <= 0.5 * 10.0**-digits


def test_a_shim_is_called_as_its_packet_is_whatever_lengths_are_written_in() -> None:
    words = load_words()
    assert tell_shim_shortly(words, 0.5) == "0.50"
    words.lengths.unit = LengthUnit.INCH
    assert tell_shim_shortly(words, 0.5) == "0.50 mm"
    assert tell_packet(words, 0.254 / 2) == "5 thou"
