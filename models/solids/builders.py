"""Builder processes: they make meshes with the kernel, and stay warm between builds. Loads no kernel itself.

Spawned, never forked; kernel objects never leave them, only plain arrays do.
"""

from __future__ import annotations

import multiprocessing
import os
import threading
from collections.abc import Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from multiprocessing.connection import wait
from typing import Self

from models.spec.build import PlacedPiece
from models.spec.mesh import Mesh

SLOW_FIRST = ("volute", "impeller", "seal-spring")
"""Kinds that take longest: started first, so that no process idles at the end."""


class Builders:
    """A few processes that make meshes; the first use starts them, `warm_up` does so ahead of need.

    Processes that were killed from outside are started anew at the next use. Safe to use from
    several threads. Use it as a context, or `close` it.
    """

    def __init__(self, workers: int | None = None) -> None:
        self.workers = workers or os.cpu_count() or 1
        self._pool: ProcessPoolExecutor | None = None
        self._lock = threading.Lock()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def warm_up(self) -> None:
        """Start the processes and let each load the kernel; returns at once."""
        pool = self._open_pool()
        for _ in range(self.workers):
            pool.submit(load_kernel)

    def make(self, pieces: Iterable[PlacedPiece]) -> Iterator[tuple[PlacedPiece, Mesh]]:
        """Make the mesh of each piece in its own frame; gives each as soon as it is there.

        Raises:
            RuntimeError: a generator failed, or the processes ended; names the piece.
        """
        ordered = sorted(pieces, key=lambda piece: piece.part.kind not in SLOW_FIRST)
        try:
            wanted = self._submit_all(ordered)
        except BrokenProcessPool:  # one was killed while it had nothing to do
            self.close()
            wanted = self._submit_all(ordered)
        try:
            for done in as_completed(wanted):
                piece = wanted[done]
                try:
                    mesh = done.result()
                except Exception as error:
                    if isinstance(error, BrokenProcessPool):
                        self.close()
                    reason = str(error) or type(error).__name__
                    raise RuntimeError(
                        f"the solid of {piece.name} could not be made: {reason}"
                    ) from error
                yield piece, mesh
        finally:
            for one in wanted:
                one.cancel()

    def close(self) -> None:
        """End the processes; what is being made is let finish."""
        with self._lock:
            pool, self._pool = self._pool, None
        if pool is not None:
            pool.shutdown(cancel_futures=True)

    def _submit_all(self, pieces: Iterable[PlacedPiece]) -> dict[Future[Mesh], PlacedPiece]:
        pool = self._open_pool()
        return {_submit(pool, piece): piece for piece in pieces}

    def _open_pool(self) -> ProcessPoolExecutor:
        with self._lock:
            if self._pool is None:
                spawn = multiprocessing.get_context("spawn")
                self._pool = ProcessPoolExecutor(
                    self.workers, mp_context=spawn, initializer=end_with_parent
                )
            return self._pool


def _submit(pool: ProcessPoolExecutor, piece: PlacedPiece) -> Future[Mesh]:
    at = {face: float(value.at) for face, value in piece.faces.items()}
    row = {dimension: float(value) for dimension, value in piece.row.items()}
    shape = piece.part.shape
    return pool.submit(make_one, shape.__module__, shape.__qualname__, at, row)


def end_with_parent() -> None:
    """End this process as soon as the one that started it is no more: killed, it can't tell us, and we would stay."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_wait_and_end, args=(parent.sentinel,), daemon=True).start()


def _wait_and_end(sentinel: int) -> None:
    wait([sentinel])
    os._exit(1)


def load_kernel() -> None:
    """Load what every generator needs; runs in a builder process."""
    import models.parts.forms
    import models.solids.tessellate  # noqa: F401


def make_one(module: str, function: str, at: dict[str, float], row: dict[str, float]) -> Mesh:
    """Make one mesh from a generator named by module and function; runs in a builder process."""
    import importlib

    from models.solids.tessellate import make_mesh

    return make_mesh(getattr(importlib.import_module(module), function)(at, row))
