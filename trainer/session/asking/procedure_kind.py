"""The question how a procedure goes, step by step; what has to come before what, the table says, and the order engine."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from types import MappingProxyType

from models.spec.build import TABLES
from models.spec.procedure import MOVES, Does, Procedure, ProcedureStep, read_procedures
from trainer.core.order.state import State
from trainer.lesson.following import FollowJudge
from trainer.lesson.item import (
    Basis,
    Choice,
    Field,
    GapShown,
    InOrder,
    Item,
    LineMark,
    LineVerdict,
    MoveShown,
    PiecesShown,
    Shown,
)
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.said import Name, NameOf, say
from trainer.session.asking.benches import once_a_bench
from trainer.session.asking.kind import Draw, Kind
from trainer.session.asking.part_kinds import COMMON_PRACTICE, ask
from trainer.session.asking.states import find_first
from trainer.session.bench import Bench

GAPS: Mapping[tuple[str, str], str] = MappingProxyType(
    {
        ("measure-found", "back-plate"): "back-vane",
        ("measure-found", "wear-plate"): "wear-plate",
        ("measure-trial", "impeller"): "back-vane",
        ("measure-left", "impeller"): "back-vane",
        ("measure-float", "bearing-cap"): "end-float",
        ("set-plate", "wear-plate"): "wear-plate",
    }
)
"""The clearance that a step measures, by the step and the part that it measures at."""
MOST_TRIED = 30
"""Shuffles tried for one that is not right as it stands."""


@once_a_bench
def list_procedures(bench: Bench) -> Mapping[str, Procedure]:
    """List the procedures of a build by name, as far as its parts go."""
    family, places = bench.build.family.name, bench.build.places
    return {
        name: procedure.fit(places)
        for name, procedure in read_procedures(TABLES).items()
        if family in procedure.families
    }


@once_a_bench
def make_judge(bench: Bench, name: str) -> FollowJudge:
    """Make the judge of a procedure on a build: what the table asks before a step, and what the order engine does."""
    procedure = list_procedures(bench)[name]
    steps = [step for step in procedure.steps if step.does is not Does.NEVER]
    after = {step.name: set(step.after) for step in steps}
    for first, later in _list_forced(bench, steps):
        after[later.name].add(first.name)
    for step in steps:  # in the taught order, so that each finds its own settled already
        after[step.name] |= {far for one in after[step.name] for far in after[one]}
    return FollowJudge(
        tuple(step.name for step in steps),
        {name: frozenset(found) for name, found in after.items()},
        frozenset(step.name for step in procedure.steps if step.is_critical),
        frozenset(step.name for step in procedure.steps if step.does is Does.NEVER),
        {step.name: say(f"step.{step.name}") for step in procedure.steps},
    )


def _list_forced(
    bench: Bench, steps: list[ProcedureStep]
) -> list[tuple[ProcedureStep, ProcedureStep]]:
    """List pairs of moves of which the engine lets only the first come first; of parts that move once."""
    moves = [step for step in steps if step.does in MOVES]
    counts = [part for step in moves for part in step.parts]
    once = [step for step in moves if all(counts.count(part) == 1 for part in step.parts)]
    first = find_first(bench)
    return [
        (one, other) if one.does is Does.OFF else (other, one)
        for one in once
        for other in once
        if one is not other
        and one.does is other.does
        and any(set(one.parts) & first[part] for part in other.parts)
    ]


def _take_all(state: State, names: list[str]) -> list[str]:
    """Take off whatever of some pieces comes, again and again; give those that do not."""
    left = [name for name in names if name not in state.off]
    while came := [name for name in left if _take(state, name)]:
        left = [name for name in left if name not in came]
    return left


def _take(state: State, name: str) -> bool:
    if name not in state.off and state.find(name) is None:
        return False
    state.take(name)
    return True


def show_step(
    bench: Bench, procedure: Procedure, lines: Sequence[str], mark: LineMark
) -> Shown | None:
    """Find what is to be seen of a step: the move that cannot be made in the state in which it comes, the gap, its parts.

    lines: the steps as they were given. A part that cannot go on is shown as one that could not come off again.
    """
    by_name = {step.name: step for step in procedure.steps}
    step = by_name[mark.line]
    pieces = tuple(name for part in step.parts for name in bench.build.places[part])
    if step.does in MOVES and mark.line in lines and mark.verdict is not LineVerdict.RIGHT:
        before = [by_name[line] for line in lines[: lines.index(mark.line)]]
        state = _find_state(bench, procedure, before, step)
        left = _take_all(state, list(pieces))
        if left:
            return MoveShown(left[0], tuple(state.off))
    gap = find_gap(bench, step)
    if gap:
        return GapShown(gap)
    return PiecesShown(pieces) if pieces else None


def find_gap(bench: Bench, step: ProcedureStep) -> str:
    """Find the clearance that a step measures, by its name; "" for none, or none that this build has."""
    gaps = (GAPS.get((step.name, part), "") for part in step.parts)
    return next((gap for gap in gaps if bench.build.has_clearance(gap)), "")


def _find_state(
    bench: Bench, procedure: Procedure, before: Sequence[ProcedureStep], now: ProcedureStep
) -> State:
    """Find how the pump stands after some steps, with all off by then that could be, and nothing of what moves now."""
    off, moved = find_off_before(procedure, before, now)
    state = State(bench.assembly, bench.blocking)
    places = bench.build.places
    _take_all(state, [n for part, names in places.items() if part not in moved or part in off for n in names])  # fmt: skip
    return state


def find_off_before(
    procedure: Procedure, before: Sequence[ProcedureStep], now: ProcedureStep
) -> tuple[frozenset[str], frozenset[str]]:
    """Find which parts a procedure has off after some steps, of those that do not move now; and all that it moves at all."""
    moves = [step for step in procedure.steps if step.does in MOVES]
    first = {part: step.does for step in reversed(moves) for part in step.parts}
    off = {part for part, does in first.items() if does is Does.ON}
    for step in before:
        if step.does is Does.OFF:
            off |= set(step.parts)
        elif step.does is Does.ON:
            off -= set(step.parts)
    return frozenset(off - set(now.parts)), frozenset(first)


def _list_names(bench: Bench) -> tuple[str, ...]:
    return tuple(list_procedures(bench))


def _draw_procedure(draw: Draw) -> Item:
    build, chance = draw.bench.build, draw.chance
    judge = make_judge(draw.bench, draw.subject)
    lines = [*judge.taught, *sorted(judge.never)]
    for _ in range(MOST_TRIED):
        chance.shuffle(lines)
        if any(mark.verdict != "right" for mark in judge.judge(lines)):
            break
    form = InOrder(
        tuple(Choice(line, judge.texts[line], say(f"step.{line}.why")) for line in lines),
        judge,
        judge.never,
        partial(show_step, draw.bench, list_procedures(draw.bench)[draw.subject]),
    )
    pump = Name(NameOf.PUMP, build.name)
    stem = (
        *ask(draw, "ask.procedure", what=say(f"procedure.{draw.subject}"), pump=pump),
        say("ask.procedure-critical"),
    )
    return Item(
        QuestionKind.PROCEDURE, draw.subject, build.name, build.options, stem,
        (Field("order", say("ask.procedure-field"), form),),
        Basis(say("basis.procedure"), COMMON_PRACTICE), caution=say("caution.procedure"),
    )  # fmt: skip


PROCEDURE = Kind("procedure", _list_names, _draw_procedure, needs_solids=True)
