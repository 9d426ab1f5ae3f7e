"""Procedures: every move can be made in the state that it meets, any order that heeds what is needed is right, and what hurts fails."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest

from models.spec.build import TABLES
from models.spec.errors import ContentError
from models.spec.procedure import MOVES, STEPS, Does, Procedure, read_procedures
from trainer.core.order.state import State
from trainer.lesson.following import FollowJudge
from trainer.lesson.item import GapShown, LineMark, LineVerdict, MoveShown, PiecesShown
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.marking import mark_item
from trainer.lesson.wanted import Wanted
from trainer.session.answering import Asked, answer_item
from trainer.session.asking import Benches, draw_item
from trainer.session.asking.procedure_kind import (
    GAPS,
    list_procedures,
    make_judge,
)
from trainer.session.bench import Bench
from trainer.session.wrong_move import try_shown

PUMPS = ("end-suction/100-250", "self-priming/100")
BENCHES = Benches()
BAD = {LineVerdict.WRONG, LineVerdict.MISSED}
PROCEDURES = [
    (pump, name)
    for pump in PUMPS
    for name, one in read_procedures(TABLES).items()
    if pump.partition("/")[0] in one.families
]


def list_bad(judge: FollowJudge, lines: tuple[str, ...]) -> list[LineMark]:
    return [mark for mark in judge.judge(lines) if mark.verdict in BAD]


def replay_procedure(bench: Bench, procedure: Procedure) -> tuple[tuple[str, str], ...]:
    """Replay the moves of a procedure, each in the state that it meets; give each step with a piece that could not move.

    A part goes on where it could come off again. What the procedure does not move is off as soon as it can be.
    """
    places = bench.build.places
    moved = {part for step in procedure.steps if step.does in MOVES for part in step.parts}
    firsts = {part: next(s.does for s in procedure.steps if s.does in MOVES and part in s.parts) for part in moved}  # fmt: skip
    off = {part for part, does in firsts.items() if does is Does.ON}
    stuck = []
    for step in procedure.steps:
        if step.does not in MOVES:
            continue
        # an on-move is looked at as the off-move that undoes it
        off -= set(step.parts)
        state = State(bench.assembly, bench.blocking)
        loose = [
            n for part, names in places.items() if part not in moved or part in off for n in names
        ]
        take_all(state, loose)
        wanted = [name for part in step.parts for name in places[part]]
        left = take_all(state, [*wanted, *(name for name in loose if name not in state.off)])
        stuck += [(step.name, name) for name in left if name in wanted]
        if step.does is Does.OFF:
            off |= set(step.parts)
    return tuple(stuck)


def take_all(state: State, names: list[str]) -> list[str]:
    """Take off whatever of some pieces comes, again and again; give those that do not."""
    left = [name for name in names if name not in state.off]
    while came := [name for name in left if state.try_take(name)]:
        left = [name for name in left if name not in came]
    return left


@pytest.mark.parametrize(("pump", "name"), PROCEDURES)
def test_every_move_of_a_procedure_can_be_made_in_the_state_that_it_meets(pump: str, name: str) -> None:  # fmt: skip
    bench = BENCHES.open(pump)
    procedure = list_procedures(bench)[name]
    assert replay_procedure(bench, procedure) == ()
    places = {part for step in procedure.steps for part in step.parts}
    assert places <= bench.build.places.keys()


def test_a_move_in_a_state_that_does_not_allow_it_is_found() -> None:
    bench = BENCHES.open(PUMPS[0])
    for name, first, later in (
        ("set-impeller", "trial-screw-off", "trial-impeller-off"),
        ("set-impeller", "seal-in", "impeller-on"),
        ("take-impeller-off", "screw-off", "impeller-off"),
        ("open-pump", "casing-nuts-off", "volute-off"),
        ("fit-bearings", "bearings-on", "nut-on"),
    ):
        procedure = list_procedures(bench)[name]
        at = {step.name: place for place, step in enumerate(procedure.steps)}
        steps = list(procedure.steps)
        steps[at[first]], steps[at[later]] = steps[at[later]], steps[at[first]]
        assert replay_procedure(bench, replace(procedure, steps=tuple(steps))), (name, first)


@pytest.mark.parametrize(("pump", "name"), PROCEDURES)
def test_any_order_that_heeds_what_is_needed_gets_full_marks(pump: str, name: str) -> None:
    judge, chance = make_judge(BENCHES.open(pump), name), random.Random(name)
    assert list_bad(judge, judge.find_order()) == []
    seen = set()
    for _ in range(30):
        lines: list[str] = []
        while len(lines) < len(judge.taught):
            ready = [one for one in judge.taught if one not in lines and judge.after[one] <= set(lines)]  # fmt: skip
            lines.append(chance.choice(ready))
        assert all(mark.verdict is LineVerdict.RIGHT for mark in judge.judge(lines))
        seen.add(tuple(lines))
    # a trial fit goes one way, but for wiping the faces meanwhile; bearings go one way altogether
    assert len(seen) > 1 or name == "fit-bearings"


@pytest.mark.parametrize(("pump", "name"), PROCEDURES)
def test_what_is_critical_fails_it_all_when_it_is_missed_or_late(pump: str, name: str) -> None:
    bench = BENCHES.open(pump)
    wanted = Wanted(QuestionKind.PROCEDURE, given={"procedure": name})
    item = draw_item(bench, BENCHES, wanted, "1")
    judge = make_judge(bench, name)
    taught = judge.find_order()
    for step in taught:
        missed = mark_item(item, {"order": tuple(one for one in taught if one != step)})
        assert missed.has_failed == (step in judge.critical)
        assert missed.score < 1.0
        waiting = any(step in after for after in judge.after.values())
        late = mark_item(item, {"order": (*(one for one in taught if one != step), step)})
        assert late.has_failed == (step in judge.critical and waiting)
        assert (late.score < 1.0) == waiting
    for step in judge.never:
        given = mark_item(item, {"order": (*taught, step)})
        assert given.has_failed == (step in judge.critical)
        assert given.score < 1.0


def test_one_step_that_is_late_counts_once() -> None:
    judge = make_judge(BENCHES.open(PUMPS[0]), "open-pump")
    lines = tuple(one for one in judge.taught if one != "lock-out")
    assert [mark.line for mark in list_bad(judge, (*lines, "lock-out"))] == ["lock-out"]
    assert [mark.line for mark in list_bad(judge, lines)] == ["lock-out"]


def test_a_procedure_that_sets_a_gap_tries_it_first() -> None:
    """Assembly is not teardown reversed: parts go on, are measured, come off and go on again. Source: common practice."""
    steps = read_procedures(TABLES)["set-impeller"].steps
    of_impeller = [step.does for step in steps if step.does in MOVES and "impeller" in step.parts]
    assert of_impeller == [Does.ON, Does.OFF, Does.ON]
    names = [step.name for step in steps]
    assert names.index("measure-trial") < names.index("trial-impeller-off") < names.index("seal-in") < names.index("impeller-on")  # fmt: skip


def test_of_a_build_without_a_part_its_steps_are_left_out_and_the_order_stays() -> None:
    procedure = read_procedures(TABLES)["take-impeller-off"]
    fitted = procedure.fit({"impeller": (), "shim": (), "impeller-screw": ()})
    names = [step.name for step in fitted.steps]
    assert "bend-tab-back" not in names
    assert "hold-impeller" not in names
    after = {step.name: step.after for step in fitted.steps}
    # the two that are gone waited for these, and so does now what waited for them
    assert set(after["impeller-off"]) == {"lock-out", "screw-off"}
    assert set(after["screw-off"]) == {"lock-out", "hold-shaft"}


@pytest.mark.parametrize(
    ("was", "will", "what"),
    [
        ("open-pump.lock-out,", "lock-out,", "is no PROCEDURE.STEP"),
        ("match-marks,end-suction,work", "match-marks,end-suction,walk", "does 'walk' is unknown"),
        (",off,bracket-nut,", ",off,,", "moves nothing"),
        ("vent-and-drain,end-suction,work,,isolate", "vent-and-drain,end-suction,work,,isolated", "comes after 'isolated'"),
        ("match-marks,end-suction,", "match-marks,self-priming,", "of other families"),
        ("lock-out,yes,common practice", "lock-out,maybe,common practice", "critical 'maybe' is unknown"),
    ],
)  # fmt: skip
def test_a_fault_of_the_table_is_told_with_its_line(
    tmp_path: Path, was: str, will: str, what: str
) -> None:
    text = (TABLES / STEPS).read_text(encoding="utf-8")
    assert was in text
    (tmp_path / "procedures").mkdir()
    (tmp_path / STEPS).write_text(text.replace(was, will, 1), encoding="utf-8")
    with pytest.raises(ContentError, match=what) as caught:
        read_procedures(tmp_path)
    assert all(fault.line for fault in caught.value.faults)


@pytest.mark.parametrize("pump", PUMPS)
def test_a_step_that_cannot_be_done_yet_is_shown_as_the_move_that_is_stopped(pump: str) -> None:
    bench, played, measured = BENCHES.open(pump), 0, set[str]()
    for name, procedure in list_procedures(bench).items():
        item = draw_item(
            bench, BENCHES, Wanted(QuestionKind.PROCEDURE, given={"procedure": name}), "1"
        )
        (field,) = item.fields
        lines = tuple(reversed(make_judge(bench, name).taught))
        (mark,) = answer_item(Asked(item, "1"), {field.name: lines}, None).fields
        parts = {step.name: step.parts for step in procedure.steps}
        for line in mark.lines:
            if isinstance(line.shown, MoveShown):
                tried = try_shown(bench, line.shown.piece, line.shown.taken)
                assert not tried.is_free, "what is told to come too early is seen not to come"
                assert bench.build.pieces[line.shown.piece].place.name in parts[line.line]
                played += 1
            elif isinstance(line.shown, GapShown):
                measured.add(bench.clearance(line.shown.clearance).name)
            elif line.shown is not None:
                assert isinstance(line.shown, PiecesShown)
        right = answer_item(Asked(item, "1"), {field.name: make_judge(bench, name).taught}, None)
        assert not any(isinstance(line.shown, MoveShown) for line in right.fields[0].lines)
    assert played > 5
    assert len(measured) > 1
    steps = [step for one in read_procedures(TABLES).values() for step in one.steps]
    assert GAPS.keys() <= {(step.name, part) for step in steps for part in step.parts}
