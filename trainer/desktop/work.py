"""Work in the background: lessons, service and records, so that the window is up at once and stays usable."""

from __future__ import annotations

from PySide6.QtCore import QObject, QThread, Signal

from models.spec.build import Build
from models.spec.errors import ContentError, PumpwrightError


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
