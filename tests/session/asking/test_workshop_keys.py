"""Keys of the workshop's questions by a second way: where castings stand in space, and tables read by hand."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

import trainer.lesson
from models.spec.turning import find_facing
from trainer.lesson.item import Item, Number, OneOf, SomeOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.said import Amount, Said
from trainer.lesson.wanted import Wanted
from trainer.session.asking import Benches, draw_item, list_subjects

PUMP, PRIMING = "end-suction/100-250", "self-priming/100"
TAUGHT = Path(trainer.lesson.__file__).parent / "tables"
BENCHES = Benches()


def draw(kind: QuestionKind, seed: int, name: str = PUMP, **given: str) -> Item:
    return draw_item(BENCHES.open(name), BENCHES, Wanted(kind, given=given), str(seed))


def right(item: Item, field: int = 0) -> set[str]:
    form = item.fields[field].form
    assert isinstance(form, OneOf | SomeOf)
    return set(form.right)


def read_rows(name: str) -> list[dict[str, str]]:
    with (TAUGHT / f"{name}.csv").open(encoding="utf-8") as stream:
        return list(csv.DictReader(stream))


# ------------------------------------------------------------------ the hand
POSITIONS = ("top-vertical", "top-horizontal", "bottom-horizontal")
TURNS = {1: "clockwise", -1: "anticlockwise"}


def find_turn(discharge: str, *, mirrored: bool, from_suction: bool) -> int:
    """Find which way liquid runs round the shaft to leave by the branch: 1 clockwise as seen, -1 anticlockwise.

    From where the clean-out on the branch's neck stands and where the flange looks, in the pump's own space: seen
    from the driver y runs to the right and z up.
    """
    build = BENCHES.open(PUMP, {"discharge": discharge}).build
    at = [float(one) for one in build.piece_at("clean-out-cover").pose.origin]
    volute = build.piece_at("volute")
    flange = volute.faces["discharge-face"]
    axis, along = find_facing(volute.pose, flange)
    out = {str(axis): float(along * flange.facing)}
    right_up = [(at[1], at[2]), (out.get("y", 0.0), out.get("z", 0.0))]
    for flips in (mirrored, from_suction):
        right_up = [(-x, z) if flips else (x, z) for x, z in right_up]
    (x, z), (dx, dz) = right_up
    return 1 if z * dx - x * dz > 0.0 else -1


@pytest.mark.parametrize("discharge", POSITIONS)
@pytest.mark.parametrize("about", ["rotation", "vanes", "volute"])
def test_the_hand_follows_from_where_the_branch_stands_in_space(about: str, discharge: str) -> None:
    bench = BENCHES.open(PUMP, {"discharge": discharge})
    seen = set()
    for seed in range(12):
        wanted = Wanted(QuestionKind.SET_HAND, given={"about": about})
        item = draw_item(bench, BENCHES, wanted, str(seed))
        end = item.stem[1].fields["end"]
        assert isinstance(end, Said)
        mirrored = item.stem[0].key == "hand.mirrored"
        from_suction = end.key == "hand.from-suction"
        turn = find_turn(discharge, mirrored=mirrored, from_suction=from_suction)
        # Tips trail, so vanes sweep against the rotation; a spiral widens with it. Source: common practice.
        assert right(item) == {TURNS[-turn if about == "vanes" else turn]}
        seen.add((mirrored, from_suction))
    assert len(seen) == 4


def test_a_pump_that_turns_clockwise_from_the_driver_has_a_right_hand_thread() -> None:
    """Source: common practice; what the rule of the build says too."""
    bench = BENCHES.open(PUMP, {"fixing": "acme"})
    for seed in range(12):
        wanted = Wanted(QuestionKind.SET_HAND, given={"about": "thread"})
        item = draw_item(bench, BENCHES, wanted, str(seed))
        mirrored = item.stem[0].key == "hand.mirrored"
        assert right(item) == {"left-hand" if mirrored else "right-hand"}
        end, sense = item.stem[1].fields["end"], item.stem[1].fields["sense"]
        assert isinstance(end, Said)
        assert isinstance(sense, Said)
        turn = find_turn(
            "top-vertical", mirrored=mirrored, from_suction=end.key == "hand.from-suction"
        )
        assert sense.key == f"hand.{TURNS[turn]}"


@pytest.mark.parametrize("discharge", POSITIONS)
def test_the_position_of_the_discharge_is_named_as_the_driver_sees_it(discharge: str) -> None:
    lies = {"top-vertical": "left-up", "top-horizontal": "over-to-right", "bottom-horizontal": "under-to-left"}  # fmt: skip
    swapped = {"left-up": "right-up", "over-to-right": "over-to-left", "under-to-left": "under-to-right"}  # fmt: skip
    bench = BENCHES.open(PUMP, {"discharge": discharge})
    for seed in range(12):
        item = draw_item(bench, BENCHES, Wanted(QuestionKind.SET_HAND, given={"about": "discharge"}), str(seed))  # fmt: skip
        end = item.stem[1].fields["end"]
        assert isinstance(end, Said)
        flips = (item.stem[0].key == "hand.mirrored") != (end.key == "hand.from-suction")
        assert right(item) == {swapped[lies[discharge]] if flips else lies[discharge]}


# ------------------------------------------------------------------ tables read by hand
def test_what_is_measured_with_what_is_as_the_table_says() -> None:
    rows = {row["what"]: row for row in read_rows("measuring")}
    for subject in list_subjects(BENCHES.open(PUMP), QuestionKind.WHERE_TO_MEASURE):
        item = draw(QuestionKind.WHERE_TO_MEASURE, 1, clearance=subject)
        assert (right(item, 0), right(item, 1)) == (
            {rows[subject]["gauge"]},
            {rows[subject]["how"]},
        )
        form = item.fields[0].form
        assert isinstance(form, OneOf)
        assert not {one.id for one in form.choices} & set(rows[subject]["also"].split())


def test_every_clearance_on_the_sheet_of_a_pump_can_be_asked_about() -> None:
    """None is left out for want of a row, but what tells only how a seal was set."""
    for name in (PUMP, PRIMING):
        bench = BENCHES.open(name)
        asked = set(list_subjects(bench, QuestionKind.WHERE_TO_MEASURE))
        assert asked >= {one.name for one in bench.clearances if one.name in {"back-vane", "wear-plate", "wear-ring", "end-float", "front-gap"}}  # fmt: skip


def test_the_next_check_is_the_cheapest_of_those_that_are_left() -> None:
    minutes = {row["check"]: float(row["minutes"]) for row in read_rows("checks")}
    innocent = {row["symptom"]: set(row["causes"].split()) for row in read_rows("innocent")}
    causes: dict[str, dict[str, str]] = {}
    for row in read_rows("symptoms"):
        symptom, _, cause = row["symptom"].partition(".")
        causes.setdefault(symptom, {})[cause] = row["check"]
    for seed in range(60):
        item = draw(QuestionKind.SYMPTOM, seed)
        told = causes[item.subject]
        assert right(item, 0) == told.keys()
        form = item.fields[0].form
        assert isinstance(form, SomeOf)
        assert {one.id for one in form.choices} - told.keys() <= innocent[item.subject]
        said = [one.fields["check"] for one in item.stem if one.key == "ask.check-done"]
        done = {one.key.removeprefix("check.") for one in said if isinstance(one, Said)}
        left = set(told.values()) - done
        cheapest = min(left, key=minutes.__getitem__)
        assert right(item, 1) == {cheapest}
        checks = item.fields[1].form
        assert isinstance(checks, OneOf)
        offered = {one.id for one in checks.choices}
        assert done <= offered
        dearer = (offered & left) - {cheapest}
        beside_it = offered - set(told.values())
        assert dearer or (len(left) == 1 and beside_it), "there is one to choose from"
        assert all(minutes[one] >= 2.0 * minutes[cheapest] for one in dearer)
        for beside in beside_it:
            shows = {cause for tells in causes.values() for cause, one in tells.items() if one == beside}  # fmt: skip
            assert shows <= innocent[item.subject]


# ------------------------------------------------------------------ gauges, damage
def amounts(said: Said, *names: str) -> list[float]:
    found = [said.fields[name] for name in names]
    return [one.value for one in found if isinstance(one, Amount)]


def test_a_reading_is_believed_as_its_limits_say() -> None:
    seen = set()
    for seed in range(150):
        item = draw(QuestionKind.READ_GAUGE, seed, PUMP if seed % 2 else PRIMING)
        assert item.figure is not None
        low, high = amounts(item.stem[0], "low", "high")
        form = item.fields[0].form
        assert isinstance(form, Number)
        values = item.figure.values
        if item.subject == "feelers":
            leaves, others = values["leaves"], item.stem[0].fields["others"]
            assert isinstance(leaves, tuple)
            assert isinstance(others, tuple)
            assert sum(map(float, leaves)) == pytest.approx(form.aim)
            gaps = [form.aim, *(one.value for one in others if isinstance(one, Amount))]
            verdict = "inside" if low <= min(gaps) <= high else "outside"
            verdict = "never" if max(gaps) - min(gaps) > 0.15 + 1e-9 else verdict
        else:
            assert values["reading_mm"] == form.aim
            verdict = "inside" if low <= form.aim <= high else "outside"
            apart = max(low - form.aim, form.aim - high)
            far = form.aim < 0.0 if item.subject == "dial" else apart > max(10 * (high - low), 2.0)
            verdict = "never" if far else verdict
        assert right(item, 1) == {verdict}, (item.subject, low, high, form.aim)
        seen.add((item.subject, verdict))
    assert len(seen) == 9


def test_what_becomes_of_a_part_follows_from_the_bounds_that_are_told() -> None:
    rows = {row["damage"]: row for row in read_rows("damages")}
    seen = set()
    for seed in range(150):
        item = draw(QuestionKind.REUSE_OR_RENEW, seed)
        row = rows[item.subject]
        if item.figure is None:
            assert [field.name for field in item.fields] == ["cause"], (
                "told in words, nothing is judged"
            )
            continue
        assert right(item, 1) == {item.subject}
        if row["always"]:
            assert right(item, 0) == {row["always"]}
            continue
        value, reuse, rework = amounts(item.stem[-1], "value", "reuse", "rework")
        expected = "reuse" if value <= reuse else "rework" if value <= rework else "renew"
        assert right(item, 0) == {expected}
        seen.add((item.subject, expected))
    assert len(seen) == 11  # three of three measures, and two of a ring, which is not closed again


def test_what_is_told_in_words_was_done_by_the_cause_whose_signs_they_are() -> None:
    mistaken = [row["mistaken"].split(".") for row in read_rows("mistaken")]
    seen = set()
    for seed in range(400):
        item = draw(QuestionKind.REUSE_OR_RENEW, seed)
        if item.figure is None:
            told = item.stem[1].fields["seen"]
            assert isinstance(told, Said)
            cause = told.key.removeprefix("damage.").removeprefix("mistaken.").removesuffix(".seen")
            assert right(item) == {cause}
            assert cause == item.subject or [item.subject, cause] in mistaken
            seen.add(cause)
    assert len(seen) > 20


def test_a_question_about_damage_names_who_says_so_of_each_of_its_causes() -> None:
    rows = {row["mistaken"]: row["source"] for row in read_rows("mistaken")}
    damages = {row["damage"]: row["source"] for row in read_rows("damages")}
    seen = set()
    for seed in range(60):
        item = draw(QuestionKind.REUSE_OR_RENEW, seed)
        form = item.fields[-1].form
        assert isinstance(form, OneOf)
        others = {rows[f"{item.subject}.{one.id}"] for one in form.choices if one.id != item.subject}  # fmt: skip
        assert set(item.basis.source.split("; ")) == {damages[item.subject], *others}
        seen.add(item.basis.source)
    assert "common practice; ISO 15243:2017 (from memory)" in seen


def test_fasteners_are_numbered_where_they_stand() -> None:
    item = draw(QuestionKind.TIGHTEN, 1, joint="cover-joint")
    assert item.figure is not None
    right_mm, up_mm = item.figure.values["right"], item.figure.values["up"]
    assert isinstance(right_mm, tuple)
    assert isinstance(up_mm, tuple)
    build = BENCHES.open(PUMP).build
    circle = float(build.piece_at("volute").row["stud-circle"])
    ring = [(float(x), float(y)) for x, y in zip(right_mm, up_mm, strict=True)]
    assert len(ring) == len(build.pieces_at("cover-nut"))
    assert all(2 * math.hypot(*spot) == pytest.approx(circle, abs=0.01) for spot in ring)
    turns = [math.atan2(x, y) % math.tau for x, y in ring]
    assert turns == sorted(turns)
