"""Rotor of a bearing isolator: turns with the shaft by an O-ring, its teeth stand in the stator's grooves.

Origin at the face of its disc that looks at the stator, along +x.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts.isolator_stator import TEETH
from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name disc, teeth, rim, hub, bore, the drive O-ring's groove and that of the unitising ring."""
    ring, drive = row["ring-groove-start"], row["groove-start"]
    tooth = row["tooth-length"]
    middle = float(tooth) / 2
    root = (float(row["hub-diameter"]) + float(row["tooth-1-inside"])) / 4
    named = {
        "air-side": plane(-row["disc-thickness"], -1),
        "disc-face": plane(0.0, +1, near=(0.0, root)),
        "tooth-end": plane(tooth, +1),
        "rim-end": plane(row["rim-length"], +1),
        "rim-inside": bore(row["rim-outside"] - row["rim-wall"] * 2, middle),
        "hub": journal(row["hub-diameter"], middle),
        "hub-end": plane(row["hub-length"], +1),
        "bore": bore(row["bore"], float(row["hub-length"]) - 1),
        "groove-wall": plane(drive, +1),
        "groove-bottom": bore(row["groove-diameter"], float(drive) + 1),
        "ring-stop": plane(ring, +1),
        "ring-wall": plane(ring + row["ring-groove-width"], -1),
        "ring-bottom": journal(row["ring-groove-diameter"], float(ring) + 1),
    }
    for n in TEETH:
        named[f"tooth-{n}-outside"] = journal(row[f"tooth-{n}-outside"], middle)
        named[f"tooth-{n}-inside"] = bore(row[f"tooth-{n}-inside"], middle)
    return named


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn disc, rim, teeth and hub as one section."""
    from models.parts import forms

    back, inner, hub = at["air-side"], at["bore"] / 2, at["hub"] / 2
    start, stop, deep = (
        at["groove-wall"],
        at["groove-wall"] + row["groove-width"],
        at["groove-bottom"] / 2,
    )
    rim, rim_in, end = row["rim-outside"] / 2, at["rim-inside"] / 2, at["hub-end"]
    teeth = []
    for n in reversed(TEETH):
        low, high = at[f"tooth-{n}-inside"] / 2, at[f"tooth-{n}-outside"] / 2
        teeth += [(0, high), (at["tooth-end"], high), (at["tooth-end"], low), (0, low)]
    ring = at["ring-bottom"] / 2
    return forms.turn(
        [
            (back, inner), (back, rim), (at["rim-end"], rim), (at["rim-end"], rim_in), (0, rim_in), *teeth,
            (0, hub), (at["ring-stop"], hub), (at["ring-stop"], ring), (at["ring-wall"], ring), (at["ring-wall"], hub),
            (end, hub), (end, inner), (stop, inner), (stop, deep), (start, deep), (start, inner),
        ]
    )  # fmt: skip


PART = Part("isolator-rotor", faces, shape, Material.STAINLESS)
