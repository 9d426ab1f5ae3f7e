"""O-ring as squeezed in its groove: as wide as keeps its section's area. Origin at its suction end.

Wherever one stands it is asked how much it is squeezed and stretched, and how full its groove is.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from typing import Protocol

from models.spec.build import Build
from models.spec.clearance import Clearance, ClearanceGroup, ClearanceKind
from models.spec.dimension import Dimension
from models.spec.face import Face, bore, journal, plane
from models.spec.length import Length
from models.spec.part import Material, Numbers, Part, Row, Solid
from models.spec.seat import Place

CORNER_SHARE = 0.35
"""Corner radius of the squeezed section as a share of its height: how a squeezed ring looks."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name both sides and the two cylinders it seals between.

    `groove` and `mate` are the diameters it spans. The squeezed width keeps the section's area
    (rubber hardly changes volume). Source: common practice.
    """
    inner, outer = sorted(("groove", "mate"), key=lambda key: float(row[key]))
    height = (row[outer] - row[inner]) * 0.5
    width = row["section"] * row["section"] * (math.pi / 4) / height
    middle = float(width) / 2
    return {
        "suction-end": plane(0.0, -1),
        "drive-end": plane(width, +1),
        "inside": bore(row[inner], middle),
        "outside": journal(row[outer], middle),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the squeezed section: a block with round corners, flat where it seals."""
    import cadquery as cq

    low, high, width = at["inside"] / 2, at["outside"] / 2, at["drive-end"]
    corner = CORNER_SHARE * min(high - low, width)
    section = (
        cq.Workplane("XY")
        .moveTo(0, low)
        .lineTo(width, low)
        .lineTo(width, high)
        .lineTo(0, high)
        .close()
    )
    return section.revolve(360, (0, 0, 0), (1, 0, 0)).edges().fillet(corner).val()


def find_stretch(inside: Length, inner: Length) -> Length:
    """Give by what share an O-ring's inside is widened on the smaller of the two cylinders it lies between."""
    return inner / inside - 1.0


def find_stretched_section(section: Length, inside: Length, inner: Length) -> Length:
    """Give the diameter in mm of an O-ring's section once it is stretched: its volume stays, so longer is thinner.

    Source: rubber keeps its volume (a Poisson's ratio near one half), common practice; the mean circle is
    that of the middle of the section, taken at the section as bought.
    """
    return section * ((inside + section) / (inner + section)).sqrt()


def find_squeeze(section: Length, depth: Length) -> Length:
    """Give by what share a section is squeezed in a gland of `depth` mm from the groove's bottom to the other part."""
    return 1.0 - depth / section


def find_fill(section: Length, depth: Length, width: Length) -> Length:
    """Give what share of the gland's section (depth by width) the O-ring's section fills."""
    return section * section * (math.pi / 4.0) / (depth * width)


def _find_gland(build: Build, name: str) -> tuple[Length, Length, Length, Length]:
    """Give the stretched section, the gland's depth and width, and the stretch, of the O-ring at a place."""
    ring = build.piece_at(name)
    on, bottom = ring.place.spans["groove"].high
    width = build.piece_at(on).row[bottom.removesuffix("-bottom") + "-width"]
    inner, outer = sorted((ring.row["groove"], ring.row["mate"]), key=float)
    section = find_stretched_section(ring.row["section"], ring.row["inside"], inner)
    return section, (outer - inner) * 0.5, width, find_stretch(ring.row["inside"], inner)


def squeeze_at(build: Build, name: str) -> Length:
    """Give the squeeze of the O-ring at a place, as a share of its stretched section."""
    section, depth, _, _ = _find_gland(build, name)
    return find_squeeze(section, depth)


def fill_at(build: Build, name: str) -> Length:
    """Give how full the groove of the O-ring at a place is, as a share."""
    section, depth, width, _ = _find_gland(build, name)
    return find_fill(section, depth, width)


def stretch_at(build: Build, name: str) -> Length:
    """Give by what share the O-ring at a place is stretched."""
    return _find_gland(build, name)[3]


def _limit(build: Build, limit: str, name: str) -> Dimension:
    return build.find_limit(limit, float(build.piece_at(name).row["section"]))


STATIC, CREEPING = "static-radial", "creeping"
"""What an O-ring does: it stands still between two parts, or creeps along one as something wears."""


class Asked(Protocol):
    """What is asked of the O-ring at a place."""

    def __call__(self, build: Build, name: str) -> Length:
        """Give it as a share."""
        ...


ASKED: tuple[tuple[str, Asked], ...] = (
    ("squeeze", squeeze_at),
    ("stretch", stretch_at),
    ("fill", fill_at),
)


def _list_clearances(place: Place, duty: str) -> tuple[Clearance, ...]:
    name = place.name
    ends = place.spans["groove"].high, place.spans["mate"].high
    return tuple(
        Clearance(
            f"{name}.{what}", ClearanceKind.SHARE, *ends, compute=partial(compute, name=name), group=ClearanceGroup.O_RINGS,
            limits=partial(_limit, name=name, limit=f"o-ring-squeeze-{duty}" if what == "squeeze" else f"o-ring-{what}"),
        )
        for what, compute in ASKED
    )  # fmt: skip


PART = Part(
    "o-ring", faces, shape, Material.NITRILE, fitted=True, flexible=True,
    clearances=partial(_list_clearances, duty=STATIC),
)  # fmt: skip
SLIDING = replace(PART, clearances=partial(_list_clearances, duty=CREEPING))
"""The same ring where one of the two parts creeps along it as the seal faces wear."""
