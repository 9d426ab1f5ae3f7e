"""Observed practicals: their rubric from a procedure of a build, one while it is held, and the sign-off filed of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING
from uuid import UUID

from models.spec.build import TABLES
from models.spec.errors import RefusalError, say_near
from models.spec.procedure import Does, read_procedures
from trainer.lesson.practical import MARKS, Judged, Level, Observed, Rubric, RubricLine
from trainer.records.attempt import check_person_name
from trainer.records.sign_off import FiledSignOff, LineSigned, SignOff
from trainer.session.as_left import Plain, StrangeValueError, take_table, take_text
from trainer.session.asking.procedure_kind import list_procedures
from trainer.session.bench import Bench, open_bench

if TYPE_CHECKING:
    from trainer.records import Records


@dataclass(frozen=True, slots=True)
class Held:
    """A practical while it is held: who does it and who watches, on which pump, since when, and what was seen so far.

    id: of the sign-off that it becomes, so that one that is tried again is never filed twice. parts: by line, the
    parts that its step is about, for a picture. remark: one on the whole.
    """

    id: UUID
    person: str
    observer: str
    build: str
    options: Mapping[str, str]
    begun: datetime
    observed: Observed
    parts: Mapping[str, tuple[str, ...]]
    remark: str = ""


def make_rubric(bench: Bench, name: str) -> Rubric:
    """Make the rubric of a practical: a line for each step of its procedure, and one for each thing never done.

    Raises:
        RefusalError: the build has no such procedure.
    """
    known = list_procedures(bench)
    if name not in known:
        raise RefusalError(f"{bench.name} has no procedure {name!r}; {say_near(name, known)}")
    lines = (
        RubricLine(step.name, step.is_critical, step.does is Does.NEVER)
        for step in known[name].steps
    )
    return Rubric(name, tuple(lines))


def make_signed_rubric(signed: SignOff) -> Rubric:
    """Make the rubric of a practical that is on file from what was signed: its lines stay, whatever the procedure is now."""
    procedure = read_procedures(TABLES).get(signed.practical)
    steps = procedure.steps if procedure is not None else ()
    never = {step.name for step in steps if step.does is Does.NEVER}
    lines = (RubricLine(one.line, one.is_critical, one.line in never) for one in signed.lines)
    return Rubric(signed.practical, tuple(lines))


def judge_signed(signed: SignOff) -> Judged:
    """Give what a practical that is on file came to: what was signed stands, and is not judged again."""
    score = sum(one.mark for one in signed.lines) / len(signed.lines)
    short = tuple(one.line for one in signed.lines if one.is_critical and one.mark < 1.0)
    return Judged(score, short, signed.passed)


def begin_practical(
    bench: Bench, name: str, *, person: str, observer: str, id_: UUID, now: datetime
) -> Held:
    """Begin a practical, nothing seen yet.

    Args:
        bench: the pump it is done on; no solid of it is asked for.
        name: of the procedure.
        person: the name of who does it, as typed.
        observer: the same of who watches.
        id_: a new id.
        now: when it begins.

    Raises:
        RefusalError: no such procedure, a name that cannot be kept, or somebody watches himself.
    """
    who, watching = check_person_name(person), check_person_name(observer)
    if who.casefold() == watching.casefold():
        raise RefusalError("Nobody signs off a practical of their own; somebody else watches.")
    rubric = make_rubric(bench, name)
    parts = {step.name: step.parts for step in list_procedures(bench)[name].steps}
    options = dict(bench.build.options)
    return Held(id_, who, watching, bench.name, options, now, Observed(rubric), parts)


def sign_off(held: Held, *, person_signed: str, observer_signed: str, now: datetime) -> SignOff:
    """Make the sign-off of a practical of which every line is marked.

    Args:
        held: the practical.
        person_signed: what was typed to sign by who did it.
        observer_signed: the same by who watched.
        now: when both signed.

    Raises:
        RefusalError: lines are left, or somebody has not signed with the name.
    """
    observed = held.observed
    judged = observed.judge()
    lines = tuple(
        LineSigned(line.name, MARKS[observed.levels[line.name]], line.is_critical, observed.remarks.get(line.name, ""))
        for line in observed.rubric.lines
    )  # fmt: skip
    return SignOff(
        held.id, now, held.person, held.observer, person_signed, observer_signed, observed.rubric.name,
        held.build, lines, judged.has_passed, held.options, held.remark, held.begun,
    )  # fmt: skip


def file_practical(records: Records, signed: SignOff) -> FiledSignOff:
    """File a sign-off for good; one that is on file under its id already is given as it was filed.

    So nothing is filed twice where the answer of a server was lost on its way, or the program ended before it came.

    Raises:
        SurroundingsError: it cannot be written; try again with the same.
    """
    return records.find_sign_off(signed.id) or records.add_sign_off(signed)


# ------------------------------------------------------------------ one that is not signed yet, as it was left
def describe_held(held: Held) -> dict[str, Plain]:
    """Describe a practical as plain values, so that it outlives the program."""
    observed = held.observed
    return {
        "id": str(held.id),
        "person": held.person,
        "observer": held.observer,
        "build": held.build,
        "options": dict(held.options),
        "begun": held.begun.isoformat(),
        "procedure": observed.rubric.name,
        "levels": {line: str(level) for line, level in observed.levels.items()},
        "remarks": dict(observed.remarks),
        "remark": held.remark,
    }


def read_held(value: Plain) -> Held:
    """Read a practical as it was described; its rubric is made anew, so that no rule stands in a file.

    Takes a while: the build is made.

    Raises:
        StrangeValueError: it is no such thing, or its pump or procedure is not known any more.
    """
    table = take_table(value)
    text = {name: take_text(table.get(name)) for name in ("id", "person", "observer", "build", "begun", "procedure", "remark")}  # fmt: skip
    options = {name: take_text(one) for name, one in take_table(table.get("options")).items()}
    levels = {line: take_text(one) for line, one in take_table(table.get("levels")).items()}
    remarks = {line: take_text(one) for line, one in take_table(table.get("remarks")).items()}
    try:
        begun = datetime.fromisoformat(text["begun"])
        if begun.tzinfo is None:
            raise StrangeValueError("a time without its zone")
        held = begin_practical(
            open_bench(text["build"], options), text["procedure"], person=text["person"],
            observer=text["observer"], id_=UUID(text["id"]), now=begun,
        )  # fmt: skip
        observed = held.observed
        for line in (
            one.name for one in observed.rubric.lines
        ):  # what is no line any more is left out
            observed = observed.note(line, remarks.get(line, ""))
            if line in levels:
                observed = observed.mark(line, Level(levels[line]), remarks.get(line, ""))
    except (ValueError, RefusalError) as error:
        raise StrangeValueError(str(error)) from error
    return replace(held, observed=observed, remark=text["remark"])
