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
MOST_REBUILT = 16
"""Lines of an order that is built anew to see whether two may stand turned."""
_NUMBER = re.compile(r"-\d+\Z")


def find_broken(judge: OrderJudge, lines: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """Find what an order has broken: (FIRST, THEN) with THEN given before FIRST, which has to come first.

    Two lines are tried side by side both ways, behind all else for a line that came too early, and before all else for
    one that came too late. One has to come before the other, maybe by way of a third, where one way is wrong and the
    other is not, unless a right order is found that has the two turned: so what only broke a pattern, as of bolts
    crosswise, is left out.
    """
    wrong = [mark for mark in judge.judge(lines) if mark.verdict is LineVerdict.WRONG]
    left, found = MOST_LINES_JUDGED, dict[tuple[str, str], None]()
    right = judge.find_order() if wrong else ()
    named = ((mark.line, other) for mark in wrong for other in _list_named(mark, lines))
    rest = ((mark.line, other) for mark in wrong for other in lines if other != mark.line)
    for line, other in dict.fromkeys(chain(named, rest)):
        left -= 2 * len(lines)
        if left < 0:
            break
        if not _has_to_wait(judge, lines, line, other):
            continue
        is_early = lines.index(line) < lines.index(other)
        pair = (other, line) if is_early else (line, other)
        left -= len(right)
        if not _is_borne(judge, right, *pair):
            found[pair] = None
    return tuple(found)


def _has_to_wait(judge: OrderJudge, lines: Sequence[str], line: str, other: str) -> bool:
    """Is a line wrong beside another as it was given, and not the other way round, with all else out of the way?"""
    rest = _drop(_drop(lines, line), other)
    if lines.index(line) < lines.index(other):
        given, turned = [*rest, line, other], [*rest, other, line]
    else:
        given, turned = [other, line, *rest], [line, other, *rest]
    return _is_wrong(judge, given, line) and not _is_wrong(judge, turned, line)


def _is_borne(judge: OrderJudge, right: Sequence[str], first: str, then: str) -> bool:
    """Is there a right order with two lines turned? Looked for by putting the second in the first's place."""
    if not {first, then} <= set(right):
        return False
    if right.index(then) < right.index(first):
        return True
    if len(right) > MOST_REBUILT:
        return False
    begun = [*right[: right.index(first)], then]
    left = [one for one in right if one not in begun]
    while left:
        ahead = ((one, [*begun, one, *_drop(left, one)]) for one in left)
        following = next((one for one, order in ahead if not _is_wrong(judge, order, one)), None)
        if following is None:
            return False
        begun.append(following)
        left.remove(following)
    return not any(mark.verdict is LineVerdict.WRONG for mark in judge.judge(begun))


def _drop(lines: Sequence[str], line: str) -> list[str]:
    return [one for one in lines if one != line]


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
