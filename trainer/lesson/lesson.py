"""What a lesson is once read: steps that show, say, caution and ask."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import PurePath
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trainer.lesson.wanted import Wanted

Path = tuple[str | int, ...]
"""The way to a value inside a lesson file: ("steps", 2, "show", "lit", 0); a number behind a text's key is one of its braces."""


@dataclass(frozen=True, slots=True)
class Position:
    """Where a value stands in its file; both count from 1."""

    line: int
    column: int


class Camera(StrEnum):
    """Where the pump is looked at from."""

    ISO = "iso"
    SIDE = "side"
    SUCTION = "suction"
    DRIVE = "drive"
    TOP = "top"


@dataclass(frozen=True, slots=True)
class Show:
    """What is to be seen: a build, and how it is presented.

    `lit` and `ghosted` name parts or pieces; what is in neither looks as usual.
    `apart` runs from 0 (built) to 1 (fully pulled apart). `off` names a part or a piece: the order has
    been done just so far that it is off, whatever else the order takes off before it; "" leaves it to `apart`.
    `taken` names pieces that are off, in the order in which they came off, of a state that no order of ours
    passes. `fault` is the mistake with which the pump stands built, `clearance` a gap that is shown with
    its chain; "" is none. `near` names parts that are looked at closely, of a pump that is together. `mirrored`: it
    stands as it is built for the other rotation.
    """

    build: str
    options: Mapping[str, str] = field(default_factory=dict)
    lit: tuple[str, ...] = ()
    ghosted: tuple[str, ...] = ()
    cutaway: bool = False
    apart: float = 0.0
    camera: Camera = Camera.ISO
    off: str = ""
    taken: tuple[str, ...] = ()
    fault: str = ""
    clearance: str = ""
    near: tuple[str, ...] = ()
    mirrored: bool = False


@dataclass(frozen=True, slots=True)
class Step:
    """One page of a lesson. A step whose file says nothing to show keeps the view of the one before.

    `say` and `caution` are Markdown, "" where there is none. Every text may hold references to the build
    (`written.py`), which `session` fills in when the step is shown.
    """

    title: str
    show: Show
    say: str = ""
    caution: str = ""
    ask: Wanted | None = None


@dataclass(frozen=True, slots=True)
class Lesson:
    """A whole lesson, with the positions of its values so that a fault found later can be placed."""

    title: str
    build: str
    options: Mapping[str, str]
    steps: tuple[Step, ...]
    file: str
    positions: Mapping[Path, Position] = field(compare=False, repr=False)

    @property
    def course(self) -> str:
        """The name of its course: of the folder that holds its languages."""
        folder = PurePath(self.file).parent.parent
        return folder.name

    @property
    def questions(self) -> tuple[Wanted, ...]:
        """The questions in the order of the steps."""
        return tuple(step.ask for step in self.steps if step.ask)

    def find_position(self, *path: str | int) -> Position | None:
        """Find where the file gives the value at a path; None where it does not give it."""
        return self.positions.get(path)
