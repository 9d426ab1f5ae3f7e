"""Exhibits: small builds on which one component is taught. One module each, with a FAMILY, joined from systems like a pump."""

from __future__ import annotations

from models.exhibits import (
    balance,
    flanges,
    impeller_fixings,
    impellers,
    materials,
    mechanical_seal,
    packing,
    radial_shaft_seals,
    rolling_bearings,
)
from models.spec.family import Family

EXHIBITS: tuple[Family, ...] = (
    rolling_bearings.FAMILY,
    impeller_fixings.FAMILY,
    impellers.FAMILY,
    balance.FAMILY,
    radial_shaft_seals.FAMILY,
    mechanical_seal.FAMILY,
    packing.FAMILY,
    materials.FAMILY,
    flanges.FAMILY,
)
