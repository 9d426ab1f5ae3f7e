"""Count over many draws how often each choice of a kind of question is shown, and how often it is right.

`python -m tests.drawn_choices [COUNT [KIND ...]]` prints the table of each kind (3,000 draws if not given): a choice that is
shown often and is never right can be struck out by anybody who has seen a few questions, without knowing a pump.
"""

from __future__ import annotations

import re
import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from models.builds import list_builds
from trainer.lesson.item import Choice, Item, OneOf, SomeOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.said import Amount, Filling, Said
from trainer.lesson.wanted import Wanted
from trainer.session.asking import Benches, draw_item, list_subjects
from trainer.session.asking.afresh import AFRESH
from trainer.session.asking.kinds import KINDS

COUNT = 3_000
OFTEN = 20
"""Draws in which a choice is shown before anybody could learn that it is never right."""


Pump = tuple[str, Mapping[str, str]]
"""A build's name and its options."""


@dataclass
class Drawn:
    """What became of the choices of one field of a kind. By what a choice says, whatever numbers stand in it."""

    shown: Counter[str] = field(default_factory=Counter)
    right: Counter[str] = field(default_factory=Counter)

    def add(self, form: OneOf | SomeOf) -> None:
        told = {choice.id: tell_template(choice) for choice in form.choices}
        self.shown.update(set(told.values()))
        self.right.update({told[one] for one in form.right})

    def list_never_right(self) -> list[str]:
        return [one for one, times in self.shown.items() if times >= OFTEN and not self.right[one]]


def tell_template(choice: Choice) -> str:
    """Tell what a choice says without its numbers, and, where more than one thing is named in it, without those."""
    return _tell(choice.said) if len(choice.said.fields) == 1 else choice.said.key


def _tell(filling: Filling) -> str:
    match filling:
        case Amount() | int():
            return "#"
        case Said():
            told = ", ".join(f"{name} {_tell(one)}" for name, one in filling.fields.items())
            return f"{filling.key}({told})" if told else filling.key
        case tuple():
            return " + ".join(map(_tell, filling))
        case _:
            told = str(getattr(filling, "name", filling))
            return "#" if isinstance(filling, str) and re.search("[0-9]", filling) else told


def draw_items(
    kind: QuestionKind, count: int, pumps: Iterable[Pump] = (), benches: Benches | None = None
) -> Iterator[Item]:
    """Draw questions of a kind, in turn on each pump that has something to ask of it.

    pumps: every build that there is, if not given, and then every other question is drawn afresh.
    """
    benches, given = benches or Benches(), tuple(pumps)
    offered = given or tuple((name, {}) for name in list_builds())
    asked = [pump for pump in offered if list_subjects(benches.open(*pump), kind)]
    is_afresh = not given and not KINDS[kind].needs_solids
    for number in range(count):
        wanted = Wanted(kind, given={AFRESH: "yes"} if is_afresh and number % 2 else {})
        pump = asked[number // (1 + is_afresh) % len(asked)]
        yield draw_item(benches.open(*pump), benches, wanted, str(number))


def count_drawn(items: Iterable[Item]) -> dict[str, Drawn]:
    """Count the choices of a kind, by its fields."""
    found: dict[str, Drawn] = {}
    for item in items:
        for one in item.fields:
            if isinstance(one.form, OneOf | SomeOf):
                found.setdefault(one.name, Drawn()).add(one.form)
    return found


def main() -> int:
    """Print the tables; end with 1 when a choice that was shown often was never right."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else COUNT
    amiss = 0
    for kind in map(QuestionKind, sys.argv[2:] or KINDS):
        for name, drawn in count_drawn(draw_items(kind, count)).items():
            print(f"{kind} {name}: {len(drawn.shown)} choices, {sum(drawn.shown.values())} shown")
            if len(drawn.shown) <= 8:
                for one, times in drawn.shown.most_common():
                    print(f"  {times:6} shown {drawn.right[one]:6} right  {one}")
            for one in drawn.list_never_right():
                amiss += 1
                print(f"  never right of {drawn.shown[one]}: {one}")
    return min(amiss, 1)


if __name__ == "__main__":
    sys.exit(main())
