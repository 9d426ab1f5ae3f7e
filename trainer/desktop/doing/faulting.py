"""Show the pump as a mistake built it, while a page of a lesson or a question wants it seen so."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QThread, Signal

from models.spec.assembly import Assembly
from models.spec.errors import PumpwrightError
from trainer.session.bench import Bench
from trainer.session.faults import open_faulty

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow


class FaultWork(QThread):
    """Make the pump that a mistake makes: parts of another shape may have to be made first."""

    ready = Signal(str, object)
    failed = Signal(str)

    def __init__(self, bench: Bench, fault: str, parent: QObject) -> None:
        super().__init__(parent)
        # A bench of its own: what is kept warm for the window's builds is used by one thread only.
        self._sound, self._fault = Bench(bench.build), fault

    def run(self) -> None:
        """Make it, or tell why not."""
        try:
            self.ready.emit(self._fault, open_faulty(self._sound, self._fault).faulty.assembly)
        except PumpwrightError as error:
            self.failed.emit(str(error))


class Faulting(QObject):
    """Put the pump of a mistake in the picture, and the sound one back as soon as anything else is done.

    What is worked out of the bench stays that of the sound pump; only the picture shows the other one.
    """

    def __init__(self, window: PumpWindow) -> None:
        super().__init__(window)
        self._window = window
        self._wanted = ""
        self._works: list[FaultWork] = []
        self._pane = ""
        self.is_on = False
        window.came.connect(self._forget)
        window.motion.moved.connect(self._leave_for_motion)
        window.panes.currentChanged.connect(lambda _pane: self._follow_pane())

    def show(self, fault: str) -> None:
        """Show the pump on the bench with a mistake in it; "" shows it as it should be."""
        if fault == self._wanted:
            return
        self.stop()
        bench = self._window.bench
        if not fault or bench is None:
            return
        self._wanted, self._pane = fault, self._window.pane
        work = FaultWork(bench, fault, self)
        work.ready.connect(self._take)
        work.failed.connect(self._window.noticing.tell)
        work.finished.connect(lambda: self._works.remove(work))
        self._works.append(work)
        work.start()

    def stop(self) -> None:
        """Show the pump as it should be."""
        self._wanted = ""
        window = self._window
        if self.is_on and window.assembly is not None:
            self.is_on = False
            window.view.show_assembly(window.assembly)
            if window.light is not None:
                window.view.show_light(window.light)

    def close(self) -> None:
        """Let all work end."""
        for work in list(self._works):
            work.wait()

    def _take(self, fault: str, assembly: Assembly) -> None:
        if fault != self._wanted:
            return  # something else is looked at by now
        view, there = self._window.view, assembly.by_name.keys()
        self.is_on = True
        tags = {name: tag for name, tag in view.tags.items() if name in there}
        view.set_marks(replace(view.marks, lit=view.marks.lit & there), tags)
        view.show_assembly(assembly)

    def _forget(self) -> None:
        """Another pump stands here, and is shown already."""
        self._wanted, self.is_on = "", False

    def _leave_for_motion(self, _apart: float) -> None:
        if self.is_on and not self._window.motion.is_gliding:
            self.stop()

    def _follow_pane(self) -> None:
        """Beside other panes the pump stands as they speak of it."""
        if self._window.pane != self._pane:
            self.stop()
