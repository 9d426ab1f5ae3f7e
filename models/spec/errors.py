"""Errors a person can act on. Anything else that is raised is a bug."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass


class PumpwrightError(Exception):
    """Carry one message that a person can act on."""


@dataclass(frozen=True, slots=True)
class Fault:
    """Say where in a file something is wrong, what, and how to mend it.

    `line` and `column` count from 1; 0 means the file as a whole.
    """

    file: str
    line: int
    column: int
    what: str
    remedy: str = ""

    def __str__(self) -> str:
        where = self.file
        if self.line:
            where += f":{self.line}"
            if self.column:
                where += f":{self.column}"
        text = f"{where}: {self.what}"
        return f"{text}. {self.remedy}" if self.remedy else text


class ContentError(PumpwrightError):
    """A table, lesson or file is wrong: its author mends it. Holds every fault found, not the first."""

    def __init__(self, faults: Sequence[Fault] | str) -> None:
        self.faults: tuple[Fault, ...] = () if isinstance(faults, str) else tuple(faults)
        super().__init__(
            faults if isinstance(faults, str) else "\n".join(str(fault) for fault in faults)
        )


class RefusalError(PumpwrightError):
    """What was asked for is not possible, with the reason; shown kindly."""


class ImpossibleChoiceError(RefusalError):
    """Two options that exclude or miss each other were chosen together."""


class SurroundingsError(PumpwrightError):
    """Disk, network, display or database failed; the program and its content are sound."""


def find_near(word: str, known: Iterable[str], most: int = 5) -> list[str]:
    """Find up to `most` known words that look like `word`, best first."""
    return difflib.get_close_matches(word, list(known), n=most, cutoff=0.5)


def say_near(word: str, known: Iterable[str]) -> str:
    """Word the near matches as a remedy, or list what exists when nothing is near."""
    names = sorted(set(known))
    near = find_near(word, names)
    if near:
        return "did you mean " + ", ".join(near) + "?"
    return "known: " + ", ".join(names) if names else ""


def say_choice(word: object, known: Iterable[str]) -> str:
    """Word it as a sentence of its own, where it stands alone and not behind what is wrong."""
    near = say_near(str(word), known)
    return near[:1].upper() + near[1:]
