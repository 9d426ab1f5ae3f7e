"""Keep named arrays in one file: written whole or not at all, never unpickled, damage told apart. No kernel."""

from __future__ import annotations

import os
import struct
import tempfile
import zipfile
import zlib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
from numpy.lib.npyio import NpzFile

DAMAGED = (
    OSError,
    ValueError,
    KeyError,
    EOFError,
    MemoryError,  # a spoilt length asks for more than there is
    RuntimeError,  # a spoilt flag says encrypted, or compressed in a way nobody knows
    struct.error,
    zlib.error,
    zipfile.BadZipFile,
)
"""All that the readers of zip files and arrays raise on a spoilt file."""

Array = npt.NDArray[Any]


def read_arrays(path: Path, names: Sequence[str]) -> list[Array]:
    """Read arrays by name. Opens the file here, since np.load leaves it open when it is no archive.

    Raises:
        FileNotFoundError: there is none. One of DAMAGED: it cannot be read.
    """
    with path.open("rb") as stream:
        arrays = np.load(stream, allow_pickle=False)
        if not isinstance(arrays, NpzFile):
            raise zipfile.BadZipFile("one bare array, not an archive of several")
        with arrays:
            return [arrays[name] for name in names]


def write_arrays(path: Path, arrays: Mapping[str, Array]) -> None:
    """Write arrays so that a reader sees all of them or nothing. Raises OSError when the disk refuses."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, suffix=".part")
    try:
        with os.fdopen(handle, "wb") as stream:
            np.savez(stream, allow_pickle=False, **arrays)
            stream.flush()
            os.fsync(stream.fileno())
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
