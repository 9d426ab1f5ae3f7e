"""Write files whole or not at all: beside their place first, then put there."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

FOR_ALL, FOR_ONE = 0o644, 0o600
"""Who may read a file: everybody, or only whoever had it written, as of what is kept of a person."""


def write_whole(data: bytes, path: Path, mode: int = FOR_ALL) -> None:
    """Write a file so that a reader, and a machine that stops now, finds the old one or the new one, and no part of it.

    Args:
        data: all that is to stand in it.
        path: where it goes; folders that lack are made.
        mode: who may read it.

    Raises:
        OSError: the disk or the folder refuses; what stood there stays.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(prefix=f".{path.name}-", suffix=".part", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        Path(name).chmod(mode)
        Path(name).replace(path)
    except OSError:
        Path(name).unlink(missing_ok=True)
        raise
