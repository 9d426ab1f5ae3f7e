"""What each kind of question brings: what it can be about on a build, and how one is drawn."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass

from trainer.lesson.item import Item
from trainer.lesson.wanted import Wanted
from trainer.session.asking.benches import Benches
from trainer.session.bench import Bench


@dataclass(frozen=True, slots=True)
class Draw:
    """All that a question is drawn from.

    subject: what it is to be about, one of what its kind lists. chance: the only source of randomness.
    """

    bench: Bench
    benches: Benches
    subject: str
    chance: random.Random
    wanted: Wanted


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of question.

    narrows: the name by which a lesson gives the subject, such as `part`; "" where it gives none.
    list_subjects: what it can be about on a build; empty where the build has nothing of the kind.
    draw: one question. Raises RefusalError where what a lesson narrowed down cannot be asked.
    needs_solids: whether it asks what is in the way of what.
    weigh: how often a subject is drawn against the others, where not all are drawn alike often.
    """

    narrows: str
    list_subjects: Callable[[Bench], tuple[str, ...]]
    draw: Callable[[Draw], Item]
    needs_solids: bool = False
    weigh: Callable[[str], float] | None = None
