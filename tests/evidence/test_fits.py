"""Limit deviations of the size tables against ISO 286-2, as others have typed it.

Each row is held against a registry package that is run here, or was read: pressfit 0.1.0 for holes H and shafts,
isofits 1.0 for the hole F7. It is not the standard itself.
"""

from __future__ import annotations

import pressfit
import pytest

from models.formulas.iso_286 import find_limits, recognise_class
from models.spec.build import TABLES, Build
from models.spec.standard import read_standard
from models.spec.table import list_sizes, read_size

UM = 1000.0
PRESSFIT = "registry package pressfit 0.1.0; run in this test, {} {}"
ISOFITS = "registry package isofits 1.0; read once, F7 over 18 up to 30 mm"
F7_UM = (20, 41)

# row of the size table, class, and whether its source says that it was read from the packages
ROWS = [
    ("shaft-keyed.impeller-seat-diameter", "h6", True),
    ("impeller-keyed.bore", "H7", True),
    ("shaft-acme.impeller-seat-diameter", "h6", True),
    ("impeller-acme.bore", "H7", True),
    ("suction-cover.ring-bore", "H7", True),
    ("back-plate-hub-ring.ring-bore", "H7", True),
    ("volute-cast-in.ring-bore", "H7", True),
    ("wear-ring.outside", "p6", True),
    ("hub-ring.outside", "p6", True),
    ("shaft.inboard-diameter", "k5", True),
    ("bearing-housing.inboard-bore", "H7", True),
    ("bearing-housing.outboard-bore", "H7", True),
    ("bearing-housing.oil-seal-bore", "H7", True),
    ("bearing-cap.oil-seal-bore", "H7", True),
    ("vacuum-sheave.bore", "H7", True),
    ("volute.bore", "H8", False),
    ("volute-cast-in.spigot-diameter", "H8", False),
    ("seal-gland.seal-bore", "H7", False),
    ("suction-cover.spigot-diameter", "g6", False),
    ("back-plate.spigot-diameter", "g6", False),
    ("bracket-one-casting.spigot-diameter", "g6", False),
    ("back-plate.register-diameter", "g6", False),
    ("bracket.casing-register", "H8", False),
    ("bracket.housing-register", "H8", False),
    ("bearing-housing.spigot-diameter", "g6", False),
    ("bearing-cap.spigot-diameter", "f7", False),
    ("shaft.seal-diameter", "h6", False),
    ("shaft-sleeve.outside", "h6", False),
    ("shaft-sleeve.bore", "F7", False),
    ("shaft-fine-thread.impeller-seat-diameter", "h6", False),
    ("impeller-fine-thread.bore", "H7", False),
    ("shaft.outboard-diameter", "k5", False),
    ("shaft.coupling-diameter", "k6", False),
    ("coupling-hub.bore", "H7", False),
    ("bearing-cap-register.outside", "f7", False),
    ("bell-housing.register-diameter", "H8", False),
    ("retaining-washer.bore", "H7", False),
    ("centring-washer.outside", "f7", False),
    ("centring-washer.spigot-diameter", "f7", False),
    ("shaft-sheave-seat.sheave-seat-diameter", "k6", False),
    ("shaft-sheave-seat.coupling-diameter", "k6", False),
    ("coupling-hub-past-sheave.bore", "H7", False),
    ("shaft-sheave.bore", "H7", False),
    ("vacuum-pump.shaft-diameter", "h7", False),
    ("vacuum-pump.seat-diameter", "h6", False),
]


def _find_source(row: str, grade: str) -> str:
    return ISOFITS if grade == "F7" else PRESSFIT.format(grade, row)


def _read_pressfit(size_mm: float, grade: str) -> tuple[float, float]:
    """Read lower and upper deviation in um of a hole H or a shaft off the package."""
    if grade[0] == "H":
        theirs = pressfit.fit(f"{grade}/h6", size_mm)
        return theirs.hole_ei_um, theirs.hole_es_um
    theirs = pressfit.fit(f"H7/{grade}", size_mm)
    return theirs.shaft_ei_um, theirs.shaft_es_um


@pytest.mark.parametrize(
    ("row", "grade"),
    [
        pytest.param(row, grade, marks=pytest.mark.evidence(_find_source(row, grade)), id=f"{row} {grade}")
        for row, grade, _ in ROWS
    ],
)  # fmt: skip
def test_a_row_has_the_limits_of_its_class(pump: Build, row: str, grade: str) -> None:
    part, _, key = row.partition(".")
    drawn = pump.size.parts[part][key]
    found = [(limit - drawn.nominal) * UM for limit in (drawn.lower, drawn.upper)]
    wanted = F7_UM if grade == "F7" else _read_pressfit(drawn.nominal, grade)
    assert found == pytest.approx(wanted, abs=1e-6)


@pytest.mark.evidence("structure: every size as the first")
@pytest.mark.parametrize("size", list_sizes(TABLES, "end-suction"))
def test_every_size_has_the_same_classes_with_the_deviations_of_its_own_size_steps(
    size: str,
) -> None:
    table = read_size(TABLES, "end-suction", size)
    for row, grade, _ in ROWS:
        part, _, key = row.partition(".")
        drawn = table.parts[part][key]
        found = [(limit - drawn.nominal) * UM for limit in (drawn.lower, drawn.upper)]
        limits = find_limits(drawn.nominal, grade)
        wanted = [limits.lower_um, limits.upper_um]
        assert found == pytest.approx(wanted, abs=1e-6), f"{size} {row} {drawn.nominal} {grade}"
        assert recognise_class(drawn.nominal, *wanted, hole=limits.is_hole) == grade


@pytest.mark.parametrize(
    ("said", "from_packages"),
    [("read from the registry packages", True), ("ISO 286-2, from memory", False)],
)
@pytest.mark.evidence("structure: no row left out")
def test_every_row_that_names_the_standard_is_checked_here(
    pump: Build, said: str, from_packages: bool
) -> None:
    rows = {
        f"{part}.{key}"
        for part, row in pump.size.parts.items()
        for key, dimension in row.items()
        if dimension.source.title.startswith("ISO 286-2") and said in dimension.source.title
    }
    assert rows == {row for row, _, is_read in ROWS if is_read is from_packages}


@pytest.mark.parametrize(
    ("row", "other", "between_um"),
    [
        pytest.param(
            "suction-cover.ring-bore", "wear-ring.outside", (-68, -3), id="the ring is pressed",
            marks=pytest.mark.evidence("registry package pressfit 0.1.0; 156 H7/p6"),
        ),
        pytest.param(
            "impeller-keyed.bore", "shaft-keyed.impeller-seat-diameter", (0, 34), id="the impeller slides",
            marks=pytest.mark.evidence("registry package pressfit 0.1.0; 30 H7/h6"),
        ),
    ],
)  # fmt: skip
def test_two_rows_leave_what_their_fit_leaves(
    pump: Build, row: str, other: str, between_um: tuple[float, float]
) -> None:
    hole, shaft = (
        pump.size.parts[part][key]
        for part, _, key in (name.partition(".") for name in (row, other))
    )
    assert (hole.lower - shaft.upper) * UM == pytest.approx(between_um[0], abs=1e-6)
    assert (hole.upper - shaft.lower) * UM == pytest.approx(between_um[1])


@pytest.mark.evidence("ISO 492; bores 0/-12 um over 30 up to 50 mm, on k5", from_memory=True)
@pytest.mark.parametrize(("journal", "name"), [("inboard-diameter", "6308"), ("outboard-diameter", "6310")])  # fmt: skip
def test_bearing_seats_are_tight_by_2_to_25_micrometres(
    pump: Build, journal: str, name: str
) -> None:
    """CLR-2: k5 is +13/+2."""
    shaft = pump.size.parts["shaft"][journal]
    bore = read_standard(TABLES, "deep-groove-bearings")[name]["bore"]
    assert (shaft.lower - bore.upper) * UM == pytest.approx(2)
    assert (shaft.upper - bore.lower) * UM == pytest.approx(25)
