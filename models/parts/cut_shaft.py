"""The impeller's end of a shaft, cut off behind the seal. Origin where the whole shaft has it, at the thrust shoulder.

Its rows are the whole shaft's, and `cut-position`: how far before the thrust shoulder it is cut.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts import impeller_seat
from models.spec.face import Face, journal, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name what the impeller sits on, the journals of seal and carrier, and the cut."""
    shoulder = -row["overhang"]
    end, step = shoulder - row["impeller-seat-length"], shoulder + row["seal-length"]
    return {
        "impeller-shoulder": plane(shoulder, -1),
        "impeller-end": plane(end, -1),
        "drive-end": plane(-row["cut-position"], +1),
        "seal-journal": journal(row["seal-diameter"], float(shoulder) + 1),
        "inboard-journal": journal(row["inboard-diameter"], float(step) + 1),
        **impeller_seat.name_faces(row, shoulder, end),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the middle of the impeller's keyway."""
    return impeller_seat.list_mounts(row)


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the steps from the impeller's end to the cut, and make what the impeller is fixed by."""
    from models.parts import forms

    shoulder, cut = at["impeller-shoulder"], at["drive-end"]
    step, seal, inboard = (
        shoulder + row["seal-length"],
        row["seal-diameter"] / 2,
        row["inboard-diameter"] / 2,
    )
    profile = impeller_seat.draw_end(at, row)
    profile += [(shoulder, seal), (step, seal), (step, inboard), (cut, inboard), (cut, 0.0)]
    body, taken = forms.turn(profile), impeller_seat.cut_end(at, row)
    return forms.one_solid(body.cut(*taken)) if taken else body


PART = Part("shaft", faces, shape, Material.ALLOY_STEEL, mounts)
