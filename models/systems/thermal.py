"""What warmth does to the gaps along the shaft: the shaft grows one way, the casings that carry it another.

Nothing new is measured for it: a gap's chain says how much of each part lies in it and to which side. Each link
grows by its own material and by the temperature of what it belongs to, so a length common to both sides cancels
as it does in the gap itself.
"""

from __future__ import annotations

from functools import partial

from models.formulas.thermal_growth import REFERENCE_C, find_growth_share
from models.spec.build import CASING, SHAFT, TABLES, Build
from models.spec.clearance import Effect
from models.spec.length import Length
from models.spec.materials import read_metals
from models.systems.shared import ROTATING


def find_growth(build: Build, clearance: str) -> Length:
    """Give by how much in mm a gap along the shaft opens (below zero: closes) at the build's temperatures.

    Two temperatures stand for the pump: one for what turns with the shaft, one for all castings and what
    is screwed to them. What is no metal (a gasket) is thin, and is taken not to grow.
    """
    metals = read_metals(TABLES)
    terms: dict[tuple[str, str], float] = {}
    value = 0.0
    for term, sensitivity in build.read_chain(build.clearance(clearance)).terms.items():
        piece = build.pieces[term[0]]
        metal = metals.get(piece.part.material)
        warm = SHAFT if piece.place.group == ROTATING else CASING
        temperature_c = build.temperatures_c.get(warm, REFERENCE_C)
        if metal is not None and temperature_c != REFERENCE_C:
            share = find_growth_share(metal.expansion_per_k, temperature_c)
            terms[term] = sensitivity * share
            value += terms[term] * float(piece.row[term[1]])
    return Length(value, terms)


def make_growth(clearance: str) -> Effect:
    """Make the effect of warmth on a gap along the shaft."""
    return Effect("thermal-growth", partial(find_growth, clearance=clearance))
