"""Observed practicals: their rubric from a procedure of a build, and the sign-off that is filed of one."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from models.spec.errors import RefusalError, say_near
from models.spec.procedure import Does
from trainer.lesson.practical import MARKS, Observed, Rubric, RubricLine
from trainer.records.sign_off import LineSigned, SignOff
from trainer.session.asking.procedure_kind import list_procedures
from trainer.session.bench import Bench


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


def sign_off(
    observed: Observed,
    bench: Bench,
    *,
    person: tuple[str, str],
    observer: tuple[str, str],
    sign_off_id: UUID,
    now: datetime,
    remark: str = "",
) -> SignOff:
    """Make the sign-off of a practical that has been marked.

    Args:
        observed: with every line marked.
        bench: the pump it was done on.
        person: the name of who did it, and what was typed to sign.
        observer: the same of who watched.
        sign_off_id: a new id.
        now: when both signed.
        remark: one line on the whole.

    Raises:
        RefusalError: lines are left, somebody watched himself, or has not signed with the name.
    """
    judged = observed.judge()
    lines = tuple(
        LineSigned(line.name, MARKS[observed.levels[line.name]], line.is_critical, observed.remarks.get(line.name, ""))
        for line in observed.rubric.lines
    )  # fmt: skip
    return SignOff(
        sign_off_id, now, person[0], observer[0], person[1], observer[1], observed.rubric.name,
        bench.name, lines, judged.has_passed, dict(bench.build.options), remark,
    )  # fmt: skip
