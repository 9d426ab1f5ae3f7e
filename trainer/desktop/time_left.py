"""How long something still takes, told so that it can be believed: counted down, and moved only by what matters."""

from __future__ import annotations

import math
import time
from collections.abc import Callable

from trainer.words import Words

PULL = 0.25
"""How much a new estimate moves what is told, where the two hardly differ."""
FAR_SHARE, FAR_S = 0.4, 5.0
"""An estimate that is off by more than both is taken over as it is: better one jump than a lie."""
WARM_SHARE = 1 / 3
"""Of steps that come evenly only once libraries are read and loops are compiled: measured, the first third of those of
a pump of 111 pieces took 42 s, the others 12."""
FIRST_STEPS = 3
"""Steps after which the time that the others take can be told from them."""
FEW_S = 5.0
STEPS_S = ((60.0, 5.0), (300.0, 15.0), (math.inf, 60.0))
"""Below each time, to how many seconds it is rounded up."""


class TimeLeft:
    """Hold one moment at which the work will be done, and tell how far away it is."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._end_s: float | None = None

    def forget(self) -> None:
        """Begin with other work."""
        self._end_s = None

    def note(self, left_s: float | None) -> None:
        """Take an estimate in; None leaves what is known."""
        if left_s is None:
            return
        now_s = self._clock()
        end_s = now_s + left_s
        if self._end_s is None:
            self._end_s = end_s
            return
        off_s = end_s - self._end_s
        is_far = abs(off_s) > max(FAR_S, FAR_SHARE * max(self._end_s - now_s, 0.0))
        self._end_s += off_s if is_far else PULL * off_s

    def find_s(self) -> float | None:
        """Find what is left, in seconds, rounded up as people say it; 0 for a moment, None where nothing is known."""
        if self._end_s is None:
            return None
        left_s = self._end_s - self._clock()
        if left_s < FEW_S:
            return 0.0
        step_s = next(step for below, step in STEPS_S if left_s <= below)
        return math.ceil(left_s / step_s - 1e-9) * step_s

    def tell(self, words: Words) -> str:
        """Say what is left; "" where nothing is known."""
        left_s = self.find_s()
        return "" if left_s is None else tell_duration(words, left_s)


def tell_duration(words: Words, left_s: float) -> str:
    """Say a time as people do: a moment, seconds, minutes."""
    if left_s < FEW_S:
        return words.say("choosing.left-moment")
    if left_s < 90.0:
        return words.say("choosing.left-seconds", seconds=words.number(left_s, 0))
    return words.count("choosing.left-minutes", round(left_s / 60.0))


class StepPace:
    """Find what is left of steps by how fast they have come of late.

    What comes once, as a process that begins, libraries that are read and loops that are compiled, falls into the first
    steps; these are not counted, and nothing is told while they last.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._first: tuple[float, int] | None = None

    def find_left_s(self, done: int, of: int) -> float | None:
        """Find how many seconds the steps that are not done will take; None while it cannot be known."""
        now_s = self._clock()
        if done < WARM_SHARE * of:
            return None
        if self._first is None:
            self._first = now_s, done
        begun_s, before = self._first
        if done - before < FIRST_STEPS:
            return None
        return (now_s - begun_s) / (done - before) * (of - done)
