"""The window: the bench in a picture that answers when touched, a guided walk, and the shims."""

from __future__ import annotations


def open_window() -> int:
    """Open the window and stay until it is closed; return the exit status."""
    from trainer.desktop.start import run_window

    return run_window()
