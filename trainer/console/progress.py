"""Tell progress on the error stream: one line that renews itself on a terminal, sparse lines elsewhere."""

from __future__ import annotations

import sys
from collections.abc import Callable

from trainer.words import Words

SPARSE = 4
"""Lines told for each kind of work where the stream is no terminal."""


def make_progress(words: Words, head: str = "console.making-") -> Callable[[str, int, int], None]:
    """Make a function to call with (what, done, of)."""
    stream = sys.stderr
    renewing = stream.isatty()

    def tell(what: str, done: int, of: int) -> None:
        line = words.say(f"{head}{what}", done=done, of=of)
        if renewing:
            stream.write(f"\r{line}" + ("\n" if done == of else ""))
            stream.flush()
        elif done == of or done % max(of // SPARSE, 1) == 0:
            stream.write(f"{line}\n")

    return tell
