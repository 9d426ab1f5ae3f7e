"""Flexible disc of an engine coupling and the ring that clamps it to its hub. Origin on the axis at the hub's face.

The rim goes into the pilot of the flywheel and takes its bolts (SAE J620); the web between hub and rim gives way.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

WEB_SHARE = 0.45
"""Thickness of the web as a share of the disc's: thin enough to give way."""
WEB_FROM_SHARE, WEB_TO_SHARE = 0.3, 0.7
"""Where the thin web begins and ends on the way from the screw circle to the bolt circle."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the face on the hub, the one on the flywheel, the hole and the rim."""
    thick = row["thickness"]
    return {
        "hub-face": plane(0.0, -1, near=(0.0, float(row["bore"]) / 2 + 1)),
        "flywheel-face": plane(thick, +1, near=(float(thick), float(row["rim-diameter"]) / 2 - 1)),
        "clamp-face": plane(thick, +1, near=(float(thick), float(row["bore"]) / 2 + 1)),
        "hole": bore(row["bore"], float(thick) / 2),
        "rim": journal(row["rim-diameter"], float(thick) / 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the disc, thin between hub and rim, and drill both circles."""
    from models.parts import forms

    thick, hole, rim = at["flywheel-face"], at["hole"] / 2, at["rim"] / 2
    inner, outer = row["screw-circle"] / 2, row["bolt-circle"] / 2
    low, high = (inner + share * (outer - inner) for share in (WEB_FROM_SHARE, WEB_TO_SHARE))
    deep = (1 - WEB_SHARE) * thick / 2
    body: Solid = forms.turn(
        [
            (0, hole), (0, low), (deep, low + deep), (deep, high - deep), (0, high), (0, rim), (thick, rim), (thick, high),
            (thick - deep, high - deep), (thick - deep, low + deep), (thick, low), (thick, hole),
        ]
    )  # fmt: skip
    screws, bolts = round(row["screw-count"]), round(row["holes"])
    body = forms.drill(
        body, row["screw-hole"], 0, thick, forms.circle_spots(screws, 2 * inner, 180.0 / screws)
    )
    body = forms.drill(
        body, row["bolt-hole"], 0, thick, forms.circle_spots(bolts, 2 * outer, 180.0 / bolts)
    )
    return forms.one_solid(body)


def ring_faces(row: Row) -> Mapping[str, Face]:
    """Name both sides of the clamp ring."""
    return {"disc-side": plane(0.0, -1), "screw-face": plane(row["thickness"], +1)}


def ring_shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the ring and drill its holes."""
    from models.parts import forms

    count, end = round(row["screw-count"]), at["screw-face"]
    ring = forms.tube(row["outside"], row["bore"], 0, end)
    spots = forms.circle_spots(count, row["screw-circle"], 180.0 / count)
    return forms.one_solid(forms.drill(ring, row["screw-hole"], 0, end, spots))


PART = Part("flexible-disc", faces, shape, Material.RUBBER)
RING = Part("clamp-ring", ring_faces, ring_shape, Material.CARBON_STEEL)
