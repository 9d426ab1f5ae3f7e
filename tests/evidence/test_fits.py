"""Limit deviations of the size table against ISO 286-2.

PUBLISHED: read from two separately typed registry packages, pressfit 0.1.0 (fits) and isofits 1.0
(seats and housings), that agree with each other where both have the value. It is not the standard itself.
"""

from __future__ import annotations

import pytest

from models.spec.build import TABLES, Build
from models.spec.standard import read_standard
from models.spec.table import list_sizes, read_size

UM = 1000.0

# row of the size table, class, basic size mm, lower and upper deviation in um, which package says so
PUBLISHED = [
    ("shaft-keyed.impeller-seat-diameter", "h6", 30, -13, 0, "pressfit 0.1.0 and isofits 1.0"),
    ("impeller-keyed.bore", "H7", 30, 0, 21, "pressfit 0.1.0 and isofits 1.0"),
    ("shaft-acme.impeller-seat-diameter", "h6", 30, -13, 0, "pressfit 0.1.0 and isofits 1.0"),
    ("impeller-acme.bore", "H7", 30, 0, 21, "pressfit 0.1.0 and isofits 1.0"),
    ("suction-cover.ring-bore", "H7", 156, 0, 40, "pressfit 0.1.0 and isofits 1.0"),
    ("back-plate-hub-ring.ring-bore", "H7", 156, 0, 40, "pressfit 0.1.0 and isofits 1.0"),
    ("volute-cast-in.ring-bore", "H7", 156, 0, 40, "pressfit 0.1.0 and isofits 1.0"),
    ("wear-ring.outside", "p6", 156, 43, 68, "pressfit 0.1.0 and isofits 1.0"),
    ("hub-ring.outside", "p6", 156, 43, 68, "pressfit 0.1.0 and isofits 1.0"),
    ("shaft.inboard-diameter", "k5", 40, 2, 13, "isofits 1.0"),
    ("bearing-housing.inboard-bore", "H7", 90, 0, 35, "isofits 1.0"),
    ("bearing-housing.outboard-bore", "H7", 110, 0, 35, "isofits 1.0"),
    ("bearing-housing.oil-seal-bore", "H7", 62, 0, 30, "isofits 1.0"),
    ("bearing-cap.oil-seal-bore", "H7", 62, 0, 30, "isofits 1.0"),
    ("vacuum-sheave.bore", "H7", 24, 0, 21, "pressfit 0.1.0 and isofits 1.0"),
]

# The same, but recalled from memory of the standard: provisional, counted apart.
FROM_MEMORY = [
    ("volute.bore", "H8", 270, 0, 81),
    ("volute-cast-in.spigot-diameter", "H8", 270, 0, 81),
    ("seal-gland.seal-bore", "H7", 52, 0, 30),
    ("suction-cover.spigot-diameter", "f7", 270, -108, -56),
    ("back-plate.spigot-diameter", "f7", 270, -108, -56),
    ("bracket-one-casting.spigot-diameter", "f7", 270, -108, -56),
    ("back-plate.register-diameter", "f7", 250, -96, -50),
    ("bracket.casing-register", "H8", 250, 0, 72),
    ("bracket.housing-register", "H8", 150, 0, 63),
    ("bearing-housing.spigot-diameter", "f7", 150, -83, -43),
    ("bearing-cap.spigot-diameter", "f7", 110, -71, -36),
    ("shaft.seal-diameter", "h6", 38, -16, 0),
    ("shaft-sleeve.outside", "h6", 38, -16, 0),
    ("shaft-sleeve.bore", "F7", 30, 20, 41),
    ("shaft-fine-thread.impeller-seat-diameter", "h6", 32, -16, 0),
    ("impeller-fine-thread.bore", "H7", 32, 0, 25),
    ("shaft.outboard-diameter", "k5", 50, 2, 13),
    ("shaft.coupling-diameter", "k6", 42, 2, 18),
    ("coupling-hub.bore", "H7", 42, 0, 25),
    ("bearing-cap-register.outside", "f7", 164, -83, -43),
    ("bell-housing.register-diameter", "H8", 164, 0, 63),
    ("retaining-washer.bore", "H7", 24, 0, 21),
    ("centring-washer.outside", "f7", 30, -41, -20),
    ("centring-washer.spigot-diameter", "f7", 24, -41, -20),
    ("shaft-sheave-seat.sheave-seat-diameter", "k6", 42, 2, 18),
    ("shaft-sheave-seat.coupling-diameter", "k6", 40, 2, 18),
    ("coupling-hub-past-sheave.bore", "H7", 40, 0, 25),
    ("shaft-sheave.bore", "H7", 42, 0, 25),
    ("vacuum-pump.shaft-diameter", "h7", 28, -21, 0),
    ("vacuum-pump.seat-diameter", "h6", 24, -13, 0),
]

# IT grades by size step (over, up to), IT6 and IT7 in um: pressfit 0.1.0
IT6_UM = {
    (18, 30): 13,
    (30, 50): 16,
    (50, 80): 19,
    (80, 120): 22,
    (120, 180): 25,
    (180, 250): 29,
    (250, 315): 32,
}
IT7_UM = {
    (18, 30): 21,
    (30, 50): 25,
    (50, 80): 30,
    (80, 120): 35,
    (120, 180): 40,
    (180, 250): 46,
    (250, 315): 52,
    (315, 400): 57,
}
# ISO 286-1, from memory: IT5 and IT8, and the deviation nearest to zero of the letters used, in um
IT5_UM = {(30, 50): 11, (50, 80): 13}
IT8_UM = {(120, 180): 63, (180, 250): 72, (250, 315): 81, (315, 400): 89}
NEAREST_UM = {
    "f": {
        (18, 30): -20, (30, 50): -25, (80, 120): -36, (120, 180): -43,
        (180, 250): -50, (250, 315): -56, (315, 400): -62,
    },
    "F": {(18, 30): 20, (30, 50): 25},
    "p": {(120, 180): 43, (180, 250): 50},
    "k": {(30, 50): 2, (50, 80): 2},
}  # fmt: skip


def _check(pump: Build, row: str, size_mm: float, lower_um: float, upper_um: float) -> None:
    part, _, key = row.partition(".")
    drawn = pump.size.parts[part][key]
    assert drawn.nominal == size_mm
    assert (drawn.lower - drawn.nominal) * UM == pytest.approx(lower_um, abs=1e-6)
    assert (drawn.upper - drawn.nominal) * UM == pytest.approx(upper_um, abs=1e-6)


@pytest.mark.parametrize(
    ("row", "grade", "size_mm", "lower_um", "upper_um", "source"),
    PUBLISHED,
    ids=[f"{p[0]} {p[1]}" for p in PUBLISHED],
)
def test_a_fit_is_as_published(
    pump: Build, row: str, grade: str, size_mm: float, lower_um: float, upper_um: float, source: str
) -> None:
    assert grade
    assert source
    _check(pump, row, size_mm, lower_um, upper_um)


@pytest.mark.parametrize(
    ("row", "grade", "size_mm", "lower_um", "upper_um"),
    FROM_MEMORY,
    ids=[f"{p[0]} {p[1]} (memory)" for p in FROM_MEMORY],
)
def test_a_fit_is_as_recalled_from_memory(
    pump: Build, row: str, grade: str, size_mm: float, lower_um: float, upper_um: float
) -> None:
    assert grade
    _check(pump, row, size_mm, lower_um, upper_um)


def _find_deviations(grade: str, size_mm: float) -> tuple[float, float]:
    """Find lower and upper deviation in um of a class, from the size step its basic size lies in."""
    letter, number = grade[0], grade[1]
    width = _it_um({"5": IT5_UM, "6": IT6_UM, "7": IT7_UM, "8": IT8_UM}[number], size_mm)
    if letter in "hH":
        return (0, width) if letter == "H" else (-width, 0)
    nearest = _it_um(NEAREST_UM[letter], size_mm)
    return (nearest - width, nearest) if letter == "f" else (nearest, nearest + width)


@pytest.mark.parametrize("size", list_sizes(TABLES, "end-suction"))
def test_every_size_has_the_same_classes_with_the_deviations_of_its_own_size_steps(
    size: str,
) -> None:
    table = read_size(TABLES, "end-suction", size)
    for row, grade in [p[:2] for p in PUBLISHED] + [p[:2] for p in FROM_MEMORY]:
        part, _, key = row.partition(".")
        drawn = table.parts[part][key]
        found = [(limit - drawn.nominal) * UM for limit in (drawn.lower, drawn.upper)]
        wanted = _find_deviations(grade, drawn.nominal)
        assert found == pytest.approx(wanted, abs=1e-6), f"{size} {row} {drawn.nominal} {grade}"


def _it_um(grades: dict[tuple[int, int], int], size_mm: float) -> int:
    (found,) = [um for (over, to), um in grades.items() if over < size_mm <= to]
    return found


def test_every_width_of_grade_6_and_7_is_that_of_its_size_step(pump: Build) -> None:
    """Hold the widths apart from the positions, over the steps of pressfit 0.1.0, recalled rows too."""
    checked = 0
    rows = [p[:3] for p in PUBLISHED] + [p[:3] for p in FROM_MEMORY]
    for row, grade, size_mm in rows:
        grades = {"6": IT6_UM, "7": IT7_UM}.get(grade[-1])
        if grades is None:
            continue
        part, _, key = row.partition(".")
        drawn = pump.size.parts[part][key]
        assert (drawn.upper - drawn.lower) * UM == pytest.approx(_it_um(grades, size_mm)), row
        checked += 1
    assert checked >= 14


def test_rows_said_to_come_from_the_packages_are_all_checked_here(pump: Build) -> None:
    said = {
        f"{part}.{key}"
        for part, row in pump.size.parts.items()
        for key, dimension in row.items()
        if "read from the registry packages" in dimension.source.title
    }
    assert said == {row for row, *_ in PUBLISHED}


def test_rows_said_to_be_from_memory_are_all_checked_here(pump: Build) -> None:
    said = {
        f"{part}.{key}"
        for part, row in pump.size.parts.items()
        for key, dimension in row.items()
        if dimension.source.title == "ISO 286-2, from memory"
    }
    assert said == {row for row, *_ in FROM_MEMORY}


def test_the_ring_is_pressed_between_3_and_68_micrometres(pump: Build) -> None:
    """156 H7/p6 is -68..-3 um. Source: pressfit 0.1.0 for the size step 120-180 (H7/p6 at 150 and 180)."""
    ring, bore = (
        pump.size.parts["wear-ring"]["outside"],
        pump.size.parts["suction-cover"]["ring-bore"],
    )
    assert (bore.lower - ring.upper) * UM == pytest.approx(-68)
    assert (bore.upper - ring.lower) * UM == pytest.approx(-3)


def test_the_impeller_slides_with_0_to_34_micrometres(pump: Build) -> None:
    """30 H7/h6 is 0..+34 um. Source: pressfit 0.1.0."""
    shaft, bore = (
        pump.size.parts["shaft-keyed"]["impeller-seat-diameter"],
        pump.size.parts["impeller-keyed"]["bore"],
    )
    assert (bore.lower - shaft.upper) * UM == pytest.approx(0, abs=1e-6)
    assert (bore.upper - shaft.lower) * UM == pytest.approx(34)


def test_bearing_seats_are_tight_by_2_to_25_micrometres(pump: Build) -> None:
    """k5 on a bore 0/-12: CLR-2. k5 from isofits 1.0; the bore's 0/-12 (ISO 492 Normal) is from memory."""
    for journal, name in (("inboard-diameter", "6308"), ("outboard-diameter", "6310")):
        shaft = pump.size.parts["shaft"][journal]
        bore = read_standard(TABLES, "deep-groove-bearings")[name]["bore"]
        assert (shaft.lower - bore.upper) * UM == pytest.approx(2)
        assert (shaft.upper - bore.lower) * UM == pytest.approx(25)
