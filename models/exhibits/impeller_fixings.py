"""Impeller fixings: how an impeller is driven, held and set on its shaft, in three designs on the shaft's end."""

from __future__ import annotations

from models.parts import cut_shaft
from models.spec.build import Build
from models.spec.family import System, join_systems
from models.spec.rule import Rule
from models.spec.seat import Place
from models.spec.view import View
from models.systems import impeller_fixing, rules
from models.systems.shared import ROTATING

FIXED_BY = (
    "impeller-screw", "tab-washer", "retaining-washer", "centring-washer", "impeller-key", "shim",
    "thrust-washer", "impeller-o-ring", "shaft-sleeve", "sleeve-o-ring",
)  # fmt: skip
HUB_SHARE = 0.3
"""How much of an impeller's radius its hub and what fixes it take up, with a little room."""
GENERAL_RULES = ("wet-joint-sealed", "shaft-steps-down", "vane-tips-trail")
TAUGHT_WORK = ("bend-tab", "unscrew-impeller")
"""What there is to do where no back plate stands behind the impeller."""


def key_bottoms(build: Build) -> tuple[str, ...]:
    """Name the key when it is as high as both keyways are deep: it would carry the hub and push it out of centre."""
    if not build.has("impeller-key"):
        return ()
    hub = build.numbers_at("impeller")
    top = float(build.position("impeller-key", "top"))
    return () if top < hub["bore"] / 2 + hub["key-depth"] else ("impeller-key",)


CUT_SHAFT = Place("shaft", cut_shaft.PART, group=ROTATING)

SYSTEM = System(
    places=(CUT_SHAFT, *impeller_fixing.PLACES),
    joints=impeller_fixing.JOINTS,
    options=impeller_fixing.OPTIONS,
    clearances=impeller_fixing.CLEARANCES,
    rules=(
        *(rule for rule in rules.RULES if rule.key in GENERAL_RULES),
        *(rule for rule in impeller_fixing.RULES if rule.key != "back-vanes-set"),  # no back plate stands behind them
        Rule(143, "air-above-key", key_bottoms),
    ),
    faults=impeller_fixing.FAULTS,
    work=tuple(work for work in impeller_fixing.WORK if work.key in TAUGHT_WORK),
    views=(
        View("fixing", "side", section=True, named=("impeller", *FIXED_BY), close_to=("impeller", "shim"), core=HUB_SHARE),
        View("fixing-whole", "iso", section=True, named=("impeller", "shaft")),
    ),
)  # fmt: skip

FAMILY = join_systems("impeller-fixings", SYSTEM)
