"""Rotating face of the mechanical seal. Origin at its lapped face; the body lies towards the suction end.

What it has follows from its row: `groove-diameter` gives it the inside groove of its O-ring, `notch-count` the
notches that a retainer's lugs enter; a face without them is held in the carrier of a bellows.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts import seal_drive
from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name the lapped face, the spring's landing, the outside and the bore; the groove if there is one."""
    inner = float(row["bore"]) / 2
    named = {
        "lapped-face": plane(0.0, +1),
        "spring-face": plane(-row["length"], -1, near=(-float(row["length"]), inner + 1)),
        "outside": journal(row["outside"], -float(row["nose-height"]) - 1),
        "bore": bore(row["bore"], -float(row["length"]) + 0.5),
    }
    if "groove-diameter" in row:
        start = -row["groove-start"]
        named["groove-wall"] = plane(start, -1)
        named["groove-bottom"] = bore(row["groove-diameter"], float(start) - 1)
    return named


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the body with its raised running nose and its groove, and mill the notches."""
    from models.parts import forms

    end, inner, outer = at["spring-face"], row["bore"] / 2, row["outside"] / 2
    nose_in, nose_out, rise = row["nose-bore"] / 2, row["nose-outside"] / 2, row["nose-height"]
    groove = []
    if "groove-wall" in at:
        deep, start = row["groove-diameter"] / 2, at["groove-wall"]
        stop = start - row["groove-width"]
        groove = [(start, inner), (start, deep), (stop, deep), (stop, inner)]
    body = forms.turn(
        [
            (0, nose_in), (-rise, nose_in), (-rise, inner), *groove, (end, inner), (end, outer),
            (-rise, outer), (-rise, nose_out), (0, nose_out),
        ]
    )  # fmt: skip
    return forms.one_solid(body.cut(*_notches(end, row))) if "notch-count" in row else body


def _notches(end: float, row: Numbers) -> list[Solid]:
    """Make what is milled out of the outside, open towards the spring."""
    from models.parts import forms

    half, floor = row["notch-width"] / 2, row["notch-floor"] / 2
    notch = forms.box(
        (end - 1, end + row["notch-length"]), (-half, half), (floor, row["outside"] / 2 + 1)
    )
    return seal_drive.turn_about(notch, row["notch-count"])


PART = Part("seal-face", faces, shape, Material.CARBON)
