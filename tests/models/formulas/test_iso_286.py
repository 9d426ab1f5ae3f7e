"""What must be so of limits and fits at every size, and what is refused."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from models.formulas.iso_286 import (
    GRADES,
    LARGEST_MM,
    Fit,
    FitKind,
    find_chance_of_interference,
    find_fit,
    find_limits,
    list_classes,
    recognise_class,
)
from models.spec.build import TABLES
from models.spec.errors import ContentError, RefusalError

sizes = st.floats(0.01, LARGEST_MM, exclude_min=True)
classes = st.sampled_from(list_classes())
holes, shafts = (
    st.sampled_from([name for name in list_classes() if name[0].isupper() is is_hole])
    for is_hole in (True, False)
)


@given(sizes, classes)
def test_a_zone_is_as_wide_as_its_grade(size_mm: float, name: str) -> None:
    grade = name.lstrip("".join(c for c in name if c.isalpha()))
    limits, width = find_limits(size_mm, name), find_limits(size_mm, f"H{grade}").upper_um
    assert limits.upper_um - limits.lower_um == pytest.approx(width)


@given(sizes, sizes, st.sampled_from(GRADES))
def test_a_larger_size_has_no_narrower_grade(one_mm: float, other_mm: float, grade: int) -> None:
    less, more = sorted((one_mm, other_mm))
    assert find_limits(less, f"H{grade}").upper_um <= find_limits(more, f"H{grade}").upper_um


@given(sizes, sizes, st.sampled_from("cdefg"), st.sampled_from("mnprsu"))
def test_a_larger_size_lies_further_from_nominal(
    one_mm: float, other_mm: float, loose: str, tight: str
) -> None:
    less, more = sorted((one_mm, other_mm))
    assert find_limits(less, f"{loose}7").upper_um >= find_limits(more, f"{loose}7").upper_um
    assert find_limits(less, f"{tight}7").lower_um <= find_limits(more, f"{tight}7").lower_um


@given(sizes, st.sampled_from("cdefgh"), st.sampled_from(GRADES))
def test_a_loose_hole_is_its_shaft_mirrored(size_mm: float, letter: str, grade: int) -> None:
    hole, shaft = (find_limits(size_mm, f"{one}{grade}") for one in (letter.upper(), letter))
    assert (hole.lower_um, hole.upper_um) == (-shaft.upper_um, -shaft.lower_um)


@given(sizes, st.sampled_from("prsu"))
def test_a_tight_hole_grips_as_its_shaft_of_the_finer_grade_does(
    size_mm: float, letter: str
) -> None:
    """H7/p6 and P7/h6 have the same most interference: that is what the holes' rule is for."""
    assume(size_mm > 3.0)
    by_shaft = find_fit(find_limits(size_mm, "H7"), find_limits(size_mm, f"{letter}6"))
    by_hole = find_fit(find_limits(size_mm, f"{letter.upper()}7"), find_limits(size_mm, "h6"))
    assert by_shaft.least_um == pytest.approx(by_hole.least_um)
    assert by_shaft.most_um == pytest.approx(by_hole.most_um)


@given(sizes, holes, shafts)
def test_the_kind_follows_from_the_two_ends(size_mm: float, one: str, other: str) -> None:
    fit = find_fit(find_limits(size_mm, one), find_limits(size_mm, other))
    assert fit.least_um < fit.most_um
    assert (fit.kind is FitKind.TRANSITION) == (fit.least_um < 0.0 < fit.most_um)


@pytest.mark.parametrize("edge_mm", [30, 50, 65, 80, 250])
def test_a_size_on_a_bound_belongs_to_the_step_that_ends_there(edge_mm: float) -> None:
    at, above, below = (
        find_limits(size, "s6").lower_um
        for size in (edge_mm, math.nextafter(edge_mm, 1e3), edge_mm - 1)
    )
    assert at == below < above


@given(sizes, classes)
def test_a_class_is_recognised_from_its_limits(size_mm: float, name: str) -> None:
    limits = find_limits(size_mm, name)
    known = recognise_class(size_mm, limits.lower_um, limits.upper_um, hole=limits.is_hole)
    again = find_limits(size_mm, known)
    assert (again.lower_um, again.upper_um) == (limits.lower_um, limits.upper_um)


@pytest.mark.parametrize(("size_mm", "limits_um"), [(40, (0, 12)), (700, (0, 80)), (40, (0, 25.5))])
def test_other_limits_are_no_class(size_mm: float, limits_um: tuple[float, float]) -> None:
    assert recognise_class(size_mm, *limits_um, hole=True) == ""


@given(st.floats(-50, 50), st.floats(0.1, 20))
def test_the_chance_is_even_about_no_clearance(mean_um: float, sigma_um: float) -> None:
    there, back = (find_chance_of_interference(mean, sigma_um) for mean in (mean_um, -mean_um))
    assert there + back == pytest.approx(1.0)


def test_without_spread_it_is_certain() -> None:
    assert [find_chance_of_interference(mean, 0.0) for mean in (-1.0, 0.0, 1.0)] == [1.0, 0.0, 0.0]


@pytest.mark.parametrize("size_mm", [0.0, -5.0, 500.1, math.nan, math.inf])
def test_a_size_outside_the_tables_is_refused(size_mm: float) -> None:
    with pytest.raises(RefusalError, match="outside 0 to 500 mm"):
        find_limits(size_mm, "H7")


@pytest.mark.parametrize(
    ("name", "near"),
    [("H77", "H7"), ("h", "h"), ("", "known"), ("K5", "K"), ("j8", "j"), ("7", "known")],
)
def test_an_unknown_class_is_refused_with_near_matches(name: str, near: str) -> None:
    with pytest.raises(RefusalError, match=near) as caught:
        find_limits(40, name)
    assert "no tolerance class" in str(caught.value)


def test_two_holes_make_no_fit() -> None:
    with pytest.raises(ValueError, match="H7"):
        find_fit(find_limits(40, "H7"), find_limits(40, "K7"))
    with pytest.raises(ValueError, match="h6"):
        find_fit(find_limits(40, "H7"), find_limits(50, "h6"))


def test_a_table_with_a_hole_in_it_is_refused(tmp_path: Path) -> None:
    standard = tmp_path / "standard"
    standard.mkdir()
    for path in (TABLES / "standard").glob("*-deviations.*"):
        (standard / path.name).write_text(path.read_text())
    rows = (TABLES / "standard" / "tolerance-grades.csv").read_text().splitlines()
    (standard / "tolerance-grades.toml").write_text(
        (TABLES / "standard" / "tolerance-grades.toml").read_text()
    )
    (standard / "tolerance-grades.csv").write_text("\n".join(rows[:5] + rows[6:]))
    with pytest.raises(ContentError, match="leaves a gap above 18 mm"):
        find_limits(40, "H7", tmp_path)


def test_fits_are_values() -> None:
    assert Fit(-1.0, 2.0) == Fit(-1.0, 2.0)
