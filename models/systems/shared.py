"""What the systems share: the sub-assemblies a pump is shown in, and how an O-ring is put in its groove."""

from __future__ import annotations

from models.parts import o_ring
from models.spec.part import Part
from models.spec.seat import Place, Seat, Span

WET_END, ROTATING, SEAL, FRAME = "wet-end", "rotating-element", "shaft-seal", "bearing-frame"
DRIVE = "drive-end"

TAKEN_UP = "suction-end"
"""The shaft is taken up towards the suction end: where the impeller's pull holds it in service."""


def put_o_ring(
    name: str,
    on: str,
    mate: tuple[str, str],
    group: str,
    side: str = "suction-end",
    groove: str = "groove",
    row: str = "",
    part: Part = o_ring.PART,
) -> Place:
    """Put an O-ring against the wall of the groove on `on`, squeezed between groove and mate."""
    spans = {"groove": Span((on, f"{groove}-bottom")), "mate": Span(mate)}
    return Place(name, part, Seat(side, on, f"{groove}-wall"), row=row, spans=spans, group=group)
