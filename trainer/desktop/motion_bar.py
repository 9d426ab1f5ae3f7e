"""The strip under the picture: one slider from together to apart, play and pause, one step either way."""

from __future__ import annotations

import math
import time
from collections.abc import Callable

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QSlider, QVBoxLayout, QWidget

from trainer.desktop.pieces import GAP_PX, MARGIN_PX, make_button, make_label
from trainer.words import Words

TICKS_PER_STEP = 100
SECONDS_PER_STEP = 1.3
FRAME_MS = 16


class MotionBar(QWidget):
    """Take the pump apart along its order; `moved` carries apart from 0 to 1."""

    moved = Signal(float)

    def __init__(self, words: Words, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__()
        self._words, self._clock = words, clock
        self._steps = 0
        self._since = 0.0
        self.name = make_label("stepName", words.say("window.loading"))
        self.way = make_label("small")
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.slider.setAccessibleName(words.say("window.slider"))
        self.slider.setEnabled(False)
        self.slider.valueChanged.connect(lambda _value: self.moved.emit(self.apart))
        self.slider.sliderPressed.connect(self.pause)
        self.back = make_button(
            "\u2039", lambda: self.step(-1), spoken=words.say("window.step-back")
        )
        self.play = make_button(words.say("window.play"), self.toggle, main=True)
        self.forward = make_button(
            "\u203a", lambda: self.step(+1), spoken=words.say("window.step-forward")
        )
        self._timer = QTimer(self, interval=FRAME_MS)
        self._timer.timeout.connect(self._tick)
        column = QVBoxLayout(self)
        column.setContentsMargins(MARGIN_PX, GAP_PX // 2, MARGIN_PX, MARGIN_PX)
        column.addWidget(self.name)
        column.addWidget(self.way)
        row = QHBoxLayout()
        row.setSpacing(GAP_PX)
        row.addWidget(self.back)
        row.addWidget(self.play)
        row.addWidget(self.forward)
        row.addWidget(make_label("small", words.say("window.together")))
        row.addWidget(self.slider, 1)
        row.addWidget(make_label("small", words.say("window.apart")))
        column.addLayout(row)
        for button in (self.back, self.play, self.forward):
            button.setEnabled(False)

    @property
    def apart(self) -> float:
        """How far apart, 0 to 1."""
        return self.slider.value() / max(self.slider.maximum(), 1)

    @property
    def is_playing(self) -> bool:
        """Is it running by itself?"""
        return self._timer.isActive()

    def set_steps(self, steps: int) -> None:
        """Set how many steps the order has; where the slider stands is kept as a share."""
        share = self.apart
        self._steps = steps
        self.slider.setRange(0, steps * TICKS_PER_STEP)
        self.slider.setSingleStep(TICKS_PER_STEP // 4)
        self.slider.setPageStep(TICKS_PER_STEP)
        self.slider.setValue(round(share * steps * TICKS_PER_STEP))
        for widget in (self.slider, self.back, self.play, self.forward):
            widget.setEnabled(True)

    def set_apart(self, apart: float) -> None:
        """Go to a share of the way."""
        self.slider.setValue(round(apart * self.slider.maximum()))

    def tell(self, name: str, way: str) -> None:
        """Name what moves, and the way it goes."""
        self.name.setText(name)
        self.way.setText(way)

    def step(self, by: int) -> None:
        """Go to the next whole step, forward or back."""
        self.pause()
        at = self.slider.value() / TICKS_PER_STEP
        to = math.floor(at) + 1 if by > 0 else math.ceil(at) - 1
        self.slider.setValue(to * TICKS_PER_STEP)

    def toggle(self) -> None:
        """Play, or pause; from the end it starts anew."""
        if self.is_playing:
            self.pause()
            return
        if self.slider.value() >= self.slider.maximum():
            self.slider.setValue(0)
        self._since = self._clock()
        self._timer.start()
        self.play.setText(self._words.say("window.pause"))
        self.play.setAccessibleName(self._words.say("window.pause"))

    def pause(self) -> None:
        """Stand still."""
        self._timer.stop()
        self.play.setText(self._words.say("window.play"))
        self.play.setAccessibleName(self._words.say("window.play"))

    def _tick(self) -> None:
        """Move by the time that has passed, so that a slow machine still shows the right motion."""
        now = self._clock()
        ticks = int((now - self._since) / SECONDS_PER_STEP * TICKS_PER_STEP)
        if ticks:
            self._since = now
            self.slider.setValue(self.slider.value() + ticks)
        if self.slider.value() >= self.slider.maximum():
            self.pause()
