"""Guard over a window of the bell housing: a sheet with slots too narrow for a finger. Own x looks outwards.

Origin in the middle of the side that lies on the window's pad; own z runs along the window.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both sides."""
    return {"inside": plane(0.0, -1), "outside": plane(row["thickness"], +1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Punch the sheet: slots across the window, and the screw holes at both ends."""
    from models.parts import forms

    end, half, long = at["outside"], row["width"] / 2, row["length"] / 2
    sheet = forms.box((0, end), (-half, half), (-long, long))
    count, pitch, slot = round(row["slot-count"]), row["slot-pitch"], row["slot-width"] / 2
    reach = row["slot-length"] / 2
    middles = [(i - (count - 1) / 2) * pitch for i in range(count)]
    slots = [forms.box((0, end), (-reach, reach), (z - slot, z + slot)) for z in middles]
    holes = [(0.0, sign * row["screw-spacing"] / 2) for sign in (+1, -1)]
    return forms.one_solid(forms.drill(sheet.cut(*slots), row["screw-hole"], 0, end, holes))


PART = Part("window-guard", faces, shape, Material.CARBON_STEEL)
