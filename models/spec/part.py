"""A component: its named faces, its solid, where other parts are mounted on it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from models.spec.face import Axis, Face
from models.spec.length import Length

if TYPE_CHECKING:
    from models.spec.clearance import Clearance
    from models.spec.seat import Place

Row = Mapping[str, Length]
"""A part's dimensions by key, realised for one piece."""
Numbers = Mapping[str, float]
"""The same as plain floats in mm, for the kernel, which refuses anything else."""
Solid = Any
"""A cadquery Shape. Typed loosely so that this room never imports the kernel."""


class Material(StrEnum):
    """Materials of construction, as word keys."""

    CAST_IRON = "cast-iron"
    DUCTILE_IRON = "ductile-iron"
    STAINLESS = "stainless"
    DUPLEX_STAINLESS = "duplex-stainless"
    CARBON_STEEL = "carbon-steel"
    ALLOY_STEEL = "alloy-steel"
    BEARING_STEEL = "bearing-steel"
    BRONZE = "bronze"
    BRASS = "brass"
    NITRILE = "nitrile"
    FLUOROELASTOMER = "fluoroelastomer"
    CARBON = "carbon"
    SILICON_CARBIDE = "silicon-carbide"
    GASKET_FIBRE = "gasket-fibre"
    CLEAR_HOSE = "clear-hose"
    GLASS = "glass"
    PACKING = "packing"
    RUBBER = "rubber"
    PTFE = "ptfe"
    CERAMIC = "ceramic"
    TUNGSTEN_CARBIDE = "tungsten-carbide"
    CHROME_STAINLESS_HARDENED = "chrome-stainless-hardened"


class Load(StrEnum):
    """What a shaft may lay on a bearing, as word keys: across, or along towards one side of the bearing's own x axis."""

    RADIAL = "radial"
    AXIAL_BACKWARD = "axial-backward"
    AXIAL_FORWARD = "axial-forward"


@dataclass(frozen=True, slots=True)
class Mount:
    """A spot on a host where one piece is mounted: offsets from the host's own axis, in mm.

    `axis` is the direction the mounted piece's own x axis takes, `sign` +1 or -1 along it.
    `turn_deg` turns the piece about its own x axis.
    For `axis` X only y and z count (x comes from the seat); for Z, x and y count; for Y, x and z.
    """

    x: Length | float = 0.0
    y: float = 0.0
    z: float = 0.0
    axis: Axis = Axis.X
    sign: int = 1
    turn_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Part:
    """A kind of component.

    faces(row) gives named faces without the kernel; shape(faces, row) gives the solid from plain
    floats, from the same arithmetic. mounts(row) gives the spots where repeated pieces sit.
    fitted: takes its shape from what it spans, placed after the rigid parts.
    flexible: can be stretched or sprung out of a groove by hand.
    carries: of a bearing, the loads it takes from the shaft; FORWARD is towards its own +x.
    clearances(place) gives what must be held wherever such a part stands, as the squeeze of an O-ring.
    """

    kind: str
    faces: Callable[[Row], Mapping[str, Face]]
    shape: Callable[[Numbers, Numbers], Solid]
    material: Material
    mounts: Callable[[Row], Mapping[str, tuple[Mount, ...]]] | None = None
    fitted: bool = False
    flexible: bool = False
    carries: frozenset[Load] = frozenset()
    clearances: Callable[[Place], tuple[Clearance, ...]] | None = None
