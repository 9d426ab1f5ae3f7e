"""Choose how the picture gets on the screen: live where a graphics card draws, and tell it where that fails; and into a file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer

from trainer.desktop.doing.saving import Saving
from trainer.desktop.picture.probe import choose_surface
from trainer.desktop.picture.surface import SurfaceName

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow


class Showing:
    """Begin with frames, which need no library beside those of the first picture; go live after that if the machine can."""

    def __init__(self, window: PumpWindow) -> None:
        self._window = window
        self.saving = Saving(window)
        self._surface = choose_surface()
        window.view.surface_failed.connect(self._tell)
        if self._surface is SurfaceName.LIVE:
            QTimer.singleShot(0, window, self._go_live)

    def prefer(self, surface: SurfaceName | None) -> None:
        """Show the picture as somebody wants it; None lets the machine decide."""
        self._surface = surface or choose_surface()
        if self._window.view.has_pump:
            self._window.view.use_surface(self._surface)

    def _go_live(self) -> None:
        if self._window.view.has_pump:
            self._window.view.use_surface(self._surface)
        else:
            QTimer.singleShot(200, self._window, self._go_live)

    def _tell(self, reason: str) -> None:
        window = self._window
        window.noticing.tell(window.words.say("look.no-live", reason=reason))
