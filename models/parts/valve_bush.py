"""Bush that is the seat of a small valve, screwed into its port. Origin at the shoulder under its hexagon, x into the port."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

RIM_SHARE = 1.4
"""Diameter of the raised rim that the valve closes on, as a share of the bore."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the shoulder, the inner end and the rim that the valve closes on."""
    return {
        "shoulder": plane(0.0, +1),
        "inner-end": plane(row["thread-length"], +1),
        "seat": plane(-row["seat-height"], -1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the hexagon with its raised rim, the thread and the bore."""
    from models.parts import forms

    seat, bore = at["seat"], row["bore"]
    body = forms.hexagon(row["across-flats"], seat * 0.75, 0).fuse(
        forms.rod(row["thread"], 0, at["inner-end"]),
        forms.rod(RIM_SHARE * bore, seat, 0),
    )
    return forms.one_solid(body.cut(forms.rod(bore, seat, at["inner-end"])))


PART = Part("valve-bush", faces, shape, Material.BRASS)
