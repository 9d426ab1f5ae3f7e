"""How warm a part must be to slide onto its seat, and how warm it may be."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

SLACK_SHARE = 0.0005
"""Room to slide a warm part home before it grips, as a share of its bore: 0.03 mm at 60 mm. Source: common practice."""
SHOP_C = 20.0
"""Temperature of shop and shaft; also the one at which drawings hold (ISO 1, from memory)."""
AIM_C = 110.0
"""What a bearing is usually heated to. Source: common practice."""
MOST_C = 120.0
"""Above this bearing steel may change its size and hardness for good.

Source: MIL-HDBK-1164, table 17, heats the bearings of pumps to 93 to 121 C in an oil bath or oven.
"""
MOST_SEALED_C = 80.0
"""Most for a bearing with seals or filled with grease for life. Source: common practice."""


class Warmth(StrEnum):
    """How a temperature stands to what a bearing may be heated to."""

    SAFE = "safe"
    HOT = "hot"
    TOO_HOT = "too-hot"


@dataclass(frozen=True, slots=True)
class Heating:
    """To what temperature in C a part is heated, from the shop's; how that stands to aim_c and most_c."""

    temperature_c: float
    aim_c: float
    most_c: float

    @property
    def warmth(self) -> Warmth:
        """SAFE up to the aim, HOT up to the most allowed, TOO_HOT above it."""
        if self.temperature_c <= self.aim_c:
            return Warmth.SAFE
        return Warmth.HOT if self.temperature_c <= self.most_c else Warmth.TOO_HOT


def find_heating(
    bore_mm: float,
    interference_mm: float,
    expansion_per_k: float,
    *,
    slack_mm: float | None = None,
    shop_c: float = SHOP_C,
    sealed: bool = False,
) -> Heating:
    """Find how warm a bearing must be for its bore to pass over its seat.

    dT = (interference + slack) / (alpha d). Never with a flame: oil bath, hot plate or induction heater.
    Source: linear expansion; limits are common practice, the maker's manual goes before them.

    Args:
        bore_mm: diameter of the fit.
        interference_mm: the most that the fit can have; below zero when there is none.
        expansion_per_k: of what is heated.
        slack_mm: room to slide on the diameter; None for SLACK_SHARE of the bore.
        shop_c: what shaft and shop have.
        sealed: has the bearing seals, or grease for life?

    Raises:
        ValueError: a bore, an expansion or a slack that cannot be.
    """
    slack = SLACK_SHARE * bore_mm if slack_mm is None else slack_mm
    if bore_mm <= 0.0 or expansion_per_k <= 0.0 or slack < 0.0:
        raise ValueError(
            f"a bore of {bore_mm:g} mm, an expansion of {expansion_per_k:g} per K and a slack of "
            f"{slack:g} mm give no temperature"
        )
    growth_mm = max(interference_mm + slack, 0.0)
    most_c = MOST_SEALED_C if sealed else MOST_C
    return Heating(shop_c + growth_mm / (expansion_per_k * bore_mm), min(AIM_C, most_c), most_c)
