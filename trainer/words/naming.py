"""How what lies on the bench is called: the pieces of one of our builds, or of somebody's file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Protocol

from models.spec.build import Build
from trainer.words.speech import Words
from trainer.words.telling import tell_part, tell_piece, tell_pieces


class Naming(Protocol):
    """Name pieces, and tell which of them are alike."""

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
