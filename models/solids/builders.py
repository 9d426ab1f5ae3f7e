"""Builder processes: they make meshes with the kernel, and stay warm between builds. Loads no kernel itself.

Spawned, never forked; kernel objects never leave them, only plain arrays do. What is no longer wanted
is abandoned at once: the process that makes it is ended, and another takes its place.
"""

from __future__ import annotations

import multiprocessing
import os
import threading
import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from typing import TYPE_CHECKING, Self

from models.spec.build import PlacedPiece
from models.spec.mesh import Mesh

if TYPE_CHECKING:
    from multiprocessing.context import SpawnProcess

SLOW_FIRST = ("volute", "impeller", "seal-spring")
"""Kinds that take longest: started first, so that no process idles at the end."""
LOOK_S = 0.1
"""How often it is asked whether what is being made is still wanted."""
Job = tuple[str, str, dict[str, float], dict[str, float]]
"""Module and function of a generator, then its faces and its row."""


class StoppedError(Exception):
    """What was being made is not wanted any more."""


@dataclass(frozen=True, slots=True)
class Made:
    """The mesh of a piece in its own frame, and how long its process took for it."""

    piece: PlacedPiece
    mesh: Mesh
    seconds: float


@dataclass(slots=True, eq=False)
class _Worker:
    """One process and our end of the pipe to it."""

    process: SpawnProcess
    pipe: Connection

    def end(self) -> None:
        """End it, whatever it is doing."""
        self.pipe.close()
        self.process.kill()
        self.process.join()
        self.process.close()


class Builders:
    """A few processes that make meshes; the first use starts them, `warm_up` does so ahead of need.

    Processes that were killed from outside are started anew at the next use. Safe to use from
    several threads, which share them. Use it as a context, or `close` it.
    """

    def __init__(self, workers: int | None = None) -> None:
        self.workers = workers or os.cpu_count() or 1
        self._idle: list[_Worker] = []
        self._busy = 0
        self._is_closed = False
        self._lock = threading.Lock()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def warm_up(self) -> None:
        """Start the processes, each of which loads the kernel at once; returns without waiting for that."""
        with self._lock:
            while len(self._idle) + self._busy < self.workers and not self._is_closed:
                self._idle.append(_start())

    def make(
        self, pieces: Iterable[PlacedPiece], is_wanted: Callable[[], bool] = lambda: True
    ) -> Iterator[Made]:
        """Make the mesh of each piece in its own frame; gives each as soon as it is there.

        Args:
            pieces: what to make.
            is_wanted: asked ten times a second; once it says no, all that is being made is abandoned.

        Raises:
            RuntimeError: a generator failed, or its process ended; names the piece.
            StoppedError: it was not wanted any more.
        """
        waiting = deque(sorted(pieces, key=lambda piece: piece.part.kind not in SLOW_FIRST))
        again: set[str] = set()
        busy: dict[Connection, tuple[_Worker, PlacedPiece]] = {}
        try:
            while waiting or busy:
                if not is_wanted():
                    raise StoppedError
                while waiting and (worker := self._take()) is not None:
                    busy[worker.pipe] = worker, waiting[0]
                    with suppress(
                        OSError
                    ):  # it has just been killed: what is to be read is its end
                        worker.pipe.send(_make_job(waiting[0]))
                    waiting.popleft()
                if not busy:
                    time.sleep(LOOK_S)  # another thread has all of them
                for pipe in wait(list(busy), LOOK_S):
                    assert isinstance(pipe, Connection)
                    worker, piece = busy.pop(pipe)
                    made = self._receive(worker, piece)
                    if made is not None:
                        yield made
                    elif piece.name in again:
                        raise RuntimeError(_say_failed(piece, "its process ended"))
                    else:  # killed from outside perhaps: another has a try at it
                        again.add(piece.name)
                        waiting.appendleft(piece)
        finally:
            self._abandon(worker for worker, _ in busy.values())

    def _receive(self, worker: _Worker, piece: PlacedPiece) -> Made | None:
        """Take what a process has made; None where it has ended. Raises RuntimeError where it could not be made."""
        try:
            found: tuple[Mesh, float] | str = worker.pipe.recv()
        except (EOFError, OSError):
            self._abandon([worker])
            return None
        with self._lock:
            self._busy -= 1
            is_kept = not self._is_closed
            if is_kept:
                self._idle.append(worker)
        if not is_kept:
            worker.end()
        if not isinstance(found, tuple):
            raise RuntimeError(_say_failed(piece, found))  # noqa: TRY004 - a reason is a text
        return Made(piece, *found)

    def close(self) -> None:
        """End the processes that are idle; those at work for another thread end once that has what it wants."""
        with self._lock:
            idle, self._idle, self._is_closed = self._idle, [], True
        for worker in idle:
            worker.end()

    def _take(self) -> _Worker | None:
        """Take a process that lives and has nothing to do, or start one; None where all are at work."""
        with self._lock:
            while self._idle:
                worker = self._idle.pop()
                # A living process that has nothing to do says nothing: what is to be read is its end.
                if worker.process.is_alive() and not worker.pipe.poll():
                    self._busy += 1
                    return worker
                worker.end()
            if self._busy >= self.workers:
                return None
            self._busy += 1
        return _start()

    def _abandon(self, workers: Iterable[_Worker]) -> None:
        """End processes in the midst of their work, and let others load the kernel in their place."""
        ended = list(workers)
        for worker in ended:
            worker.end()
        with self._lock:
            self._busy -= len(ended)
            if not self._is_closed:
                self._idle += [_start() for _ in ended]


def _start() -> _Worker:
    spawn = multiprocessing.get_context("spawn")
    ours, theirs = spawn.Pipe()
    process = spawn.Process(target=serve, args=(theirs,), daemon=True)
    process.start()
    theirs.close()
    return _Worker(process, ours)


def _say_failed(piece: PlacedPiece, reason: str) -> str:
    return f"the solid of {piece.name} could not be made: {reason}"


def _make_job(piece: PlacedPiece) -> Job:
    at = {face: float(value.at) for face, value in piece.faces.items()}
    row = {dimension: float(value) for dimension, value in piece.row.items()}
    shape = piece.part.shape
    return shape.__module__, shape.__qualname__, at, row


def end_with_parent() -> None:
    """End this process as soon as the one that started it is no more: killed, it can't tell us, and we would stay."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_wait_and_end, args=(parent.sentinel,), daemon=True).start()


def _wait_and_end(sentinel: int) -> None:
    wait([sentinel])
    os._exit(1)


def serve(pipe: Connection) -> None:
    """Make one mesh after another until nobody is there any more; runs in a builder process."""
    end_with_parent()
    import models.parts.forms
    import models.solids.tessellate  # noqa: F401

    with suppress(EOFError, OSError):
        while True:
            job: Job = pipe.recv()
            started_s = time.perf_counter()
            try:
                found: object = make_one(*job), time.perf_counter() - started_s
            except Exception as error:  # noqa: BLE001 - whatever a generator raises is told where it was asked
                found = str(error) or type(error).__name__
            pipe.send(found)


def make_one(module: str, function: str, at: dict[str, float], row: dict[str, float]) -> Mesh:
    """Make one mesh from a generator named by module and function; runs in a builder process."""
    import importlib

    from models.solids.tessellate import make_mesh

    return make_mesh(getattr(importlib.import_module(module), function)(at, row))
