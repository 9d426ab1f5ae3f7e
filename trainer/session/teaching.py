"""Who answers, what lessons may name, and how an order of lines is marked on a bench."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from models.builds import list_builds
from trainer.core.order.marking import DONE, Marked, MarkedStep, Verdict, mark_order
from trainer.core.order.state import Refused, TakenOff
from trainer.lesson import (
    Known,
)
from trainer.records import Json
from trainer.session.bench import Bench

if TYPE_CHECKING:
    from trainer.records import Records


@dataclass(frozen=True, slots=True)
class Learner:
    """Who answers, how the records are opened in which attempts are kept, and the clock that dates them (UTC)."""

    person: str
    open_records: Callable[[], Records]
    clock: Callable[[], datetime]

    @property
    def records(self) -> Records:
        """Where attempts are kept, opened if need be: never in the thread of a window. Raises SurroundingsError when it cannot be."""
        return self.open_records()


def find_known() -> Known:
    """Find every name a lesson may refer to, for `check_lesson`."""
    families = list_builds()
    options = {name: family.option_values() for name, family in families.items()}
    parts = {name: frozenset(family.every_place()) for name, family in families.items()}
    clearances = {name: frozenset(family.every_clearance()) for name, family in families.items()}
    faults = {name: frozenset(f.key for f in family.faults) for name, family in families.items()}
    return Known(frozenset(families), options, parts, clearances, faults)


def mark_lines(bench: Bench, lines: Sequence[str], among: Sequence[str] | None = None) -> Marked:
    """Mark an order of lines, each a piece or a part name (the whole set at once).

    among: the parts a question asks about. Other parts are not asked: they are taken off, as soon as
    they can be, before each line is judged, so that only the order of the asked ones counts.

    Raises:
        RefusalError: a line names no piece or part; near matches are given.
    """
    groups = [bench.find_pieces(line) for line in lines]
    if among is None:
        return mark_order(bench.assembly, bench.blocking, groups)
    asked = {piece for part in among for piece in bench.find_pieces(part)}
    others = [name for name in bench.assembly.by_name if name not in asked]
    return mark_order(bench.assembly, bench.blocking, groups, helped=others)


def find_verdict_name(step: MarkedStep) -> str:
    """Name the verdict on a step: of a refused one whether it is held by a joint or blocked by a solid."""
    if step.verdict is not Verdict.REFUSED:
        return step.verdict.value
    return "held" if step.is_held else "blocked"


def describe_step(step: MarkedStep) -> dict[str, Json]:
    """Describe a marked step as plain JSON: free, blocked_by, held_by, travel_mm, consequence."""
    found = step.found
    refused = found if isinstance(found, Refused) else None
    taken = found if isinstance(found, TakenOff) else None
    way = refused.way if refused else None
    return {
        "piece": step.piece,
        "free": step.verdict in DONE,
        "blocked_by": list(way.blocked_by) if way else [],
        "held_by": [by for held in refused.held for by in held.by] if refused else [],
        "verdict": find_verdict_name(step),
        "until": list(refused.until) if refused else [],
        "cautions": list(taken.cautions) if taken else [],
        "joints": [held.joint for held in refused.held] if refused else [],
        "direction": way.direction.name if way else None,
        "travel_mm": round(way.travel_mm, 2) if way else None,
        "consequence": step.verdict is Verdict.CONSEQUENCE,
        "repeated": step.verdict is Verdict.REPEATED,
    }
