"""Judge the order in which the fasteners of a joint are tightened: crosswise, in passes of rising torque.

There are many good patterns, so an order is judged by what it does: after any first fastener each second one lies
across from the one before, as far as any that is still loose; and between such pairs one goes on by a quarter of
the circle at least, where anything so far away is loose. Not to do the last is poor, and wrong only behind a
fastener that was wrong itself. Source: common practice.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from trainer.lesson.item import LineMark, LineVerdict
from trainer.lesson.said import Said, say

BY_HAND, SECOND, THIRD, ROUND = "by-hand", "second-pass", "third-pass", "once-round"
AT_ONCE = "full-at-once"
PASSES = (SECOND, THIRD, ROUND)
"""What comes after the first pass, in this order."""
BOLT = "bolt-"


@dataclass(frozen=True, slots=True)
class CrossJudge:
    """Judge the order for so many fasteners, numbered round the joint from 1."""

    count: int

    def judge(self, lines: Sequence[str]) -> tuple[LineMark, ...]:
        """Judge line after line, then what was missed."""
        marks, done, is_paired = list[LineMark](), list[int](), True
        for at, line in enumerate(lines):
            if line.startswith(BOLT):
                number = int(line.removeprefix(BOLT))
                marks.append(self._judge_bolt(line, number, done, is_paired=is_paired))
                is_paired = marks[-1].verdict is not LineVerdict.WRONG
                done.append(number)
            else:
                marks.append(_judge_pass(line, lines[:at], lines[at + 1 :]))
        missed = [line for line in self.find_order() if line not in lines]
        return (*marks, *(LineMark(line, LineVerdict.MISSED, say(f"why.tighten-missed-{_kind(line)}")) for line in missed))  # fmt: skip

    def find_order(self) -> tuple[str, ...]:
        """Give one right order."""
        done: list[int] = []
        while len(done) < self.count:
            done.append(self.list_next(done)[0])
        return (BY_HAND, *(f"{BOLT}{number}" for number in done), *PASSES)

    def list_next(self, done: Sequence[int]) -> tuple[int, ...]:
        """List the fasteners that may come after those that are done."""
        loose = [number for number in range(1, self.count + 1) if number not in done]
        if not done:
            return tuple(loose)
        away = {number: self._count_steps(done[-1], number) for number in loose}
        far = [number for number in loose if 4 * away[number] >= self.count]
        if len(done) % 2 == 0 and far:
            return tuple(far)
        most = max(away.values())
        return tuple(number for number in loose if away[number] == most)

    def _count_steps(self, one: int, other: int) -> int:
        """Count the steps from one to the other, the shorter way round."""
        steps = abs(one - other)
        return min(steps, self.count - steps)

    def _judge_bolt(
        self, line: str, number: int, done: Sequence[int], *, is_paired: bool
    ) -> LineMark:
        """Judge one; beside a pair that lies across, going on too near is poor, for the pull is even there."""
        allowed = self.list_next(done)
        if number in allowed:
            return LineMark(line, LineVerdict.RIGHT, say("why.tighten-right", bolt=number))
        is_second = len(done) % 2 == 1
        key = "across" if is_second else "on"
        better = say(f"why.tighten-{key}", bolt=number, before=done[-1], better=str(allowed[0]))
        is_poor = is_paired and not is_second
        return LineMark(line, LineVerdict.POOR if is_poor else LineVerdict.WRONG, better)


def _kind(line: str) -> str:
    return "bolt" if line.startswith(BOLT) else line


def _judge_pass(line: str, before: Sequence[str], after: Sequence[str]) -> LineMark:
    if line == AT_ONCE:
        return LineMark(line, LineVerdict.WRONG, say("why.tighten-at-once"))
    if line == BY_HAND:
        return _mark(line, say("why.tighten-by-hand"), is_right=not before)
    lower = PASSES[: PASSES.index(line)]
    is_right = not any(one in lower or one.startswith(BOLT) for one in after)
    return _mark(line, say(f"why.tighten-{line}"), is_right=is_right)


def _mark(line: str, why: Said, *, is_right: bool) -> LineMark:
    return LineMark(line, LineVerdict.RIGHT if is_right else LineVerdict.WRONG, why)


def number_round(spots: Sequence[tuple[float, float]]) -> tuple[int, ...]:
    """Number spots (right, up) clockwise about their middle, from the topmost on; give the place in the list by number."""
    middle = tuple(sum(one) / len(spots) for one in zip(*spots, strict=True))
    angles = [math.atan2(x - middle[0], y - middle[1]) % math.tau for x, y in spots]
    # A spot a hair left of the top is the top too.
    angles = [0.0 if math.tau - angle < 1e-6 else angle for angle in angles]
    return tuple(sorted(range(len(spots)), key=lambda at: angles[at]))
