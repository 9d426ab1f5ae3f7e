"""Exhibits: small builds on which one component is taught. One module each, with a FAMILY, joined from systems like a pump."""

from __future__ import annotations

from models.spec.family import Family

EXHIBITS: tuple[Family, ...] = ()
