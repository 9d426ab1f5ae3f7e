"""Say what an instructor may do about a class's answers: only where the numbers are sure of it, whatever its size.

| what is sure | what to do |
|---|---|
| all of the 95 % interval of how it parts strong from weak lies below 0 | look at the question: its words may mislead |
| all of the interval of its mean mark lies below HALF | teach it again; and say why a wrong choice is wrong that more took than what is right |
| all of the interval lies above NO_NEWS | it tells nobody anything new: ask something harder |
| a precedence was broken by BROKEN_BY of those who were asked, and by BROKEN_LEAST persons | show that one comes first |
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from trainer.lesson.statistics import Broken, ChoiceUse, Doubt, ItemFigures

HALF = 0.5
NO_NEWS = 0.9
"""Above this a question parts nobody. Common practice."""
BROKEN_BY, BROKEN_LEAST = 0.25, 3
"""From these on an instructor shows it to all, and not to one. Our own choice."""


class What(StrEnum):
    """What to do about an item."""

    LOOK = "look"
    TEACH = "teach"
    TEMPTS = "tempts"
    EASY = "easy"
    SHOW = "show"


@dataclass(frozen=True, slots=True)
class Advice:
    """One thing to do. choices: the wrong choice that tempts, or the line that comes first and the one after it."""

    what: What
    item: str
    choices: tuple[str, ...] = ()


def find_advice(
    figures: Sequence[ItemFigures], uses: Sequence[ChoiceUse], broken: Sequence[Broken]
) -> tuple[Advice, ...]:
    """Find what may be done, the most pressing first: questions that mislead, what has to be taught again, what to show, what is too easy."""
    found = [
        Advice(What.LOOK, one.item) for one in figures if Doubt.PARTS_THE_WRONG_WAY in one.doubts
    ]
    hard = sorted((one for one in figures if one.lies[1] < HALF), key=lambda one: one.difficulty)
    for one in hard:
        tempting = _find_tempting(one.item, uses)
        what = What.TEMPTS if tempting else What.TEACH
        found.append(Advice(what, one.item, tempting))
    found += [
        Advice(What.SHOW, one.item, (one.first, one.then))
        for one in broken
        if one.broken >= max(BROKEN_LEAST, BROKEN_BY * one.asked)
    ]
    found += [Advice(What.EASY, one.item) for one in figures if one.lies[0] > NO_NEWS]
    return tuple(found)


def _find_tempting(item: str, uses: Sequence[ChoiceUse]) -> tuple[str, ...]:
    """Find the wrong choice of an item that was taken more often than any right one of its field; none where there is none."""
    own = [use for use in uses if use.item == item]
    for use in own:
        right = [one.taken for one in own if one.field == use.field and one.is_right]
        if not use.is_right and right and use.taken > max(right):
            return (use.choice,)
    return ()
