"""Put a clearance's spread into words: shares inside and outside, and who contributes how much."""

from __future__ import annotations

from models.spec.build import Build
from trainer.core.measure.chain import Link
from trainer.core.measure.spread import Spread
from trainer.words.speech import Words
from trainer.words.telling import tell_piece

PER_CENT = 100.0
SURE = 0.99995
"""From here on a share is told by its builds in a million."""


def tell_share(words: Words, share: float | None) -> str:
    """Tell a share of builds: in per cent, near all or none of them in a million, or that nobody can say."""
    if share is None:
        return words.say("spread.unknown")
    if share in {0.0, 1.0}:
        return words.say("spread.none" if share == 0.0 else "spread.all")
    if share > SURE:
        return words.say("spread.nearly-all", ppm=tell_ppm(words, 1.0 - share))
    return words.say("spread.per-cent", percent=words.number(PER_CENT * share, 2))


def tell_ppm(words: Words, share: float | None) -> str:
    """Tell a share as builds in a million, to three figures."""
    if share is None:
        return words.say("spread.unknown")
    ppm = 1e6 * share
    if ppm == 0.0:
        return "0"
    if ppm < 0.01:
        return words.say("spread.less-than", ppm=words.number(0.01, 2))
    return words.number(ppm, 2 if ppm < 10.0 else 0)


def tell_inside(words: Words, spread: Spread) -> str:
    """Tell a method's share inside what is required, with how far it may be off."""
    off = PER_CENT * spread.error
    if spread.inside is None or off < 0.005:
        return tell_share(words, spread.inside)
    share = words.number(PER_CENT * spread.inside, 2)
    return words.say("spread.give-or-take", share=share, off=words.number(off, 2))


def tell_shares(words: Words, build: Build, links: tuple[Link, ...]) -> dict[str, float]:
    """Tell who contributes which share of the variance: the piece and its dimension."""
    found: dict[str, float] = {}
    for link in links:
        told = words.say(
            "spread.contributor",
            piece=tell_piece(words, build, link.piece),
            dimension=link.dimension.replace("-", " "),
        )
        found[told] = found.get(told, 0.0) + link.share
    return found
