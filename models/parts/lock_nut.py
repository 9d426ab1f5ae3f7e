"""Lock nut: slotted nut that clamps the outboard bearing's inner ring to the shaft shoulder. Origin at its suction end."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

SLOTS = 4


def faces(row: Row) -> Mapping[str, Face]:
    """Name both ends."""
    near = (float(row["thread"]) + float(row["outside"])) / 4
    length = row["length"]
    return {
        "suction-end": plane(0.0, -1, near=(0.0, near)),
        "drive-end": plane(length, +1, near=(float(length), near)),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the ring and mill the spanner slots, one of them straight up for the lock washer's tab."""
    from models.parts import forms

    end, outer, half = at["drive-end"], row["outside"] / 2, row["slot-width"] / 2
    ring = forms.tube(row["outside"], row["thread"], 0, end)
    slot = forms.box((0, end), (-half, half), (outer - row["slot-depth"], outer + 1))
    slots = [slot.rotate((0, 0, 0), (1, 0, 0), 360 * i / SLOTS) for i in range(SLOTS)]
    return forms.one_solid(ring.cut(*slots))


PART = Part("lock-nut", faces, shape, Material.CARBON_STEEL)
