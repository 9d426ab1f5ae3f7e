"""Put observed practicals into words, for terminal, window and paper alike."""

from __future__ import annotations

from collections.abc import Iterable

from trainer.lesson.practical import SAME, Judged, Level, RubricLine
from trainer.words.speech import Words, begin


def tell_line(words: Words, line: RubricLine) -> str:
    """Say what is to be seen of a line."""
    step = words.say(f"step.{line.name}")
    return words.say("practical.never", step=step) if line.is_never else step


def tell_title(words: Words, practicals: Iterable[str]) -> str:
    """Say what a certificate is for, where nobody says it otherwise."""
    return "; ".join(tell_name(words, one) for one in practicals)


def tell_name(words: Words, practical: str) -> str:
    """Name a practical; one that has no words any more by its id."""
    key = f"procedure.{practical}"
    return begin(words.say(key)) if words.has(key) else practical


def tell_critical(words: Words, line: RubricLine) -> str:
    """Say what a critical line asks; "" for one that is none."""
    if not line.is_critical:
        return ""
    return words.say("practical.critical-never" if line.is_never else "practical.critical")


def tell_level(words: Words, line: RubricLine, level: Level) -> str:
    """Say how a line was done; of what must not be done, whether it was left alone."""
    return words.say(f"practical.{'never-' if line.is_never else ''}{level}")


def tell_outcome(words: Words, score: float, *, has_passed: bool) -> str:
    """Say what a practical came to. score: 0 to 1."""
    key = "passed" if has_passed else "failed"
    return words.say(f"practical.is-{key}", share=words.number(100.0 * score, 0))


def list_reasons(words: Words, judged: Judged, pass_at: float) -> list[str]:
    """List why a practical is not passed: each critical line short, and a mark that is too low; nothing where it is passed."""
    if judged.has_passed:
        return []
    short = [
        words.say("practical.is-short", step=words.say(f"step.{name}")) for name in judged.short
    ]
    if judged.score < pass_at - SAME:
        short.append(words.say("practical.is-low", share=words.number(100.0 * pass_at, 0)))
    return short
