"""How what lies on the bench is called and told of: the pieces of one of our builds, or of somebody's file.

Whatever speaks of pieces asks a `Naming` and works with either; the window has one as `window.naming`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Protocol

from models.spec.build import Build
from trainer.core.order.directions import Direction
from trainer.core.order.guess import Guess
from trainer.core.order.leaving import find_fixings
from trainer.core.order.state import Refused, TakenOff
from trainer.words.speech import Words
from trainer.words.telling import (
    tell_direction,
    tell_part,
    tell_piece,
    tell_pieces,
    tell_refused,
    tell_taken,
)
from trainer.words.telling_part import tell_fixing
from trainer.words.telling_step import (
    Joining,
    Named,
    list_tools,
    tell_guess,
    tell_one_joint,
    tell_step_piece,
    tell_step_pieces,
    tell_step_refused,
    tell_step_taken,
    tell_way_name,
)


class Naming(Protocol):
    """Name pieces, tell which of them are alike, and tell what the order engine found of them."""

    @property
    def sets(self) -> Mapping[str, tuple[str, ...]]:
        """The pieces of each part, in the order in which parts are listed."""

    def find_part(self, piece: str) -> str:
        """Give the part that a piece is one of."""

    def tell_part(self, part: str) -> str:
        """Name a part."""

    def tell_piece(self, piece: str) -> str:
        """Name one piece, with its number where there are several."""

    def tell_pieces(self, pieces: Iterable[str]) -> str:
        """Name several pieces, whole sets with their count."""

    def tell_way(self, direction: Direction) -> str:
        """Name a direction: by the ends of a pump, or by the axes of a file."""

    def tell_taken(self, taken: TakenOff, many: int = 1) -> str:
        """Say how a piece comes off, and what goes along; of `many` alike that all come off so."""

    def tell_refused(self, refused: Refused) -> str:
        """Say why a piece cannot come off yet: what holds it, then who is in the way after what travel."""

    def tell_work(self, work: str) -> str:
        """Word what `OnBench.work_before` gives."""

    def tell_held(self, part: str) -> list[str]:
        """Say what holds a part, a sentence a joint."""

    def to_life_mm(self, length_mm: float) -> float:
        """Turn a length of the assembly on the bench into life size, mm."""


@dataclass(frozen=True, slots=True)
class BuildNaming:
    """Name the pieces of a build in the words of its parts."""

    words: Words
    build: Build

    @property
    def sets(self) -> Mapping[str, tuple[str, ...]]:
        """The pieces of each place."""
        return self.build.places

    def find_part(self, piece: str) -> str:
        """Give the place of a piece."""
        return self.build.pieces[piece].place.name

    def tell_part(self, part: str) -> str:
        """Name a place."""
        return tell_part(self.words, part)

    def tell_piece(self, piece: str) -> str:
        """Name one piece."""
        return tell_piece(self.words, self.build, piece)

    def tell_pieces(self, pieces: Iterable[str]) -> str:
        """Name several pieces."""
        return tell_pieces(self.words, self.build, pieces)

    def tell_way(self, direction: Direction) -> str:
        """Name a direction by the ends of the pump."""
        return tell_direction(self.words, direction)

    def tell_taken(self, taken: TakenOff, many: int = 1) -> str:
        """Say how a piece comes off, with what is wrong practice about it."""
        return tell_taken(self.words, self.build, taken, many)

    def tell_refused(self, refused: Refused) -> str:
        """Say why a piece cannot come off yet."""
        return tell_refused(self.words, self.build, refused)

    def tell_work(self, work: str) -> str:
        """Word a key of work."""
        return self.words.say(f"work.{work}")

    def tell_held(self, part: str) -> list[str]:
        """Say what holds the part in a place."""
        return [tell_fixing(self.words, self.build, one) for one in find_fixings(self.build, part)]

    def to_life_mm(self, length_mm: float) -> float:
        """Give it back: a pump of ours lies here as large as it is."""
        return length_mm


@dataclass(frozen=True, slots=True)
class StepNaming:
    """Name the pieces of somebody's assembly: as its form says, or as its file does.

    named: titles, sets and scale. guesses: what each part is taken for. joints: those in force.
    """

    words: Words
    named: Named
    guesses: Mapping[str, Guess]
    joints: tuple[Joining, ...]

    @property
    def sets(self) -> Mapping[str, tuple[str, ...]]:
        """The pieces of each part, as the file lists them."""
        return self.named.sets

    def find_part(self, piece: str) -> str:
        """Give the part of a piece."""
        return self.named.part_of(piece)

    def tell_part(self, part: str) -> str:
        """Name a part."""
        return self.named.titles[part][0]

    def tell_piece(self, piece: str) -> str:
        """Name one piece."""
        return tell_step_piece(self.words, self.named, piece)

    def tell_pieces(self, pieces: Iterable[str]) -> str:
        """Name several pieces."""
        return tell_step_pieces(self.words, self.named, pieces)

    def tell_way(self, direction: Direction) -> str:
        """Name a direction by the axes of the file."""
        return tell_way_name(self.words, direction)

    def tell_taken(self, taken: TakenOff, many: int = 1) -> str:
        """Say how a piece comes off."""
        return tell_step_taken(self.words, self.named, taken, list_tools(self.words), many)

    def tell_refused(self, refused: Refused) -> str:
        """Say why a piece cannot come off yet."""
        return tell_step_refused(self.words, self.named, refused)

    def tell_work(self, work: str) -> str:
        """Give the words of the form."""
        return work

    def tell_held(self, part: str) -> list[str]:
        """Say which joints the part takes part in."""
        own = set(self.sets[part])
        return [
            tell_one_joint(self.words, self.named, joint)
            for joint in self.joints
            if own & {*joint.members, *joint.by}
        ]

    def tell_kind(self, part: str) -> str:
        """Say what a part is taken for."""
        return self.words.say(f"step.kind-{self.guesses[part].kind.value}")

    def tell_why(self, part: str) -> str:
        """Say why it is taken for that."""
        return tell_guess(self.words, self.guesses[part])

    def to_life_mm(self, length_mm: float) -> float:
        """Turn a length of the assembly on the bench into life size, mm."""
        return length_mm / self.named.scale
