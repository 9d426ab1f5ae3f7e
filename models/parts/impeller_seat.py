"""What of a shaft the impeller sits on: a plain seat with keyway and screw hole, or thread, relief and register.

Which it is follows from the row: `thread-pitch` makes it a thread. Private to the shafts, whole or cut.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Axis, Face, journal, plane
from models.spec.length import Length
from models.spec.part import Mount, Numbers, Row, Solid


def name_faces(row: Row, shoulder: Length, end: Length) -> Mapping[str, Face]:
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


def list_mounts(row: Row) -> dict[str, tuple[Mount, ...]]:
    """Give the middle of the impeller's keyway, opening upwards, where there is one."""
    if "impeller-key-middle" not in row:
        return {}
    seat = -row["overhang"] - row["impeller-seat-length"] + row["impeller-key-middle"]
    return {"impeller-key": (Mount(x=seat, axis=Axis.Z),)}


def draw_end(at: Numbers, row: Numbers) -> list[tuple[float, float]]:
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


def cut_end(at: Numbers, row: Numbers) -> list[Solid]:
    """Make what is cut into a keyed end: the keyway and the hole for the impeller screw."""
    from models.parts import forms

    if "screw-thread" not in row:
        return []
    end = at["impeller-end"]
    keyway = cut_keyway(
        row["impeller-key-width"],
        row["impeller-key-length"],
        at["impeller-key-floor"],
        end + row["impeller-key-middle"],
    )
    return [forms.rod(row["screw-thread"], end, end + row["screw-depth"]), keyway]


def cut_keyway(width_mm: float, length_mm: float, floor_mm: float, middle_mm: float) -> Solid:
    """Make what a keyway of that width and length takes out of a shaft above its floor."""
    from models.parts import forms

    # long_slot lies along z with its height along x: stand it up and lay it along the shaft
    tool = forms.long_slot(width_mm, length_mm, 0, 50.0).rotate((0, 0, 0), (0, 1, 0), -90)
    return tool.translate((middle_mm, 0, floor_mm))
