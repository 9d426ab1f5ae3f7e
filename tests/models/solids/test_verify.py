"""The verifier finds each planted fault, by name and amount, and nothing in what is sound."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

import pytest

from models.solids.verify import Report, Verifier
from models.spec.build import Build
from models.spec.clearance import Clearance, ClearanceKind
from models.spec.family import Family
from models.spec.joint import Joint, JointKind
from models.spec.part import Material, Numbers, Part, Solid
from models.spec.rule import Rule
from models.spec.seat import Place, Seat

MakeTiny = Callable[[Family, Mapping[str, float]], Build]
RUNNING = Joint("slide", JointKind.RUNNING, ("base", "collar"))
BOLTED = Joint("lid-joint", JointKind.BOLTED, ("base", "lid"), wet=True, sealed_by=("seal",))
SEALED = Joint("lid-seal", JointKind.SEALED, ("base", "seal", "lid"))


def _places(part: Part, extra: str) -> tuple[Place, ...]:
    """A ring, a lid on it, and a smaller ring hung from the lid inside the bore."""
    return (
        Place("base", part),
        Place("lid", part, Seat("low", "base", "high")),
        Place(extra, part, Seat("high", "lid", "low")),
    )


def _sizes(extra: str, outside_mm: float) -> dict[str, float]:
    return {
        "base.outside": 100.0,
        "base.bore": 60.0,
        "base.length": 20.0,
        "lid.outside": 100.0,
        "lid.bore": 20.0,
        "lid.length": 10.0,
        f"{extra}.outside": outside_mm,
        f"{extra}.bore": 30.0,
        f"{extra}.length": 15.0,
    }


def _verify(build: Build) -> Report:
    verifier = Verifier()
    verifier.check(build)
    return verifier.report


def _whats(report: Report) -> list[tuple[str, tuple[str, ...]]]:
    return [(problem.what, problem.pieces) for problem in report.problems]


def test_nothing_is_found_in_a_sound_build(ring: Part, make_tiny: MakeTiny) -> None:
    family = Family("tiny", _places(ring, "collar"), (RUNNING,))
    report = _verify(make_tiny(family, _sizes("collar", 58.0)))
    assert report.is_ok
    assert (report.builds, report.solids) == (1, 3)
    assert report.pairs == 3, "base and collar are near, though they do not touch"


def test_a_planted_overlap_is_found_with_its_volume(ring: Part, make_tiny: MakeTiny) -> None:
    family = Family("tiny", _places(ring, "collar"), (RUNNING,))
    report = _verify(make_tiny(family, _sizes("collar", 61.0)))
    assert _whats(report) == [("overlap-undeclared", ("base", "collar"))]
    assert report.undeclared_overlaps == 1
    expected = math.pi / 4 * (61.0**2 - 60.0**2) * 15.0
    assert report.problems[0].amount == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("deep_mm", [0.0003, 0.002])
def test_even_a_micrometre_of_overlap_is_found(
    ring: Part, make_tiny: MakeTiny, deep_mm: float
) -> None:
    family = Family("tiny", _places(ring, "collar"), (RUNNING,))
    report = _verify(make_tiny(family, _sizes("collar", 60.0 + deep_mm)))
    assert _whats(report) == [("overlap-undeclared", ("base", "collar"))]


def test_a_planted_contact_that_nothing_declares_is_found(ring: Part, make_tiny: MakeTiny) -> None:
    places = _places(ring, "collar")
    touching = _sizes("collar", 60.0)
    report = _verify(make_tiny(Family("tiny", places, ()), touching))
    assert _whats(report) == [("contact-undeclared", ("base", "collar"))]
    assert _verify(make_tiny(Family("tiny", places, (RUNNING,)), touching)).is_ok


def test_a_press_fit_may_overlap_as_deep_as_its_cylinders_say_and_no_deeper(
    ring: Part, make_tiny: MakeTiny
) -> None:
    press = Joint("fit", JointKind.PRESS, ("base", "collar"), fit=("bore", "outside"))
    family = Family("tiny", _places(ring, "collar"), (press,))
    assert _verify(make_tiny(family, _sizes("collar", 60.05))).is_ok
    undeclared = Joint("fit", JointKind.PRESS, ("base", "collar"))
    family = Family("tiny", _places(ring, "collar"), (undeclared,))
    report = _verify(make_tiny(family, _sizes("collar", 60.05)))
    assert _whats(report) == [("overlap-undeclared", ("base", "collar"))]


def test_a_press_fit_that_is_sunk_in_its_mate_is_too_deep(ring: Part, make_tiny: MakeTiny) -> None:
    # the fit declares 0.025 mm, but the solid is cut 1 mm larger than its face says
    def fat(at: Numbers, row: Numbers) -> Solid:
        from models.parts import forms

        return forms.tube(row["outside"] + 2.0, row["bore"], 0, at["high"])

    press = Joint("fit", JointKind.PRESS, ("base", "collar"), fit=("bore", "outside"))
    base, lid, collar = _places(ring, "collar")
    fat_part = Part("ring", ring.faces, fat, Material.CAST_IRON)
    family = Family("tiny", (base, lid, Place("collar", fat_part, collar.seat)), (press,))
    report = _verify(make_tiny(family, _sizes("collar", 60.05)))
    whats = _whats(report)
    assert ("overlap-too-deep", ("base", "collar")) in whats
    assert ("face-missing", ("collar",)) in whats


def test_a_seal_that_touches_both_sides_seals(ring: Part, make_tiny: MakeTiny) -> None:
    family = Family("tiny", _places(ring, "seal"), (BOLTED, SEALED))
    report = _verify(make_tiny(family, _sizes("seal", 60.0)))
    assert report.is_ok
    assert report.unsealed_joints == 0


@pytest.mark.parametrize("short_mm", [0.001, 1.0])
def test_a_seal_that_misses_one_side_is_found(
    ring: Part, make_tiny: MakeTiny, short_mm: float
) -> None:
    family = Family("tiny", _places(ring, "seal"), (BOLTED, SEALED))
    report = _verify(make_tiny(family, _sizes("seal", 60.0 - short_mm)))
    assert [(p.what, p.detail) for p in report.problems] == [("joint-unsealed", "lid-joint")]
    assert report.unsealed_joints == 1


@pytest.mark.parametrize(
    "joints",
    [
        (Joint("lid-joint", JointKind.BOLTED, ("base", "lid"), wet=True), SEALED),
        (Joint("lid-joint", JointKind.BOLTED, ("base", "lid"), wet=True, sealed_by=("nothing",)), SEALED),
    ],
    ids=["names no seal", "names a seal that is not there"],
)  # fmt: skip
def test_a_wet_joint_without_a_seal_is_found(
    ring: Part, make_tiny: MakeTiny, joints: tuple[Joint, ...]
) -> None:
    report = _verify(make_tiny(Family("tiny", _places(ring, "seal"), joints), _sizes("seal", 60.0)))
    assert [(p.what, p.detail) for p in report.problems] == [("joint-unsealed", "lid-joint")]


def _with_clearance(part: Part, clearance: Clearance) -> Family:
    return Family("tiny", _places(part, "collar"), (RUNNING,), clearances=(clearance,))


def test_a_clearance_equal_to_its_solids_is_sound(ring: Part, make_tiny: MakeTiny) -> None:
    slide = Clearance("slide", ClearanceKind.DIAMETRAL, ("collar", "outside"), ("base", "bore"))
    report = _verify(make_tiny(_with_clearance(ring, slide), _sizes("collar", 58.0)))
    assert report.is_ok
    assert report.max_clearance_error_mm < 1e-6


def test_a_clearance_between_faces_that_do_not_overlook_each_other_is_found(
    ring: Part, make_tiny: MakeTiny
) -> None:
    # along the shaft the two planes are 5 mm apart, but the nearest points are 1 mm apart across it too
    gap = Clearance("gap", ClearanceKind.AXIAL, ("base", "low"), ("collar", "low"))
    report = _verify(make_tiny(_with_clearance(ring, gap), _sizes("collar", 58.0)))
    assert [(p.what, p.detail) for p in report.problems] == [("clearance-differs", "gap")]
    expected = math.hypot(5.0, 1.0) - 5.0
    assert report.problems[0].amount == pytest.approx(expected, abs=1e-9)
    assert report.max_clearance_error_mm == pytest.approx(expected, abs=1e-9)


def test_an_overlap_along_the_shaft_is_measured_on_the_solids(
    ring: Part, make_tiny: MakeTiny
) -> None:
    reach = Clearance("reach", ClearanceKind.OVERLAP, ("collar", "low"), ("base", "high"))
    report = _verify(make_tiny(_with_clearance(ring, reach), _sizes("collar", 58.0)))
    assert report.is_ok
    assert report.max_clearance_error_mm < 1e-6


def test_a_face_that_the_solid_lacks_is_found(ring: Part, make_tiny: MakeTiny) -> None:
    def short(at: Numbers, row: Numbers) -> Solid:
        from models.parts import forms

        return forms.tube(row["outside"], row["bore"], 0, at["high"] - 1.0)

    lying = Part("ring", ring.faces, short, Material.CAST_IRON)
    places = (Place("base", ring), Place("lid", lying, Seat("low", "base", "high")))
    report = _verify(make_tiny(Family("tiny", places, ()), _sizes("collar", 58.0)))
    assert [(p.what, p.pieces, p.detail) for p in report.problems] == [
        ("face-missing", ("lid",), "high")
    ]


def test_a_shell_that_is_no_solid_is_found(ring: Part, make_tiny: MakeTiny) -> None:
    def hollow(at: Numbers, row: Numbers) -> Solid:
        import cadquery as cq

        from models.parts import forms

        faces: Any = forms.tube(row["outside"], row["bore"], 0, at["high"]).Faces()
        return cq.Shell.makeShell(faces[:-1])

    open_part = Part("ring", ring.faces, hollow, Material.CAST_IRON)
    report = _verify(
        make_tiny(Family("tiny", (Place("base", open_part),), ()), _sizes("collar", 58.0))
    )
    whats = {problem.what for problem in report.problems}
    assert {"solid-invalid", "solid-open", "face-missing"} <= whats


def test_a_broken_rule_is_reported_with_its_number(ring: Part, make_tiny: MakeTiny) -> None:
    rules = (Rule(7, "made-up", lambda _build: ("lid",)), Rule(8, "kept", lambda _build: ()))
    family = Family("tiny", _places(ring, "collar"), (RUNNING,), rules=rules)
    report = _verify(make_tiny(family, _sizes("collar", 58.0)))
    assert [(p.what, p.pieces, p.amount, p.detail) for p in report.problems] == [
        ("rule-broken", ("lid",), 7, "made-up")
    ]


def test_equal_solids_and_pairs_are_looked_at_once_but_counted_for_each_build(
    ring: Part, make_tiny: MakeTiny
) -> None:
    family = Family("tiny", _places(ring, "collar"), ())
    build = make_tiny(family, _sizes("collar", 60.0))
    verifier = Verifier()
    verifier.check(build)
    verifier.check(build)
    assert verifier.report.builds == 2
    assert _whats(verifier.report) == [("contact-undeclared", ("base", "collar"))] * 2
