"""Exhibits: small builds on which one component is taught. One module each, with a FAMILY, joined from systems like a pump."""

from __future__ import annotations

from models.exhibits import radial_shaft_seals
from models.spec.family import Family

EXHIBITS: tuple[Family, ...] = (radial_shaft_seals.FAMILY,)
