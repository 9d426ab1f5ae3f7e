"""Arbor: a stub of shaft on which bearings are shown, clamped against its collar. Origin at the collar's face.

Its rows are named as the shaft's are at the thrust bearing, so that what is asked of one can be asked of the other.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name the collar's face, the seat of the bearings and both ends."""
    return {
        "thrust-shoulder": plane(0.0, +1, near=(0.0, float(row["outboard-diameter"]) / 2 + 1)),
        "outboard-journal": journal(row["outboard-diameter"], 1.0),
        "suction-end": plane(-row["collar-length"] - row["grip-length"], -1),
        "drive-end": plane(row["outboard-length"], +1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn grip, collar, seat and thread, and mill the slot for the lock washer's tongue."""
    from models.parts import forms

    start, end, cut = at["suction-end"], at["drive-end"], row["end-chamfer"]
    seat, collar = row["outboard-diameter"] / 2, row["shoulder-diameter"] / 2
    grip, thread, journal_end = (
        row["grip-diameter"] / 2,
        row["lock-thread"] / 2,
        row["outboard-journal-length"],
    )
    body = forms.turn(
        [
            (start, 0), (start, grip - cut), (start + cut, grip), (-row["collar-length"], grip),
            (-row["collar-length"], collar), (0, collar), (0, seat), (journal_end, seat), (journal_end, thread),
            (end - cut, thread), (end, thread - cut), (end, 0),
        ]
    )  # fmt: skip
    half = row["washer-slot-width"] / 2
    slot = forms.box(
        (row["washer-slot-start"], end), (-half, half), (row["washer-slot-floor"], 2 * seat)
    )
    return forms.one_solid(body.cut(slot))


PART = Part("shaft", faces, shape, Material.ALLOY_STEEL)
