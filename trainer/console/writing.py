"""Write files whole or not at all, and say kindly where that cannot be."""

from __future__ import annotations

from pathlib import Path

from models.spec.errors import SurroundingsError
from trainer.session import writing
from trainer.session.writing import FOR_ALL, FOR_ONE
from trainer.words import Words

__all__ = ["FOR_ALL", "FOR_ONE", "write_text", "write_whole"]


def write_whole(words: Words, data: bytes, path: Path, mode: int = FOR_ALL) -> None:
    """Write a file so that a reader sees all of it or nothing. Raises SurroundingsError when the disk refuses."""
    try:
        writing.write_whole(data, path, mode)
    except OSError as error:
        reason = error.strerror or str(error)
        raise SurroundingsError(
            words.say("console.cannot-write", file=str(path), reason=reason)
        ) from error


def write_text(words: Words, text: str, path: Path, mode: int = FOR_ALL) -> None:
    """Write a text as UTF-8, whole or not at all. Raises SurroundingsError when the disk refuses."""
    write_whole(words, text.encode(), path, mode)
