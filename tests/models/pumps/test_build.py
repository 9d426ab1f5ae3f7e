"""Placing is adding: where each piece lies against sums written out by hand from the table."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from models.builds import list_builds, make_named_build
from models.spec.build import Build
from models.spec.clearance import Clearance, ClearanceKind
from models.spec.errors import ContentError, ImpossibleChoiceError, RefusalError
from models.spec.face import Axis, Face, plane
from models.spec.family import Family
from models.spec.joint import Joint, JointKind
from models.spec.part import Mount, Part, Row
from models.spec.seat import AsOne, Option, Place, Rows, Seat, Without

PUMP = "end-suction/100-250"
MakeTables = Callable[[Mapping[str, Mapping[str, str]]], Path]


def _middle(build: Build, key: str) -> float:
    part, _, dimension = key.partition(".")
    return build.size.parts[part][dimension].middle


def _sum(build: Build, plus: str, minus: str = "") -> float:
    return sum(_middle(build, k) for k in plus.split()) - sum(
        _middle(build, k) for k in minus.split()
    )


# place, face, what is added and what is taken away on the way from the casing face
POSITIONS = [
    ("volute", "rear-face", "volute.width", ""),
    ("back-plate", "bracket-face", "volute.width casing-gasket.thickness back-plate.flange-thickness", ""),
    ("back-plate", "wet-face", "volute.width casing-gasket.thickness back-plate.flange-thickness", "back-plate.wet-face-depth"),
    ("wear-ring", "drive-end", "suction-cover.ring-shoulder wear-ring.length", ""),
    (
        "shaft", "impeller-shoulder",
        "volute.width casing-gasket.thickness back-plate.flange-thickness bracket.length bearing-housing.thrust-shoulder-distance",
        "shaft.overhang",
    ),
    (
        "impeller", "back-vane-tip",
        "volute.width casing-gasket.thickness back-plate.flange-thickness bracket.length bearing-housing.thrust-shoulder-distance",
        "shaft.overhang pack.shim-1 pack.shim-2 pack.shim-3 impeller.back-vane-setback",
    ),
    (
        "bearing-cap", "spigot-end",
        "volute.width casing-gasket.thickness back-plate.flange-thickness bracket.length bearing-housing.thrust-shoulder-distance bearing-housing.outboard-depth cap-gasket.thickness",
        "bearing-cap.spigot-length",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("place", "face", "plus", "minus"), POSITIONS)
def test_a_face_lies_at_the_sum_of_its_dimensions(
    pump: Build, place: str, face: str, plus: str, minus: str
) -> None:
    position = pump.position(place, face)
    assert float(position) == pytest.approx(_sum(pump, plus, minus), abs=1e-9)
    signs = {1.0: len(plus.split()), -1.0: len(minus.split())}
    for sign, count in signs.items():
        assert sum(1 for s in position.terms.values() if s == sign) == count
    assert len(position.terms) == sum(signs.values())


def test_the_back_vane_gap_is_its_chain_written_out(pump: Build) -> None:
    gap = pump.position("back-plate", "wet-face") - pump.position("impeller", "back-vane-tip")
    expected = _sum(
        pump,
        "shaft.overhang pack.shim-1 pack.shim-2 pack.shim-3 impeller.back-vane-setback",
        "back-plate.wet-face-depth bracket.length bearing-housing.thrust-shoulder-distance",
    )
    assert float(gap) == pytest.approx(expected, abs=1e-9)
    assert ("casing-gasket", "thickness") not in gap.terms, "both ends ride on the gasket"


@pytest.mark.parametrize("change_mm", [-0.3, 0.05, 0.7])
def test_a_thicker_pack_moves_the_impeller_by_exactly_the_change(
    pump: Build, change_mm: float
) -> None:
    first, *others = pump.pack
    thicker = replace(
        first,
        nominal=first.nominal + change_mm,
        lower=first.lower + change_mm,
        upper=first.upper + change_mm,
    )
    moved = make_named_build(PUMP, pack=(thicker, *others))
    for name, piece in pump.pieces.items():
        shift = float(moved.pieces[name].pose.origin[0]) - float(piece.pose.origin[0])
        rides = {"impeller", "retaining-washer", "centring-washer", "tab-washer", "impeller-screw"}
        rides |= {"seal-retainer", "seal-spring", "shim-2", "shim-3"}
        assert shift == pytest.approx(-change_mm if name in rides else 0.0, abs=1e-9), name


def test_the_pack_counts_from_the_shaft_shoulder(pump: Build) -> None:
    places = pump.pieces_at("shim")
    assert places == ("shim-1", "shim-2", "shim-3")
    assert [float(pump.pieces[name].row["thickness"]) for name in places] == [0.5, 0.3, 0.2]
    shoulder = float(pump.position("shaft", "impeller-shoulder"))
    assert float(pump.pieces["shim-1"].pose.origin[0]) == pytest.approx(shoulder)
    assert float(pump.position("shim", "suction-end")) == pytest.approx(shoulder - 1.0)


def test_an_empty_pack_is_refused() -> None:
    with pytest.raises(RefusalError, match="at least one shim"):
        make_named_build(PUMP, pack=())


def test_a_measured_value_replaces_the_middle_of_the_limits(pump: Build) -> None:
    measured = make_named_build(PUMP, measured={("shaft", "overhang"): 330.04})
    assert float(measured.pieces["shaft"].row["overhang"]) == 330.04
    shift = measured.position("impeller", "back-vane-tip") - pump.position(
        "impeller", "back-vane-tip"
    )
    assert float(shift) == pytest.approx(-0.04, abs=1e-9)


def test_a_piece_not_measured_has_the_middle_of_its_limits_and_not_the_nominal(pump: Build) -> None:
    ring = pump.pieces["wear-ring"]
    assert float(ring.row["outside"]) == pytest.approx(156.0555)
    assert ring.dimensions["outside"].nominal == 156.0


def test_equal_pieces_are_measured_apart() -> None:
    build = make_named_build(PUMP, measured={("cover-stud-3", "length"): 54.5})
    assert float(build.pieces["cover-stud-3"].row["length"]) == 54.5
    assert float(build.pieces["cover-stud-4"].row["length"]) == 54.0


@pytest.mark.parametrize(
    ("measured", "said"),
    [
        ({("shft", "overhang"): 330.0}, "did you mean shaft"),
        ({("shaft", "overhangs"): 330.0}, "did you mean overhang"),
        ({("shaft", "overhang"): 12.992}, "is it in inches"),
        ({("shaft", "overhang"): float("nan")}, "measured as nan"),
    ],
)
def test_a_measurement_that_cannot_be_is_refused_with_what_may_be_meant(
    measured: dict[tuple[str, str], float], said: str
) -> None:
    with pytest.raises(RefusalError, match=said):
        make_named_build(PUMP, measured=measured)


@pytest.mark.parametrize(
    ("name", "options", "said"),
    [
        ("end-suction/100-25", {}, "did you mean end-suction/100-250"),
        ("end-suction/100-250", {"braket": "open"}, "did you mean bracket"),
        ("end-suction/100-250", {"bracket": "opn"}, "did you mean open"),
        ("end-suction/100-250", {"discharge": "top-horizontl"}, "did you mean top-horizontal"),
        (
            "end-suction/100-250",
            {"discharge": "sideways"},
            "option discharge has no value 'sideways'",
        ),
        ("zzz", {}, "known: "),
    ],
)
def test_an_unknown_name_is_refused_with_near_matches(
    name: str, options: dict[str, str], said: str
) -> None:
    with pytest.raises(RefusalError, match=said):
        make_named_build(name, options)


def test_an_unknown_clearance_is_refused_with_near_matches(pump: Build) -> None:
    with pytest.raises(RefusalError, match="did you mean back-vane"):
        pump.clearance("back-vanes")


def test_every_build_listed_can_be_made_with_every_option() -> None:
    made = 0
    for name, family in list_builds().items():
        usual = make_named_build(name).options
        for option, values in family.option_values().items():
            assert usual[option] == values[0]
            for value in values[1:]:
                assert make_named_build(name, {option: value}).options[option] == value
                made += 1
    assert made >= 2


def test_the_first_value_of_an_option_is_the_usual_one(pump: Build, open_pump: Build) -> None:
    assert pump.options == {name: values[0] for name, values in pump.family.option_values().items()}
    assert pump.options["bracket"] == "enclosed"
    windows = ["window-width" in one.piece_at("bracket").row for one in (pump, open_pump)]
    assert windows == [False, True]


def test_the_discharge_moves_only_what_is_bolted_to_clean_out_and_drain(pump: Build) -> None:
    turning = {"clean-out", "clean-out-studs", "drain"}
    for value in ("top-horizontal", "bottom-horizontal"):
        turned = make_named_build(PUMP, {"discharge": value})
        assert turned.piece_at("volute").part is pump.piece_at("volute").part
        ways = [build.piece_at("volute").faces["discharge-face"] for build in (turned, pump)]
        assert (ways[0].axis, ways[0].facing) != (ways[1].axis, ways[1].facing)
        assert list(turned.pieces) == list(pump.pieces)
        for name, piece in turned.pieces.items():
            pose, usual = piece.pose, pump.pieces[name].pose
            if piece.place.mounts and piece.place.mounts in {("volute", one) for one in turning}:
                continue
            assert [float(at) for at in pose.origin] == [float(at) for at in usual.origin], name
            assert (pose.axis, pose.sign, pose.turn_deg) == (usual.axis, usual.sign, usual.turn_deg)


def test_a_row_that_a_part_needs_and_the_table_lacks_is_a_fault_of_content(
    make_tables: MakeTables,
) -> None:
    tables = make_tables({})
    path = tables / "sizes" / f"{PUMP}.csv"
    lines = path.read_text("utf-8").splitlines(keepends=True)
    path.write_text(
        "".join(line for line in lines if not line.startswith("shaft.overhang,")), "utf-8"
    )
    with pytest.raises(ContentError, match=r"overhang is missing, which shaft needs"):
        make_named_build(PUMP, tables=tables)


def test_one_changed_row_moves_what_rests_on_it(pump: Build, make_tables: MakeTables) -> None:
    longer = make_named_build(PUMP, tables=make_tables({"bracket.length": {"nominal": "83"}}))
    for place, shift in (("bearing-housing", 1.0), ("impeller", 1.0), ("back-plate", 0.0)):
        face = next(iter(pump.piece_at(place).faces))
        assert float(longer.position(place, face) - pump.position(place, face)) == pytest.approx(
            shift
        )


# -------------------------------------------------------------------- made-up families


def _stack(ring: Part) -> tuple[Place, ...]:
    return (
        Place("base", ring),
        Place("plate", ring, Seat("low", "base", "high")),
        Place("lid", ring, Seat("low", "plate", "high")),
    )


SIZES = {
    f"{name}.{key}": value
    for name, length in (("base", 20.0), ("plate", 7.0), ("lid", 5.0), ("whole", 31.0))
    for key, value in (("outside", 100.0), ("bore", 60.0), ("length", length))
}


def test_pieces_stack_by_their_lengths(ring: Part, make_tiny: Callable[..., Build]) -> None:
    build = make_tiny(Family("tiny", _stack(ring), ()), SIZES)
    assert float(build.position("lid", "high")) == pytest.approx(32.0)
    assert dict(build.position("lid", "high").terms) == {
        ("base", "length"): 1.0,
        ("plate", "length"): 1.0,
        ("lid", "length"): 1.0,
    }


def test_one_casting_can_fill_two_places(ring: Part, make_tiny: Callable[..., Build]) -> None:
    casting = Option(
        "casting",
        {"two": (), "one": (Place("base", ring, row="whole"), AsOne("plate", "base"))},
    )
    family = Family("tiny", _stack(ring), (), (casting,))
    apart = make_tiny(family, SIZES)
    whole = make_tiny(family, SIZES, {"casting": "one"})
    assert set(apart.pieces) == {"base", "plate", "lid"}
    assert set(whole.pieces) == {"base", "lid"}
    assert whole.pieces_at("plate") == ("base",)
    assert float(whole.position("plate", "high")) == pytest.approx(31.0)
    assert float(whole.position("lid", "high")) == pytest.approx(36.0)
    assert ("plate", "length") not in whole.position("lid", "high").terms


def test_options_that_exclude_or_need_each_other_are_refused(
    ring: Part, make_tiny: Callable[..., Build]
) -> None:
    seal = Option(
        "seal",
        {"packed": (), "mechanical": ()},
        requires=(("mechanical", "sleeve", "long", "the faces need the length"),),
        excludes=(("packed", "sleeve", "long", "the follower would not reach"),),
    )
    sleeve = Option("sleeve", {"short": (), "long": ()})
    family = Family("tiny", _stack(ring), (), (seal, sleeve))
    assert dict(make_tiny(family, SIZES).options) == {"seal": "packed", "sleeve": "short"}
    # what is not named follows what is
    assert make_tiny(family, SIZES, {"seal": "mechanical"}).options["sleeve"] == "long"
    assert make_tiny(family, SIZES, {"sleeve": "long"}).options["seal"] == "mechanical"
    with pytest.raises(ImpossibleChoiceError, match="seal=packed excludes sleeve=long: the foll"):
        make_tiny(family, SIZES, {"seal": "packed", "sleeve": "long"})
    with pytest.raises(ImpossibleChoiceError, match="seal=mechanical requires sleeve=long: the f"):
        make_tiny(family, SIZES, {"seal": "mechanical", "sleeve": "short"})


def test_rows_of_further_groups_add_to_a_piece_and_replace(
    ring: Part, make_tiny: Callable[..., Build]
) -> None:
    longer = Option(
        "lid", {"usual": (), "long": (Rows("lid", ("lid-long",)),), "none": (Without("lid"),)}
    )
    gap = Clearance("gap", ClearanceKind.AXIAL, ("base", "low"), ("lid", "high"))
    screw = Joint("lid-joint", JointKind.BOLTED, ("base", "lid"))
    tight = Joint("lid-joint", JointKind.PRESS, ("base", "lid"))
    family = Family("tiny", _stack(ring), (screw,), (longer,), (gap,))
    sizes = {**SIZES, "lid-long.length": 9.0, "lid-long.colour": 1.0}
    build = make_tiny(family, sizes, {"lid": "long"})
    assert float(build.piece_at("lid").row["length"]) == pytest.approx(9.0)
    assert "colour" in build.piece_at("lid").row
    assert build.dimension(("lid", "length")).key == "length"
    assert (build.joints, build.clearances) == ((screw,), (gap,))
    bare = make_tiny(family, sizes, {"lid": "none"})
    assert (bare.has("lid"), bare.joints, bare.clearances) == (False, (), ())
    pressed = Option("fit", {"pressed": (tight,)})
    assert make_tiny(replace(family, options=(longer, pressed)), sizes).joints == (tight,)


def _offer_port(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    return {"port": (Mount(x=row["length"] / 2, z=10.0, axis=Axis.Z),)}


def test_a_hose_reaches_from_port_to_port_in_its_own_axes(
    ring: Part, make_tiny: Callable[..., Build]
) -> None:
    def pipe_faces(_row: Row) -> Mapping[str, Face]:
        return {"start": plane(0.0, -1)}

    tank = replace(
        ring,
        mounts=_offer_port,
        faces=lambda row: {**ring.faces(row), "port": plane(10.0, +1, Axis.Z)},
    )
    pipe = Part("pipe", pipe_faces, ring.shape, ring.material)
    places = (
        Place("base", tank),
        Place("plate", tank, Seat("low", "base", "high")),
        Place("pipe", pipe, Seat("start", "base", "port"), mounts=("base", "port"), reaches={"end": ("plate", "port")}),
    )  # fmt: skip
    build = make_tiny(Family("tiny", places, ()), SIZES)
    row = build.piece_at("pipe").row
    # the pipe stands up: its own x is the pump's z, its own z the pump's -x
    apart = SIZES["base.length"] / 2 + SIZES["plate.length"] / 2
    assert [float(row[f"end-{axis}"]) for axis in "xyz"] == pytest.approx([0.0, 0.0, -apart])
    assert [float(row[f"end-along-{axis}"]) for axis in "xyz"] == pytest.approx([1.0, 0.0, 0.0])
    assert dict(row["end-z"].terms) == {("base", "length"): -0.5, ("plate", "length"): -0.5}


def test_what_is_mounted_on_a_standing_part_stands_with_it(
    ring: Part, make_tiny: Callable[..., Build]
) -> None:
    post = replace(
        ring, mounts=lambda _row: {"port": (Mount(z=10.0, axis=Axis.Z),), "top": (Mount(),)},
        faces=lambda row: {**ring.faces(row), "side": plane(10.0, +1, Axis.Z)},
    )  # fmt: skip
    tank = replace(
        ring, mounts=_offer_port, faces=lambda row: {**ring.faces(row), "port": plane(10.0, +1, Axis.Z)}
    )  # fmt: skip
    places = (
        Place("base", tank),
        Place("plate", post, Seat("low", "base", "port"), mounts=("base", "port")),
        Place("lid", ring, Seat("low", "plate", "high"), mounts=("plate", "top")),
        Place("knob", ring, Seat("low", "plate", "side"), mounts=("plate", "port"), row="lid"),
    )
    build = make_tiny(Family("tiny", places, ()), SIZES)
    lid, knob = build.piece_at("lid").pose, build.piece_at("knob").pose
    assert (lid.axis, lid.sign) == (Axis.Z, 1)
    middle, height = SIZES["base.length"] / 2, SIZES["plate.length"]
    assert [float(v) for v in lid.origin] == pytest.approx([middle, 0.0, 10.0 + height])
    assert float(build.position("lid", "high")) == pytest.approx(
        10.0 + height + SIZES["lid.length"]
    )
    assert (knob.axis, knob.sign) == (Axis.X, -1)
    assert [float(v) for v in knob.origin] == pytest.approx([middle - 10.0, 0.0, 10.0])


def test_faces_that_do_not_face_each_other_are_no_seat(
    ring: Part, make_tiny: Callable[..., Build]
) -> None:
    places = (Place("base", ring), Place("lid", ring, Seat("high", "base", "high")))
    with pytest.raises(ValueError, match="does not face"):
        make_tiny(Family("tiny", places, ()), SIZES)


def test_seats_in_a_ring_are_no_tree(ring: Part, make_tiny: Callable[..., Build]) -> None:
    places = (
        Place("base", ring, Seat("low", "lid", "high")),
        Place("lid", ring, Seat("low", "base", "high")),
    )
    with pytest.raises(ValueError, match="seats form no tree at: base, lid"):
        make_tiny(Family("tiny", places, ()), SIZES)
