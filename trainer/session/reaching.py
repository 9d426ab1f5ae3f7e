"""What must come off to reach a part, from how the pump stands: found apart from the window, and told step by step."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from models.spec.assembly import Assembly
from trainer.core.order.blocking import Blocking
from trainer.core.order.directions import Direction
from trainer.core.order.reach import Reached, find_reach, find_routes
from trainer.core.order.state import State, TakenOff
from trainer.session.on_bench import OnBench

Routes = Mapping[str, Reached | None]
"""By where one comes from: "suction", "drive", or "any" where nothing has such ends; None where no way leads."""
ENDS = {Direction.SUCTION: "suction", Direction.DRIVE: "drive"}
ANY = "any"


@dataclass(frozen=True, slots=True)
class ReachQuestion:
    """Ask what must come off to reach the nearest of some pieces.

    Plain values and arrays, so that a process can be asked.

    pieces: those of which one is to be reached. taken: what is off
    already, in the order in which it was taken. has_ends: whether there is a suction end and a drive end to come from.
    """

    assembly: Assembly
    blocking: Blocking
    pieces: tuple[str, ...]
    taken: tuple[str, ...]
    has_ends: bool


def ask_reach(bench: OnBench, pieces: Sequence[str], taken: Sequence[str]) -> ReachQuestion:
    """Make the question for a bench whose order is known."""
    has_ends = bench.build is not None
    return ReachQuestion(bench.assembly, bench.blocking, tuple(pieces), tuple(taken), has_ends)


def answer_reach(question: ReachQuestion) -> Routes:
    """Find the shortest ways. Takes seconds, so never in the window.

    Pieces that are off already are left out of the question; if all are, every way is empty.
    """
    state = State(question.assembly, question.blocking)
    for name in question.taken:
        if name not in state.off:
            state.try_take(name)
    wanted = [name for name in question.pieces if name not in state.off]
    if not wanted:
        return {}
    find = _find_from_ends if question.has_ends else _find_any
    best: dict[str, Reached | None] = {}
    for name in wanted:
        for end, way in find(question, name, state).items():
            known = best.get(end)
            if known is None or (way is not None and len(way.steps) < len(known.steps)):
                best[end] = way
    return best


def _find_from_ends(question: ReachQuestion, name: str, state: State) -> Routes:
    routes = find_routes(question.assembly, question.blocking, name, state)
    return {ENDS[end]: way for end, way in routes.items()}


def _find_any(question: ReachQuestion, name: str, state: State) -> Routes:
    return {ANY: find_reach(question.assembly, question.blocking, name, start=state)}


@dataclass(frozen=True, slots=True)
class ReachStep:
    """A step on the way: what is taken, and the work before it, to be told by `Naming.tell_work`."""

    taken: tuple[TakenOff, ...]
    work: tuple[str, ...] = ()

    @property
    def pieces(self) -> tuple[str, ...]:
        """Names of the pieces, in the order they come off."""
        return tuple(taken.piece for taken in self.taken)


def list_steps(bench: OnBench, way: Reached, *, is_together: bool) -> tuple[ReachStep, ...]:
    """List the steps of a way with the work that comes before each; the start's work only where nothing is off yet."""
    seen: set[str] = set()
    steps = []
    for number, taken in enumerate(way.steps):
        part = bench.assembly.by_name[taken[0].piece].part
        work = () if part in seen else find_work(bench, part)
        if number == 0 and is_together and bench.build is not None:
            work = (*(one.key for one in bench.build.work if not one.before), *work)
        steps.append(ReachStep(taken, work))
        seen.add(part)
    return tuple(steps)


def find_work(bench: OnBench, part: str) -> tuple[str, ...]:
    """Find the work that comes before a part is taken off, whenever that is."""
    if bench.build is not None:
        return tuple(work.key for work in bench.build.work if work.before == part)
    number = next((n for n, step in enumerate(bench.order.steps) if step.part == part), None)
    return () if number is None else tuple(bench.work_before(number))
