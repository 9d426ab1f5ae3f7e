"""The window: the bench in a picture that answers when touched, a guided walk, and the shims."""

from __future__ import annotations

from pathlib import Path


def open_window(limits: Path | None = None) -> int:
    """Open the window, by a shop's own limits if they are given, and stay until it is closed; return the exit status."""
    from trainer.desktop.start import run_window

    return run_window(limits)
