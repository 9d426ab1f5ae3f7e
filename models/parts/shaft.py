"""Stepped shaft. Origin on the axis at the thrust shoulder, against which the outboard bearing is clamped.

Steps down towards the impeller, so that it leaves towards the drive end.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Axis, Face, journal, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name shoulders, journals, the shaft end and the floors of both keyways."""
    shoulder = -row["overhang"]
    inboard = -row["bearing-span"]
    end = shoulder - row["impeller-seat-length"]
    drive = row["outboard-length"] + row["drive-seal-length"]
    return {
        "thrust-shoulder": plane(0.0, +1),
        "inboard-shoulder": plane(inboard, -1),
        "impeller-shoulder": plane(shoulder, -1),
        "impeller-end": plane(end, -1),
        "coupling-shoulder": plane(drive, +1),
        "drive-end": plane(drive + row["coupling-length"], +1),
        "impeller-seat": journal(row["impeller-seat-diameter"], float(end) + 3),
        "seal-journal": journal(row["seal-diameter"], float(shoulder) + 1),
        "inboard-journal": journal(row["inboard-diameter"], float(inboard) - 1),
        "outboard-journal": journal(row["outboard-diameter"], 1.0),
        "drive-seal-journal": journal(row["drive-seal-diameter"], float(drive) - 1),
        "impeller-key-floor": plane(
            row["impeller-seat-diameter"] / 2 - row["impeller-key-depth"], +1, Axis.Z
        ),
        "coupling-key-floor": plane(
            row["coupling-diameter"] / 2 - row["coupling-key-depth"], +1, Axis.Z
        ),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the middles of both keyways, opening upwards."""
    seat = -row["overhang"] - row["impeller-seat-length"] + row["impeller-key-middle"]
    drive = row["outboard-length"] + row["drive-seal-length"] + row["coupling-length"] / 2
    return {
        "impeller-key": (Mount(x=seat, axis=Axis.Z),),
        "coupling-key": (Mount(x=drive, axis=Axis.Z),),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the steps, mill both keyways and the lock washer's slot, tap the end for the impeller screw."""
    from models.parts import forms

    end, shoulder, inboard, drive = (
        at["impeller-end"],
        at["impeller-shoulder"],
        at["inboard-shoulder"],
        at["drive-end"],
    )
    seal_end = shoulder + row["seal-length"]
    thrust_end = row["outboard-length"]
    middle = -row["shoulder-length"]
    coupling = thrust_end + row["drive-seal-length"]
    steps = [
        (end, shoulder, "impeller-seat-diameter"), (shoulder, seal_end, "seal-diameter"),
        (seal_end, inboard, "inboard-diameter"), (inboard, middle, "middle-diameter"), (middle, 0.0, "shoulder-diameter"),
        (0.0, row["outboard-journal-length"], "outboard-diameter"), (row["outboard-journal-length"], thrust_end, "lock-thread"),
        (thrust_end, coupling, "drive-seal-diameter"),
        (coupling, drive, "coupling-diameter"),
    ]  # fmt: skip
    cut = row["end-chamfer"]
    profile = [
        (end, 0.0),
        (end, row["impeller-seat-diameter"] / 2 - cut),
        (end + cut, row["impeller-seat-diameter"] / 2),
    ]
    for start, stop, key in steps:
        profile += [(start, row[key] / 2), (stop, row[key] / 2)]
    del profile[3]
    profile[-1] = (drive - cut, row["coupling-diameter"] / 2)
    profile += [(drive, row["coupling-diameter"] / 2 - cut), (drive, 0.0)]
    body = forms.turn(profile)
    hole = forms.rod(row["screw-thread"], end, end + row["screw-depth"])
    seat_key = end + row["impeller-key-middle"]
    keyways = [
        _keyway(
            row["impeller-key-width"],
            row["impeller-key-length"],
            at["impeller-key-floor"],
            seat_key,
        ),
        _keyway(
            row["coupling-key-width"],
            row["coupling-key-length"],
            at["coupling-key-floor"],
            (coupling + drive) / 2,
        ),
    ]
    half = row["washer-slot-width"] / 2
    slot = forms.box(
        (row["washer-slot-start"], thrust_end),
        (-half, half),
        (row["washer-slot-floor"], row["outboard-diameter"]),
    )
    return forms.one_solid(body.cut(hole, *keyways, slot))


def _keyway(width_mm: float, length_mm: float, floor_mm: float, middle_mm: float) -> Solid:
    from models.parts import forms

    # long_slot lies along z with its height along x: stand it up and lay it along the shaft
    tool = forms.long_slot(width_mm, length_mm, 0, 50.0).rotate((0, 0, 0), (0, 1, 0), -90)
    return tool.translate((middle_mm, 0, floor_mm))


PART = Part("shaft", faces, shape, Material.ALLOY_STEEL, mounts)
