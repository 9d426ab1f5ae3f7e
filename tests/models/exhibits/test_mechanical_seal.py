"""A mechanical seal, unbalanced and balanced: its ratio against hand sums, and rules that break when a row is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.builds import make_named_build
from models.exhibits import mechanical_seal
from models.exhibits.seal_balance import balance_ratio
from models.spec.rule import check_rules
from tests.models.exhibits.changed_tables import change_rows
from trainer.console.results import describe_results, tell_with_dimensions
from trainer.words import load_words

EXHIBIT = "mechanical-seal/38"
RULES = mechanical_seal.FAMILY.rules
BALANCES = ("unbalanced", "balanced")

# balance, rule, the row that is written wrong, its wrong nominal, the piece at fault
WRONG_ROWS = [
    ("unbalanced", 41, "seal-face-coil.length", "-3", "seal-face"),
    ("unbalanced", 47, "seal-sleeve.length", "73", "seal-face"),
    ("unbalanced", 47, "seal-sleeve.length", "62.9", "seal-face"),
    ("unbalanced", 48, "seal-sleeve.hub-diameter", "58", "seal-retainer"),
    ("balanced", 48, "impeller-seal-drive.drive-notch-width", "7", "seal-retainer"),
    ("unbalanced", 49, "seal-spring.coils", "6", "seal-spring"),
    ("balanced", 111, "seal-face-balanced.nose-outside", "54", "seal-face"),
    ("balanced", 111, "seal-face-balanced.nose-outside", "45", "seal-face"),
    ("balanced", 112, "seal-face-balanced.nose-bore", "39", "seal-face"),
    ("balanced", 113, "seal-sleeve-balanced.step-length", "36", "seal-sleeve"),
    ("balanced", 114, "seal-sleeve-balanced.step-length", "25", "face-o-ring"),
    ("balanced", 114, "seal-face-balanced.groove-diameter", "49.5", "face-o-ring"),
    ("unbalanced", 115, "seal-seat.bore", "37", "seal-seat"),
]


@pytest.mark.parametrize("balance", BALANCES)
def test_the_exhibit_breaks_no_rule(balance: str) -> None:
    assert check_rules(make_named_build(EXHIBIT, {"seal-balance": balance}), RULES) == ()


@pytest.mark.parametrize(("balance", "number", "row", "wrong", "piece"), WRONG_ROWS)
def test_a_row_written_wrong_breaks_its_rule_and_no_other(
    tmp_path: Path, balance: str, number: int, row: str, wrong: str, piece: str
) -> None:
    tables = change_rows(tmp_path, EXHIBIT, {row: wrong})
    build = make_named_build(EXHIBIT, {"seal-balance": balance}, tables=tables)
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(number, (piece,))]


def test_every_rule_has_a_test_that_breaks_it() -> None:
    by_faults = {fault.rule for fault in mechanical_seal.FAMILY.faults}
    assert {rule.number for rule in RULES} == by_faults | {row[1] for row in WRONG_ROWS}


@pytest.mark.parametrize(
    ("balance", "areas", "ratio"),
    [
        # areas by hand, in mm2 over pi/4: 54, 50, 42, 40 are nose diameters, 37.9805 and 41.9805 the journals
        ("unbalanced", (54**2 - 37.9805**2, 54**2 - 42**2), 1.279),
        ("balanced", (50**2 - 41.9805**2, 50**2 - 40**2), 0.820),
    ],
)
def test_the_balance_ratio_is_shutting_area_over_face_area(
    balance: str, areas: tuple[float, float], ratio: float
) -> None:
    found = float(balance_ratio(make_named_build(EXHIBIT, {"seal-balance": balance})))
    assert found == pytest.approx(areas[0] / areas[1], abs=1e-4)
    assert found == pytest.approx(ratio, abs=1e-3)


@pytest.mark.parametrize("balance", BALANCES)
def test_the_ratio_moves_with_each_dimension_as_its_sensitivity_says(balance: str) -> None:
    options = {"seal-balance": balance}
    ratio = make_named_build(EXHIBIT, options).results["balance-ratio"]
    assert {piece for piece, _ in ratio.terms} == {"seal-face", "seal-sleeve"}
    for term, share in ratio.terms.items():
        build = make_named_build(EXHIBIT, options)
        value = float(build.pieces[term[0]].row[term[1]]) + 0.001
        moved = make_named_build(EXHIBIT, options, measured={term: value}).results["balance-ratio"]
        assert float(moved) - float(ratio) == pytest.approx(0.001 * share, rel=1e-2)


def test_results_are_told_with_value_and_the_rows_behind_them() -> None:
    build = make_named_build(EXHIBIT)
    told = tell_with_dimensions(load_words(), build)
    assert "1.28" in told.splitlines()[0]
    assert len(told.splitlines()) == 1 + 3
    (described,) = describe_results(build)
    assert described["name"] == "balance-ratio"
    assert {one["dimension"] for one in described["dimensions"]} == {
        "nose-outside", "nose-bore", "outside",
    }  # fmt: skip
    assert describe_results(make_named_build("radial-shaft-seals/45")) == []


def test_both_seals_work_at_the_length_of_the_pumps_own() -> None:
    pump = make_named_build("end-suction/100-250")
    for balance in BALANCES:
        build = make_named_build(EXHIBIT, {"seal-balance": balance})
        lengths = [float(one.read_chain(one.clearance("seal-length"))) for one in (build, pump)]
        assert lengths[0] == pytest.approx(lengths[1])
