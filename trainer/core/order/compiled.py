"""Compile inner loops, and keep what was compiled in our own cache folder beside the meshes."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

import numba

from models.solids.cache import MeshCache


def _name_folder() -> Path:
    """Name the folder by the source of all compiled loops.

    The compiler minds only the file that a loop stands in, not the constants and loops taken from others.
    """
    here = Path(__file__).parent
    sources = sorted(path for path in here.glob("*.py") if b"@loop" in path.read_bytes())
    told = hashlib.sha256(b"".join(path.read_bytes() for path in sources)).hexdigest()
    return MeshCache().folder.parent / "compiled" / told[:16]


if not os.environ.get("NUMBA_CACHE_DIR"):  # whoever sets it is obeyed
    # not the variable itself: numba reads that once, and somebody may have imported it before us
    numba.config.CACHE_DIR = str(_name_folder())  # type: ignore[attr-defined]  # made on import

loop = numba.njit(cache=True, nogil=True, error_model="numpy")
"""Compile a function of plain arrays. It runs without Python's lock, so that threads help, and divides as numpy does."""
