"""A unit is written one way wherever it is told, whatever ways it may be typed in."""

from __future__ import annotations

import re

from trainer.words import load_words


def test_a_torque_is_told_in_n_m_with_a_space_between() -> None:
    """Source: the SI brochure of the BIPM, on products of units: a space or a half-high dot, from memory."""
    texts = load_words().texts
    assert {key: text for key, text in texts.items() if re.search(r"\bNm\b", text)} == {}
    assert texts["amount.nm"] == "{value} N m"
