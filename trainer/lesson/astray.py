"""Find where an order goes astray: which line was given before another that has to come first."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import chain

from trainer.core.order.answers import Refused
from trainer.lesson.item import LineMark, LineVerdict, OrderJudge
from trainer.lesson.said import Filling, Said

MOST_LINES_JUDGED = 1000
"""Lines that are judged to find out what an order has broken: a tenth of a second. Of a few lines every pair is tried,
of a whole pump only what the refusals themselves name."""
_NUMBER = re.compile(r"-\d+\Z")


def find_broken(judge: OrderJudge, lines: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """Find what an order has broken: (FIRST, THEN) with THEN given before FIRST, which has to come first.

    Two lines are tried side by side both ways, behind all else for a line that came too early, and before all else for
    one that came too late. Where one way is wrong and the other is not, one has to come before the other, whatever
    else is done; it may do so by way of a third.
    """
    wrong = [mark for mark in judge.judge(lines) if mark.verdict is LineVerdict.WRONG]
    left, found = MOST_LINES_JUDGED, dict[tuple[str, str], None]()
    named = ((mark.line, other) for mark in wrong for other in _list_named(mark, lines))
    rest = ((mark.line, other) for mark in wrong for other in lines if other != mark.line)
    for line, other in dict.fromkeys(chain(named, rest)):
        left -= 2 * len(lines)
        if left < 0:
            break
        if _has_to_wait(judge, lines, line, other):
            is_early = lines.index(line) < lines.index(other)
            found[(other, line) if is_early else (line, other)] = None
    return tuple(found)


def _has_to_wait(judge: OrderJudge, lines: Sequence[str], line: str, other: str) -> bool:
    """Is a line wrong beside another as it was given, and not the other way round, with all else out of the way?"""
    rest = [one for one in lines if one not in {line, other}]
    if lines.index(line) < lines.index(other):
        given, turned = [*rest, line, other], [*rest, other, line]
    else:
        given, turned = [other, line, *rest], [line, other, *rest]
    return _is_wrong(judge, given, line) and not _is_wrong(judge, turned, line)


def _is_wrong(judge: OrderJudge, lines: Sequence[str], line: str) -> bool:
    return any(m.line == line and m.verdict is LineVerdict.WRONG for m in judge.judge(lines))


def _list_named(mark: LineMark, lines: Sequence[str]) -> list[str]:
    """List the lines that the reason of a wrong one names, as what would have freed it."""
    found = dict[str, None]()
    for refused in _list_refused(mark.why) if mark.why is not None else ():
        for piece in (*refused.until, *refused.hindrance):
            # A line is a piece, or the part of which pieces are numbered.
            for line in (piece, _NUMBER.sub("", piece)):
                if line in lines and line != mark.line:
                    found[line] = None
    return list(found)


def _list_refused(said: Filling) -> Iterator[Refused]:
    match said:
        case Refused():
            yield said
        case Said():
            for filling in said.fields.values():
                yield from _list_refused(filling)
        case tuple():
            for filling in said:
                yield from _list_refused(filling)
