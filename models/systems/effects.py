"""What changes a clearance beyond geometry."""

from __future__ import annotations

from models.spec.build import Build
from models.spec.length import Length

MODULUS_MPA = {"cast-iron": 100e3, "bronze": 105e3}
"""Young's moduli in MPa, from memory (common handbook values)."""
POISSON = {"cast-iron": 0.21, "bronze": 0.34}
"""Poisson's ratios, from memory (common handbook values)."""


def ring_bore_closing(build: Build) -> Length:
    """Give the change in mm of the wear ring's bore caused by pressing it in (negative: it closes).

    Two thick cylinders: the pressure from the interference squeezes the ring's bore by
    2 p d_outer^2 d_inner / (E (d_outer^2 - d_inner^2)).
    The cover round the ring is taken as a plain cylinder of the boss, which makes the closing a
    little less than a stiffer casting would.
    Source: Lame's equations for thick cylinders, plane stress.
    """
    ring, cover = build.piece_at("wear-ring"), build.piece_at("suction-cover")
    fit = ring.row["outside"] - cover.row["ring-bore"]
    d, inner = float(cover.row["ring-bore"]), float(ring.row["bore"])
    outer = d + 2 * float(cover.row["wall"])
    hub, core = cover.part.material.value, ring.part.material.value
    give = ((outer**2 + d**2) / (outer**2 - d**2) + POISSON[hub]) / MODULUS_MPA[hub] + (
        (d**2 + inner**2) / (d**2 - inner**2) - POISSON[core]
    ) / MODULUS_MPA[core]
    share = 2.0 * d * inner / (MODULUS_MPA[core] * (d**2 - inner**2) * give)
    return fit * -share
