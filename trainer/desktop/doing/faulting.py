"""Show the pump as a mistake built it, or as it is built for the other rotation, while a page or a question wants it so."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QThread, Signal

from models.spec.assembly import Assembly
from models.spec.errors import PumpwrightError
from models.spec.mirroring import mirror_assembly
from trainer.session.bench import Bench
from trainer.session.faults import open_faulty

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow


@dataclass(frozen=True, slots=True)
class Other:
    """Another pump than that on the bench: built with a mistake ("" for none), or for the other rotation."""

    fault: str = ""
    mirrored: bool = False


SOUND = Other()


class OtherWork(QThread):
    """Make the other pump: parts of another shape may have to be made first."""

    ready = Signal(object, object)
    failed = Signal(str)

    def __init__(self, bench: Bench, other: Other, parent: QObject) -> None:
        super().__init__(parent)
        # A bench of its own: what is kept warm for the window's builds is used by one thread only.
        self._sound, self._other = Bench(bench.build), other

    def run(self) -> None:
        """Make it, or tell why not."""
        try:
            bench, other = self._sound, self._other
            shown = open_faulty(bench, other.fault).faulty if other.fault else bench
            assembly = mirror_assembly(shown.assembly) if other.mirrored else shown.assembly
            self.ready.emit(other, assembly)
        except PumpwrightError as error:
            self.failed.emit(str(error))


class Faulting(QObject):
    """Put another pump in the picture, and that on the bench back as soon as anything else is done.

    What is worked out of the bench stays that of the pump on it; only the picture shows the other one.
    """

    def __init__(self, window: PumpWindow) -> None:
        super().__init__(window)
        self._window = window
        self._wanted = SOUND
        self._works: list[OtherWork] = []
        self._pane = ""
        self.is_on = False
        window.came.connect(self._forget)
        window.motion.moved.connect(self._leave_for_motion)
        window.panes.currentChanged.connect(lambda _pane: self._follow_pane())

    @property
    def is_busy(self) -> bool:
        """Is another pump being made?"""
        return bool(self._works)

    def show(self, fault: str, *, mirrored: bool = False) -> None:
        """Show the pump on the bench with a mistake in it, or mirrored; without either as it should be."""
        other = Other(fault, mirrored)
        if other == self._wanted:
            return
        self.stop()
        bench = self._window.bench
        if other == SOUND or bench is None:
            return
        self._wanted, self._pane = other, self._window.pane
        work = OtherWork(bench, other, self)
        work.ready.connect(self._take)
        work.failed.connect(self._window.noticing.tell)
        work.finished.connect(lambda: self._works.remove(work))
        self._works.append(work)
        work.start()

    def stop(self) -> None:
        """Show the pump as it should be."""
        was, self._wanted = self._wanted, SOUND
        window = self._window
        if self.is_on and window.assembly is not None:
            self.is_on = False
            window.view.show_assembly(window.assembly)
            if window.light is not None:
                window.view.show_light(window.light)
            if was.mirrored:
                window.view.fit()

    def close(self) -> None:
        """Let all work end."""
        for work in list(self._works):
            work.wait()

    def _take(self, other: Other, assembly: Assembly) -> None:
        if other != self._wanted:
            return  # something else is looked at by now
        view, there = self._window.view, assembly.by_name.keys()
        self.is_on = True
        tags = {name: tag for name, tag in view.tags.items() if name in there}
        view.set_marks(replace(view.marks, lit=view.marks.lit & there), tags)
        view.show_assembly(assembly)
        if other.mirrored:
            view.fit()  # its branch stands to the other side

    def _forget(self) -> None:
        """Another pump stands here, and is shown already."""
        self._wanted, self.is_on = SOUND, False

    def _leave_for_motion(self, _apart: float) -> None:
        if self.is_on and not self._window.motion.is_gliding:
            self.stop()

    def _follow_pane(self) -> None:
        """Beside other panes the pump stands as they speak of it."""
        if self._window.pane != self._pane:
            self.stop()
