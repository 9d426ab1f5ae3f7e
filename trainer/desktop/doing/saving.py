"""Save the picture: the button, the sizes to choose from, where to, and what became of it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QStandardPaths
from PySide6.QtWidgets import QFileDialog, QMenu

from trainer.desktop.picture.saving import SavingWork, paint_over
from trainer.desktop.pieces import make_button
from trainer.stage.pose import Pose

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow

SIZES = ((1920, 1080), (3840, 2160))
SUFFIX = ".png"
KEY = "Ctrl+S"


class Saving(QObject):
    """Save what the picture shows, with all that stands over it, as large as is wanted."""

    def __init__(self, window: PumpWindow) -> None:
        super().__init__(window)
        self._window = window
        words = window.words
        self.ask: Callable[[Path], str] = self._ask
        self._work: SavingWork | None = None
        self.button = make_button(
            "", self.show_sizes, spoken=words.say("look.save-spoken"), sign="keep"
        )
        window.viewing.addWidget(self.button)
        window.add_key(KEY, self.show_sizes)
        self.menu = QMenu(window)
        self.menu.setAccessibleName(words.say("look.save"))
        window.view.finishing.append(self.wait)

    def show_sizes(self) -> None:
        """Offer the sizes below the button; as it is seen comes first."""
        if not self._window.view.has_pump or not self.button.isEnabled():
            return
        words, ratio = self._window.words, self._window.devicePixelRatioF()
        width, height = (round(ratio * side) for side in self._window.view.size_px)
        self.menu.clear()
        seen = words.say("look.save-as-seen", width=width, height=height)
        self.menu.addAction(seen, partial(self.save, (width, height)))
        for size in SIZES:
            text = words.say(f"look.save-{size[0]}", width=size[0], height=size[1])
            self.menu.addAction(text, partial(self.save, size))
        self.menu.popup(self.button.mapToGlobal(self.button.rect().bottomLeft()))
        self.menu.setActiveAction(self.menu.actions()[0])

    def save(self, size: tuple[int, int]) -> None:
        """Save at a size (width, height) in pixels, into a file that is asked for."""
        standard = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.PicturesLocation)
        folder = Path(standard) if standard and Path(standard).is_dir() else Path.home()
        name = "-".join(self._window.build.text().lower().split()) or "pump"
        chosen = self.ask(folder / f"{name.replace('/', '-')}{SUFFIX}")
        if chosen:
            path = Path(chosen)
            self.write(size, path if path.suffix.lower() == SUFFIX else Path(f"{path}{SUFFIX}"))

    def write(self, size: tuple[int, int], path: Path) -> None:
        """Write what is seen now, at a size (width, height) in pixels; the window stays usable meanwhile."""
        view = self._window.view
        stage = view.surface.full
        if stage is None or self._work is not None:
            return
        pose = Pose(
            stage.assembly, view.offsets, view.shown_marks, view.cut, view.camera, view.size_px
        )
        work = SavingWork(pose, view.look, paint_over(view, size), path, self)
        work.saved.connect(self._tell_saved)
        work.failed.connect(self._tell_failed)
        work.finished.connect(self._end)
        self._work = work
        self.button.setEnabled(False)
        work.start()

    def wait(self) -> None:
        """Let a picture that is being written be completed."""
        if self._work is not None:
            self._work.wait()

    def _ask(self, proposed: Path) -> str:
        words = self._window.words
        title, kind = words.say("look.save"), words.say("look.save-kind")
        chosen, _ = QFileDialog.getSaveFileName(self._window, title, str(proposed), kind)
        return chosen

    def _end(self) -> None:
        self._work = None
        self.button.setEnabled(True)

    def _tell_saved(self, path: str) -> None:
        self._window.noticing.tell(self._window.words.say("look.saved", path=path))

    def _tell_failed(self, reason: str) -> None:
        self._window.noticing.tell(self._window.words.say("look.not-saved", reason=reason))
