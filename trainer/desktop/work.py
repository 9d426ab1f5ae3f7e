"""Work in the background: solids, order and records, so that the window is up at once and stays usable."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from queue import Empty
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QThread, Signal

from models.solids.builders import Builders
from models.solids.cache import MeshCache
from models.spec.assembly import Assembly
from models.spec.build import Build
from models.spec.dimension import Dimension
from models.spec.errors import ContentError, PumpwrightError
from trainer.desktop.picture.lighten import Known, keep_meshes, lighten_assembly
from trainer.session.bench import Bench, open_bench
from trainer.session.relations import read_relations
from trainer.session.typed import make_pack

if TYPE_CHECKING:
    from multiprocessing.queues import Queue

LISTEN_S = 0.1
Told = tuple[str, int, int]


@dataclass(frozen=True, slots=True)
class BenchChoice:
    """What is to be put on the bench; `pack_mm` None is the drawing's pack. Plain, so that processes can share it.

    limits: what the shop itself requires of clearances, by their names.
    """

    build: str
    options: Mapping[str, str] = field(default_factory=dict)
    pack_mm: tuple[float, ...] | None = None
    limits: Mapping[str, Dimension] | None = None

    def open(
        self,
        progress: Callable[[str, int, int], None] | None = None,
        builders: Builders | None = None,
    ) -> Bench:
        """Open the bench. Raises RefusalError for what cannot be built."""
        pack = make_pack(self.pack_mm) if self.pack_mm is not None else None
        return open_bench(
            self.build, self.options, pack=pack, limits=self.limits, progress=progress, builders=builders
        )  # fmt: skip


class BenchWork(QThread):
    """Make a bench's solids, then their light stand-ins, then its order.

    Signals carry plain values and frozen arrays only; nothing of the picture library crosses threads.
    """

    told = Signal(str, int, int)
    solids_ready = Signal(object, object, object)
    light_ready = Signal(object, object)
    order_ready = Signal(object)
    failed = Signal(str)

    def __init__(
        self,
        choice: BenchChoice,
        parent: QObject,
        before: Assembly | None = None,
        known: Known | None = None,
        builders: Builders | None = None,
    ) -> None:
        super().__init__(parent)
        self._choice, self._before, self._builders = choice, before, builders
        self._known: Known = {} if known is None else known

    def run(self) -> None:
        """Do the work; what goes wrong is told and leaves the window as it was."""
        try:
            bench = self._choice.open(self.told.emit, self._builders)
            full = bench.assembly
            if self._before:
                full = keep_meshes(full, self._before)
            self.solids_ready.emit(self._choice, bench, full)
            self.light_ready.emit(bench, lighten_assembly(full, self._known))
            if read_relations(bench.build, MeshCache()) is None:
                self._fill_relations()
            if not self.isInterruptionRequested():
                _ = bench.layout
                self.order_ready.emit(bench)
        except (PumpwrightError, RuntimeError, OSError) as error:
            self.failed.emit(str(error))

    def _fill_relations(self) -> None:
        """Fill the table in a process of its own: its loops hold the interpreter, and the window would stand still.

        Raises:
            RuntimeError: the process ended without having filled it.
        """
        spawn = multiprocessing.get_context("spawn")
        news: Queue[Told] = spawn.Queue()
        filling = spawn.Process(target=fill_relations, args=(self._choice, news), daemon=True)
        filling.start()
        while filling.is_alive():
            if self.isInterruptionRequested():
                filling.terminate()
            try:
                self.told.emit(*news.get(timeout=LISTEN_S))
            except Empty:
                continue
        filling.join()
        if filling.exitcode and not self.isInterruptionRequested():
            raise RuntimeError(f"the table of relations could not be filled ({filling.exitcode})")


def fill_relations(choice: BenchChoice, news: Queue[Told]) -> None:
    """Fill and keep the table of who stands in whose way; runs in a process of its own."""
    bench = choice.open(lambda what, done, of: news.put((what, done, of)))
    _ = bench.blocking


class LessonWork(QThread):
    """Read the lesson of a build: the reader of its text takes half a second to load."""

    ready = Signal(object)
    failed = Signal(str)

    def __init__(self, build: str, parent: QObject) -> None:
        super().__init__(parent)
        self._build = build

    def run(self) -> None:
        """Read lessons until one is about the build; a broken one is told."""
        from trainer.lesson import list_lessons, read_lesson

        for path in list_lessons().values():
            try:
                lesson = read_lesson(path)
            except ContentError as error:
                self.failed.emit(str(error))
                continue
            if lesson.build == self._build:
                self.ready.emit(lesson)
                return


class ServiceWork(QThread):
    """Work out once what a build's clearances do in service: what the spread needs takes half a second to load."""

    ready = Signal(object, object)
    failed = Signal(object, str)

    def __init__(self, build: Build, parent: QObject) -> None:
        super().__init__(parent)
        self._build = build

    def run(self) -> None:
        """Work it out, or tell why not."""
        from trainer.session.consequences import list_consequential
        from trainer.session.service import ServiceBench

        try:
            bench = ServiceBench(self._build)
            bench.look()
            curves = {name: bench.draw_curve(name) for name in list_consequential(bench)}
        except PumpwrightError as error:
            self.failed.emit(self._build, str(error))
        else:
            self.ready.emit(bench, curves)


class RecordsWork(QThread):
    """Open the records: their libraries take a second to load."""

    ready = Signal(object)
    failed = Signal(str)

    def run(self) -> None:
        """Open them, or tell why not."""
        from trainer.records import open_records

        try:
            self.ready.emit(open_records())
        except PumpwrightError as error:
            self.failed.emit(str(error))
