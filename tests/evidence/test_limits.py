"""Limits and fits against what others have printed and typed: two registry packages, four books, a correction of the standard.

None of them is the standard itself. isofits 1.0 installs modules of everybody's names, so its values are frozen
here, without four groups of cells in which its own zone is not as wide as the grade it names (E7 over 315, K6
over 6 to 10, f6 over 120 to 180 mm): misprints. Sizes are asked for at both ends of every step.
"""

from __future__ import annotations

import pressfit
import pytest
from pressfit.tables import SHAFT_LETTERS

from models.formulas.iso_286 import (
    GRADES,
    FitKind,
    Limits,
    find_chance_of_interference,
    find_fit,
    find_limits,
    recognise_class,
)
from trainer.session.fits import answer_free_fit

PRESSFIT = "registry package pressfit 0.1.0; run in this test, shafts {} in holes H5 to H11"
ISOFITS = "registry package isofits 1.0; read once and frozen"
NARAYANA = "Narayana, Kannaiah, Venkata Reddy, Machine Drawing; table {}"
HANDBOOK = (
    "Machinery's Handbook, 31st ed.; table 17 (ANSI/ABMA 7-1995 seats and housings of bearings)"
)
BHANDARI = (
    "Bhandari, Design of Machine Elements; example {}, as worked in its Scilab textbook companion"
)
SHIGLEY = "Shigley's Mechanical Engineering Design, 9th ed.; example 7-7"
CORRECTION = "ISO 286-2:1988/Cor.1:2006"

STEPS_MM = (
    3, 6, 10, 14, 18, 24, 30, 40, 50, 65, 80, 100, 120, 140, 160, 180, 200, 225, 250, 280, 315,
    355, 400, 450, 500,
)  # fmt: skip
MAIN_STEPS_MM = (3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500)


def _ends(to_mm: float, steps: tuple[int, ...]) -> tuple[float, float]:
    """Give a size just above the step's lower bound, and its upper bound."""
    number = steps.index(int(to_mm))
    return (steps[number - 1] if number else 0) + 0.01, to_mm


def _limits(size_mm: float, name: str) -> tuple[float, float]:
    """Give upper and lower deviation in um, as tables print them."""
    found = find_limits(size_mm, name)
    return found.upper_um, found.lower_um


# ---------------------------------------------------------------- registry packages


@pytest.mark.parametrize(
    "letter",
    [
        pytest.param(letter, marks=pytest.mark.evidence(PRESSFIT.format(letter)))
        for letter in SHAFT_LETTERS
    ],
)
def test_fits_are_those_of_pressfit(letter: str) -> None:
    for to_mm in STEPS_MM:
        for size_mm in _ends(to_mm, STEPS_MM):
            for shaft_grade in GRADES:
                shaft = find_limits(size_mm, f"{letter}{shaft_grade}")
                for hole_grade in GRADES:
                    hole = find_limits(size_mm, f"H{hole_grade}")
                    theirs = pressfit.fit(f"{hole.name}/{shaft.name}", size_mm)
                    ours = find_fit(hole, shaft)
                    assert (ours.least_um, ours.most_um) == theirs.clearance_um
                    assert ours.kind == theirs.kind
                    assert (shaft.upper_um, shaft.lower_um) == (
                        theirs.shaft_es_um,
                        theirs.shaft_ei_um,
                    )


ISOFITS_STEPS_MM = (
    3, 6, 10, 18, 30, 40, 50, 65, 80, 100, 120, 140, 160, 180, 200, 225, 250, 280, 315, 355, 400,
)  # fmt: skip
# upper/lower in um by step, from over 3 up to 6 mm on
ISOFITS_UM = {
    "F6": "18/10 22/13 27/16 33/20 41/25 41/25 49/30 49/30 58/36 58/36 68/43 68/43 68/43 79/50 79/50 79/50 88/56 88/56 98/62 98/62",
    "F7": "22/10 28/13 34/16 41/20 50/25 50/25 60/30 60/30 71/36 71/36 83/43 83/43 83/43 96/50 96/50 96/50 108/56 108/56 119/62 119/62",
    "F8": "28/10 35/13 43/16 53/20 64/25 64/25 76/30 76/30 90/36 90/36 106/43 106/43 106/43 122/50 122/50 122/50 137/56 137/56 151/62 151/62",
    "G6": "12/4 14/5 17/6 20/7 25/9 25/9 29/10 29/10 34/12 34/12 39/14 39/14 39/14 44/15 44/15 44/15 49/17 49/17 54/18 54/18",
    "G7": "16/4 20/5 24/6 28/7 34/9 34/9 40/10 40/10 47/12 47/12 54/14 54/14 54/14 61/15 61/15 61/15 69/17 69/17 75/18 75/18",
    "J6": "5/-3 5/-4 6/-5 8/-5 10/-6 10/-6 13/-6 13/-6 16/-6 16/-6 18/-7 18/-7 18/-7 22/-7 22/-7 22/-7 25/-7 25/-7 29/-7 29/-7",
    "J7": "6/-6 8/-7 10/-8 12/-9 14/-11 14/-11 18/-12 18/-12 22/-13 22/-13 26/-14 26/-14 26/-14 30/-16 30/-16 30/-16 36/-16 36/-16 39/-18 39/-18",
    "J8": "10/-8 12/-10 15/-12 20/-13 24/-15 24/-15 28/-18 28/-18 34/-20 34/-20 41/-22 41/-22 41/-22 47/-25 47/-25 47/-25 55/-26 55/-26 60/-29 60/-29",
    "K6": "2/-6 ? 2/-9 2/-11 3/-13 3/-13 4/-15 4/-15 4/-18 4/-18 4/-21 4/-21 4/-21 5/-24 5/-24 5/-24 5/-27 5/-27 7/-29 7/-29",
    "K7": "3/-9 5/-10 6/-12 6/-15 7/-18 7/-18 9/-21 9/-21 10/-25 10/-25 12/-28 12/-28 12/-28 13/-33 13/-33 13/-33 16/-36 16/-36 17/-40 17/-40",
    "K8": "5/-13 6/-16 8/-19 10/-23 12/-27 12/-27 14/-32 14/-32 16/-38 16/-38 20/-43 20/-43 20/-43 22/-50 22/-50 22/-50 25/-56 25/-56 28/-61 28/-61",
    "M6": "-1/-9 -3/-12 -4/-15 -4/-17 -4/-20 -4/-20 -5/-24 -5/-24 -6/-28 -6/-28 -8/-33 -8/-33 -8/-33 -8/-37 -8/-37 -8/-37 -9/-41 -9/-41 -10/-46 -10/-46",
    "M7": "0/-12 0/-15 0/-18 0/-21 0/-25 0/-25 0/-30 0/-30 0/-35 0/-35 0/-40 0/-40 0/-40 0/-46 0/-46 0/-46 0/-52 0/-52 0/-57 0/-57",
    "M8": "2/-16 1/-21 2/-25 4/-29 5/-34 5/-34 5/-41 5/-41 6/-48 6/-48 8/-55 8/-55 8/-55 9/-63 9/-63 9/-63 9/-72 9/-72 11/-78 11/-78",
    "N6": "-5/-13 -7/-16 -9/-20 -11/-24 -12/-28 -12/-28 -14/-33 -14/-33 -16/-38 -16/-38 -20/-45 -20/-45 -20/-45 -22/-51 -22/-51 -22/-51 -25/-57 -25/-57 -26/-62 -26/-62",
    "N7": "-4/-16 -4/-19 -5/-23 -7/-28 -8/-33 -8/-33 -9/-39 -9/-39 -10/-45 -10/-45 -12/-52 -12/-52 -12/-52 -14/-60 -14/-60 -14/-60 -14/-66 -14/-66 -16/-73 -16/-73",
    "N8": "-2/-20 -3/-25 -3/-30 -3/-36 -3/-42 -3/-42 -4/-50 -4/-50 -4/-58 -4/-58 -4/-67 -4/-67 -4/-67 -5/-77 -5/-77 -5/-77 -5/-86 -5/-86 -5/-94 -5/-94",
    "P6": "-9/-17 -12/-21 -15/-26 -18/-31 -21/-37 -21/-37 -26/-45 -26/-45 -30/-52 -30/-52 -36/-61 -36/-61 -36/-61 -41/-70 -41/-70 -41/-70 -47/-79 -47/-79 -51/-87 -51/-87",
    "P7": "-8/-20 -9/-24 -11/-29 -14/-35 -17/-42 -17/-42 -21/-51 -21/-51 -24/-59 -24/-59 -28/-68 -28/-68 -28/-68 -33/-79 -33/-79 -33/-79 -36/-88 -36/-88 -41/-98 -41/-98",
    "P8": "-12/-30 -15/-37 -18/-45 -22/-55 -26/-65 -26/-65 -32/-78 -32/-78 -37/-91 -37/-91 -43/-106 -43/-106 -43/-106 -50/-122 -50/-122 -50/-122 -56/-137 -56/-137 -62/-151 -62/-151",
    "R6": "-12/-20 -16/-25 -20/-31 -24/-37 -29/-45 -29/-45 -35/-54 -37/-56 -44/-66 -47/-69 -56/-81 -58/-83 -61/-86 -68/-97 -71/-100 -75/-104 -85/-117 -89/-121 -97/-133 -103/-139",
    "R7": "-11/-23 -13/-28 -16/-34 -20/-41 -25/-50 -25/-50 -30/-60 -32/-62 -38/-73 -41/-76 -48/-88 -50/-90 -53/-93 -60/-106 -63/-109 -67/-113 -74/-126 -78/-130 -87/-144 -93/-150",
    "j5": "3/-2 4/-2 5/-3 5/-4 6/-5 6/-5 6/-7 6/-7 6/-9 6/-9 7/-11 7/-11 7/-11 7/-13 7/-13 7/-13 7/-16 7/-16 7/-18 7/-18",
    "j6": "6/-2 7/-2 8/-3 9/-4 11/-5 11/-5 12/-7 12/-7 13/-9 13/-9 14/-11 14/-11 14/-11 16/-13 16/-13 16/-13 16/-16 16/-16 18/-18 18/-18",
    "j7": "8/-4 10/-5 12/-6 13/-8 15/-10 15/-10 18/-12 18/-12 20/-15 20/-15 22/-18 22/-18 22/-18 25/-21 25/-21 25/-21 26/-26 26/-26 29/-28 29/-28",
    "r6": "23/15 28/19 34/23 41/28 50/34 50/34 60/41 62/43 73/51 76/54 88/63 90/65 93/68 106/77 109/80 113/84 126/94 130/98 144/108 150/114",
}  # fmt: skip


@pytest.mark.evidence(ISOFITS)
@pytest.mark.parametrize("name", ISOFITS_UM)
def test_holes_and_bearing_seats_are_those_of_isofits(name: str) -> None:
    cells = ISOFITS_UM[name].split()
    assert len(cells) == len(ISOFITS_STEPS_MM) - 1
    for to_mm, cell in zip(ISOFITS_STEPS_MM[1:], cells, strict=True):
        if cell != "?":
            upper, lower = (float(um) for um in cell.split("/"))
            for size_mm in _ends(to_mm, ISOFITS_STEPS_MM):
                assert _limits(size_mm, name) == (upper, lower), size_mm


# ---------------------------------------------------------------- books

# IT5 to IT11 by step, as printed
GRADES_UM = """
4 6 10 14 25 40 60 | 5 8 12 18 30 48 75 | 6 9 15 22 36 58 90 | 8 11 18 27 43 70 110 | 9 13 21 33 52 84 130
11 16 25 39 62 100 160 | 13 19 30 46 74 120 190 | 15 22 35 54 87 140 220 | 18 25 40 63 100 160 250
20 29 46 72 115 185 290 | 23 32 52 81 130 210 320 | 25 36 57 89 140 230 360 | 27 40 63 97 155 250 400
"""


@pytest.mark.evidence(NARAYANA.format("15.1"))
def test_tolerance_grades_are_as_printed() -> None:
    rows = [row.split() for row in GRADES_UM.replace("\n", "|").split("|") if row.strip()]
    assert len(rows) == len(MAIN_STEPS_MM)
    for to_mm, row in zip(MAIN_STEPS_MM, rows, strict=True):
        for size_mm in _ends(to_mm, MAIN_STEPS_MM):
            widths = [_limits(size_mm, f"H{grade}")[0] for grade in GRADES]
            assert widths == [float(um) for um in row], size_mm


# nearest deviation by letter: each step's upper bound, and the value from that of the row before on
SHAFTS_FROM_180_UM = {
    "c": (-240, -260, -280, -300, -330, -360, -400, -440, -480),
    "d": (-170, -170, -170, -190, -190, -210, -210, -230, -230),
    "e": (-100, -100, -100, -110, -110, -125, -125, -135, -135),
    "f": (-50, -50, -50, -56, -56, -62, -62, -68, -68),
    "g": (-15, -15, -15, -17, -17, -18, -18, -20, -20),
    "j5": (-13, -13, -13, -16, -16, -18, -18, -20, -20),
    "j6": (-13, -13, -13, -16, -16, -18, -18, -20, -20),
    "j7": (-21, -21, -21, -26, -26, -28, -28, -32, -32),
    "k": (4, 4, 4, 4, 4, 4, 4, 5, 5),
}
SHAFTS_TO_180_UM = {
    "m": (2, 4, 6, 7, 7, 8, 8, 9, 9, 11, 11, 13, 13, 15, 15, 15),
    "n": (4, 8, 10, 12, 12, 15, 15, 17, 17, 20, 20, 23, 23, 27, 27, 27),
    "p": (6, 12, 15, 18, 18, 22, 22, 26, 26, 32, 32, 37, 37, 43, 43, 43),
    "r": (10, 15, 19, 23, 23, 28, 28, 34, 34, 41, 43, 51, 54, 63, 65, 68),
    "s": (14, 19, 23, 28, 28, 35, 35, 43, 43, 53, 59, 71, 79, 92, 100, 108),
    "u": (18, 23, 28, 33, 33, 41, 48, 60, 70, 87, 102, 124, 144, 170, 190, 210),
}
HOLES_FROM_120_UM = {
    "C": (200, 210, 230, 240, 260, 280, 300, 330, 360, 400, 440, 480),
    "D": (145, 145, 145, 170, 170, 170, 190, 190, 210, 210, 230, 230),
    "E": (85, 85, 85, 100, 100, 100, 110, 110, 125, 125, 135, 135),
    "F": (43, 43, 43, 50, 50, 50, 56, 56, 62, 62, 68, 68),
    "G": (14, 14, 14, 15, 15, 15, 17, 17, 18, 18, 20, 20),
    "J6": (18, 18, 18, 22, 22, 22, 25, 25, 29, 29, 33, 33),
    "J7": (26, 26, 26, 30, 30, 30, 36, 36, 39, 39, 43, 43),
    "J8": (41, 41, 41, 47, 47, 47, 55, 55, 60, 60, 66, 66),
}
# K, M, N to grade 8, P to U to grade 7: the printed value less the printed delta of the grade, over 180 up to 500 mm
DELTA_UM = {6: (9, 9, 11, 13), 7: (17, 20, 21, 23), 8: (26, 29, 32, 34)}
DELTA_STEPS = (0, 0, 0, 1, 1, 2, 2, 3, 3)
HOLES_LESS_DELTA_UM: dict[str, tuple[int | None, ...]] = {
    "K": (-4, -4, -4, -4, -4, -4, -4, -5, -5),
    "M": (-17, -17, -17, -20, -20, -21, -21, -23, -23),
    "N": (-31, -31, -31, -34, -34, -37, -37, -40, -40),
    "P": (-50, -50, -50, -56, -56, -62, -62, -68, -68),
    "R": (-77, -80, -84, -94, -98, -108, -114, -126, -132),
    "S": (-122, -130, -140, -158, -170, -190, -208, -232, -252),
    # left out: the page gives -256 over 200 up to 225 mm, where its own table 15.4 makes it IT7 + D, which is 258
    "U": (-236, None, -284, -315, -350, -390, -435, -490, -540),
}


def _nearest(limits: tuple[float, float]) -> float:
    return min(limits, key=abs)


@pytest.mark.parametrize(
    ("letter", "values", "first"),
    [
        *(
            pytest.param(key, values, 16, marks=pytest.mark.evidence(NARAYANA.format("15.2, a to k")))
            for key, values in SHAFTS_FROM_180_UM.items()
        ),
        *(
            pytest.param(key, values, 0, marks=pytest.mark.evidence(NARAYANA.format("15.2, m to zc")))
            for key, values in SHAFTS_TO_180_UM.items()
        ),
        *(
            pytest.param(key, values, 13, marks=pytest.mark.evidence(NARAYANA.format("15.3, A to N")))
            for key, values in HOLES_FROM_120_UM.items()
        ),
    ],
)  # fmt: skip
def test_fundamental_deviations_are_as_printed(
    letter: str, values: tuple[int, ...], first: int
) -> None:
    steps = STEPS_MM[first : first + len(values)]
    assert len(steps) == len(values)
    grades = (7, 6) if letter.isalpha() else ("",)
    for to_mm, um in zip(steps, values, strict=True):
        for size_mm in _ends(to_mm, STEPS_MM):
            for grade in grades:
                limits = _limits(size_mm, f"{letter}{grade}")
                found = limits[1] if letter[0] == "j" else limits[0] if letter[0] == "J" else _nearest(limits)  # fmt: skip
                assert found == um, size_mm


@pytest.mark.parametrize(
    "letter",
    [
        pytest.param(letter, marks=pytest.mark.evidence(NARAYANA.format(table)))
        for letters, table in (("KMN", "15.3, A to N"), ("PRSU", "15.3, P to ZC"))
        for letter in letters
    ],
)
def test_holes_are_raised_by_the_printed_delta(letter: str) -> None:
    for grade in (6, 7, 8) if letter in "KMN" else (6, 7):
        for to_mm, base, step in zip(STEPS_MM[16:], HOLES_LESS_DELTA_UM[letter], DELTA_STEPS, strict=True):  # fmt: skip
            if base is None:
                continue
            special = 2 if (letter, grade, step) == ("M", 6, 1) else 0  # printed: M6 is -9, not -11
            printed = base + DELTA_UM[grade][step] + special
            assert _limits(to_mm, f"{letter}{grade}")[0] == printed, (to_mm, grade)


@pytest.mark.evidence(NARAYANA.format("15.3, example below it"))
def test_the_printed_example_of_a_hole_p7_is_met() -> None:
    assert {_limits(size, "P7")[0] for size in (18.01, 30.0)} == {-14.0}


# upper, lower in um; shafts from over 10 up to 18 mm on, housings from over 18 up to 30 mm on
SEATS_UM = {
    "g6": "-6/-17 -7/-20 -9/-25 -10/-29 -12/-34",
    "h6": "0/-11 0/-13 0/-16 0/-19 0/-22",
    "j5": "5/-3 5/-4 6/-5 6/-7 6/-9",
    "j6": "8/-3 9/-4 11/-5 12/-7 13/-9",
    "k5": "9/1 11/2 13/2 15/2 18/3",
    "m5": "15/7 17/8 20/9 24/11 28/13",
    "H6": "13/0 16/0 19/0 22/0 25/0 29/0",
    "H7": "21/0 25/0 30/0 35/0 40/0 46/0",
    "J6": "8/-5 10/-6 13/-6 16/-6 18/-7 22/-7",
    "J7": "12/-9 14/-11 18/-12 22/-13 26/-14 30/-16",
    "K6": "2/-11 3/-13 4/-15 4/-18 4/-21 5/-24",
    "K7": "6/-15 7/-18 9/-21 10/-25 12/-28 13/-33",
    "M6": "-4/-17 -4/-20 -5/-24 -6/-28 -8/-33 -8/-37",
    "M7": "0/-21 0/-25 0/-30 0/-35 0/-40 0/-46",
}


@pytest.mark.evidence(HANDBOOK)
@pytest.mark.parametrize("name", SEATS_UM)
def test_bearing_seats_and_housings_are_as_printed(name: str) -> None:
    first = 4 if name[0].isupper() else 3
    cells = SEATS_UM[name].split()
    for to_mm, cell in zip(MAIN_STEPS_MM[first : first + len(cells)], cells, strict=True):
        upper, lower = (float(um) for um in cell.split("/"))
        for size_mm in _ends(to_mm, MAIN_STEPS_MM):
            assert _limits(size_mm, name) == (upper, lower), size_mm


# largest housing bore in mm of the printed table, by outside diameter of the bearing
HOUSINGS_H6_MM = (
    35.016, 37.016, 42.016, 47.016, 52.019, 62.019, 72.019, 80.019, 90.022, 100.022, 110.022, 120.022, 130.025,
    140.025, 150.025, 160.025, 170.025, 180.025, 190.029, 200.029, 215.029, 225.029, 240.029, 260.032, 280.032,
    300.032, 320.036, 340.036, 360.036, 380.036, 400.036, 420.040,
)  # fmt: skip


@pytest.mark.evidence(
    "ANSI/EASA AR100-2015; tables 2-13 and 2-14, housing fits H6 of the 300 series"
)
def test_housings_h6_are_as_printed() -> None:
    for largest_mm in HOUSINGS_H6_MM:
        size_mm = float(int(largest_mm))
        upper, lower = _limits(size_mm, "H6")
        assert (size_mm + upper / 1e3, lower) == pytest.approx((largest_mm, 0.0))


@pytest.mark.parametrize(
    ("size_mm", "hole", "shaft", "hole_um", "shaft_um", "between_um"),
    [
        pytest.param(20, "H6", "e7", (13, 0), (-40, -61), (40, 74), marks=pytest.mark.evidence(BHANDARI.format("3.1"))),
        pytest.param(20, "H7", "s6", (21, 0), (48, 35), (-48, -14), marks=pytest.mark.evidence(BHANDARI.format("3.2"))),
        pytest.param(50, "H7", "s6", (25, 0), (59, 43), (-59, -18), marks=pytest.mark.evidence(BHANDARI.format("3.3"))),
        pytest.param(12, "H11", "d11", (110, 0), (-50, -160), (50, 270), marks=pytest.mark.evidence(BHANDARI.format("3.4"))),
        pytest.param(34, "H11", "c11", (160, 0), (-120, -280), (120, 440), marks=pytest.mark.evidence(SHIGLEY)),
    ],
)  # fmt: skip
def test_worked_examples_are_met(
    size_mm: float,
    hole: str,
    shaft: str,
    hole_um: tuple[float, float],
    shaft_um: tuple[float, float],
    between_um: tuple[float, float],
) -> None:
    found = answer_free_fit(size_mm, hole, shaft)
    assert (found.hole.upper_um, found.hole.lower_um) == hole_um
    assert (found.shaft.upper_um, found.shaft.lower_um) == shaft_um
    assert (found.between.least_um, found.between.most_um) == between_um


@pytest.mark.parametrize(
    ("name", "over_mm", "to_mm", "end", "um"),
    [("E8", 80, 120, 0, 126), ("f9", 250, 315, 1, -186)],
)
@pytest.mark.evidence(CORRECTION)
def test_the_misprints_of_the_old_table_are_corrected(
    name: str, over_mm: float, to_mm: float, end: int, um: float
) -> None:
    for size_mm in (over_mm + 0.01, to_mm):
        assert _limits(size_mm, name)[end] == um


# ---------------------------------------------------------------- beside them, not counted


@pytest.mark.evidence("closed form: the normal distribution")
def test_the_chance_of_interference_of_40_h7_k6_is_that_of_the_normal_distribution() -> None:
    """FIT-5: mean clearance 2.5 um, sigma 4.947 um."""
    found = answer_free_fit(40, "H7", "k6")
    assert (found.between.least_um + found.between.most_um) / 2 == 2.5
    assert found.chance == pytest.approx(0.3067, abs=5e-5)
    assert found.between.kind is FitKind.TRANSITION
    assert find_chance_of_interference(2.5, 4.947) == pytest.approx(0.3067, abs=5e-5)


@pytest.mark.evidence("ISO 286-1:2010; holes up to 3 mm", from_memory=True)
def test_holes_up_to_3_mm_are_not_raised() -> None:
    for name, upper in {"K7": 0, "M7": -2, "N7": -4, "P7": -6, "N9": -4}.items():
        assert _limits(3.0, name)[0] == upper
    assert _limits(3.01, "N9")[0] == 0


@pytest.mark.evidence("structure: there and back")
def test_recognising_gives_back_limits_that_are_those_of_the_class() -> None:
    for size_mm in (2.0, 24.0, 40.0, 156.0, 300.0, 480.0):
        for name in ("H7", "h6", "k5", "p6", "F7", "JS8", "K7", "N9", "f7", "js6"):
            limits: Limits = find_limits(size_mm, name)
            known = recognise_class(size_mm, limits.lower_um, limits.upper_um, hole=limits.is_hole)
            again = find_limits(size_mm, known)
            assert (again.lower_um, again.upper_um) == (limits.lower_um, limits.upper_um)
