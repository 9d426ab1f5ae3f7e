"""Sight glass screwed into the side of a housing: body, glass disc and the ring that holds it. Own x axis outwards.

The body's origin is at the shoulder under its hexagon; disc and ring have theirs at their inner face.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

PIN_HOLE_SHARE, PIN_CIRCLE_SHARE = 0.45, 0.5
"""The ring's holes for a pin spanner: their size as a share of its radial width, and where across it they lie."""


def faces_body(row: Row) -> Mapping[str, Face]:
    """Name the shoulder, the floor of the glass's recess and the rim."""
    return {
        "shoulder": plane(0.0, -1),
        "recess-floor": plane(row["recess-floor"], +1),
        "rim": plane(row["hexagon-height"], +1),
    }


def shape_body(at: Numbers, row: Numbers) -> Solid:
    """Make the hexagon with its thread, bored through, with a threaded recess for glass and ring."""
    from models.parts import forms

    high, back = at["rim"], -row["thread-length"]
    body = forms.hexagon(row["across-flats"], high, 0).fuse(forms.rod(row["thread"], back, 0))
    return forms.one_solid(
        body.cut(
            forms.rod(row["bore"], back, high),
            forms.rod(row["recess-diameter"], at["recess-floor"], high),
        )
    )


def faces_flat(row: Row) -> Mapping[str, Face]:
    """Name the inner and the outer side."""
    return {"inner": plane(0.0, -1), "outer": plane(row["thickness"], +1)}


def shape_disc(at: Numbers, row: Numbers) -> Solid:
    """Cut the disc, its edges ground off."""
    from models.parts import forms

    high, r, c = at["outer"], row["diameter"] / 2, row["edge"]
    return forms.turn([(0, 0), (0, r - c), (c, r), (high - c, r), (high, r - c), (high, 0)])


def shape_ring(at: Numbers, row: Numbers) -> Solid:
    """Turn the threaded ring and drill it for a pin spanner."""
    from models.parts import forms

    wide = (row["thread"] - row["bore"]) / 2
    ring = forms.tube(row["thread"], row["bore"], 0, at["outer"])
    spots = forms.circle_spots(2, row["bore"] + 2 * PIN_CIRCLE_SHARE * wide)
    return forms.one_solid(
        forms.drill(ring, PIN_HOLE_SHARE * wide, at["outer"] / 2, at["outer"], spots)
    )


BODY = Part("sight-glass-body", faces_body, shape_body, Material.BRASS)
DISC = Part("sight-glass", faces_flat, shape_disc, Material.GLASS)
RING = Part("sight-glass-ring", faces_flat, shape_ring, Material.BRASS)
