"""Somebody's assembly on the bench: joints in force, overlaps judged, order, what is stuck, and marking."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import cadquery as cq
import numpy as np
import pytest

from models.spec.errors import ContentError, RefusalError
from models.spec.joint import JointKind
from tests.step_scenes import (
    Scene,
    Solid,
    cylinder,
    make_cover_scene,
    make_overlap_scene,
    make_shaft_scene,
    make_stud_scene,
    make_tilted_scene,
    make_tube,
    solid_of,
    write_scene,
)
from trainer.core.order.directions import OWN_AXIS, Direction
from trainer.core.order.marking import Verdict
from trainer.core.order.state import Refused, State
from trainer.session.step_bench import StepBench, open_step
from trainer.session.step_question import make_step_question, read_step_lines

pytestmark = pytest.mark.xdist_group("step-bench")  # each scene is written and read once

Open = Callable[..., StepBench]


@pytest.fixture(scope="module")
def open_scene(tmp_path_factory: pytest.TempPathFactory) -> Open:
    """Give a function that writes a scene once, and reads it with a form's text."""
    folder = tmp_path_factory.mktemp("scenes")
    written: dict[str, Path] = {}

    def open_it(
        name: str, make: Callable[[], Scene], form: str = "", overlap_mm: float | None = None
    ) -> StepBench:
        if name not in written:
            written[name] = write_scene(folder / f"{name}.step", make())
        said = None
        if form:
            said = folder / f"{name}-{abs(hash(form))}.toml"
            said.write_text(form, encoding="utf-8")
        return open_step(written[name], said, overlap_mm, folder=folder / "kept")

    return open_it


def parts_of(bench: StepBench) -> list[str]:
    return [step.part for step in bench.order.steps]


def test_a_cover_comes_apart_from_its_screws(open_scene: Open) -> None:
    bench = open_scene("cover", make_cover_scene)
    assert parts_of(bench) == ["screw", "washer", "cover"]
    assert {step.direction for step in bench.order.steps} == {Direction.UP}
    assert [len(step.taken) for step in bench.order.steps] == [4, 4, 1]
    assert bench.base == "box"
    assert bench.stuck == ()


def test_the_cover_is_held_until_the_last_screw(open_scene: Open) -> None:
    bench = open_scene("cover", make_cover_scene)
    state = State(bench.assembly, bench.blocking)
    for name in ("screw-1", "screw-2", "screw-3"):
        state.take(name)
    refused = state.look("cover")
    assert isinstance(refused, Refused)
    assert [held.by for held in refused.held] == [("screw-4",)]


def test_threads_drawn_at_full_size_are_no_fault_and_do_not_bind(open_scene: Open) -> None:
    bench = open_scene("cover", make_cover_scene)
    verdicts = {one.overlap.pair: one.verdict for one in bench.overlaps}
    assert verdicts[frozenset({"box", "screw-1"})] == "thread"
    assert set(bench.opened.meshes) == {"box"}
    number = bench.blocking.names.index
    up = bench.blocking.directions.index(Direction.UP)
    assert np.isinf(bench.blocking.travel_mm[up, number("screw-1"), number("box")])


def test_a_tilted_screw_leaves_along_its_own_axis(open_scene: Open) -> None:
    bench = open_scene("tilted", make_tilted_scene)
    first = bench.order.steps[0]
    assert first.part == "screw"
    assert first.direction.name == OWN_AXIS
    assert first.direction.vector == pytest.approx([0.5, 0.0, 0.8660], abs=1e-3)
    assert bench.order.stuck == ()


def test_without_its_own_axis_the_tilted_screw_is_stuck(open_scene: Open) -> None:
    bench = open_scene("tilted", make_tilted_scene, '[parts.screw]\nis = "body"\n')
    assert "screw" in {one.piece for one in bench.stuck}


def test_a_stud_stays_until_its_nut_and_flange_are_off(open_scene: Open) -> None:
    assert parts_of(open_scene("stud", make_stud_scene)) == ["nut", "flange", "rod"]


def test_a_clip_comes_off_with_its_pliers_before_the_hub(open_scene: Open) -> None:
    bench = open_scene("shaft", make_shaft_scene, "[parts.shaft]\nbase = true\n")
    parts = parts_of(bench)
    assert parts.index("clip") < parts.index("hub") < parts.index("bar")
    (clip,) = bench.order.steps[parts.index("clip")].taken
    assert clip.tool == "snap-ring-pliers"
    state = State(bench.assembly, bench.blocking)
    refused = state.look("hub")
    assert isinstance(refused, Refused)


def test_an_overlap_is_judged_by_the_depth_that_is_tolerated(open_scene: Open) -> None:
    def make() -> Scene:
        return make_overlap_scene(1.5)

    assert [one.verdict for one in open_scene("overlap", make).overlaps] == ["too-deep"]
    tolerant = open_scene("overlap", make, overlap_mm=2.0)
    assert [one.verdict for one in tolerant.overlaps] == ["tolerated"]
    assert tolerant.opened.uncut == ()
    assert parts_of(tolerant) == ["upper-block"]
    with pytest.raises(RefusalError, match="write 0 or more"):
        open_scene("overlap", make, overlap_mm=-1.0)


def make_pressed() -> Scene:
    """Make a ring pressed by 0.4 mm into a plate, drawn at its own size."""
    plate = solid_of(cq.Workplane("XY").box(100, 100, 20).cut(cylinder(20.0, -10.0, 10.0)))
    return {"plate": Solid(plate), "ring": Solid(make_tube(15.0, 20.4, 20.0), ((0, 0, -10.0),))}


def test_a_declared_press_fit_is_tolerated_and_names_its_tool(open_scene: Open) -> None:
    assert [one.verdict for one in open_scene("pressed", make_pressed).overlaps] == ["too-deep"]
    form = (
        '[[joints]]\nkind = "press"\ncarrier = "plate"\ncarried = "ring"\n'
        'tool = "with a ring puller"\ninterference_mm = 0.5\n'
    )
    bench = open_scene("pressed", make_pressed, form)
    assert [one.verdict for one in bench.overlaps] == ["tolerated"]
    (step,) = bench.order.steps
    assert step.taken[0].tool == "with a ring puller"


def make_caged() -> Scene:
    """Make a ball in a closed box: no straight move frees it."""
    box = cq.Workplane("XY").box(60, 60, 60).cut(cq.Workplane("XY").box(50, 50, 50))
    return {"cage": Solid(solid_of(box)), "ball": Solid(cq.Solid.makeSphere(20.0))}


def test_what_no_straight_move_frees_is_stuck_with_what_keeps_it(open_scene: Open) -> None:
    (stuck,) = open_scene("caged", make_caged).stuck
    assert stuck.piece == "ball"
    assert stuck.refused.way is not None
    assert stuck.refused.way.blocked_by == ("cage",)


def test_the_form_s_joints_stand_in_for_guesses(open_scene: Open) -> None:
    form = '[[joints]]\nkind = "bolted"\nby = ["screw-1"]\nholds = []\n'
    bench = open_scene("cover", make_cover_scene, form)
    held_by = [hold.present for hold in bench.assembly.holds]
    assert sorted(next(iter(one)) for one in held_by) == ["screw-2", "screw-3", "screw-4"]
    plain = open_scene("cover", make_cover_scene, '[parts.screw]\nis = "body"\n')
    assert plain.assembly.holds == ()


def test_parts_of_no_interest_are_left_out(open_scene: Open) -> None:
    bench = open_scene("cover", make_cover_scene, "[parts.washer]\nignore = true\n")
    assert "washer" not in bench.sets
    assert parts_of(bench) == ["screw", "cover"]
    every = "".join(f"[parts.{p}]\nignore = true\n" for p in ("box", "cover", "washer", "screw"))
    with pytest.raises(ContentError, match="no interest"):
        open_scene("cover", make_cover_scene, every)


def test_another_axis_may_point_up(open_scene: Open) -> None:
    bench = open_scene("cover", make_cover_scene, 'up = "-y"\n')
    assert bench.order.steps[0].direction not in (Direction.UP, Direction.DOWN)
    upright = open_scene("cover", make_cover_scene)
    volume = [np.prod(one.blocking.high - one.blocking.low, axis=1) for one in (bench, upright)]
    assert volume[0] == pytest.approx(volume[1], rel=1e-3)


def test_the_form_s_base_stays_put(open_scene: Open) -> None:
    bench = open_scene("cover", make_cover_scene, "[parts.cover]\nbase = true\n")
    assert bench.base == "cover"
    assert "cover" not in parts_of(bench)
    assert "box" in parts_of(bench)
    assert bench.order.stuck == ()


def test_work_of_the_form_comes_before_the_first_of_its_part(open_scene: Open) -> None:
    form = '[parts.cover]\nbefore = ["Hang the cover in a sling."]\n'
    bench = open_scene("cover", make_cover_scene, form)
    told = [bench.work_before(i) for i in range(len(bench.order.steps))]
    assert told == [(), (), ("Hang the cover in a sling.",)]


def test_the_found_order_is_right_in_reverse_as_assembly_moves(open_scene: Open) -> None:
    for name, make in (("cover", make_cover_scene), ("stud", make_stud_scene)):
        bench = open_scene(name, make)
        state = State(bench.assembly, bench.blocking)
        for step in bench.order.steps:
            for taken in step.taken:
                now = state.look(taken.piece)
                assert not isinstance(now, Refused)
                state.take(taken.piece)


def test_any_right_order_is_marked_right_and_a_wrong_one_is_not(open_scene: Open) -> None:
    bench = open_scene("cover", make_cover_scene)
    other = [["screw-4"], ["washer-4"], ["screw-2", "screw-1"], ["screw-3"], ["washer-1"]]
    other += [["washer-3", "washer-2"], ["cover"]]
    marked = bench.mark(other)
    assert marked.is_valid
    assert marked.complete
    wrong = bench.mark([["cover"], ["screw-1"]])
    assert wrong.steps[0].verdict is Verdict.REFUSED


def test_relations_are_kept_and_read_again(
    open_scene: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = open_scene("cover", make_cover_scene).blocking
    from trainer.session import step_relations

    monkeypatch.setattr(step_relations, "find_blocking", lambda *_: pytest.fail("filled again"))
    after = open_scene("cover", make_cover_scene).blocking
    assert after.names == before.names
    assert (after.travel_mm == before.travel_mm).all()
    assert after.directions == before.directions


def test_lengths_are_told_at_life_size(open_scene: Open) -> None:
    bench = open_scene("cover", make_cover_scene)
    assert bench.scale == pytest.approx(1.5)
    low, high = bench.assembly.by_name["cover"].mesh.bounds
    assert bench.to_life_mm(float(high[2] - low[2])) == pytest.approx(8.0, abs=1e-3)


def test_a_question_numbers_every_step_and_hides_the_order(open_scene: Open) -> None:
    bench = open_scene("cover", make_cover_scene)
    question = make_step_question(bench)
    assert [item.number for item in question.items] == [1, 2, 3]
    assert [item.part for item in question.order] == ["screw", "washer", "cover"]
    assert [item.number for item in question.order] != [1, 2, 3]
    assert make_step_question(bench) == question


def test_an_answer_may_call_parts_as_the_form_does(open_scene: Open, tmp_path: Path) -> None:
    form = '[parts.screw]\nname = "lid screw"\nmany = "lid screws"\n'
    bench = open_scene("cover", make_cover_scene, form)
    file = tmp_path / "answer.txt"
    file.write_text("lid screws\nwasher\ncover\n", encoding="utf-8")
    assert read_step_lines(file, bench)[0] == bench.sets["screw"]
    assert bench.mark(read_step_lines(file, bench)).is_valid


def test_an_answer_may_name_numbers_parts_and_pieces(open_scene: Open, tmp_path: Path) -> None:
    bench = open_scene("cover", make_cover_scene)
    numbers = {item.part: item.number for item in make_step_question(bench).items}
    file = tmp_path / "answer.txt"
    file.write_text(f"# mine\n{numbers['screw']}\nwasher\ncover\n", encoding="utf-8")
    assert bench.mark(read_step_lines(file, bench)).is_valid
    file.write_text("cver\n", encoding="utf-8")
    with pytest.raises(ContentError, match=r":1:1: .*cover"):
        read_step_lines(file, bench)


def test_joints_between_pieces_that_are_left_out_are_not_in_force(open_scene: Open) -> None:
    form = (
        '[parts.cover]\nignore = true\n[[joints]]\nkind = "bolted"\nby = ["screw"]\n'
        'holds = ["cover", "box"]\n'
    )
    bench = open_scene("cover", make_cover_scene, form)
    assert all(joint.kind is not JointKind.BOLTED for joint in bench.joints)
