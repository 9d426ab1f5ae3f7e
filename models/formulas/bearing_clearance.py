"""The clearance inside a rolling bearing, and how far its rings can then shift along the shaft."""

from __future__ import annotations

from models.spec.length import Length

GROOVE_SHARE = 0.52
"""Radius of either groove of a deep groove ball bearing as a share of the ball's diameter.

Source: Harris, Rolling Bearing Analysis, gives 0.515 to 0.53 as usual; from memory.
"""


def find_axial_play(
    radial: Length, ball_mm: float, inner_share: float = GROOVE_SHARE, outer_share: float = GROOVE_SHARE
) -> Length:  # fmt: skip
    """Find how far the rings of a single-row deep groove ball bearing shift along the shaft, end to end.

    Pushed along, the rings part until the balls lean on both grooves. With A = r_inner + r_outer - D
    between the two groove centres, that is 2 A sin(a) with cos(a) = 1 - radial / (2 A), which is
    sqrt(radial (4 A - radial)): exact while the rings are rigid and nothing presses on them.
    Source: Harris, Rolling Bearing Analysis, ball bearing geometry, from memory; the geometry is
    worked again from circles in tests/models/formulas.

    Args:
        radial: radial clearance in mm, on the diameter, as the bearing is mounted.
        ball_mm: diameter of a ball.
        inner_share: radius of the inner ring's groove as a share of the ball's diameter, over 0.5.
        outer_share: the same of the outer ring's groove.

    Returns:
        Axial play in mm, with first derivatives: near no clearance it climbs so steeply that a spread
        must be taken from the exact values, not from these. A bearing without clearance has none.

    Raises:
        ValueError: a groove not wider than the ball, or a clearance that no such groove can have.
    """
    apart = (inner_share + outer_share - 1.0) * ball_mm
    if min(inner_share, outer_share) <= 0.5 or ball_mm <= 0.0:
        raise ValueError(
            f"grooves of {inner_share:g} and {outer_share:g} of a ball of {ball_mm:g} mm do not hold it"
        )
    if float(radial) >= 2.0 * apart:
        raise ValueError(
            f"a radial clearance of {float(radial):g} mm lets the ball of {ball_mm:g} mm past its grooves"
        )
    if float(radial) <= 0.0:
        return Length(0.0)
    return (radial * (4.0 * apart - radial)).sqrt()


def find_residual_clearance(
    internal: Length,
    on_shaft: Length,
    in_housing: Length,
    *,
    inner_share: float,
    outer_share: float,
    outer_raceway_mm: float,
    expansion_per_k: float,
    inner_warmer_k: float = 0.0,
) -> Length:
    """Find the radial clearance that is left in a bearing once it is mounted, in mm; below zero it is preloaded.

    A tight shaft widens the inner ring's raceway, a tight housing narrows the outer ring's, and an inner
    ring warmer than the outer one takes up alpha dT D of the outer raceway's diameter D. A loose seat
    changes nothing.
    Source: common practice of bearing handbooks, from memory; how much of a fit reaches the raceway follows
    from Lame's cylinders (`PressFit.outside_growth_share` and `bore_closing_share`).

    Args:
        internal: radial internal clearance of the bearing as bought.
        on_shaft: shaft less bore: interference above zero.
        in_housing: outside less housing bore: interference above zero.
        inner_share: how much the inner raceway grows for each mm of on_shaft.
        outer_share: how much the outer raceway closes for each mm of in_housing.
        outer_raceway_mm: diameter of the outer raceway.
        expansion_per_k: linear expansion of the rings' steel.
        inner_warmer_k: by how much the inner ring is warmer than the outer one.
    """
    left = internal - expansion_per_k * inner_warmer_k * outer_raceway_mm
    if float(on_shaft) > 0.0:
        left = left - on_shaft * inner_share
    if float(in_housing) > 0.0:
        left = left - in_housing * outer_share
    return left
