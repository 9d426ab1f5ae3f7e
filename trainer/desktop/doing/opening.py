"""Open somebody's assembly: by the button, by a key, or dropped onto the window."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QFileDialog

from trainer.desktop.bench_work import StepChoice

if TYPE_CHECKING:
    from PySide6.QtCore import QMimeData

    from trainer.desktop.window import PumpWindow

ENDINGS = (".step", ".stp", ".p21")
KEY = "Ctrl+O"


class Opening(QObject):
    """Put what a file holds on the bench; what stands there stays until it has been read and worked out."""

    def __init__(self, window: PumpWindow) -> None:
        super().__init__(window)
        self._window = window
        self._folder = ""
        window.setAcceptDrops(True)
        window.installEventFilter(self)
        window.builds.file_asked.connect(self.ask)
        window.add_key(KEY, self.ask)
        window.changing.failed.connect(self._tell_failed)

    def ask(self) -> None:
        """Let a file be chosen."""
        words = self._window.words
        path, _ = QFileDialog.getOpenFileName(
            self._window,
            words.say("choosing.open"),
            self._folder,
            words.say("choosing.files", endings=" ".join(f"*{e} *{e.upper()}" for e in ENDINGS)),
        )
        if path:
            self.open_file(Path(path))

    def open_file(self, path: Path, form: Path | None = None) -> None:
        """Open a file, with a form if there is one."""
        self._folder = str(path.parent)
        self._window.changing.change(StepChoice(path, form_path=form))

    def _tell_failed(self, choice: object, _reason: str) -> None:
        """Show where it is told why a file could not be opened."""
        if isinstance(choice, StepChoice) and choice.step is None:
            self._window.show_pane("build")

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take files that are dropped."""
        if isinstance(event, QDragEnterEvent) and _list_files(event.mimeData()):
            event.acceptProposedAction()
            return True
        if isinstance(event, QDropEvent) and event.type() == QEvent.Type.Drop:
            files = _list_files(event.mimeData())
            if files:
                event.acceptProposedAction()
                self._take_dropped(files)
                return True
        return super().eventFilter(watched, event)

    def _take_dropped(self, files: list[Path]) -> None:
        steps = [file for file in files if file.suffix.lower() in ENDINGS]
        if not steps:  # it may be one all the same: its content says so, or why not
            steps = files
        self.open_file(steps[0])


def _list_files(dropped: QMimeData) -> list[Path]:
    return [Path(url.toLocalFile()) for url in dropped.urls() if url.isLocalFile()]
