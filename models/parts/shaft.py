"""Stepped shaft. Origin on the axis at the thrust shoulder, against which the outboard bearing is clamped.

Steps down towards the impeller, so that it leaves towards the drive end.
"""

from __future__ import annotations

from collections.abc import Mapping

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
        **_name_impeller_end(row, shoulder, end),
        "seal-journal": journal(row["seal-diameter"], float(shoulder) + 1),
        "inboard-journal": journal(row["inboard-diameter"], float(inboard) - 1),
        "outboard-journal": journal(row["outboard-diameter"], 1.0),
        "drive-seal-journal": journal(row["drive-seal-diameter"], float(sealed) - 1),
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


def _name_impeller_end(row: Row, shoulder: Length, end: Length) -> Mapping[str, Face]:
    """Name what the impeller sits on: a seat with a keyway, or a register before a thread."""
    diameter = row["impeller-seat-diameter"]
    if "thread-pitch" in row:
        step = shoulder - row["register-length"]
        return {
            "impeller-seat": journal(diameter, float(shoulder) - 1),
            "register-end": plane(step, -1, near=(float(step), float(diameter) / 2 - 0.2)),
        }
    return {
        "impeller-seat": journal(diameter, float(end) + 3),
        "impeller-key-floor": plane(diameter / 2 - row["impeller-key-depth"], +1, Axis.Z),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the middles of the keyways, opening upwards."""
    drive = _find_coupling(row) + row["coupling-length"] / 2
    found = {"coupling-key": (Mount(x=drive, axis=Axis.Z),)}
    if "sheave-seat-length" in row:
        middle = row["outboard-length"] + row["drive-seal-length"] + row["sheave-key-middle"]
        found["sheave-key"] = (Mount(x=middle, axis=Axis.Z),)
    if "impeller-key-middle" in row:
        seat = -row["overhang"] - row["impeller-seat-length"] + row["impeller-key-middle"]
        found["impeller-key"] = (Mount(x=seat, axis=Axis.Z),)
    return found


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
    profile = _draw_impeller_end(at, row)
    for start, stop, key in steps:
        profile += [(start, row[key] / 2), (stop, row[key] / 2)]
    cut = row["end-chamfer"]
    profile[-1] = (drive - cut, row["coupling-diameter"] / 2)
    profile += [(drive, row["coupling-diameter"] / 2 - cut), (drive, 0.0)]
    body = forms.turn(profile)
    keyways = [
        _keyway(
            row["coupling-key-width"],
            row["coupling-key-length"],
            at["coupling-key-floor"],
            (coupling + drive) / 2,
        )
    ]
    if sheave:
        spot = sealed + row["sheave-key-middle"]
        width, length = row["sheave-key-width"], row["sheave-key-length"]
        keyways.append(_keyway(width, length, at["sheave-key-floor"], spot))
    half = row["washer-slot-width"] / 2
    slot = forms.box(
        (row["washer-slot-start"], thrust_end),
        (-half, half),
        (row["washer-slot-floor"], row["outboard-diameter"]),
    )
    return forms.one_solid(body.cut(*_cut_impeller_end(at, row), *keyways, slot))


def _draw_impeller_end(at: Numbers, row: Numbers) -> list[tuple[float, float]]:
    """Give the profile from the shaft's end to the shoulder: plain seat, or thread, relief and register."""
    from models.parts import forms

    end, shoulder, cut = at["impeller-end"], at["impeller-shoulder"], row["end-chamfer"]
    seat = row["impeller-seat-diameter"] / 2
    if "thread-pitch" not in row:
        return [(end, 0.0), (end, seat - cut), (end + cut, seat), (shoulder, seat)]
    step, root = at["register-end"], row["thread-root"] / 2
    relief = step - row["relief-length"]
    thread = forms.thread_outside(row, relief, end + cut)
    lead = (end, thread[-1][1] - cut)
    return [
        (end, 0.0), lead, *reversed(thread), (relief, root), (step, root), (step, seat), (shoulder, seat),
    ]  # fmt: skip


def _cut_impeller_end(at: Numbers, row: Numbers) -> list[Solid]:
    """Make what is cut into a keyed end: the keyway and the hole for the impeller screw."""
    from models.parts import forms

    if "screw-thread" not in row:
        return []
    end = at["impeller-end"]
    keyway = _keyway(
        row["impeller-key-width"],
        row["impeller-key-length"],
        at["impeller-key-floor"],
        end + row["impeller-key-middle"],
    )
    return [forms.rod(row["screw-thread"], end, end + row["screw-depth"]), keyway]


def _keyway(width_mm: float, length_mm: float, floor_mm: float, middle_mm: float) -> Solid:
    from models.parts import forms

    # long_slot lies along z with its height along x: stand it up and lay it along the shaft
    tool = forms.long_slot(width_mm, length_mm, 0, 50.0).rotate((0, 0, 0), (0, 1, 0), -90)
    return tool.translate((middle_mm, 0, floor_mm))


PART = Part("shaft", faces, shape, Material.ALLOY_STEEL, mounts)
