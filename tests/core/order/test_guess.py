"""Fasteners guessed from shape alone, what each holds, and what a person may overrule."""

from __future__ import annotations

import cadquery as cq
import pytest

from models.spec.joint import JointKind
from models.spec.step import StepPiece
from tests.step_scenes import (
    Scene,
    Solid,
    cylinder,
    make_cap_screw,
    make_cover_scene,
    make_hex_screw,
    make_nut,
    make_pieces,
    make_shaft_scene,
    make_stud_scene,
    make_tilted_scene,
    make_tube,
    solid_of,
)
from trainer.core.order.fasteners import Form, find_look
from trainer.core.order.guess import Guessed, GuessedJoint, Kind, Surety, guess_all


def guess(scene: Scene, said: dict[str, Kind] | None = None) -> Guessed:
    return guess_all(make_pieces(scene), said)


def joint_of(guessed: Guessed, own: str) -> GuessedJoint:
    (found,) = (joint for joint in guessed.joints if joint.own == own)
    return found


def look_of(shape: cq.Shape) -> Form:
    (piece,) = make_pieces({"it": Solid(shape)})
    return find_look(piece.facts, piece.mesh.points).form


@pytest.fixture(scope="module")
def cover() -> list[StepPiece]:
    return make_pieces(make_cover_scene())


def test_screws_and_washers_are_told_from_what_they_clamp(cover: list[StepPiece]) -> None:
    found = guess_all(cover)
    assert {part: one.kind for part, one in found.parts.items()} == {
        "box": Kind.BODY,
        "cover": Kind.BODY,
        "washer": Kind.WASHER,
        "screw": Kind.SCREW,
    }
    assert found.parts["screw"].surety is Surety.SURE
    assert found.parts["screw"].why == ("head-outside", "in-hole")


def test_a_screw_holds_what_it_clamps_to_what_it_is_tapped_into(cover: list[StepPiece]) -> None:
    joint = joint_of(guess_all(cover), "screw-3")
    assert joint.kind is JointKind.BOLTED
    assert joint.members == ("cover", "box")
    assert joint.by == ("screw-3",)
    assert joint.surety is Surety.SURE


def test_the_axis_of_a_tilted_screw_is_its_own() -> None:
    found = guess(make_tilted_scene())
    axis = found.looks["screw"].axis
    assert axis == pytest.approx([0.5, 0.0, 0.8660], abs=1e-3)  # towards the head
    assert joint_of(found, "screw").members == ("upper", "lower")


def test_a_stud_stands_in_its_block_and_its_nut_holds_the_flange() -> None:
    found = guess(make_stud_scene())
    assert found.kind_of("rod") is Kind.STUD
    assert joint_of(found, "rod").kind is JointKind.THREADED
    assert joint_of(found, "rod").members == ("block", "rod")
    assert set(joint_of(found, "nut").members) == {"block", "flange"}
    assert joint_of(found, "nut").by == ("nut",)


def test_keys_and_rings_are_found_on_a_shaft() -> None:
    found = guess(make_shaft_scene())
    kinds = {part: one.kind for part, one in found.parts.items()}
    assert kinds == {
        "shaft": Kind.BODY,
        "hub": Kind.BODY,
        "bar": Kind.KEY,
        "clip": Kind.SNAP_RING,
        "seal": Kind.O_RING,
    }
    assert joint_of(found, "bar").members == ("shaft", "bar")
    assert joint_of(found, "clip").tool == "snap-ring-pliers"
    assert joint_of(found, "seal").kind is JointKind.SEALED


def bolt_through(nut: cq.Shape) -> Scene:
    plates = solid_of(cq.Workplane("XY").box(40, 40, 10).cut(cylinder(4.2, -9, 9)))
    return {
        "nut": Solid(make_hex_screw(4.0, 32.0, 5.0), ((0.0, 0.0, 15.0),)),
        "upper": Solid(plates, ((0.0, 0.0, 10.0),)),
        "lower": Solid(plates, ((0.0, 0.0, 0.0),)),
        "bolt": Solid(nut, ((0.0, 0.0, -11.5),)),
    }


def test_the_shape_goes_before_the_name() -> None:
    found = guess(bolt_through(make_nut(4.0, 6.5)))
    assert found.kind_of("nut") is Kind.SCREW
    assert found.kind_of("bolt") is Kind.NUT
    joint = joint_of(found, "nut")
    assert joint.by == ("bolt",)
    assert set(joint.members) == {"upper", "lower", "nut"}


def test_a_square_nut_is_known_by_where_it_sits_and_less_surely() -> None:
    square = solid_of(
        cq.Workplane("XY").box(14, 14, 6.5).translate((0, 0, 3.25)).cut(cylinder(4, 0, 7))
    )
    found = guess(bolt_through(square))
    assert found.parts["bolt"].kind is Kind.NUT
    assert found.parts["bolt"].surety is Surety.LIKELY


def test_a_person_may_overrule_a_kind(cover: list[StepPiece]) -> None:
    found = guess_all(cover, {"screw": Kind.BODY})
    assert found.kind_of("screw") is Kind.BODY
    assert found.parts["screw"].surety is Surety.SAID
    assert found.joints == ()


def test_a_rod_said_to_be_a_screw_holds_like_one() -> None:
    plain = solid_of(cylinder(3.0, -22.0, 4.0))
    scene = dict(make_cover_scene())
    scene["screw"] = Solid(plain, scene["screw"].places)
    assert guess(scene, {"screw": Kind.SCREW}).joints[0].members == ("cover", "box")


@pytest.mark.parametrize(
    ("shape", "form"),
    [
        (make_hex_screw(3.0, 20.0, 4.0), Form.SCREW),
        (make_hex_screw(80.0, 500.0, 100.0), Form.SCREW),
        (make_cap_screw(4.0, 12.0), Form.SCREW),
        (make_nut(5.0, 8.0), Form.NUT),
        (make_tube(5.2, 10.0, 2.0), Form.WASHER),
        (solid_of(cylinder(5.0, 0.0, 60.0)), Form.ROD),
        (solid_of(cylinder(30.0, 0.0, 8.0)), Form.NONE),
        (make_tube(20.0, 30.0, 80.0), Form.NONE),
        (solid_of(cq.Workplane("XY").box(60, 40, 10)), Form.NONE),
        (solid_of(cq.Workplane("XY").box(30, 8, 7)), Form.PRISM),
        (cq.Solid.makeTorus(40.0, 2.5), Form.O_RING),
        (cq.Solid.makeTorus(20.0, 12.0), Form.NONE),
        (cq.Solid.makeSphere(10.0), Form.NONE),
    ],
    ids=lambda value: str(value) if isinstance(value, Form) else "shape",
)
def test_a_form_is_known_by_its_proportions(shape: cq.Shape, form: Form) -> None:
    assert look_of(shape) is form


def test_a_shaft_with_a_collar_and_a_cross_bore_is_no_screw() -> None:
    shaft = cylinder(10.0, 0.0, 120.0).union(cylinder(20.0, 0.0, 70.0))
    assert look_of(solid_of(shaft)) is not Form.SCREW
