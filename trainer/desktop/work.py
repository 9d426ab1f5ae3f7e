"""Work in the background: lessons, service and records, so that the window is up at once and stays usable."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QObject, QThread, Signal

from models.spec.build import Build
from models.spec.errors import ContentError, PumpwrightError, SurroundingsError
from trainer.desktop.records_door import RecordsDoor

MOST_TOLD = 3
"""Faults of a file that are told beside the page; `lessons check` tells all."""


class LessonWork(QThread):
    """Read lessons and check what they name: the reader of their text takes half a second to load.

    taken: a file and its lesson. failed: a file and its faults, as text.
    """

    taken = Signal(str, object)
    failed = Signal(str, str)

    def __init__(self, files: Iterable[Path], parent: QObject) -> None:
        super().__init__(parent)
        self._files = tuple(files)

    def run(self) -> None:
        """Read one after the other; a broken one is told."""
        from trainer.lesson import read_lesson
        from trainer.session.asking import Benches
        from trainer.session.lesson_checking import check_lesson_on_builds

        benches = Benches()
        for path in self._files:
            try:
                lesson = read_lesson(path)
                faults = check_lesson_on_builds(lesson, benches, draws=False)
            except ContentError as error:
                faults = list(error.faults)
            if faults:
                told = "\n\n".join(
                    str(replace(fault, file=path.name)) for fault in faults[:MOST_TOLD]
                )
                self.failed.emit(str(path), told)
            else:
                self.taken.emit(str(path), lesson)


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

    def __init__(self, door: RecordsDoor, parent: QObject) -> None:
        super().__init__(parent)
        self._door = door

    def run(self) -> None:
        """Open them; what is wrong is told when something is to be kept, for then it is tried again."""
        with suppress(SurroundingsError):
            self._door.open()
