"""Find which steps of an order have to come before one of them: what a part comes off after."""

from __future__ import annotations

from collections.abc import Sequence

from models.spec.assembly import Assembly
from trainer.core.order.blocking import Blocking
from trainer.core.order.state import State
from trainer.core.order.teardown import Order, Step


def find_needed(
    assembly: Assembly, blocking: Blocking, order: Order, number: int
) -> tuple[int, ...]:
    """Find the steps of an order that a step comes after, in their order, counted from 0.

    Those are the steps that are left when, from the last to the first, each is left out without which
    the rest still go as they did: none of them can be left out. Another order may do with others.

    Args:
        assembly: pieces, and what holds and carries them.
        blocking: who is in whose way.
        order: a right teardown order of these.
        number: the step that is asked about.
    """
    left = list(range(number))
    for tried in range(number - 1, -1, -1):
        fewer = [one for one in left if one != tried]
        if _can_go(assembly, blocking, [order.steps[one] for one in (*fewer, number)]):
            left = fewer
    return tuple(left)


def _can_go(assembly: Assembly, blocking: Blocking, steps: Sequence[Step]) -> bool:
    """Say whether steps can be made one after another, with no more joined or ill-advised moves than they had."""
    state = State(assembly, blocking)
    for step in steps:
        for taken in step.taken:
            found = state.try_take(taken.piece)
            if found is None or (found.as_unit and not taken.as_unit):
                return False
            if not set(found.cautions) <= set(taken.cautions):
                return False
    return True
