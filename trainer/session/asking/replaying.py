"""Judge orders by replaying them: a teardown as it is, an assembly from its end."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from trainer.core.order.marking import Marked, MarkedStep, Verdict, mark_order
from trainer.core.order.state import Refused, TakenOff
from trainer.lesson.item import LineMark, LineVerdict, MoveShown
from trainer.lesson.said import Said, name_part, name_pieces, say
from trainer.session.bench import Bench


class Way(StrEnum):
    """Which way an order runs."""

    TEARDOWN = "teardown"
    ASSEMBLY = "assembly"


_WORST = (
    (Verdict.REFUSED, LineVerdict.WRONG),
    (Verdict.CONSEQUENCE, LineVerdict.FOLLOWS),
    (Verdict.WRONG_PRACTICE, LineVerdict.POOR),
)
"""What a line is that has a piece of such a verdict, the worst first; else it is right."""


@dataclass(frozen=True)
class ReplayJudge:
    """Judge an order of parts, each a whole set at once.

    lines: the parts that are asked. All others are off as soon as they can be, and so is a line that was missed: it
    is counted once, as missed, and not again in all that it would have held.
    An assembly is right when what it put together comes apart the other way round; a part that cannot
    come off then is one that could no longer go on.
    """

    bench: Bench = field(compare=False)
    lines: tuple[str, ...]
    way: Way = Way.TEARDOWN

    def judge(self, lines: Sequence[str]) -> tuple[LineMark, ...]:
        """Judge line after line, then what was missed."""
        marked = self.mark(lines)
        steps = {step.piece: step for step in marked.steps}
        places = self.bench.build.places
        judged = [
            self._judge_line(line, [steps[name] for name in places[line]], marked.off_then)
            for line in lines
        ]
        missed = (line for line in self.lines if line not in lines)
        return (*judged, *(self._tell_missed(line) for line in missed))

    def mark(self, lines: Sequence[str]) -> Marked:
        """Replay an order of lines."""
        bench = self.bench
        groups = [bench.build.places[line] for line in self._turn(lines)]
        asked = {name for group in groups for name in group}
        helped = [name for name in bench.assembly.by_name if name not in asked]
        return mark_order(bench.assembly, bench.blocking, groups, helped)

    def find_order(self) -> tuple[str, ...]:
        """Give one right order: that of the bench, as far as it is asked."""
        parts = dict.fromkeys(step.part for step in reversed(self.bench.order.steps))
        return self._turn([part for part in reversed(parts) if part in self.lines])

    def _turn(self, lines: Sequence[str]) -> tuple[str, ...]:
        return tuple(lines if self.way is Way.TEARDOWN else reversed(lines))

    def _judge_line(
        self, line: str, steps: Iterable[MarkedStep], off_then: Mapping[str, tuple[str, ...]]
    ) -> LineMark:
        by_verdict = {step.verdict: step for step in reversed(tuple(steps))}
        for verdict, found in _WORST:
            step = by_verdict.get(verdict)
            if step is not None:
                taken = off_then.get(step.piece)
                shown = None if taken is None else MoveShown(step.piece, taken)
                return LineMark(line, found, self._tell_why(line, step), shown)
        return LineMark(line, LineVerdict.RIGHT, say(f"why.{self.way}-right", part=name_part(line)))

    def _tell_why(self, line: str, step: MarkedStep) -> Said:
        part, found = name_part(line), step.found
        if isinstance(found, TakenOff):
            return say("why.order-poor", part=part, practice=say(f"practice.{found.cautions[0]}"))
        assert isinstance(found, Refused)
        key = "follows" if step.verdict is Verdict.CONSEQUENCE else "wrong"
        by = name_pieces(sorted(found.hindrance))
        return say(f"why.{self.way}-{key}", part=part, refused=found, by=by)

    def _tell_missed(self, line: str) -> LineMark:
        return LineMark(
            line, LineVerdict.MISSED, say(f"why.{self.way}-missed", part=name_part(line))
        )
