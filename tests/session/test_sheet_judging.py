"""What a bench sheet comes to: readings against limits, the pack that follows, the whole."""

from __future__ import annotations

from pathlib import Path
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.builds import list_builds, make_named_build
from models.spec.errors import ContentError, RefusalError
from tests.records.samples import NOON
from tests.sheet_samples import change_form, judge_changed, parse_form
from trainer.records import open_records
from trainer.session.sheet import (
    BenchSheet,
    Condition,
    Line,
    Missing,
    Verdict,
    describe_sheet,
    read_sheet,
)
from trainer.session.sheet_filing import file_sheet, find_filed
from trainer.session.sheet_judging import judge, judge_form
from trainer.session.sheet_plan import RENEWED, plan_sheet

FOUR = '["{0} mm", "{0} mm", "{0} mm", "{0} mm"]'


def find_line(sheet: BenchSheet, name: str) -> Line:
    return next(line for line in sheet.lines if line.name == name)


def test_example_of_the_depot_passes() -> None:
    sheet = judge_changed()
    assert sheet.verdict is Verdict.PASS
    assert sheet.missing == ()
    assert find_line(sheet, "wear-ring").found is not None


@pytest.mark.parametrize(
    ("value", "off", "verdict"),
    [
        (0.40, 0.0, Verdict.PASS),
        (0.80, 0.0, Verdict.PASS),
        (0.39, 0.0, Verdict.FAIL),
        (0.41, 0.01, Verdict.PASS),
        (0.40, 0.01, Verdict.NEAR),
        (0.395, 0.01, Verdict.NEAR),
        (0.79, 0.01, Verdict.PASS),
        (0.81, 0.01, Verdict.NEAR),
        (0.82, 0.01, Verdict.FAIL),
        (0.38, 0.01, Verdict.FAIL),
        (0.6, 0.3, Verdict.NEAR),
    ],
)
def test_verdict_is_given_only_where_the_gauge_cannot_change_it(
    value: float, off: float, verdict: Verdict
) -> None:
    assert judge(value, off, 0.40, 0.80) is verdict


@given(st.floats(-1, 2), st.floats(0, 0.1), st.floats(-1, 1))
def test_what_passes_or_fails_does_so_wherever_the_true_value_lies(
    value: float, off: float, share: float
) -> None:
    true = value + share * off
    match judge(value, off, 0.40, 0.80):
        case Verdict.PASS:
            assert 0.40 - 1e-6 <= true <= 0.80 + 1e-6
        case Verdict.FAIL:
            assert not 0.40 <= true <= 0.80


@pytest.mark.parametrize(
    ("gap", "verdict"),
    [("0.50", Verdict.PASS), ("0.405", Verdict.NEAR), ("0.35", Verdict.FAIL)],
)
def test_gap_as_left_decides_the_sheet(gap: str, verdict: Verdict) -> None:
    sheet = judge_changed(("left.gaps", "back-vane", FOUR.format(gap)))
    assert sheet.verdict is verdict
    left = find_line(sheet, "back-vane").left
    assert left is not None
    assert left.verdict is verdict


def test_least_of_four_counts_and_a_spread_too_wide_is_a_crooked_part() -> None:
    sheet = judge_changed(("left.gaps", "back-vane", '["0.45 mm", "0.5 mm", "0.61 mm", "0.5 mm"]'))
    left = find_line(sheet, "back-vane").left
    assert left is not None
    assert (left.counts_mm, left.spread_mm) == pytest.approx((0.45, 0.16))
    assert left.is_crooked
    assert sheet.verdict is Verdict.FAIL
    at_limit = judge_changed(
        ("left.gaps", "back-vane", '["0.45 mm", "0.5 mm", "0.60 mm", "0.5 mm"]')
    )
    assert at_limit.verdict is Verdict.PASS


@pytest.mark.parametrize(
    ("readings", "verdict"),
    [
        ('["0.57 mm", "0.60 mm"]', Verdict.PASS),
        ('["0.57 mm", "0.90 mm"]', Verdict.FAIL),
        ('["0.40 mm", "0.60 mm"]', Verdict.FAIL),
        ('["0.57 mm", "0.862 mm"]', Verdict.NEAR),
    ],
)
def test_ring_worn_oval_is_held_by_its_least_and_its_largest_reading(
    readings: str, verdict: Verdict
) -> None:
    left = find_line(judge_changed(("left.other", "wear-ring", readings)), "wear-ring").left
    assert left is not None
    assert left.verdict is verdict


def test_end_float_is_pull_less_push() -> None:
    sheet = judge_changed(("left.end-float", "push", '"-0.02 mm"'))
    left = find_line(sheet, "end-float").left
    assert left is not None
    assert left.counts_mm == pytest.approx(0.20)


def test_run_out_over_its_limit_fails() -> None:
    sheet = judge_changed(("left.run-out", "shaft-at-seal", '["0.08 mm"]'))
    assert sheet.verdict is Verdict.FAIL
    assert [line.name for line in sheet.list_failing()] == ["shaft-at-seal"]


@pytest.mark.parametrize(
    ("change", "missing"),
    [
        (("", "assembler", '""'), Missing("head", "assembler")),
        (("signed", "lock-out", '""'), Missing("signed", "lock-out")),
        (("left.gaps", "back-vane", "[]"), Missing("line", "back-vane")),
        (("left.end-float", "push", '""'), None),
        (("parts", "others", '""'), Missing("part", "volute")),
        (("torque", "cap-joint", '""'), Missing("torque", "cap-screw")),
        (("tests", "turns-free", '""'), Missing("test", "turns-free")),
        (("pack", "fitted", "[]"), Missing("pack", "fitted")),
    ],
)
def test_sheet_waits_for_what_is_missing(
    change: tuple[str, str, str], missing: Missing | None
) -> None:
    if missing is None:
        sheet = judge_changed(change, ("left.end-float", "pull", '""'))
        missing = Missing("line", "end-float")
    else:
        sheet = judge_changed(change)
    assert sheet.verdict is Verdict.OPEN
    assert missing in sheet.missing


def test_test_that_fails_fails_the_sheet_though_something_is_missing() -> None:
    sheet = judge_changed(
        ("tests", "turns-free", '"fail: rubs once a turn"'), ("signed", "vent", '""')
    )
    assert sheet.verdict is Verdict.FAIL


@pytest.mark.parametrize(
    ("working", "limit", "asked"),
    [('"6 bar"', '"12 bar"', 9.0), ('"6 bar"', '"8 bar"', 8.0), ('"6 bar"', '""', 9.0)],
)
def test_test_pressure_stays_within_what_the_seal_may_bear(
    working: str, limit: str, asked: float
) -> None:
    sheet = judge_changed(("pressure", "working", working), ("pressure", "seal-limit", limit))
    test = next(one for one in sheet.tests if one.name == "pressure")
    assert test.asked_bar == pytest.approx(asked)
    assert test.minutes == 10


def test_pack_follows_from_one_measured_gap_with_a_known_pack() -> None:
    """t = t0 + (aim - G0), common practice: 1.00 + (0.50 - 0.84)."""
    advice = judge_changed().pack.advice
    assert advice is not None
    assert advice.ideal_mm == pytest.approx(0.66)
    assert sum(advice.best_mm) == pytest.approx(0.66, abs=0.0201)  # no feeler sees less
    assert not advice.is_trial


def test_trial_fit_goes_before_the_gap_as_found_and_new_parts_are_named_without_one() -> None:
    renewed = ("parts", "impeller", '"renew: shrouds worn through"')
    without = judge_changed(renewed).pack.advice
    assert without is not None
    assert without.old_parts == ("impeller",)
    tried = judge_changed(
        renewed,
        ("pack", "trial-gap", FOUR.format("0.70")),
        ("pack", "trial-pack", '["1.00 mm"]'),
    ).pack.advice
    assert tried is not None
    assert (tried.is_trial, tried.old_parts) == (True, ())
    assert tried.ideal_mm == pytest.approx(0.80)


def test_trial_gap_of_a_self_priming_pump_is_the_one_behind_its_impeller() -> None:
    """Its wear plate is set by screws and has other limits: 0.9 mm is possible behind the impeller only."""
    text = (
        'build = "self-priming/80"\n[gauges]\nfeelers = "0.01 mm"\n[pack]\n'
        f'trial-gap = {FOUR.format("2.9")}\ntrial-pack = ["1.0 mm"]\n'
    )
    advice = judge_form(parse_form(text)).pack.advice
    assert advice is not None
    assert advice.clearance == "back-vane"
    assert advice.gap_mm == pytest.approx(2.9)


def test_pack_does_not_follow_a_gap_that_screws_set_after_it() -> None:
    text = (
        'build = "self-priming/80"\n[gauges]\nfeelers = "0.01 mm"\n[found.gaps]\ngauge = "feelers"\n'
        f"wear-plate = {FOUR.format('0.95')}\nback-vane = {FOUR.format('0.66')}\n"
        '[pack]\nfound = ["0.5 mm", "0.3 mm", "0.2 mm"]\n'
    )
    advice = judge_form(parse_form(text)).pack.advice
    assert advice is not None
    assert advice.by_screws == ("wear-plate",)
    assert advice.fits
    assert sum(advice.best_mm) == pytest.approx(0.84, abs=0.02)
    without = judge_changed().pack.advice
    assert without is not None
    assert without.by_screws == ()


def test_gap_that_this_pump_cannot_have_is_refused_at_its_line() -> None:
    text = change_form(("found.gaps", "back-vane", FOUR.format("4.5")))
    with pytest.raises(ContentError, match=r"form\.toml:\d+: .*back-vane"):
        judge_form(parse_form(text))


def test_no_gap_with_a_known_pack_gives_no_advice() -> None:
    assert judge_changed(("pack", "found", "[]")).pack.advice is None


def test_parts_to_order_are_those_to_be_renewed_with_their_counts() -> None:
    sheet = judge_changed(("parts", "cover-nut", '"renew: corners gone"'))
    order = {part.place: part for part in sheet.list_parts(Condition.RENEW)}
    assert (order["cover-nut"].count, order["cover-nut"].why) == (8, "corners gone")
    assert "wear-ring" in order
    assert [part.place for part in sheet.list_parts(Condition.REWORK)] == ["cover-stud"]


def test_torque_is_computed_for_every_bolted_joint_with_its_passes() -> None:
    sheet = judge_changed()
    cover = next(one for one in sheet.torques if one.joint == "cover-joint")
    assert (cover.count, cover.thread_mm, cover.is_crosswise) == (8, 12.0, True)
    assert cover.passes == (0.3, 0.7, 1.0)
    screw = next(one for one in sheet.torques if one.joint == "impeller-fixing")
    assert screw.passes == (1.0,)
    assert 0 < cover.taught_nm < screw.taught_nm


@pytest.mark.parametrize(
    "name", [name for name in list_builds() if name.startswith(("end-suction", "self-priming"))]
)
def test_every_pump_has_a_plan_in_which_nothing_is_asked_twice(name: str) -> None:
    plan = plan_sheet(make_named_build(name))
    names = [one.name for one in plan.wanted]
    assert len(names) == len(set(names))
    assert all(one.low_mm <= one.aim_mm <= one.high_mm for one in plan.wanted)
    assert plan.boltings
    assert plan.renewed <= set(plan.parts)
    assert "back-vane" in names


def test_kinds_renewed_at_every_rebuild_are_kinds_that_there_are() -> None:
    kinds = {
        piece.part.kind
        for name in list_builds()
        for piece in make_named_build(name).pieces.values()
    }
    assert kinds >= RENEWED


def test_primed_front_is_held_under_vacuum() -> None:
    primed = make_named_build("end-suction/100-250", {"priming": "vacuum-assisted"})
    assert "vacuum-hold" in plan_sheet(primed).tests
    assert "vacuum-hold" not in plan_sheet(make_named_build("end-suction/100-250")).tests


def test_sheet_comes_back_from_its_plain_values() -> None:
    sheet = judge_changed(("options", "flanges", '"class-150"'))
    assert sheet.options == {"flanges": "class-150"}
    assert read_sheet(describe_sheet(sheet)) == sheet


def test_filed_sheet_is_found_by_number_and_by_the_first_signs_of_its_id(tmp_path: Path) -> None:
    ids = [
        UUID("12345678-0000-4000-8000-000000000001"),
        UUID("12345679-0000-4000-8000-000000000002"),
    ]
    with open_records(tmp_path / "records.sqlite3") as records:
        first = file_sheet(records, judge_changed(), ids[0], NOON, None)
        second = file_sheet(records, judge_changed(), ids[1], NOON, first.sheet.id)
        assert find_filed(records, "2") == second
        assert find_filed(records, "12345678").sheet.id == ids[0]
        assert find_filed(records, str(ids[0])).corrected_by == ids[1]
        assert read_sheet(second.sheet.content) == judge_changed()
        for typed in ("1234567", "99", "", "%", "abc"):
            with pytest.raises(RefusalError, match="goes by"):
                find_filed(records, typed)


@pytest.mark.parametrize("key", ["assembler", "serial", "date"])
def test_sheet_without_who_which_and_when_is_not_filed(tmp_path: Path, key: str) -> None:
    sheet = judge_changed(("", key, '""'))
    with (
        open_records(tmp_path / "records.sqlite3") as records,
        pytest.raises(RefusalError, match=key),
    ):
        file_sheet(records, sheet, UUID(int=1), NOON, None)
