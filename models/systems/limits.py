"""Where each clearance finds what is required of it, when neither the size table nor the shop says it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from models.spec.build import Build
from models.spec.dimension import Dimension, Source
from models.spec.part import Material

SEIZING = frozenset({Material.STAINLESS, Material.DUPLEX_STAINLESS})
"""Materials of which any two, run on each other, tend to seize (gall). Source: ISO 13709, from memory."""


def limit(name: str) -> Callable[[Build], Dimension]:
    """Make the look-up of a limit that holds whatever the pump's size."""
    return partial(_find_limit, name=name)


def limit_by_impeller(name: str) -> Callable[[Build], Dimension]:
    """Make the look-up of a limit that goes by the impeller's outside diameter."""
    return partial(_find_by_impeller, name=name)


def limit_ring(ring: str, face: str) -> Callable[[Build], Dimension]:
    """Make the look-up of a ring's running clearance: by what turns in it, and more for a pair that seizes."""
    return partial(_find_ring, ring=ring, face=face)


def _find_limit(build: Build, name: str) -> Dimension:
    return build.find_limit(name)


def _find_by_impeller(build: Build, name: str) -> Dimension:
    return build.find_limit(name, float(build.piece_at("impeller").row["outside-diameter"]))


def _find_ring(build: Build, ring: str, face: str) -> Dimension:
    turning_mm = float(build.diameter("impeller", face))
    least = build.find_limit("wear-ring", turning_mm)
    pair = {build.piece_at(place).part.material for place in ("impeller", ring)}
    if not pair <= SEIZING:
        return least
    more = build.find_limit("wear-ring-galling", turning_mm)
    title = f"{least.source.title}; {more.source.title}"
    return replace(
        least,
        nominal=least.nominal + more.nominal,
        lower=least.lower + more.lower,
        upper=least.upper + more.upper,
        source=Source(least.source.file, least.source.line, title),
    )
