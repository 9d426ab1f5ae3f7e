"""Live: the graphics card draws into the window; only where there is one, for in software it is much slower than frames.

In motion the pump is drawn whole at every repaint. Once it is still, the carefully drawn frame of `frames.py`
lies over it, so that both surfaces look alike at rest. What is painted over the picture, and mouse and keys, are the
view's own on either surface.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget
from pyvistaqt import QtInteractor

from models.spec.errors import SurroundingsError
from trainer.desktop.picture.frames import FrameSurface
from trainer.desktop.picture.surface import Steps, SurfaceName
from trainer.stage.look import Look
from trainer.stage.offscreen import lift_ink
from trainer.stage.scene import Finish, Stage

if TYPE_CHECKING:
    from models.spec.assembly import Assembly
    from trainer.desktop.picture.view import PumpView

SAMPLES = 4


class LiveSurface(FrameSurface):
    """Draw in the window itself, and lay the careful frame over it when all is still."""

    name = SurfaceName.LIVE

    def __init__(self, view: PumpView, look: Look) -> None:
        """Begin to draw live in a view.

        Raises:
            SurroundingsError: the machine cannot.
        """
        super().__init__(view, look)
        self._live: Stage | None = None
        try:
            self._canvas = QtInteractor(
                view, auto_update=False, multi_samples=SAMPLES, lighting="none"
            )
        except (RuntimeError, AttributeError, OSError) as error:
            raise SurroundingsError(str(error)) from error
        self._canvas.grabFramebuffer()  # brings its graphics up, seen or not
        if not self._canvas.isValid():
            self._canvas.close()
            self._canvas.deleteLater()
            raise SurroundingsError("OpenGL cannot be had in a window")
        window = self._canvas.ren_win
        if window is None:
            raise SurroundingsError("the window has no drawing surface")
        self._window = window
        for renderer in list(self._canvas.renderers):
            window.RemoveRenderer(renderer)
        self._canvas.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._canvas.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._canvas.setAcceptDrops(False)
        self._above = _Above(view)
        lift_ink()
        self.fit_size()
        if view.isVisible():
            self._show_both()

    def _show_both(self) -> None:
        self._canvas.show()
        self._above.show()
        self._above.raise_()

    @property
    def front(self) -> Stage | None:
        """The stage with whole meshes: a graphics card draws them as quickly."""
        return self._full

    def show_assembly(self, full: Assembly) -> None:
        """Take an assembly, in the window and for careful frames."""
        super().show_assembly(full)
        if self._live is None:
            self._live = Stage(full, self._look, window=self._window)
        else:
            self._live.replace_assembly(full)

    def prepare_full(self, full: Assembly) -> Steps:
        """Make ready what `show_assembly` will need; in the window nothing is drawn meanwhile."""
        yield from super().prepare_full(full)
        if self._live is not None:
            yield from self._live.prepare_in_steps(full, is_seen=True)

    def prepare_light(self, light: Assembly) -> Steps:
        """Make nothing ready: see `show_light`."""
        del light
        yield from ()

    def prepare_cut(self) -> Steps:
        """Make nothing ready: a graphics card is quick at it."""
        yield from ()

    def show_light(self, light: Assembly) -> None:
        """Leave light stand-ins aside: a graphics card draws whole meshes."""

    def set_look(self, look: Look) -> None:
        """Colour everything anew."""
        super().set_look(look)
        if self._live is not None:
            self._live.set_look(look)

    def draw_first(self) -> Steps:
        """Let the window draw: a graphics card is quick."""
        self.draw_moving()
        yield from ()

    def draw_moving(self) -> None:
        """Let the window draw."""
        if self._live is None:
            return
        self._view.set_state(self._live)
        self._live.set_live(self._view.size_px[1])
        self.finish = Finish.MOVING
        self._canvas.update()
        self._above.update()

    def paint(self, painter: QPainter) -> bool:
        """Paint the careful frame when all is still; in motion the window shows the pump by itself."""
        if self.finish is Finish.REST:
            return super().paint(painter)
        return self._live is not None

    def fit_size(self) -> None:
        """Follow the view's size."""
        self._canvas.setGeometry(self._view.rect())
        self._above.setGeometry(self._view.rect())

    def close(self) -> None:
        """Give back the window's part of the picture."""
        super().close()
        self._live = None
        for widget in (self._above, self._canvas):
            widget.hide()
        self._canvas.close()
        for widget in (self._above, self._canvas):
            widget.setParent(None)
            widget.deleteLater()


class _Above(QWidget):
    """A clear sheet above what is drawn live; mouse and keys go through it to the view."""

    def __init__(self, view: PumpView) -> None:
        super().__init__(view)
        self._view = view
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint what the view lays over its picture."""
        del event
        painter = QPainter(self)
        self._view.paint_picture(painter)
        painter.end()
