"""Packs against trying every one; chances against drawing whole builds; conflicts, orders and refusals."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.builds import make_named_build
from models.spec.dimension import Distribution
from models.spec.errors import RefusalError
from trainer.core.measure.chain import MeasuredClearance, measure_clearances
from trainer.core.measure.contributor import Contributor
from trainer.core.measure.landing import find_chances
from trainer.core.measure.packs import MOST_EVER, SAME_MM, StockShim, list_packs
from trainer.core.measure.rests import GapReading, MeasuredGap, find_shim_sensitivity, list_rests
from trainer.core.measure.shims import CHANCES, SEEN_MM, USEFUL_MM, Pack, choose_pack
from trainer.core.measure.spread import find_exact

BUILD = make_named_build("end-suction/100-250")
CLEARANCES = measure_clearances(BUILD)
STOCK = tuple(
    StockShim(t, 0.01, n) for t, n in ((0.05, 2), (0.1, 1), (0.2, 3), (0.3, 2), (0.5, 2), (1.0, 1))
)
USUAL = tuple(StockShim(t, 0.01, 0) for t in (0.05, 0.1, 0.2, 0.3, 0.5, 1.0))
PACK = (0.5, 0.3, 0.2)
REAR = "back-vane"


def with_limits(**limits: tuple[float, float]) -> tuple[MeasuredClearance, ...]:
    """Give the clearances with other limits for some, their names with underscores."""
    wanted = {name.replace("_", "-"): pair for name, pair in limits.items()}
    return tuple(
        replace(one, required_mm=wanted[one.name]) if one.name in wanted else one
        for one in CLEARANCES
    )


def find_one(name: str, among: Sequence[MeasuredClearance] = CLEARANCES) -> MeasuredClearance:
    return next(one for one in among if one.name == name)


ALONE = (find_one(REAR),)


# ------------------------------------------------------------------ the search against brute force
kinds = st.builds(
    lambda um, share, n: StockShim(um / 1000.0, share * um / 1000.0, n),
    st.integers(20, 1200),
    st.floats(0.005, 0.05),
    st.integers(0, 3),
)
drawers = st.lists(kinds, min_size=1, max_size=5, unique_by=lambda kind: kind.thickness_mm).filter(
    lambda drawer: any(kind.in_drawer for kind in drawer)
)


def list_by_hand(drawer: Sequence[StockShim], most: int) -> set[tuple[StockShim, ...]]:
    """List every pack by taking single shims out of the drawer, one after the other."""
    singles = [kind for kind in drawer for _ in range(kind.in_drawer)]
    return {
        tuple(sorted(chosen, key=lambda kind: -kind.thickness_mm))
        for count in range(1, most + 1)
        for chosen in itertools.combinations(singles, count)
    }


@given(drawers, st.integers(1, MOST_EVER))
def test_packs_are_all_that_can_be_taken_out_of_the_drawer(
    drawer: list[StockShim], most: int
) -> None:
    packs = list_packs(drawer, most)
    listed = [packs.list_shims(place) for place in range(len(packs.totals_mm))]
    by_hand = {tuple(kind.thickness_mm for kind in pack) for pack in list_by_hand(drawer, most)}
    assert len(listed) == len(set(listed))
    assert set(listed) == by_hand
    for shims, total, count in zip(listed, packs.totals_mm, packs.shims, strict=True):
        assert total == pytest.approx(sum(shims))
        assert count == len(shims)


def find_normal_share(mean: float, sigma: float, low: float, high: float) -> float:
    """Find the share of a normal between two limits; of what is certain all or none."""
    if sigma == 0.0:
        return float(low - SAME_MM <= mean <= high + SAME_MM)
    scale = sigma * math.sqrt(2.0)
    return 0.5 * (math.erf((high - mean) / scale) - math.erf((low - mean) / scale))


@settings(max_examples=60)
@given(
    drawers,
    st.integers(1, MOST_EVER),
    st.floats(0.1, 1.5),
    st.lists(st.integers(20, 900), min_size=1, max_size=3),
)
def test_best_pack_is_the_best_of_all(
    drawer: list[StockShim], most: int, gap_mm: float, known_um: list[int]
) -> None:
    """Brute force over single shims, those of the measured pack among them; each pack judged by closed form."""
    known = tuple(um / 1000.0 for um in known_um)
    answer = choose_pack(ALONE, REAR, drawer, MeasuredGap(gap_mm, known), most)
    low, high = answer.required_mm
    own = {kind.thickness_mm: kind for kind in drawer}
    more = [own.get(t, StockShim(t, 0.0, 0)) for t in known]
    whole = [
        replace(kind, in_drawer=kind.in_drawer + more.count(kind)) for kind in {*drawer, *more}
    ]

    def judge(pack: tuple[StockShim, ...]) -> tuple[int, int, int, int]:
        result = gap_mm - sum(known) + sum(kind.thickness_mm for kind in pack)
        put_in = list(pack)
        taken = []
        for old in more:
            same = next((k for k in put_in if k.thickness_mm == old.thickness_mm), None)
            if same is None:
                taken.append(old)
            else:
                put_in.remove(same)
        sigma = math.sqrt(sum((kind.tolerance_mm / 3.0) ** 2 for kind in (*put_in, *taken)))
        chance = round(CHANCES * find_normal_share(result, sigma, low, high))
        seen = math.floor(abs(result - answer.aim_mm) / SEEN_MM + 1e-6)
        return -chance, seen, len(pack), len(put_in) + len(taken)

    packs = list_by_hand(whole, most)
    judged = {tuple(kind.thickness_mm for kind in pack): judge(pack) for pack in packs}
    assert answer.tried == len(packs)
    best = min(judged.values())
    found = judged[answer.best.shims_mm]
    assert found[0] <= best[0] + 1  # a chance that lies on the edge of rounding
    if found[0] == best[0] < 0:
        assert found[1] <= best[1] + 1  # a distance that lies on the edge of rounding
        if found[1] == best[1]:
            assert found[2:] == best[2:]


def test_fewer_changes_win_where_all_else_is_alike() -> None:
    answer = choose_pack(CLEARANCES, REAR, STOCK, MeasuredGap(0.7, PACK))
    assert answer.best.shims_mm == (0.5, 0.3)
    assert answer.best.removed_mm == (0.2,)
    assert answer.best.added_mm == ()


def test_pack_that_is_right_stays_in() -> None:
    answer = choose_pack(CLEARANCES, REAR, [StockShim(0.25, 0.0, 1)], MeasuredGap(0.5, PACK))
    assert answer.best.shims_mm == PACK
    assert answer.best.added_mm == answer.best.removed_mm == ()
    assert answer.best.alone == pytest.approx(1.0)


def test_alternatives_differ_usefully() -> None:
    answer = choose_pack(CLEARANCES, REAR, STOCK)
    shown = [answer.best, *answer.alternatives]
    assert len(shown) == 4
    for early, late in itertools.combinations(shown, 2):
        is_other = abs(early.total_mm - late.total_mm) >= USEFUL_MM - SAME_MM
        assert is_other or len(late.shims_mm) < len(early.shims_mm)
        assert round(CHANCES * late.chance) <= round(CHANCES * early.chance)


@given(st.integers(0, 4))
def test_more_shims_allowed_is_never_worse(extra: int) -> None:
    few = choose_pack(CLEARANCES, REAR, STOCK, None, 1)
    many = choose_pack(CLEARANCES, REAR, STOCK, None, 1 + extra)
    assert many.best.chance >= few.best.chance - 1.0 / CHANCES


# ------------------------------------------------------------------ chances against whole builds
def draw_share(
    clearances: Sequence[MeasuredClearance], pack: Sequence[StockShim], builds: int = 400_000
) -> tuple[float, float]:
    """Draw whole builds with a pack: the share in which the rear gap, and in which every gap is inside."""
    chance = np.random.default_rng(77)
    drawn: dict[tuple[str, str], np.ndarray] = {}
    shims = sum(
        kind.thickness_mm + kind.tolerance_mm / 3.0 * chance.standard_normal(builds)
        for kind in pack
    )
    inside = {}
    for one in clearances:
        if not any(link.piece.startswith("shim-") for link in one.service_chain):
            continue
        value = np.full(builds, one.in_service_mm)
        for link in one.service_chain:
            if link.piece.startswith("shim-"):
                value -= link.sensitivity * link.value_mm
                continue
            term = (link.piece, link.dimension)
            if term not in drawn:
                drawn[term] = link.mean_mm + link.sigma_mm * chance.standard_normal(builds)
            value += link.sensitivity * (drawn[term] - link.value_mm)
        value += find_shim_sensitivity(one) * shims
        inside[one.name] = (value >= one.required_mm[0]) & (value <= one.required_mm[1])
    return float(inside[REAR].mean()), float(np.logical_and.reduce(list(inside.values())).mean())


@pytest.mark.parametrize(
    "limits",
    [
        {},
        {"front_gap": (2.85, 3.1)},
        {"front_gap": (2.9, 3.3), "washer_clamp": (1.45, 1.62)},
        {"seal_length": (37.3, 37.55)},
    ],
)
def test_joint_chance_is_the_share_of_whole_builds_in_which_all_is_inside(
    limits: dict[str, tuple[float, float]],
) -> None:
    clearances = with_limits(**limits)
    for thicknesses in ((1.0,), (0.5, 0.5, 0.1), (0.5, 0.3, 0.2)):
        pack = [StockShim(t, 0.03, 9) for t in thicknesses]
        total, variance = sum(thicknesses), len(pack) * 0.01**2
        alone, together = find_chances(
            list_rests(clearances, REAR), np.array([total]), np.array([variance])
        )
        drawn_alone, drawn_together = draw_share(clearances, pack)
        assert alone[0] == pytest.approx(drawn_alone, abs=0.004)
        assert together[0] == pytest.approx(drawn_together, abs=0.006)
        assert together[0] <= alone[0]


def test_what_both_gaps_share_is_not_drawn_twice() -> None:
    """Rear and front gap of one and the same chain: both are inside exactly when the one is."""
    rear = find_one(REAR)
    twin = replace(rear, name="front-gap")
    rests = list_rests((rear, twin), REAR)
    totals, variances = np.linspace(0.6, 1.4, 50), np.full(50, 1e-4)
    alone, together = find_chances(rests, totals, variances)
    assert together == pytest.approx(alone, abs=1e-12)


def test_spread_of_the_rest_is_its_own_and_not_a_normal_guess() -> None:
    """A gauge is rectangular: chances against the exact convolution with the shims, for each pack alone."""
    found = MeasuredGap(0.42, PACK, 0.05)
    rest = list_rests(CLEARANCES, REAR, found)[0]
    totals, sigmas = np.linspace(0.85, 1.15, 31), np.geomspace(0.001, 0.02, 31)
    alone, _ = find_chances([rest], totals, sigmas**2)
    for total, sigma, chance in zip(totals, sigmas, alone, strict=True):
        shims = Contributor(Distribution.NORMAL, -3 * sigma, 0.0, 3 * sigma, 0.0, sigma)
        exact = find_exact(rest.base_mm + total, (*rest.contributors, shims), rest.required_mm)
        assert chance == pytest.approx(exact.inside, abs=1.5e-3)
    edge = rest.base_mm + 0.98 - 0.4  # at 0.40: half of the gauge's reach is inside
    assert edge == pytest.approx(0.0, abs=1e-9)
    assert find_chances([rest], np.array([0.98]), np.array([0.0]))[0][0] == pytest.approx(
        0.5, abs=2e-3
    )


# ------------------------------------------------------------------ one measured gap
@given(st.floats(0.2, 1.2), st.floats(0.1, 1.5))
def test_one_measured_gap_gives_the_thickness_of_the_trade_s_rule(
    gap_mm: float, known_mm: float
) -> None:
    answer = choose_pack(CLEARANCES, REAR, STOCK, MeasuredGap(gap_mm, (known_mm,)))
    assert answer.ideal_mm == pytest.approx(known_mm + answer.aim_mm - gap_mm)
    best = answer.best
    assert best.result_mm == pytest.approx(gap_mm - known_mm + best.total_mm)
    assert answer.from_gap
    assert sum(best.added_mm) - sum(best.removed_mm) == pytest.approx(best.total_mm - known_mm)


def test_other_gaps_move_by_the_same_step_from_what_was_measured() -> None:
    others = (GapReading("front-gap", 2.8), GapReading("washer-clamp", 1.4))
    answer = choose_pack(CLEARANCES, REAR, STOCK, MeasuredGap(0.7, PACK, 0.0, others))
    step = answer.best.total_mm - 1.0
    moved = {one.name: one.result_mm for one in answer.best.moved}
    assert moved["front-gap"] == pytest.approx(2.8 - step)
    assert moved["washer-clamp"] == pytest.approx(1.4 + step)
    assert moved["seal-length"] == pytest.approx(37.5 + step)


def test_gauge_makes_it_less_sure() -> None:
    narrow = with_limits(back_vane=(0.47, 0.53))
    sure = choose_pack(narrow, REAR, STOCK, MeasuredGap(0.7, PACK))
    unsure = choose_pack(narrow, REAR, STOCK, MeasuredGap(0.7, PACK, 0.04))
    assert sure.best.chance > unsure.best.chance + 0.1
    assert unsure.best.chance == pytest.approx(0.75, abs=0.02)  # 0.06 of 0.08 wide


def test_what_stays_in_adds_no_spread() -> None:
    packs = list_packs(STOCK, 4)
    place = next(i for i in range(len(packs.totals_mm)) if packs.list_shims(i) == (0.5, 0.3, 0.2))
    present = [sum(abs(kind.thickness_mm - t) < SAME_MM for t in PACK) for kind in packs.kinds]
    assert packs.find_variances()[place] == pytest.approx(3 * (0.01 / 3.0) ** 2)
    assert packs.find_variances(present)[place] == 0.0
    assert packs.count_changes(present)[place] == 0


# ------------------------------------------------------------------ when nothing fits
def test_conflict_names_which_two_contradict_and_by_how_much() -> None:
    clearances = with_limits(front_gap=(3.2, 6.0))
    answer = choose_pack(clearances, REAR, STOCK, usual=USUAL)
    assert not answer.fits
    conflict = answer.conflict
    assert conflict is not None
    assert (conflict.wants_more, conflict.wants_less) == ("back-vane", "front-gap")
    assert conflict.least_mm == pytest.approx(0.9)
    assert conflict.most_mm == pytest.approx(0.8)
    assert answer.ordered is None
    assert answer.to_order == ()


def find_result(pack: Pack, name: str) -> float:
    return next(one.result_mm for one in pack.moved if one.name == name)


def test_conflict_with_another_gap_is_named_with_how_far_it_is_outside() -> None:
    clearances = with_limits(washer_clamp=(1.49, 1.51))
    answer = choose_pack(clearances, REAR, [StockShim(0.3, 0.01, 1)], MeasuredGap(0.5, (0.5,)))
    assert not answer.fits
    assert answer.best.shims_mm == (0.5, 0.3)  # the least outside of all
    assert answer.best.conflicts == ("washer-clamp",)
    washer = next(one for one in answer.best.moved if one.name == "washer-clamp")
    assert washer.outside_mm == pytest.approx(0.19)
    assert find_result(answer.best, "washer-clamp") == pytest.approx(1.3)


def test_what_to_order_makes_a_pack_that_fits() -> None:
    answer = choose_pack(CLEARANCES, REAR, [StockShim(0.3, 0.01, 2)], usual=USUAL)
    assert not answer.fits
    assert answer.conflict is None
    assert answer.ordered is not None
    assert set(answer.to_order) <= set(answer.ordered.shims_mm)
    have = [0.3, 0.3]
    left = list(answer.ordered.shims_mm)
    for shim in answer.to_order:
        left.remove(shim)
    assert all(have.count(shim) >= left.count(shim) for shim in left)
    bought = [*[StockShim(t, 0.01, 4) for t in set(answer.to_order)], StockShim(0.3, 0.01, 2)]
    assert choose_pack(CLEARANCES, REAR, bought).fits


def test_nothing_is_ordered_when_the_drawer_does() -> None:
    answer = choose_pack(CLEARANCES, REAR, STOCK, usual=USUAL)
    assert answer.fits
    assert answer.to_order == ()
    assert answer.ordered is None


# ------------------------------------------------------------------ refusals
@pytest.mark.parametrize(
    ("name", "stock", "hint"),
    [
        ("wear-ring", STOCK, "shims do not move"),
        ("back-vain", STOCK, "back-vane"),
        (REAR, (), "drawer is empty"),
        (REAR, (StockShim(0.5, 0.01, 0),), "drawer is empty"),
    ],
)
def test_what_cannot_be_shimmed_is_refused(
    name: str, stock: tuple[StockShim, ...], hint: str
) -> None:
    with pytest.raises(RefusalError, match=hint):
        choose_pack(CLEARANCES, name, stock)


@pytest.mark.parametrize("most", [0, -1, MOST_EVER + 1])
def test_number_of_shims_that_no_joint_takes_is_refused(most: int) -> None:
    with pytest.raises(RefusalError, match="most: a pack is of 1 to 6 shims"):
        choose_pack(CLEARANCES, REAR, STOCK, None, most)


@pytest.mark.parametrize("limits", [(0.5, 0.5), (0.8, 0.4), (math.nan, 1.0)])
def test_limits_that_nothing_can_be_inside_are_refused(limits: tuple[float, float]) -> None:
    with pytest.raises(RefusalError, match=r"clearance\.seal-length: its limits are"):
        choose_pack(with_limits(seal_length=limits), REAR, STOCK)


def test_other_measured_gap_that_shims_do_not_move_is_refused() -> None:
    found = MeasuredGap(0.5, PACK, 0.0, (GapReading("end-float", 0.1),))
    with pytest.raises(RefusalError, match="shims do not move the clearance end-float"):
        choose_pack(CLEARANCES, REAR, STOCK, found)
