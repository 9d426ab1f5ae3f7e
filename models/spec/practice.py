"""Moves that can be made but should not be: possible, and wrong practice. Declared, since no solid can tell them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Practice:
    """Say of a part that taking it off is wrong practice while something is still there.

    key: word key of the reason, in a fitter's words. moving: the place taken off. while_there: places
    of which no piece may still lie together with it and
    stay behind.
    """

    key: str
    moving: str
    while_there: tuple[str, ...]
