"""Let a process of its own work while a thread listens to it: what holds the interpreter would hold the window too."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Iterator
from multiprocessing.connection import Connection
from typing import Any

LISTEN_S = 0.1
"""How long a thread listens before it asks again whether anybody still wants to hear."""


def listen_to(
    target: Callable[..., None], arguments: tuple[Any, ...], is_wanted: Callable[[], bool]
) -> Iterator[Any]:
    """Start a process and yield what it tells until it ends, or until nobody wants to hear it any more; then end it.

    Args:
        target: what runs there: target(*arguments, tell), where tell(what) is called from there and what comes here.
        arguments: plain values that can travel.
        is_wanted: asked ten times a second.

    Raises:
        RuntimeError: the process ended otherwise than by coming to its end; it says how, as a number.
    """
    spawn = multiprocessing.get_context("spawn")
    ours, theirs = spawn.Pipe(duplex=False)
    asked = spawn.Process(target=_tell_into, args=(theirs, target, arguments), daemon=True)
    asked.start()
    theirs.close()  # or its end would never be heard
    try:
        while is_wanted():
            if not ours.poll(LISTEN_S):
                continue
            try:
                heard = ours.recv()
            except (EOFError, OSError):
                asked.join()
                break
            yield heard
    finally:
        asked.kill()
        asked.join()
        ours.close()
    if asked.exitcode and is_wanted():
        raise RuntimeError(str(asked.exitcode))


def _tell_into(pipe: Connection, target: Callable[..., None], arguments: tuple[Any, ...]) -> None:
    target(*arguments, pipe.send)
