"""Work in the background: solids, order and records, so that the window is up at once and stays usable."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, QThread, Signal

from models.spec.assembly import Assembly
from models.spec.errors import PumpwrightError
from trainer.session.bench import Bench


class BenchWork(QThread):
    """Make a bench's solids, then their light stand-ins, then its order.

    Signals carry plain values and frozen arrays only; nothing of the picture library crosses threads.
    """

    told = Signal(str, int, int)
    solids_ready = Signal(object, object)
    order_ready = Signal(object)
    failed = Signal(str)

    def __init__(
        self,
        make_bench: Callable[[Callable[[str, int, int], None]], Bench],
        parent: QObject,
        before: tuple[Assembly, Assembly] | None = None,
    ) -> None:
        super().__init__(parent)
        self._make_bench = make_bench
        self._before = before

    def run(self) -> None:
        """Do the work; what goes wrong is told and leaves the window as it was."""
        from trainer.desktop.lighten import keep_meshes, lighten_assembly

        try:
            bench = self._make_bench(self.told.emit)
            full = bench.assembly
            if self._before:
                full = keep_meshes(full, self._before[0])
            self.solids_ready.emit(bench, (full, lighten_assembly(full, self._before)))
            _ = bench.layout
            self.order_ready.emit(bench)
        except (PumpwrightError, RuntimeError, OSError) as error:
            self.failed.emit(str(error))


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
