"""Find parts by what somebody types: a number, a name, some words of it, near enough."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

NEAR_SHARE = 0.72
"""How much of a word must be alike to be offered as meant."""
MOST_NEAR = 5
_BREAKS = re.compile(r"[^0-9a-z]+")


@dataclass(frozen=True, slots=True)
class Entry:
    """A part to be found: its key, its number, its name, and the name of its sub-assembly."""

    part: str
    number: int
    name: str
    group: str = ""


@dataclass(frozen=True, slots=True)
class Found:
    """The parts that fit what was typed, the best first; where none does, the nearest."""

    fits: tuple[str, ...]
    near: tuple[str, ...] = ()


def fold_text(text: str) -> str:
    """Write a text as it is compared: small letters without marks, words parted by single spaces."""
    plain = unicodedata.normalize("NFKD", text).casefold()
    bare = "".join(letter for letter in plain if not unicodedata.combining(letter))
    return _BREAKS.sub(" ", bare).strip()


def find_parts(typed: str, entries: Sequence[Entry]) -> Found:
    """Find the parts meant by what was typed: the one of a number, or those whose name holds every word begun.

    Words count wherever they begin, in any order; words of the sub-assembly count too, after those of
    names. "O-ring", "o ring" and "oring" are one. With nothing typed every part fits.
    """
    words = fold_text(typed).split()
    if not words:
        return Found(tuple(entry.part for entry in entries))
    if len(words) == 1 and words[0].isdigit():
        number = int(words[0])
        exact = [entry.part for entry in entries if entry.number == number]
        begun = [
            entry.part
            for entry in entries
            if entry.number != number and str(entry.number).startswith(str(number))
        ]
        if exact or begun:
            return Found((*exact, *begun))
    ranked = [(rank, entry.part) for entry in entries if (rank := _rank(words, entry)) is not None]
    if ranked:
        return Found(tuple(part for _, part in sorted(ranked, key=lambda one: one[0])))
    return Found((), _find_near(words, entries))


def _rank(words: Sequence[str], entry: Entry) -> tuple[int, int] | None:
    """Rank how well an entry fits, the least best; None where it does not."""
    name, group = fold_text(entry.name), fold_text(entry.group)
    if name == " ".join(words):
        return 0, 0
    if _is_begun("".join(words), name):
        return 1, len(name.split())  # "impel" means the impeller before its screw
    if _holds(words, name):
        return 2, 0
    return (3, 0) if _holds(words, f"{name} {group}") else None


def _holds(words: Sequence[str], text: str) -> bool:
    """Does a text hold every word, at least its beginning? A single letter beside others is a whole word."""
    own = text.split()
    return all(
        word in own if len(word) == 1 and len(words) > 1 else _is_begun(word, text)
        for word in words
    )


def _is_begun(run: str, text: str) -> bool:
    """Does a text, from the beginning of one of its words on, begin with these letters, however they are parted?"""
    own = text.split()
    return any("".join(own[at:]).startswith(run) for at in range(len(own)))


def _find_near(words: Sequence[str], entries: Sequence[Entry]) -> tuple[str, ...]:
    """Find the parts whose words are nearest to those typed, at most five."""
    scored = []
    for entry in entries:
        own = fold_text(entry.name).split()
        shares = [
            max((SequenceMatcher(None, word, one).ratio() for one in own), default=0.0)
            for word in words
        ]
        if min(shares) >= NEAR_SHARE:
            # Of names that hold the word meant, the one with the fewest others is the likeliest.
            scored.append((-sum(shares) / len(shares), len(own), entry.number, entry.part))
    if not scored and len(words) > 1:
        return _find_some(words, entries)
    return tuple(part for *_, part in sorted(scored)[:MOST_NEAR])


def _find_some(words: Sequence[str], entries: Sequence[Entry]) -> tuple[str, ...]:
    """Find what holds some of several words: all of the sub-assemblies called so, else at most five parts."""

    def is_held(text: str) -> bool:
        return any(_is_begun(word, fold_text(text)) for word in words)

    grouped = tuple(entry.part for entry in entries if is_held(entry.group))
    return grouped or tuple(entry.part for entry in entries if is_held(entry.name))[:MOST_NEAR]
