"""Stator of a bearing isolator: pressed in the housing, ring grooves in its front for the rotor's teeth.

Origin at the face of its flange that bears on the housing; the front looks towards -x, where the outside is.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

TEETH = (1, 2)
"""The rotor's teeth and the stator's grooves for them, counted outwards from the shaft."""
SLOT_SHARE = 0.97
"""How deep the returning slot lies, as a share of the catching groove's radius: how it looks."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name flange, front, outside, bore, the grooves of the labyrinth and the groove of the unitising ring."""
    front = -row["front-length"]
    floor = front + row["groove-depth"]
    flange = -row["flange-thickness"]
    inside = float(row["front-outside"] + row["flange-outside"]) / 4
    ring = row["ring-groove-start"]
    middle = (float(front) + float(floor)) / 2
    named = {
        "seat": plane(0.0, +1),
        "flange-face": plane(flange, -1, near=(float(flange), inside)),
        "front": plane(front, -1, near=(float(front), float(row["bore"]) / 2 + 0.2)),
        "outside": journal(row["outside"], 1.0),
        "front-outside": journal(row["front-outside"], middle),
        "bore": bore(row["bore"], middle),
        "fluid-end": plane(row["length"], +1),
        "groove-floor": plane(floor, -1),
        "ring-wall": plane(ring, +1),
        "ring-stop": plane(ring + row["ring-groove-width"], -1),
        "ring-bottom": bore(row["ring-groove-diameter"], float(ring) + 1),
    }
    for n in TEETH:
        named[f"groove-{n}-outside"] = bore(row[f"groove-{n}-outside"], middle)
        named[f"groove-{n}-inside"] = journal(row[f"groove-{n}-inside"], middle)
    return named


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the section and mill the slot by which caught oil runs back at the bottom."""
    from models.parts import forms

    front, floor, end, inner = at["front"], at["groove-floor"], at["fluid-end"], at["bore"] / 2
    flange, catch = row["flange-outside"] / 2, row["catch-groove-diameter"] / 2
    teeth = []
    for n in reversed(TEETH):
        low, high = at[f"groove-{n}-inside"] / 2, at[f"groove-{n}-outside"] / 2
        teeth += [(front, high), (floor, high), (floor, low), (front, low)]
    start, stop = row["catch-groove-start"], row["catch-groove-start"] + row["catch-groove-width"]
    ring = at["ring-bottom"] / 2
    body = forms.turn(
        [
            (end, inner), (end, at["outside"] / 2), (0, at["outside"] / 2), (0, flange),
            (at["flange-face"], flange), (at["flange-face"], at["front-outside"] / 2),
            (front, at["front-outside"] / 2), *teeth, (front, inner),
            (at["ring-wall"], inner), (at["ring-wall"], ring), (at["ring-stop"], ring), (at["ring-stop"], inner),
            (start, inner), (start, catch), (stop, catch), (stop, inner),
        ]
    )  # fmt: skip
    half = row["return-slot-width"] / 2
    # from the middle of the catching groove and not quite as deep, so that no faces of the two are one
    slot = forms.box(((start + stop) / 2, end + 1), (-half, half), (-SLOT_SHARE * catch, 0))
    return forms.one_solid(body.cut(slot))


PART = Part("isolator-stator", faces, shape, Material.BRONZE)
