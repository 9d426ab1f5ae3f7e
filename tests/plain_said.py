"""Something said as it stands, without a key: what tests of marking and of replies fill their questions with."""

from __future__ import annotations

from trainer.lesson.said import Said


def say_text(text: str) -> Said:
    """Make what is said of a text as it stands."""
    return Said("", text=text)
