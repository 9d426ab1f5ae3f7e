"""What is seated on another really rests on it: two faces in one plane may still lie apart, side by side."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest
from manifold3d import Manifold

from models.builds import make_named_build
from models.solids.assemble import make_assembly
from models.solids.cache import MeshCache
from models.solids.overlaps import make_facets
from models.spec.build import Build
from tests.covering_sample import NAMES, SAMPLE, Chosen

SAG_MM = 0.05
"""Facets that touch may lie so far apart: they are flat where the solids are round."""
LOOKED_MM = 5.0


def find_apart(build: Build) -> Iterator[tuple[str, str, float]]:
    """Find the pieces, one a place, that do not touch what they are seated on, and how far apart they lie in mm."""
    assembly = make_assembly(build, MeshCache())

    @cache  # a casting carries dozens
    def find_facets(name: str) -> Manifold:
        facets = make_facets(assembly.by_name[name].mesh)
        assert facets is not None, name
        return facets

    for names in build.places.values():
        seat = build.pieces[names[0]].place.seat
        if seat is None:
            continue
        below = build.pieces_at(seat.on)
        on = below[0] if len(below) == len(names) else below[-1]
        gap = float(find_facets(names[0]).min_gap(find_facets(on), LOOKED_MM))
        if gap > SAG_MM:
            yield names[0], on, gap


@pytest.mark.parametrize(("name", "chosen"), SAMPLE, ids=NAMES)
def test_every_part_touches_what_it_is_seated_on(name: str, chosen: Chosen) -> None:
    assert list(find_apart(make_named_build(name, chosen))) == []


def test_a_gland_turned_away_from_its_studs_is_found() -> None:
    build = make_named_build("packing/38")
    gland = build.pieces["gland"]
    turned = replace(gland, pose=replace(gland.pose, turn_deg=90.0))
    found = list(find_apart(replace(build, pieces={**build.pieces, "gland": turned})))
    assert [(one, other) for one, other, _ in found] == [("gland-nut-1", "gland")]
