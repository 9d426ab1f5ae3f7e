"""Consequences of a build's clearances: at its own values, with other shims, other values, other limits."""

from __future__ import annotations

import math
import time
from dataclasses import replace

import pytest

from models.builds import make_named_build
from models.spec.build import TABLES
from models.spec.duty import change_duty, read_duty
from models.spec.errors import RefusalError
from trainer.session.bench import open_bench
from trainer.session.running import list_bolted_joints
from trainer.session.service import ServiceBench, Setting
from trainer.session.shims import answer_shims
from trainer.session.typed import DEPOT_DRAWER, make_pack, read_stock

PUMP = "end-suction/100-250"
PUMPS = [
    (PUMP, {}),
    ("end-suction/80-200", {}),
    ("end-suction/125-315", {}),
    ("self-priming/80", {}),
    ("self-priming/100", {}),
    *((PUMP, {option: value}) for option, value in (
        ("impeller", "semi-open"), ("hub-ring", "balance-holes"), ("bearings", "roller-and-angular-pair"),
        ("bearings", "double-row-and-roller"), ("fixing", "fine-thread"), ("fixing", "acme"), ("shaft-seal", "packed"),
    )),
    (PUMP, {"hub-ring": "balance-line", "bracket": "open"}),
    (PUMP, {"priming": "vacuum-assisted", "vacuum-pump": "beside"}),
]  # fmt: skip


@pytest.fixture(scope="module")
def bench() -> ServiceBench:
    return ServiceBench(make_named_build(PUMP))


def test_same_pack_has_one_chance_wherever_it_comes_from() -> None:
    """Window (service), terminal (`shims`, `clearances --pack`) and drawing say one number for one pack."""
    drawn, typed = (
        ServiceBench(make_named_build(PUMP, pack=pack)).look().gap("back-vane").chance
        for pack in (None, make_pack((0.5, 0.3, 0.2)))
    )
    assert typed == pytest.approx(drawn, abs=1e-9)
    drawer = read_stock(DEPOT_DRAWER)
    only = [replace(one, in_drawer=1) for one in drawer if one.thickness_mm in (0.5, 0.3, 0.2)]
    bench = open_bench(PUMP)
    packs = answer_shims(bench, "back-vane", only)
    whole = next(one for one in (packs.best, *packs.alternatives) if len(one.shims_mm) == 3)
    # Two methods: a convolution of what each dimension may be, and draws of the rest with the pack as normal.
    assert whole.alone == pytest.approx(drawn, abs=2e-3)


@pytest.mark.parametrize(("name", "options"), PUMPS)
def test_every_kind_of_pump_has_consequences(name: str, options: dict[str, str]) -> None:
    found = ServiceBench(make_named_build(name, options))
    service = found.look()
    assert all(one.life_h > 1000 for one in service.bearings)
    assert service.set_life_h <= min(one.life_h for one in service.bearings)
    assert (service.ring is None) == (not found.build.has("wear-ring"))
    assert (service.lost_share is None) == (not found.build.has("wear-ring"))
    assert not service.thrust.boils
    assert found.list_preloads()


@pytest.mark.parametrize(("name", "options"), PUMPS[:5])
def test_the_impeller_is_pulled_towards_suction_inside_its_limits(
    name: str, options: dict[str, str]
) -> None:
    """What the chains take for granted: in service the float is taken up towards suction."""
    found = ServiceBench(make_named_build(name, options))
    low, high = found.measured["back-vane"].required_mm
    pushes = [
        found.look(Setting(values_mm={"back-vane": gap})).thrust.total_n for gap in (low, high)
    ]
    assert 0.0 < pushes[0] < pushes[1]


@pytest.mark.parametrize("change_mm", [-0.3, -0.05, 0.1, 0.2])
def test_a_thicker_pack_does_what_the_build_with_that_pack_does(
    bench: ServiceBench, change_mm: float
) -> None:
    pack = tuple(shim * (1.0 + change_mm) for shim in (0.5, 0.3, 0.2))  # 1 mm in all
    rebuilt = ServiceBench(make_named_build(PUMP, pack=make_pack(pack)))
    there, here = rebuilt.look(), bench.look(Setting(pack_change_mm=change_mm))
    assert here.gap("back-vane").value_mm == pytest.approx(0.5 + change_mm)
    for gap in there.gaps:
        assert here.gap(gap.name).value_mm == pytest.approx(gap.value_mm, abs=1e-9)
    assert here.thrust.total_n == pytest.approx(there.thrust.total_n)
    # the arm of what the impeller lays on the bearings is as long as before: it grows by that tenth too
    assert here.set_life_h == pytest.approx(there.set_life_h, rel=2e-3)


def test_a_wider_back_vane_gap_pushes_harder_and_shortens_the_life(bench: ServiceBench) -> None:
    near, wide = (bench.look(Setting(values_mm={"back-vane": gap})) for gap in (0.4, 0.8))
    assert wide.thrust.total_n > near.thrust.total_n
    assert wide.set_life_h < near.set_life_h


def test_a_worn_ring_loses_more(bench: ServiceBench) -> None:
    new, worn = (bench.look(Setting(values_mm={"wear-ring": gap})) for gap in (0.5, 1.0))
    assert new.lost_share is not None
    assert worn.lost_share is not None
    assert worn.lost_share > 1.8 * new.lost_share
    assert worn.thrust == new.thrust


def test_the_shops_own_limits_are_what_counts() -> None:
    from trainer.session.shop import read_shop_limits

    limits = read_shop_limits(TABLES / "shop" / "depot-limits.csv")
    shop = ServiceBench(make_named_build(PUMP, limits=limits))
    assert shop.look().gap("back-vane").required_mm != ServiceBench(make_named_build(PUMP)).look().gap("back-vane").required_mm  # fmt: skip


def test_other_limits_change_the_chance_and_nothing_else(bench: ServiceBench) -> None:
    as_set = bench.look()
    other = bench.look(Setting(limits_mm={"back-vane": (0.45, 0.55)}))
    assert other.gap("back-vane").chance < as_set.gap("back-vane").chance
    assert other.thrust == as_set.thrust
    assert other.bearings == as_set.bearings


def test_the_bearing_that_holds_against_suction_is_the_loaded_one_of_a_pair() -> None:
    pair = ServiceBench(make_named_build(PUMP, {"bearings": "roller-and-angular-pair"}))
    by_name = {one.name: one for one in pair.look().bearings}
    assert pair.look().thrust.total_n > 0
    # whose back looks to suction holds a shaft that is pulled to suction
    assert by_name["bearing-outboard"].load.axial_n > by_name["bearing-paired"].load.axial_n
    assert by_name["roller-outer-ring"].load.axial_n == 0.0


def test_speed_of_the_duty_counts() -> None:
    build, duty = make_named_build(PUMP), read_duty(TABLES, "end-suction", "100-250")
    half = change_duty(duty, {"speed_rpm": 1475.0, "head_m": 20.0, "flow_m3_per_h": 90.0, "best_flow_m3_per_h": 100.0, "suction_kpa": 0.0})  # fmt: skip
    whole = change_duty(duty, {"suction_kpa": 0.0})
    slow, fast = ServiceBench(build, half).look(), ServiceBench(build, whole).look()
    assert fast.thrust.total_n == pytest.approx(4 * slow.thrust.total_n, rel=1e-9)


def test_a_warm_shaft_opens_the_gap_behind_the_impeller() -> None:
    build, duty = make_named_build(PUMP), read_duty(TABLES, "end-suction", "100-250")
    cold = ServiceBench(build, change_duty(duty, {"shaft_c": 20.0, "casing_c": 20.0})).look()
    warm = ServiceBench(build, change_duty(duty, {"shaft_c": 80.0, "casing_c": 20.0})).look()
    assert cold.growth_mm == 0.0
    already = ServiceBench(make_named_build(PUMP, temperatures_c={"shaft": 80.0}), duty).look()
    assert already.growth_mm == 0.0
    gap = cold.gap("back-vane").value_mm + warm.growth_mm
    assert already.gap("back-vane").value_mm == pytest.approx(gap, abs=1e-9)
    # 333 mm of alloy steel, 60 K
    assert warm.growth_mm == pytest.approx(333.0 * 12.3e-6 * 60.0, rel=0.03)


def test_curve_reaches_beyond_the_limits_and_leaves_out_what_no_formula_holds_for(
    bench: ServiceBench,
) -> None:
    curve = bench.draw_curve("back-vane")
    low, high = bench.measured["back-vane"].required_mm
    assert curve.gaps_mm[0] < low < high < curve.gaps_mm[-1]
    pushes = [service.thrust.total_n for service in curve.services]
    assert pushes == sorted(pushes)
    ring = bench.draw_curve("wear-ring")
    assert ring.gaps_mm[0] > 0.0
    assert len(ring.gaps_mm) == len(ring.services)


def test_a_look_takes_less_than_fifty_milliseconds(bench: ServiceBench) -> None:
    """Loose on purpose: the bench in tests/bench holds it as a ratio."""
    start = time.perf_counter()
    for step in range(20):
        bench.look(Setting(pack_change_mm=0.01 * step))
    assert (time.perf_counter() - start) / 20 < 0.05


def test_bolts_are_listed_once_a_joint_and_pulled_to_their_share(bench: ServiceBench) -> None:
    joints = list_bolted_joints(bench.build)
    assert {joint.name for joint in joints} >= {"cover-joint", "housing-joint", "impeller-fixing"}
    assert "bearing-clamp" not in {joint.name for joint in joints}
    for one in bench.list_preloads():
        assert one.preload.share == pytest.approx(bench.duty.preload_share)
        assert one.preload.yield_share < 1.0


@pytest.mark.parametrize(
    ("setting", "named"),
    [
        (Setting(values_mm={"back-vanes": 0.5}), "did you mean back-vane"),
        (Setting(values_mm={"wear-ring": 0.01}), "ring_clearance_mm is 0.01 mm"),
        (Setting(values_mm={"back-vane": math.nan}), "back_vane_gap_mm is nan"),
        (Setting(limits_mm={"back-vane": (0.8, 0.4)}), "least 0.8 mm lies above most 0.4 mm"),
        (Setting(limits_mm={"back-vane": (0.1, math.nan)}), "most nan mm"),
    ],
)
def test_what_cannot_be_is_refused(bench: ServiceBench, setting: Setting, named: str) -> None:
    with pytest.raises(RefusalError, match=named):
        bench.look(setting)


def test_a_head_that_the_impeller_cannot_give_is_refused() -> None:
    duty = change_duty(read_duty(TABLES, "end-suction", "100-250"), {"speed_rpm": 1000.0})
    with pytest.raises(RefusalError, match="head_m is 80 m"):
        ServiceBench(make_named_build(PUMP), duty)
