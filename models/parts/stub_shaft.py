"""Stub of a stepped shaft on which an exhibit is built. Origin on the axis, `reach` from its suction end.

Its row says the steps, `step-1-diameter` and `step-1-length` and so on from the suction end, as many as there are.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping

from models.spec.face import Face, journal, plane
from models.spec.length import Length
from models.spec.part import Material, Numbers, Part, Row, Solid


def list_ends(row: Row) -> list[Length]:
    """List where the steps begin, and at last where the shaft ends, along the axis in mm."""
    ends = [-row["reach"]]
    for n in itertools.count(1):
        if f"step-{n}-length" not in row:
            return ends
        ends.append(ends[-1] + row[f"step-{n}-length"])
    raise AssertionError("a row has an end")


def faces(row: Row) -> Mapping[str, Face]:
    """Name both ends, the journal of each step and the shoulder between each and the next."""
    ends = list_ends(row)
    named = {"suction-end": plane(ends[0], -1), "drive-end": plane(ends[-1], +1)}
    for n in range(1, len(ends)):
        middle = (float(ends[n - 1]) + float(ends[n])) / 2
        named[f"journal-{n}"] = journal(row[f"step-{n}-diameter"], middle)
    for n in range(1, len(ends) - 1):
        falls = float(row[f"step-{n}-diameter"]) > float(row[f"step-{n + 1}-diameter"])
        named[f"shoulder-{n}"] = plane(ends[n], +1 if falls else -1)
    return named


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the steps, the edges of both ends broken."""
    from models.parts import forms

    start, end, cut = at["suction-end"], at["drive-end"], row["end-chamfer"]
    steps = sum(1 for key in at if key.startswith("journal-"))
    radii = [at[f"journal-{n}"] / 2 for n in range(1, steps + 1)]
    profile = [(start, 0.0), (start, radii[0] - cut), (start + cut, radii[0])]
    for n in range(1, steps):
        profile += [(at[f"shoulder-{n}"], radii[n - 1]), (at[f"shoulder-{n}"], radii[n])]
    return forms.turn([*profile, (end - cut, radii[-1]), (end, radii[-1] - cut), (end, 0.0)])


PART = Part("shaft", faces, shape, Material.ALLOY_STEEL)
