"""Stepped shaft. Origin on the axis at the thrust shoulder, against which the outboard bearing is clamped.

Steps down towards the impeller, so that it leaves towards the drive end.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts import impeller_seat
from models.spec.face import Axis, Face, journal, plane
from models.spec.length import Length
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name shoulders, journals, the shaft end and the floors of the keyways."""
    shoulder = -row["overhang"]
    inboard = -row["bearing-span"]
    end = shoulder - row["impeller-seat-length"]
    sealed = row["outboard-length"] + row["drive-seal-length"]
    drive = _find_coupling(row)
    step = shoulder + row["seal-length"]
    return {
        "thrust-shoulder": plane(0.0, +1),
        "inboard-shoulder": plane(inboard, -1),
        "impeller-shoulder": plane(shoulder, -1),
        "seal-end": plane(step, -1, near=(float(step), float(row["inboard-diameter"]) / 2 - 0.2)),
        "impeller-end": plane(end, -1),
        "coupling-shoulder": plane(drive, +1),
        "drive-end": plane(drive + row["coupling-length"], +1),
        **impeller_seat.name_faces(row, shoulder, end),
        "seal-journal": journal(row["seal-diameter"], float(shoulder) + 1),
        "inboard-journal": journal(row["inboard-diameter"], float(inboard) - 1),
        "outboard-journal": journal(row["outboard-diameter"], 1.0),
        "drive-seal-journal": journal(row["drive-seal-diameter"], float(sealed) - 1),
        "coupling-journal": journal(row["coupling-diameter"], float(drive) + 1),
        "coupling-key-floor": plane(
            row["coupling-diameter"] / 2 - row["coupling-key-depth"], +1, Axis.Z
        ),
        **_name_sheave_seat(row, sealed),
    }


def _find_coupling(row: Row) -> Length:
    """Find where the coupling's seat begins: past the drive-end seal, and past a sheave's seat where there is one."""
    sealed = row["outboard-length"] + row["drive-seal-length"]
    return sealed + row["sheave-seat-length"] if "sheave-seat-length" in row else sealed


def _name_sheave_seat(row: Row, sealed: Length) -> Mapping[str, Face]:
    """Name what a sheave between seal and coupling sits on, where the row has such a seat."""
    if "sheave-seat-length" not in row:
        return {}
    floor = row["sheave-seat-diameter"] / 2 - row["sheave-key-depth"]
    return {
        "sheave-shoulder": plane(sealed, +1),
        "sheave-seat": journal(row["sheave-seat-diameter"], float(sealed) + 1),
        "sheave-key-floor": plane(floor, +1, Axis.Z),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the middles of the keyways, opening upwards."""
    drive = _find_coupling(row) + row["coupling-length"] / 2
    found = {"coupling-key": (Mount(x=drive, axis=Axis.Z),)}
    if "sheave-seat-length" in row:
        middle = row["outboard-length"] + row["drive-seal-length"] + row["sheave-key-middle"]
        found["sheave-key"] = (Mount(x=middle, axis=Axis.Z),)
    return found | impeller_seat.list_mounts(row)


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the steps, mill the keyways and the lock washer's slot, and make the impeller's end."""
    from models.parts import forms

    shoulder, inboard, drive = at["impeller-shoulder"], at["inboard-shoulder"], at["drive-end"]
    seal_end = shoulder + row["seal-length"]
    thrust_end = row["outboard-length"]
    middle = -row["shoulder-length"]
    sealed, coupling = thrust_end + row["drive-seal-length"], at["coupling-shoulder"]
    sheave = [(sealed, coupling, "sheave-seat-diameter")] if "sheave-seat-length" in row else []
    steps = [
        (shoulder, seal_end, "seal-diameter"),
        (seal_end, inboard, "inboard-diameter"), (inboard, middle, "middle-diameter"), (middle, 0.0, "shoulder-diameter"),
        (0.0, row["outboard-journal-length"], "outboard-diameter"), (row["outboard-journal-length"], thrust_end, "lock-thread"),
        (thrust_end, sealed, "drive-seal-diameter"), *sheave,
        (coupling, drive, "coupling-diameter"),
    ]  # fmt: skip
    profile = impeller_seat.draw_end(at, row)
    for start, stop, key in steps:
        profile += [(start, row[key] / 2), (stop, row[key] / 2)]
    cut = row["end-chamfer"]
    profile[-1] = (drive - cut, row["coupling-diameter"] / 2)
    profile += [(drive, row["coupling-diameter"] / 2 - cut), (drive, 0.0)]
    body = forms.turn(profile)
    keyways = [
        impeller_seat.cut_keyway(
            row["coupling-key-width"],
            row["coupling-key-length"],
            at["coupling-key-floor"],
            (coupling + drive) / 2,
        )
    ]
    if sheave:
        spot = sealed + row["sheave-key-middle"]
        width, length = row["sheave-key-width"], row["sheave-key-length"]
        keyways.append(impeller_seat.cut_keyway(width, length, at["sheave-key-floor"], spot))
    half = row["washer-slot-width"] / 2
    slot = forms.box(
        (row["washer-slot-start"], thrust_end),
        (-half, half),
        (row["washer-slot-floor"], row["outboard-diameter"]),
    )
    return forms.one_solid(body.cut(*impeller_seat.cut_end(at, row), *keyways, slot))


PART = Part("shaft", faces, shape, Material.ALLOY_STEEL, mounts)
