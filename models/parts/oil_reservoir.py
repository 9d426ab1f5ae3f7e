"""Small oil reservoir on a stand: feeds a seal by gravity. Origin under its foot; x points up, the outlet to its own -y."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Axis, Face, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name the foot, where its screws bear, the rim under the cap and the outlet's pad."""
    thick = row["foot-thickness"]
    return {
        "foot": plane(0.0, -1),
        "screw-face": plane(thick, +1, near=(float(thick), float(row["screw-spacing"]) / 2)),
        "rim": plane(row["height"], +1),
        "outlet-pad": plane(-row["outlet-distance"], -1, Axis.Y),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spot of the oil line at the outlet, just above the floor."""
    return {"outlet": (Mount(x=_outlet(row), axis=Axis.Y, sign=-1),)}


def _outlet(row: Row) -> float:
    return float(row["stand-height"]) + float(row["outlet-boss"])


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the foot, the stand, the pot with its rim, and the boss of the outlet."""
    from models.parts import forms

    wall, pot, stand, high = row["wall"], row["outside"] / 2, row["stand-height"], at["rim"]
    thick, half, neck = row["foot-thickness"], row["foot-width"] / 2, row["stand-diameter"] / 2
    x, neck_r = stand + row["outlet-boss"], row["cap-thread"] / 2
    body = forms.turn(
        [
            (0, 0), (0, neck), (stand - wall, neck), (stand, pot), (high - wall, pot),
            (high - wall, neck_r + wall), (high, neck_r + wall), (high, 0),
        ]
    )  # fmt: skip
    long = row["foot-length"] / 2
    foot = forms.box((0, thick), (-long, long), (-half, half))
    boss = forms.side_post(row["outlet-boss"], x, 0, at["outlet-pad"], 0)
    top = high - 2 * wall
    void = forms.turn(
        [(stand + wall, 0), (stand + wall, pot - wall), (top, pot - wall), (top, neck_r), (high, neck_r), (high, 0)]
    )  # fmt: skip
    holes = [
        forms.rod(row["screw-hole"], 0, thick, sign * row["screw-spacing"] / 2, 0)
        for sign in (-1, 1)
    ]
    outlet = forms.side_post(row["outlet-bore"], x, 0, at["outlet-pad"], 0)
    return forms.one_solid(body.fuse(foot, boss).cut(void, outlet, *holes))


PART = Part("oil-reservoir", faces, shape, Material.CAST_IRON, mounts)
