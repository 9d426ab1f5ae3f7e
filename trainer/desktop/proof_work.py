"""Ask the solids in a process of its own: the kernel never comes into the window's process."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QObject, QThread, Signal

from models.solids.exact import (
    find_known,
    make_gap_key,
    make_pair_key,
    measure_gap,
    measure_pair,
)
from models.spec.build import Build
from models.spec.errors import PumpwrightError
from trainer.desktop.apart import listen_to
from trainer.desktop.bench_work import BenchChoice

Answer = tuple[tuple[float, ...] | None, str]
"""The lengths in mm, and what went wrong, "" for nothing."""
LONGEST_S = 180.0


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of the solids: the gap of a clearance by name, or how two pieces stand before and after a shift in mm."""

    clearance: str = ""
    pieces: tuple[str, str] = ("", "")
    shift_mm: tuple[float, float, float] = (0.0, 0.0, 0.0)

    def make_key(self, build: Build) -> str:
        """Make the key under which the answer is remembered."""
        if self.clearance:
            return make_gap_key(build, build.clearance(self.clearance))
        return make_pair_key(build, self.pieces, np.array(self.shift_mm))

    def measure(self, build: Build) -> tuple[float, ...]:
        """Measure it. Loads the kernel."""
        if self.clearance:
            return measure_gap(build, build.clearance(self.clearance))
        return measure_pair(build, self.pieces, np.array(self.shift_mm))


class ProofWork(QThread):
    """Measure between solids, or give what was measured before; `told` carries what was asked and the lengths in mm."""

    told = Signal(object, object)
    failed = Signal(object, str)

    def __init__(self, choice: BenchChoice, build: Build, asked: Asked, parent: QObject) -> None:
        super().__init__(parent)
        self._choice, self._build, self.asked = choice, build, asked

    def run(self) -> None:
        """Do it; asked to stop, it ends the process within a moment and tells nothing."""
        try:
            found = find_known(self.asked.make_key(self._build))
            if found is None:
                found = self._measure()
        except (PumpwrightError, RuntimeError, OSError) as error:
            self.failed.emit(self.asked, str(error))
            return
        if found is not None and self._is_wanted():
            self.told.emit(self.asked, found)

    def _measure(self) -> tuple[float, ...] | None:
        """Ask the process; None when nobody wants to know any more. Raises RuntimeError: see the text."""
        until_s = time.monotonic() + LONGEST_S
        told = listen_to(
            answer,
            (self._choice, self.asked),
            lambda: self._is_wanted() and time.monotonic() < until_s,
        )
        try:
            answers: list[Answer] = list(told)
        except RuntimeError as error:
            raise RuntimeError(f"the kernel gave no answer ({error}).") from error
        if not self._is_wanted():
            return None
        if not answers:
            raise RuntimeError(f"the kernel gave no answer in {LONGEST_S:g} s.")
        found, fault = answers[0]
        if fault:
            raise RuntimeError(fault)
        return found

    def _is_wanted(self) -> bool:
        return not self.isInterruptionRequested()


def answer(choice: BenchChoice, asked: Asked, tell: Callable[[Answer], None]) -> None:
    """Measure and tell; runs in a process of its own. What went wrong is told as a text."""
    try:
        tell((asked.measure(choice.open().build), ""))
    except (PumpwrightError, RuntimeError, OSError) as error:
        tell((None, str(error)))
