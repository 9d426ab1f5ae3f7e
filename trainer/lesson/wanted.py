"""What a lesson, or practice, says of a question before it is drawn: its kind, and how far it is narrowed down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from trainer.lesson.kinds import QuestionKind

Given = str | float | tuple[str, ...] | tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Wanted:
    """A question to be drawn.

    id: unique in its lesson; "" in practice. prompt: the author's own words (Markdown) in the place of
    the usual ones, "" for those. given: what narrows it down, by the names that its kind knows, such as
    `part`, `parts`, `clearance`; what is not given is drawn.
    """

    kind: QuestionKind
    id: str = ""
    prompt: str = ""
    given: Mapping[str, Given] = field(default_factory=lambda: MappingProxyType({}))

    def text(self, name: str) -> str:
        """Give one name that is given; "" where it is not."""
        value = self.given.get(name, "")
        if not isinstance(value, str):
            raise TypeError(f"{name} of {self.kind} is no text")
        return value

    def names(self, name: str) -> tuple[str, ...]:
        """Give the names that are given; none where it is not."""
        value = self.given.get(name, ())
        if not isinstance(value, tuple):
            raise TypeError(f"{name} of {self.kind} is no list")
        return tuple(str(one) for one in value)

    def numbers(self, name: str) -> tuple[float, ...]:
        """Give the numbers that are given, one or several; none where it is not."""
        value = self.given.get(name, ())
        if isinstance(value, str):
            raise TypeError(f"{name} of {self.kind} is no number")
        return tuple(float(one) for one in value) if isinstance(value, tuple) else (float(value),)
