"""Outer case of a cassette seal: drawn from sheet and pressed in the housing. Origin at its web's outer face; liquid at +x."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both faces of the web, its bore, the case's end and its outside."""
    wall, length = row["wall"], row["length"]
    web = (float(row["web-bore"]) + float(row["outside"])) / 4
    return {
        "web-air-face": plane(0.0, -1, near=(0.0, web)),
        "web-fluid-face": plane(wall, +1, near=(float(wall), web)),
        "web-bore": bore(row["web-bore"], float(wall) / 2),
        "fluid-end": plane(length, +1),
        "outside": journal(row["outside"], float(length) / 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the case: a web and a cylinder as thick as the sheet."""
    from models.parts import forms

    wall, end, outer, hole = (
        at["web-fluid-face"],
        at["fluid-end"],
        at["outside"] / 2,
        at["web-bore"] / 2,
    )
    return forms.turn(
        [(0, hole), (wall, hole), (wall, outer - wall), (end, outer - wall), (end, outer), (0, outer)]
    )  # fmt: skip


PART = Part("cassette-case", faces, shape, Material.CARBON_STEEL)
