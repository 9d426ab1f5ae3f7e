"""Find the volume of a solid and its centre, exactly, from its faces. Imports the kernel."""

from __future__ import annotations

import cadquery as cq
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps

SHARE = 1e-7
"""How far the kernel's integration over each face may be off, as a share."""


def measure_volume(shape: cq.Shape) -> tuple[float, float, float, float]:
    """Measure volume in mm3 and centre of gravity (x, y, z) in mm, in the shape's own frame."""
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape.wrapped, properties, SHARE)
    centre = properties.CentreOfMass()
    return float(properties.Mass()), centre.X(), centre.Y(), centre.Z()
