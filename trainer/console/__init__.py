"""The terminal's face of the session: every command answers people by default and scripts with --json."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import click


def make_console() -> click.Group:
    """Make the command group; commands load what they need when they run."""
    from trainer.console.commands import make_group

    return make_group()
