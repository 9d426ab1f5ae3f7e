"""A mistake as one picture: right beside wrong, where it is, and what is missing drawn where it would stand."""

from __future__ import annotations

import numpy as np
import pytest

from models.builds import FAMILIES
from models.spec.making import find_fault
from trainer.session.bench import Bench, open_bench
from trainer.session.faults import FaultyBench, open_faulty
from trainer.stage.amiss import Amiss, Headings, draw_amiss, find_label_spot, find_outlook
from trainer.stage.camera import ViewName
from trainer.stage.look import Look
from trainer.stage.marks import Marks
from trainer.stage.scene import Finish, Stage

SIZE = (960, 540)
BARE = Headings("", "", "", "", "")


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250")


def draw(both: FaultyBench) -> np.ndarray:
    labels = {name: name for name in (*both.missing, *both.wrong)[:1]}
    amiss = Amiss(both.missing, both.wrong, both.shown, labels, labels, both.near_mm)
    picture = draw_amiss(
        both.sound.assembly, both.faulty.assembly, amiss, BARE, size=SIZE, finish=Finish.REST
    )
    return np.asarray(picture).astype(int)


def count_near(picture: np.ndarray, colour: tuple[int, int, int]) -> int:
    return int((np.abs(picture - colour).max(axis=-1) < 40).sum())


@pytest.mark.parametrize("key", ["casing-gasket-left-out", "inboard-lip-reversed", "tab-not-bent"])
def test_right_is_marked_in_one_half_and_wrong_in_the_other(bench: Bench, key: str) -> None:
    picture, look = draw(open_faulty(bench, key)), Look()
    left = round(0.26 * SIZE[0])
    middle = (left + SIZE[0]) // 2
    right, wrong = picture[:, left:middle], picture[:, middle:]
    assert count_near(right, look.accent) > 200
    assert count_near(wrong, look.in_the_way) > 200
    assert count_near(right, look.in_the_way) == count_near(wrong, look.accent) == 0


def test_the_whole_pump_is_shown_with_a_frame(bench: Bench) -> None:
    picture = draw(open_faulty(bench, "tab-not-bent"))
    where = picture[:, : round(0.26 * SIZE[0])]
    assert count_near(where, Look().accent) > 100


def test_what_lies_inside_is_shown_in_section_and_close(bench: Bench) -> None:
    stage = Stage(bench.assembly)
    outlook = find_outlook((stage, stage), ("oil-seal-inboard",))
    assert (outlook.view, outlook.section) == (ViewName.SIDE, True)
    low, high = bench.assembly.by_name["oil-seal-inboard"].mesh.bounds
    assert np.ptp(outlook.around[:, 0]) < high[2] - low[2]
    spot = find_label_spot(stage, outlook, "oil-seal-inboard")
    assert low[0] <= spot[0] <= high[0]
    assert spot[2] == pytest.approx(high[2], abs=0.1)


def test_what_lies_outside_is_shown_from_a_corner(bench: Bench) -> None:
    stage = Stage(bench.assembly)
    outlook = find_outlook((stage, stage), ("coupling-key",))
    assert not outlook.section
    assert outlook.view in (ViewName.ISO, ViewName.ISO_DRIVE)


def test_a_missing_piece_hides_nothing_and_is_drawn_within_a_broken_rim(bench: Bench) -> None:
    stage = Stage(bench.assembly)
    stage.look_from(ViewName.ISO_DRIVE)
    stage.fit((480, 300))
    name = "bearing-cap"
    number = stage.find_numbers()[name]
    assert (stage.frame_of_numbers(480, 300) == number).any()
    stage.set_marks(Marks(missing=frozenset({name})))
    assert not (stage.frame_of_numbers(480, 300) == number).any()
    drawn, numbers = stage.frame_with_numbers(480, 300, Finish.REST)
    assert numbers is not None
    assert not (numbers == number).any()
    assert count_near(drawn.astype(int), Look().in_the_way) > 50


def test_labels_too_long_for_a_close_up_are_made_smaller(bench: Bench) -> None:
    both = open_faulty(bench, "casing-gasket-left-out")
    labels = {"casing-gasket": "a label that is much too long for its close-up at this size"}
    amiss = Amiss(both.missing, both.wrong, both.shown, labels, labels)
    picture = draw_amiss(
        both.sound.assembly, both.faulty.assembly, amiss, BARE, size=SIZE, finish=Finish.REST
    )
    assert picture.size == SIZE


def test_a_point_is_looked_at_where_the_piece_is_too_large(bench: Bench) -> None:
    both = open_faulty(bench, "wear-ring-tight")
    assert both.near_mm is not None
    stage = Stage(bench.assembly)
    outlook = find_outlook((stage, stage), ("wear-ring",), both.near_mm)
    assert outlook.section
    assert np.ptp(outlook.around[:, 0]) < 20.0
    bore = float(bench.build.diameter("wear-ring", "bore"))
    assert both.near_mm[2] == pytest.approx(bore / 2)


def test_of_each_part_concerned_one_piece_is_looked_at_where_it_should_be_and_where_it_is() -> None:
    packed = open_bench("end-suction/100-250", {"bracket": "open", "shaft-seal": "packed"})
    both = open_faulty(packed, "lantern-misplaced")
    assert both.shown == ("lantern-ring",)
    stages = Stage(both.sound.assembly), Stage(both.faulty.assembly)
    around = find_outlook(stages, both.shown).around
    for build in (both.sound.build, both.faulty.build):
        for face in ("suction-end", "drive-end"):
            at = float(build.position("lantern-ring", face))
            assert around[:, 0].min() < at < around[:, 0].max()


@pytest.mark.long
@pytest.mark.parametrize("key", [fault.key for fault in FAMILIES["end-suction"].faults])
def test_every_mistake_is_seen_in_its_picture(key: str) -> None:
    family = FAMILIES["end-suction"]
    needed = family.list_needs(find_fault(family, key))
    chosen = {option: values[0] for option, values in needed.items()}
    picture, look = draw(open_faulty(open_bench("end-suction/100-250", chosen), key)), Look()
    left = round(0.26 * SIZE[0])
    middle = (left + SIZE[0]) // 2
    assert count_near(picture[:, left:middle], look.accent) > 100
    assert count_near(picture[:, middle:], look.in_the_way) > 100
