"""A shop's own limits: read with their unit and words, followed by rules and answers, refused with field and remedy."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.builds import make_named_build
from models.spec.build import TABLES
from models.spec.errors import ContentError, RefusalError
from models.spec.rule import check_rules
from trainer.core.measure.chain import measure_clearance
from trainer.session.shop import read_shop_limits, read_temperatures_c

PUMP = "end-suction/100-250"
HEADING = "clearance,least,aim,most,unit,source"


def write(tmp_path: Path, *rows: str, heading: str = HEADING) -> Path:
    file = tmp_path / "shop.csv"
    file.write_text("\n".join([heading, *rows]) + "\n", encoding="utf-8")
    return file


def test_depots_file_reads_and_every_row_is_followed() -> None:
    limits = read_shop_limits(TABLES / "shop" / "depot-limits.csv")
    build = make_named_build(PUMP, limits=limits)
    for name, row in limits.items():
        measured = measure_clearance(build, build.clearance(name))
        assert measured.required_mm == (row.lower, row.upper)
        assert "depot-limits.csv:" in measured.required_by
        assert measured.is_inside, name


def test_thousandths_and_percent_become_millimetres_and_shares(tmp_path: Path) -> None:
    file = write(tmp_path, "back-vane,20,24,28,thou,rig book", "cover-o-ring.fill,60,70,80,%,store")
    limits = read_shop_limits(file)
    vane, fill = limits["back-vane"], limits["cover-o-ring.fill"]
    assert (vane.lower, vane.nominal, vane.upper) == pytest.approx((0.508, 0.6096, 0.7112))
    assert (fill.lower, fill.nominal, fill.upper) == pytest.approx((0.6, 0.7, 0.8))
    assert str(vane.source) == f"{file}:2 (rig book)"


def test_a_rule_follows_the_shops_row(tmp_path: Path) -> None:
    """Rule 22 asks the least running clearance: by the shop's row the ring as drawn is too tight, by the table it is not."""
    sound = make_named_build(PUMP)
    assert 22 not in [broken.number for broken in check_rules(sound, sound.family.rules)]
    file = write(tmp_path, "wear-ring,0.7,0.8,0.9,mm,sandy wells")
    asked = make_named_build(PUMP, limits=read_shop_limits(file))
    found = [(b.number, b.pieces) for b in check_rules(asked, asked.family.rules)]
    assert found == [(22, ("wear-ring",))]


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("back-van,0.4,0.5,0.8,mm,shop", ":2:1: no clearance is called 'back-van'. did you mean back-vane"),
        ("back-vane,0.8,0.5,0.4,mm,shop", ":2:19: most 0.4 is below least 0.8. swap them"),
        ("back-vane,0.5,0.5,0.5,mm,shop", "least and most are both 0.5"),
        ("back-vane,0.4,0.9,0.8,mm,shop", ":2:15: aim 0.9 lies outside 0.4 to 0.8"),
        ("back-vane,0.4,0.5,0.8,,shop", ":2:23: unit is missing. write one of mm, um, thou, in"),
        ("back-vane,0.4,0.5,0.8,ft,shop", "unit 'ft' is unknown. write one of mm"),
        ("back-vane,0.4,0.5,0.8,%,shop", "unit '%' does not go with a length"),
        ("cover-o-ring.squeeze,14,18,22,mm,shop", "unit 'mm' does not go with a share"),
        ("back-vane,nan,0.5,0.8,mm,shop", "least is nan. write a finite number"),
        ("back-vane,0.4,,0.8,mm,shop", "aim is missing. write a number"),
        ("back-vane,0,4,0,5,0,8,mm,shop", "use a decimal point, not a comma"),
        ("back-vane,0.4,0.5,0.8,mm,", "source is missing. write who says so"),
    ],
)  # fmt: skip
def test_a_wrong_row_is_refused_with_place_and_remedy(tmp_path: Path, row: str, told: str) -> None:
    with pytest.raises(ContentError) as refused:
        read_shop_limits(write(tmp_path, row))
    assert told in str(refused.value)


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    file = write(tmp_path, "back-van,0.4,0.5,0.8,mm,shop", "wear-ring,1,1,1,,shop")
    with pytest.raises(ContentError) as refused:
        read_shop_limits(file)
    assert [fault.line for fault in refused.value.faults] == [2, 3, 3]


@pytest.mark.parametrize(
    ("rows", "heading", "told"),
    [
        ((), HEADING, "has no rows"),
        (("back-vane,0.4,0.8",), "clearance,least,most", "write clearance,least,aim,most,unit,source"),
        (("wear-ring,0.4,0.5,0.8,mm,a", "wear-ring,0.4,0.5,0.8,mm,b"), HEADING, "stands twice"),
    ],
)  # fmt: skip
def test_a_file_that_is_no_list_of_limits_is_refused(
    tmp_path: Path, rows: tuple[str, ...], heading: str, told: str
) -> None:
    with pytest.raises(ContentError, match=told):
        read_shop_limits(write(tmp_path, *rows, heading=heading))


def test_temperatures_move_the_gaps_and_twenty_degrees_move_nothing() -> None:
    cold = make_named_build(PUMP, temperatures_c=read_temperatures_c(["shaft=20", "casing=20"]))
    warm = make_named_build(PUMP, temperatures_c=read_temperatures_c(["shaft=60"]))
    gaps = [measure_clearance(build, build.clearance("back-vane")) for build in (cold, warm)]
    assert gaps[0].in_service_mm == gaps[0].value_mm
    # 330 mm of shaft less the impeller's and the shims' few, 40 K warmer: about 0.16 mm
    assert 0.14 < gaps[1].in_service_mm - gaps[1].value_mm < 0.17


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("shaft", "PART=DEGREES"),
        ("shaft=1,250", "write 1.250 or 1250"),
        ("shaft=warm", "degrees C"),
        ("shaft=nan", "no finite temperature"),
    ],
)
def test_a_wrong_temperature_is_refused(text: str, told: str) -> None:
    with pytest.raises(RefusalError, match=told):
        read_temperatures_c([text])


def test_a_part_without_temperature_and_one_too_hot_are_refused() -> None:
    with pytest.raises(RefusalError, match="did you mean shaft"):
        make_named_build(PUMP, temperatures_c={"shfat": 60.0})
    with pytest.raises(RefusalError, match="between -50 and 300"):
        make_named_build(PUMP, temperatures_c={"shaft": 600.0})
