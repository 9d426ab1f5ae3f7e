"""Count how many orders are valid: exactly where that can be done, else estimated, and said so.

Exactly: the orders out of a state are the sum of the orders out of each state that one step leads to,
and each state is worked out once. Estimated: walk down at random; the product of the number
of free choices on the way is, on average, the number of orders (Knuth, "Estimating the efficiency of
backtrack programs", Mathematics of Computation 29, 1975).
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass

from models.spec.assembly import Assembly
from trainer.core.order.blocking import Blocking
from trainer.core.order.state import State

MOST_STATES = 5000
WALKS = 400


@dataclass(frozen=True, slots=True)
class OrderCount:
    """How many complete orders are valid.

    exact: the number, or None when it was estimated. log10: its decimal logarithm (-inf for none).
    spread_log10: standard error of an estimate, in decimal logarithms; 0 when exact.
    """

    exact: int | None
    log10: float
    spread_log10: float = 0.0


def count_orders(
    assembly: Assembly,
    blocking: Blocking,
    groups: Sequence[Sequence[str]] | None = None,
    *,
    most_states: int = MOST_STATES,
    walks: int = WALKS,
    chance: random.Random | None = None,
) -> OrderCount:
    """Count the orders in which everything comes off.

    Args:
        assembly: pieces, and what holds and carries them.
        blocking: who is in whose way.
        groups: what counts as one step, its pieces coming off one after another in whichever order they
            can; every piece by itself if not given.
        most_states: how many states may be worked out before an estimate is given instead.
        walks: random walks of an estimate.
        chance: source of the walks; seeded with 0 if not given, so that an estimate can be repeated.
    """
    steps = [tuple(group) for group in groups or [(name,) for name in blocking.names]]
    counter = _Counter(assembly, blocking, steps, most_states)
    try:
        exact = counter.count(State(assembly, blocking), frozenset(range(len(steps))))
    except _TooManyError:
        return counter.estimate(walks, chance or random.Random(0))
    return OrderCount(exact, math.log10(exact) if exact else -math.inf)


class _TooManyError(Exception):
    """More states than may be worked out."""


class _Counter:
    def __init__(
        self, assembly: Assembly, blocking: Blocking, steps: list[tuple[str, ...]], most: int
    ) -> None:
        self.assembly, self.blocking, self.steps, self.most = assembly, blocking, steps, most
        self.known: dict[tuple[int, frozenset[int]], int] = {}

    def count(self, state: State, left: frozenset[int]) -> int:
        """Count the orders of the steps left, from a state on."""
        if not left:
            return 1
        key = state.key
        found = self.known.get(key)
        if found is None:
            if len(self.known) >= self.most:
                raise _TooManyError
            self.known[key] = 0  # holds the place, so that the bound counts states begun
            found = self.known[key] = sum(
                self.count(after, left - {step}) for step, after in self._next(state, left)
            )
        return found

    def _next(self, state: State, left: frozenset[int]) -> list[tuple[int, State]]:
        found = []
        for step in sorted(left):
            if self._can(state, step):
                after = state.copy()
                take_all(after, self.steps[step])
                found.append((step, after))
        return found

    def _can(self, state: State, step: int) -> bool:
        names = self.steps[step]
        if len(names) == 1:
            return state.find(names[0]) is not None
        return take_all(state.copy(), names)

    def estimate(self, walks: int, chance: random.Random) -> OrderCount:
        """Estimate from random walks; a walk that gets stuck counts as nothing."""
        logs: list[float] = []
        for _ in range(walks):
            state, left, log = State(self.assembly, self.blocking), set(range(len(self.steps))), 0.0
            while left:
                free = [step for step in left if self._can(state, step)]
                if not free:
                    log = -math.inf
                    break
                log += math.log(len(free))
                step = chance.choice(sorted(free))
                take_all(state, self.steps[step])
                left.remove(step)
            logs.append(log)
        most = max(logs)
        if most == -math.inf:
            return OrderCount(None, -math.inf)
        weights = [math.exp(log - most) for log in logs]
        mean = sum(weights) / walks
        variance = sum((weight - mean) ** 2 for weight in weights) / max(walks - 1, 1)
        spread = math.sqrt(variance / walks) / mean / math.log(10)
        return OrderCount(None, (most + math.log(mean)) / math.log(10), spread)


def take_all(state: State, names: Sequence[str]) -> bool:
    """Take off all of these, in whichever order they can; False, with some perhaps taken, when some cannot."""
    left = list(names)
    moved = True
    while left and moved:
        moved = False
        for name in list(left):
            if state.try_take(name) is not None:
                left.remove(name)
                moved = True
    return not left


def list_orders(
    assembly: Assembly, blocking: Blocking, most: int = 100_000
) -> list[tuple[str, ...]]:
    """List every valid order piece by piece, by walking them all; for small assemblies and for checking counts.

    Raises:
        ValueError: there are more than `most`.
    """
    found: list[tuple[str, ...]] = []
    names = blocking.names

    def walk(state: State, done: tuple[str, ...]) -> None:
        if len(done) == len(names):
            found.append(done)
            if len(found) > most:
                raise ValueError(f"more than {most} orders")
            return
        for name in names:
            if name not in done:
                after = state.copy()
                if after.try_take(name) is not None:
                    walk(after, (*done, name))

    walk(State(assembly, blocking), ())
    return found
