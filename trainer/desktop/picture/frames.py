"""Frames: a stage drawn off screen and painted as an image; needs no graphics card, and works over a remote line.

In motion it draws light stand-ins, smaller where the machine is slow; once it is still it draws the
full picture, pass by pass, so that a hand on the mouse never waits for long.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Generator
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QTimer
from PySide6.QtGui import QImage, QPainter

from trainer.desktop.picture.surface import Steps, Surface, SurfaceName
from trainer.stage.batches import finish_steps
from trainer.stage.look import Look
from trainer.stage.offscreen import make_window
from trainer.stage.scene import Drawn, Finish, Stage

if TYPE_CHECKING:
    from models.spec.assembly import Assembly
    from trainer.desktop.picture.view import PumpView

STILL_MS = 300
"""How long nothing has moved before the full picture is drawn."""
FRAME_S = (0.020, 0.030)
"""A frame in motion that takes longer than the second makes the next one smaller; faster than the first, larger."""
SMALLEST_SHARE = 0.5
DEPTH_S = 0.030
"""Where a careful picture is painted in no more than this, the next ones get soft shade too, which takes thrice as long at one go."""
FULL, LIGHT = "full", "light"
CLEARED = 8
"""Pieces that have left, given back at one go."""


class FrameSurface(Surface):
    """Draw frames off screen and hand them to the view to paint."""

    name = SurfaceName.FRAMES

    def __init__(self, view: PumpView, look: Look) -> None:
        self._view, self._look = view, look
        self.clock: Callable[[], float] = time.perf_counter
        self.share = 0.8
        """How large a frame in motion is, of the view's width and height."""
        self.careful: Finish | None = None
        """How pictures at rest are drawn; None until one has told how fast the machine is."""
        self._is_loaded = False
        self._painting_s = 0.0
        self._is_setting = False
        self._full: Stage | None = None
        self._light: Stage | None = None
        self._coming: dict[str, Stage] = {}
        self._light_fits = False
        self._image = QImage()
        self._drawing: Generator[None, None, Drawn] | None = None
        self._first: Steps | None = None
        self._still = QTimer(view, singleShot=True, interval=STILL_MS)
        self._still.timeout.connect(self.begin_still)
        self._soon = QTimer(view, singleShot=True, interval=0)
        self._soon.timeout.connect(self.draw_moving)
        self._next_pass = QTimer(view, singleShot=True, interval=0)
        self._next_pass.timeout.connect(self._draw_pass)
        self._clearing = QTimer(view, interval=0)
        self._clearing.timeout.connect(self._clear_away)

    # ------------------------------------------------------------------ what is shown
    @property
    def full(self) -> Stage | None:
        """The stage with whole meshes; None while there is nothing to see."""
        return self._full

    @property
    def front(self) -> Stage | None:
        """The stage that is cheapest to use and shows the right pump."""
        return self._light if self._light_fits else self._full

    @property
    def is_drawing(self) -> bool:
        """Is a careful picture, or the very first one, half drawn?"""
        return self._drawing is not None or self._first is not None

    @property
    def is_settled(self) -> bool:
        """Has nothing changed since the careful picture was begun?"""
        is_waiting = self._still.isActive() or self._soon.isActive() or self._is_setting
        return self._full is not None and self._first is None and not is_waiting

    def make_stage(self, assembly: Assembly) -> Stage:
        """Make a stage that is drawn off screen."""
        return Stage(assembly, self._look, window=make_window(beside_live=self._view.was_live))

    def show_assembly(self, full: Assembly) -> None:
        """Take an assembly; until its light stand-ins come, it moves with whole meshes."""
        self.drop()
        self._full = self._full or self._coming.pop(FULL, None) or self.make_stage(full)
        self._full.replace_assembly(full)
        self._light_fits = False
        self._clearing.start()

    def show_light(self, light: Assembly) -> None:
        """Take the light stand-ins of it, for motion."""
        self._light = self._light or self._coming.pop(LIGHT, None) or self.make_stage(light)
        self._light.replace_assembly(light)
        self._light_fits = True
        self._clearing.start()

    def _clear_away(self) -> None:
        """Give back what another pump has left behind, a few pieces at a time."""
        stages = [stage for stage in (self._full, self._light) if stage is not None]
        if not any(stage.casting.clear_away(CLEARED) for stage in stages):
            self._clearing.stop()

    def prepare_full(self, full: Assembly) -> Steps:
        """Make ready what `show_assembly` will need."""
        yield from self._prepare(self._full, FULL, full)

    def prepare_light(self, light: Assembly) -> Steps:
        """Make ready what `show_light` will need."""
        yield from self._prepare(self._light, LIGHT, light)

    def prepare_cut(self) -> Steps:
        """Make ready what the first cut will need beside the meshes."""
        for stage in (self._full, self._light):
            if stage is not None:
                yield from self._draw_beside(stage.prepare_cut_in_steps())

    def _prepare(self, stage: Stage | None, name: str, assembly: Assembly) -> Steps:
        if stage is None:
            stage = self._coming[name] = self.make_stage(replace(assembly, pieces=()))
            yield
        yield from self._draw_beside(stage.prepare_in_steps(assembly))

    def _draw_beside(self, steps: Steps) -> Steps:
        while True:
            # What is half drawn on this stage would be spoilt.
            self.drop()
            try:
                next(steps)
            except StopIteration:
                return
            yield

    def set_look(self, look: Look) -> None:
        """Colour everything anew."""
        self._look = look
        self.drop()
        for stage in (self._full, self._light):
            if stage is not None:
                stage.set_look(look)

    # ------------------------------------------------------------------ drawing
    def draw_soon(self) -> None:
        """Draw quickly as soon as the window has looked after its user, and with care once nothing has changed for a while."""
        self._drawing = None
        self._next_pass.stop()
        if self._full is not None:
            if not self._soon.isActive():
                # Never put off again: what moves on a busy machine would ask faster than it is drawn.
                self._soon.start()
            self._still.start()

    def drop(self) -> None:
        """Drop what is half drawn; it is begun anew after a while."""
        self._drawing = self._first = None
        if self._full is not None:
            self._still.start()

    def draw_first(self) -> Steps:
        """Draw quickly, in steps: whole meshes take long. Whoever gives it up half done sees nothing, as before."""
        if self._full is None:
            return
        self._soon.stop()
        self._still.stop()
        drawing = self._first = self._draw_moving(self._full)
        try:
            for _ in drawing:
                yield
                if self._first is not drawing:
                    return  # something else was drawn on this stage: that is the first picture
        except GeneratorExit:
            self.close()
            raise
        self._first = None

    def _draw_moving(self, stage: Stage) -> Steps:
        self._view.set_state(stage)
        width, height = self._view.size_px
        # The smaller picture is stretched to exactly the view's size.
        size = max(int(width * self.share), 64), max(int(height * self.share), 64)
        stage.camera = self._view.camera.zoomed(size[0] / width)
        picture, _ = yield from stage.frame_in_steps(*size, Finish.MOVING)
        self.finish = Finish.MOVING
        self._show(picture)

    def draw_moving(self) -> None:
        """Draw quickly at once, and smaller next time if it took long."""
        stage, self._first = self.front, None
        if stage is None:
            return
        started_s = self.clock()
        finish_steps(self._draw_moving(stage))
        took_s = self.clock() - started_s
        if took_s > FRAME_S[1]:
            self.share = max(self.share * 0.92, SMALLEST_SHARE)
        elif took_s < FRAME_S[0]:
            self.share = min(self.share * 1.08, 1.0)

    def begin_still(self) -> None:
        """Begin to draw with care, pass by pass."""
        if self._full is None:
            return
        self._first = None
        self._full.is_painting = False  # what was dropped may have stopped in the midst of it
        self._drawing = self._draw_still(self._full)
        self._painting_s = 0.0
        self._next_pass.start()

    def _draw_still(self, stage: Stage) -> Generator[None, None, Drawn]:
        self._is_setting = True
        try:
            yield from stage.set_cut_in_steps(self._view.cut)
            self._view.set_state(stage)
        finally:
            self._is_setting = False
        return (yield from stage.frame_in_steps(*self._view.size_px, self.careful or Finish.REST))

    def _draw_pass(self) -> None:
        if self._drawing is None or self._full is None:
            return
        started_s = self.clock()
        try:
            next(self._drawing)
        except StopIteration as done:
            picture, numbers = done.value
            self._drawing = None
            self.finish = Finish.REST
            self._view.take_numbers(numbers)
            self._show(picture)
            self._view.drawn.emit()
        else:
            if self._full.is_painting:
                self._painting_s += self.clock() - started_s
            elif self._painting_s:
                self._judge_speed(self._painting_s + self.clock() - started_s)
                self._painting_s = 0.0
            self._next_pass.start()

    def _judge_speed(self, took_s: float) -> None:
        """Decide by how long painting took whether this machine can afford soft shade; the very first one also loads everything."""
        if self.careful is None and self._is_loaded:
            self.careful = Finish.PRINT if took_s <= DEPTH_S else Finish.REST
        self._is_loaded = True

    def _show(self, frame: npt.NDArray[np.uint8]) -> None:
        height, width, _ = frame.shape
        kept, form = np.ascontiguousarray(frame), QImage.Format.Format_RGB888
        self._image = QImage(kept.data, width, height, 3 * width, form).copy()
        self._view.update()

    def paint(self, painter: QPainter) -> bool:
        """Paint the last frame over the whole view."""
        if self._image.isNull():
            return False
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawImage(self._view.rect(), self._image)
        return True

    def fit_size(self) -> None:
        """Follow the view's size: the next frame has it."""

    def close(self) -> None:
        """Draw nothing any more, and let the stages go."""
        for timer in (self._still, self._soon, self._next_pass, self._clearing):
            timer.stop()
        self._drawing = self._first = self._full = self._light = None
        self._coming, self._image = {}, QImage()
        self._light_fits = False
