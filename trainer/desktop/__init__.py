"""The window: the bench in a picture that answers when touched, a guided walk, and the shims."""

from __future__ import annotations

import os
from pathlib import Path

# Before numpy is loaded. Our products of matrices are small: two threads of the algebra library wait for one another
# far longer than they compute (how far the pieces of a pump reach: 416 ms of two busy cores, 13 ms by one thread).
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def open_window(limits: Path | None = None, *, afresh: bool = False) -> int:
    """Open the window and stay until it is closed; return the exit status.

    Args:
        limits: a shop's own limits.
        afresh: begin as at the very first start, whatever was left; what was left is set aside.
    """
    from trainer.desktop.start import run_window

    return run_window(limits, afresh=afresh)
