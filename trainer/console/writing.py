"""Write files whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from models.spec.errors import SurroundingsError
from trainer.words import Words

FOR_ALL, FOR_ONE = 0o644, 0o600
"""Who may read a file: everybody, or only whoever had it written, as of what is kept of a person."""


def write_whole(words: Words, data: bytes, path: Path, mode: int = FOR_ALL) -> None:
    """Write a file so that a reader sees all of it or nothing. Raises SurroundingsError when the disk refuses."""
    name = ""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, suffix=".part")
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
        Path(name).chmod(mode)
        Path(name).replace(path)
    except OSError as error:
        if name:
            Path(name).unlink(missing_ok=True)
        reason = error.strerror or str(error)
        raise SurroundingsError(
            words.say("console.cannot-write", file=str(path), reason=reason)
        ) from error


def write_text(words: Words, text: str, path: Path, mode: int = FOR_ALL) -> None:
    """Write a text as UTF-8, whole or not at all. Raises SurroundingsError when the disk refuses."""
    write_whole(words, text.encode(), path, mode)
