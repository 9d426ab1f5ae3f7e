"""Change the surface of a view while it runs; what is shown stays, and where live drawing fails the frames do."""

from __future__ import annotations

import importlib
import sys
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QThread

from models.spec.errors import SurroundingsError
from trainer.desktop.picture.frames import FrameSurface
from trainer.desktop.picture.surface import SurfaceName

if TYPE_CHECKING:
    from trainer.desktop.picture.view import PumpView

LIVE_LIBRARY = "pyvistaqt"


class Switching(QObject):
    """Change how one view gets on the screen."""

    def __init__(self, view: PumpView) -> None:
        super().__init__(view)
        self._view = view
        self._wanted = SurfaceName.FRAMES
        self._loading = _Loading(self)
        self._loading.finished.connect(self._take_loaded)

    def use(self, name: SurfaceName) -> None:
        """Use a surface, at once or as soon as its libraries are loaded, which takes two seconds the first time."""
        self._wanted = name
        if name is self._view.surface.name:
            return
        if name is SurfaceName.LIVE and LIVE_LIBRARY not in sys.modules:
            self._loading.start()
        else:
            self._change(name)

    def wait(self) -> None:
        """Let what is being loaded end."""
        self._loading.wait()

    def _take_loaded(self) -> None:
        if self._wanted is not SurfaceName.LIVE:
            return  # chosen otherwise meanwhile
        if self._loading.fault:
            self._view.surface_failed.emit(self._loading.fault)
        else:
            self._change(self._wanted)

    def _change(self, name: SurfaceName) -> None:
        # The old one goes first: two doors to the graphics card must not stand open at once.
        self._view.surface.close()
        try:
            self._view.put_surface(name)
        except SurroundingsError as error:
            self._view.put_surface(SurfaceName.FRAMES)
            self._view.surface_failed.emit(str(error))
        self._view.surface_changed.emit(self._view.surface.name.value)


class _Loading(QThread):
    """Load what live drawing needs away from the window's thread."""

    fault = ""

    def run(self) -> None:
        """Load it, or remember why not."""
        try:
            importlib.import_module(LIVE_LIBRARY)
        except (ImportError, OSError) as error:
            self.fault = str(error)


def make_surface(name: SurfaceName, view: PumpView) -> FrameSurface:
    """Make a surface for a view. Raises SurroundingsError where the machine cannot have it."""
    if name is SurfaceName.FRAMES:
        return FrameSurface(view, view.look)
    # Its libraries take two seconds to load: never on the way to the first picture.
    from trainer.desktop.picture.live import LiveSurface

    return LiveSurface(view, view.look)
