"""The casing's own rule, and the spots it offers to what is bolted to its discharge flange."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from models.builds import make_named_build
from models.spec.build import TABLES
from models.spec.errors import ImpossibleChoiceError
from models.spec.rule import check_rules
from models.spec.standard import read_standard

PUMP = "end-suction/100-250"
POSITIONS = ("top-vertical", "top-horizontal", "bottom-horizontal")
MakeTables = Callable[[Mapping[str, Mapping[str, str]]], Path]


@pytest.mark.parametrize(
    ("height", "below"), [("315", ()), ("250", POSITIONS[2:]), ("200", POSITIONS)]
)
def test_a_casing_that_hangs_below_its_soles_breaks_rule_11_only(
    make_tables: MakeTables, height: str, below: tuple[str, ...]
) -> None:
    tables = make_tables({"volute.centre-height": {"nominal": height}})
    for value in POSITIONS:
        build = make_named_build(PUMP, {"discharge": value}, tables=tables)
        found = [(b.number, b.pieces) for b in check_rules(build, build.family.rules)]
        assert found == ([(11, ("volute",))] if value in below else []), value


@pytest.mark.parametrize("value", POSITIONS)
def test_the_flange_offers_its_bolt_spots_round_its_middle(value: str) -> None:
    piece = make_named_build(PUMP, {"discharge": value}).piece_at("volute")
    assert piece.part.mounts is not None
    mounts, face = piece.part.mounts(piece.row), piece.faces["discharge-face"]
    (middle,), bolts = mounts["discharge"], mounts["discharge-flange-nuts"]
    assert (middle.axis, middle.sign) == (face.axis, face.facing)
    assert len(bolts) == round(float(piece.row["holes"]))
    for bolt in bolts:
        assert (bolt.axis, bolt.sign) == (face.axis, -face.facing), "bolts point to the pump"
        apart = math.dist((float(bolt.x), bolt.y, bolt.z), (float(middle.x), middle.y, middle.z))
        assert apart == pytest.approx(float(piece.row["bolt-circle"]) / 2)


def test_a_discharge_turned_by_less_than_a_quarter_is_refused(make_tables: MakeTables) -> None:
    tables = make_tables({"volute-top-horizontal.discharge-turn": {"nominal": "45"}})
    with pytest.raises(ValueError, match="multiple of 90"):
        make_named_build(PUMP, {"discharge": "top-horizontal"}, tables=tables)


@pytest.mark.parametrize("value", POSITIONS)
def test_the_clean_out_turns_with_the_discharge_and_the_drain_stays_lowest(value: str) -> None:
    build = make_named_build(PUMP, {"discharge": value})
    piece = build.piece_at("volute")
    assert piece.part.mounts is not None
    mounts, row = piece.part.mounts(piece.row), {k: float(v) for k, v in piece.row.items()}
    (middle,), (flange,), studs = (
        mounts[name] for name in ("clean-out", "discharge", "clean-out-studs")
    )
    way = {"top-vertical": (0, 1), "top-horizontal": (1, 0), "bottom-horizontal": (-1, 0)}[value]
    along = middle.y * way[0] + middle.z * way[1]
    across = [spot.y * way[1] - spot.z * way[0] for spot in (middle, flange)]
    assert along == pytest.approx(row["clean-out-height"])
    assert across[0] == pytest.approx(across[1]), "it lies on the branch's axis"
    for stud in studs:
        apart = math.dist((stud.y, stud.z), (middle.y, middle.z))
        assert apart == pytest.approx(row["clean-out-stud-circle"] / 2)
    low = float(build.position("casing-drain-plug", "head-top"))
    assert -row["centre-height"] < low < -row["rim-diameter"] / 2


def test_the_clean_out_nuts_bear_one_gasket_and_one_cover_off_the_pad() -> None:
    build = make_named_build(PUMP)
    pad, nut = (
        build.position("volute", "clean-out-pad"),
        build.position("clean-out-nut", "bearing-face"),
    )
    rows = [build.piece_at(place).row for place in ("clean-out-gasket", "clean-out-cover")]
    assert float(pad - nut) == pytest.approx(sum(float(row["thickness"]) for row in rows))


@pytest.mark.parametrize("value", POSITIONS)
def test_a_suction_side_cast_in_has_the_faces_of_the_cover_and_not_its_joint(value: str) -> None:
    separate = make_named_build(PUMP, {"discharge": value})
    cast = make_named_build(PUMP, {"discharge": value, "suction-cover": "cast-in"})
    gone = {name.rstrip("-12345678") for name in set(separate.pieces) - set(cast.pieces)}
    assert gone == {"suction-cover", "cover-o-ring", "cover-stud", "cover-nut"}
    assert set(cast.pieces) <= set(separate.pieces)
    assert cast.piece_at("suction-cover") is cast.piece_at("volute")
    for face in ("ring-shoulder", "wet-face", "suction-face", "suction-flange-back"):
        there = [float(build.position("suction-cover", face)) for build in (separate, cast)]
        assert there[0] == pytest.approx(there[1]), face
    names = [{joint.name for joint in build.joints} for build in (separate, cast)]
    assert names[0] - names[1] == {"cover-joint", "cover-studs", "cover-nuts", "cover-seal"}
    assert "ring-fit" in names[1]
    for clearance in ("wear-ring", "front-gap"):
        assert clearance in {one.name for one in cast.clearances}
    assert "sling-cover" not in {work.key for work in cast.work}
    assert check_rules(cast, cast.family.rules) == ()


@pytest.mark.parametrize(
    ("option", "value", "reason"),
    [
        ("impeller", "semi-open", "machined for a wear ring"),
        ("priming", "vacuum-assisted", "drilled through for a pipe"),
    ],
)
def test_what_a_cast_in_suction_side_cannot_carry_is_refused_with_the_reason(
    option: str, value: str, reason: str
) -> None:
    with pytest.raises(ImpossibleChoiceError, match=reason):
        make_named_build(PUMP, {"suction-cover": "cast-in", option: value})


@pytest.mark.parametrize(
    ("options", "table", "suction", "discharge"),
    [
        ({}, "flanges-pn16", "125", "100"),
        ({"flanges": "class-150"}, "flanges-class-150", "5", "4"),
        ({"flanges": "class-150", "suction-cover": "cast-in"}, "flanges-class-150", "5", "4"),
    ],
)
def test_each_flange_is_drilled_as_its_table_says(
    options: Mapping[str, str], table: str, suction: str, discharge: str
) -> None:
    build = make_named_build(PUMP, options)
    items, volute = read_standard(TABLES, table), build.piece_at("volute").row
    cover = build.piece_at("suction-cover").row
    for key in ("outside", "bolt-circle", "hole", "holes"):
        assert float(volute[key]) == items[discharge][key].nominal, key
        assert float(cover[f"suction-{key}"]) == items[suction][key].nominal, key


@pytest.mark.parametrize("flanges", ["pn16", "class-150"])
def test_what_is_bolted_to_a_flange_has_its_drilling_and_bolts_that_go_through(
    flanges: str,
) -> None:
    build = make_named_build(PUMP, {"priming": "vacuum-assisted", "flanges": flanges})
    for pump, of, gasket, other, fastener, nut in (
        ("suction-cover", "suction-", "suction-gasket", "spool-piece", "spool-stud", "spool-nut"),
        ("volute", "", "discharge-gasket", "check-valve", "check-valve-stud", "check-valve-nut"),
    ):
        row, beside = build.piece_at(pump).row, build.piece_at(other).row
        packed, screw = build.piece_at(gasket).row, build.piece_at(fastener).row
        for key, twin in (
            ("outside", "outside"),
            ("bolt-circle", "stud-circle"),
            ("holes", "stud-count"),
            ("hole", "stud-hole"),
        ):
            assert float(row[of + key]) == float(beside[key]) == float(packed[twin]), (pump, key)
        for place in (fastener, nut):
            assert len(build.pieces_at(place)) == round(float(beside["holes"])), place
            assert float(build.piece_at(place).row["thread"]) == float(screw["thread"])
        assert 1.0 <= float(beside["hole"] - screw["thread"]) <= 3.1
        between = float(beside["flange-thickness"] + packed["thickness"])
        between += float(build.piece_at(nut).row["nut-height"])
        if pump == "suction-cover":
            held = float(row["flange-stud-depth"])
        else:  # a nut at each end
            held = float(row["discharge-flange-thickness"] + row["discharge-stud-reach"])
            below = float(build.piece_at("discharge-nut").row["nut-height"])
            assert float(row["discharge-stud-reach"]) >= below
        spare = float(screw["length"]) - between - held
        assert 0.0 <= spare <= 10.0, (fastener, spare)
