"""Items of the standard tables against published values.

NAMED or PACKAGE values are hard; those marked MEMORY are recalled from the standard and provisional.
"""

from __future__ import annotations

import itertools

import pytest

from models.spec.build import TABLES
from models.spec.standard import read_standard

# EN 1092-1 PN 16 (a public source table and memory agree): DN: outside, bolt circle, holes, hole
PN16 = {
    "50": (165, 125, 4, 18),
    "80": (200, 160, 8, 18),
    "100": (220, 180, 8, 18),
    "125": (250, 210, 8, 18),
    "150": (285, 240, 8, 22),
    "200": (340, 295, 12, 22),
}
# bd_warehouse 0.4.0 (ASME B16.5 Table 7), holes in inches: NPS: outside, bolt circle, holes, hole
CLASS_150 = {
    "2": (150, 120.7, 4, 3 / 4),
    "3": (190, 152.4, 4, 3 / 4),
    "4": (230, 190.5, 8, 3 / 4),
    "5": (255, 215.9, 8, 7 / 8),
    "6": (280, 241.3, 8, 7 / 8),
    "8": (345, 298.5, 8, 7 / 8),
}
# bd_warehouse 0.4.0 (ISO 3601-1 / AS568): dash number: inside, section
O_RINGS = {"123": (29.82, 2.62), "218": (31.34, 3.53), "222": (37.69, 3.53)}
O_RING_TOLERANCES = {"123": (0.30, 0.08), "218": (0.30, 0.10), "222": (0.38, 0.10)}
# bd_warehouse 0.4.0 (ISO 4014): thread: width across flats
HEX = {"M12": 18, "M16": 24, "M20": 30}
# MEMORY: ISO 15 boundary dimensions: bore, outside, width
BEARINGS = {
    "6206": (30, 62, 16),
    "6208": (40, 80, 18),
    "6306": (30, 72, 19),
    "6308": (40, 90, 23),
    "6310": (50, 110, 27),
    "6312": (60, 130, 31),
}


@pytest.mark.evidence("EN 1092-1; PN 16, a public table of its data")
@pytest.mark.parametrize("size", PN16)
def test_a_pn16_drilling_is_as_en_1092_1_says(size: str) -> None:
    row = read_standard(TABLES, "flanges-pn16")[size]
    found = tuple(row[key].nominal for key in ("outside", "bolt-circle", "holes", "hole"))
    assert found == PN16[size]


@pytest.mark.evidence("bd_warehouse 0.4.0; ASME B16.5 Table 7")
@pytest.mark.parametrize("size", CLASS_150)
def test_a_class_150_drilling_is_as_the_package_says(size: str) -> None:
    row = read_standard(TABLES, "flanges-class-150")[size]
    *found, hole = (row[key].nominal for key in ("outside", "bolt-circle", "holes", "hole"))
    assert (*found, hole / 25.4) == pytest.approx(CLASS_150[size])


@pytest.mark.evidence("structure: millimetres of an inch drilling")
def test_bolt_circles_of_class_150_are_sixteenths_of_an_inch() -> None:
    """The drilling is in inches: the millimetres of the package are those, to a tenth."""
    for size, row in read_standard(TABLES, "flanges-class-150").items():
        sixteenths = row["bolt-circle"].nominal / 25.4 * 16
        assert abs(sixteenths - round(sixteenths)) * 25.4 / 16 <= 0.051, size


@pytest.mark.evidence("structure: no row left out")
def test_every_flange_of_the_tables_is_checked() -> None:
    assert set(read_standard(TABLES, "flanges-pn16")) == set(PN16)
    assert set(read_standard(TABLES, "flanges-class-150")) == set(CLASS_150)


@pytest.mark.evidence("bd_warehouse 0.4.0; ISO 3601-1 and AS568")
@pytest.mark.parametrize("dash", O_RINGS)
def test_an_o_ring_is_as_the_package_says(dash: str) -> None:
    row = read_standard(TABLES, "o-rings")[dash]
    assert (row["inside"].nominal, row["section"].nominal) == O_RINGS[dash]
    inside, section = O_RING_TOLERANCES[dash]
    assert row["inside"].upper - row["inside"].nominal == pytest.approx(inside)
    assert row["section"].upper - row["section"].nominal == pytest.approx(section)


@pytest.mark.evidence("AS568 steps", from_memory=True)
def test_o_rings_of_one_section_grow_by_the_steps_of_the_inch_system() -> None:
    """Dash sizes 2xx grow by 1/8 in up to 258, by 1/4 in up to 274, then by 1/2 in; held to a hundredth.

    Source: anchors 228 (56.74) and 250 (126.59) are bd_warehouse 0.4.0; the step rule of AS568 is from memory.
    """
    rows = read_standard(TABLES, "o-rings")
    eighth_mm = 25.4 / 8
    anchors = {228: 56.74, 250: 126.59}
    for dash, anchor in ((226, 228), (227, 228), (253, 250), (254, 250), (255, 250)):
        expected = anchors[anchor] + (dash - anchor) * eighth_mm
        assert rows[str(dash)]["inside"].nominal == pytest.approx(expected, abs=0.011), dash
    inside = [rows[str(dash)]["inside"].nominal for dash in (271, 272, 273, 274, 275)]
    steps = [b - a for a, b in itertools.pairwise(inside)]
    assert steps == pytest.approx([6.35, 6.35, 6.35, 12.7], abs=0.011)


@pytest.mark.evidence("bd_warehouse 0.4.0; ISO 4014")
@pytest.mark.parametrize("thread", HEX)
def test_a_hexagon_is_as_wide_as_iso_4014_says(thread: str) -> None:
    assert read_standard(TABLES, "hex-fasteners")[thread]["across-flats"].nominal == HEX[thread]


@pytest.mark.evidence("ISO 15", from_memory=True)
@pytest.mark.parametrize("name", BEARINGS)
def test_a_bearing_has_its_boundary_dimensions_from_memory(name: str) -> None:
    row = read_standard(TABLES, "deep-groove-bearings")[name]
    assert tuple(row[key].nominal for key in ("bore", "outside", "width")) == BEARINGS[name]


@pytest.mark.evidence("structure: no row left out")
def test_every_bearing_of_the_table_is_checked() -> None:
    assert set(read_standard(TABLES, "deep-groove-bearings")) == set(BEARINGS)


@pytest.mark.evidence("ISO 15 designations", from_memory=True)
def test_a_bearing_bore_number_is_a_fifth_of_its_bore() -> None:
    """ISO 15 designations: from 04 up the last two digits times five are the bore (common practice)."""
    for name, row in read_standard(TABLES, "deep-groove-bearings").items():
        assert row["bore"].nominal == 5 * int(name[-2:])


# SAE J617 and J620, inch sizes; a summary of J617:2020 and an extract of J620 D agree with the millimetres
# of the rows marked there; MEMORY for Nos 5, 3 and 1/2: number: (pilot, bolt circle) in inches, holes
HOUSINGS_IN = {
    "6": (10.5, 11.25, 8),
    "5": (12.375, 13.125, 8),
    "4": (14.25, 15.0, 12),
    "3": (16.125, 16.875, 12),
    "2": (17.625, 18.375, 12),
    "1": (20.125, 20.875, 12),
    "1/2": (23.0, 24.375, 12),
    "0": (25.5, 26.75, 16),
    "00": (31.0, 33.5, 16),
}
# J620 D extract, in inches: clutch size: (pilot, bolt circle), holes
FLYWHEELS_IN = {
    "6.5": (8.5, 7.875, 6),
    "7.5": (9.5, 8.75, 8),
    "8": (10.375, 9.625, 6),
    "10": (12.375, 11.625, 8),
    "11.5": (13.875, 13.125, 8),
    "14": (18.375, 17.25, 8),
    "16": (20.375, 19.25, 8),
    "18": (22.5, 21.375, 6),
}


# what the summary of J617 does not show
HOUSINGS_RECALLED = ("5", "3", "1/2")

ENGINE_SIZES = [
    *(
        pytest.param(
            "engine-housings-sae-j617", name, HOUSINGS_IN[name],
            marks=pytest.mark.evidence("SAE J617:2020, summary", from_memory=name in HOUSINGS_RECALLED),
        )
        for name in HOUSINGS_IN
    ),
    *(
        pytest.param(
            "flywheels-sae-j620", name, FLYWHEELS_IN[name],
            marks=pytest.mark.evidence("SAE J620 D, extract"),
        )
        for name in FLYWHEELS_IN
    ),
]  # fmt: skip


@pytest.mark.parametrize(("table", "name", "inches"), ENGINE_SIZES)
def test_engine_pilots_and_bolt_circles_are_their_inch_sizes(
    table: str, name: str, inches: tuple[float, float, int]
) -> None:
    row, (pilot_in, circle_in, holes) = read_standard(TABLES, table)[name], inches
    # the published millimetres are rounded, or cut off, to a hundredth
    assert row["pilot"].nominal == pytest.approx(25.4 * pilot_in, abs=0.011)
    assert row["bolt-circle"].nominal == pytest.approx(25.4 * circle_in, abs=0.011)
    assert row["holes"].nominal == holes


@pytest.mark.evidence("structure: no row left out")
def test_every_engine_size_of_the_tables_is_checked() -> None:
    assert set(read_standard(TABLES, "engine-housings-sae-j617")) == set(HOUSINGS_IN)
    assert set(read_standard(TABLES, "flywheels-sae-j620")) == set(FLYWHEELS_IN)


@pytest.mark.evidence("SAE J620 D, extract; size 11.5")
def test_the_reach_of_an_11_5_flywheel_is_as_the_extract_says() -> None:
    assert read_standard(TABLES, "flywheels-sae-j620")["11.5"]["reach"].nominal == 39.6


# MEMORY: ISO 4183 section SPZ: datum diameter: groove angle; the section's own figures are the same in every row
SPZ_ANGLES = {"71": 34, "80": 34, "90": 38, "100": 38, "112": 38, "125": 38}


@pytest.mark.evidence("ISO 4183", from_memory=True)
@pytest.mark.parametrize("diameter", SPZ_ANGLES)
def test_a_groove_is_as_the_section_spz_says(diameter: str) -> None:
    row = read_standard(TABLES, "wedge-belt-grooves")[f"SPZ {diameter}"]
    assert row["datum-diameter"].nominal == float(diameter)
    assert row["groove-angle"].nominal == SPZ_ANGLES[diameter]
    keys = ("datum-width", "above-datum", "below-datum", "edge")
    assert tuple(row[key].nominal for key in keys) == (8.5, 2.0, 9.0, 8.0)


@pytest.mark.evidence("structure: no row left out")
def test_every_groove_of_the_table_is_checked() -> None:
    assert {name.split()[1] for name in read_standard(TABLES, "wedge-belt-grooves")} == set(
        SPZ_ANGLES
    )


@pytest.mark.evidence("structure: belts and grooves of one section")
def test_belts_and_grooves_of_a_section_share_their_datum_width() -> None:
    belts = read_standard(TABLES, "wedge-belts").values()
    grooves = read_standard(TABLES, "wedge-belt-grooves").values()
    widths = {row["datum-width"].nominal for row in (*belts, *grooves)}
    assert widths == {8.5}
