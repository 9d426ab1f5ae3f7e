"""The strip under the picture: what moves in large letters, one slider, play and hold, one step either way."""

from __future__ import annotations

import math
import time
from collections.abc import Callable

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from trainer.desktop.band import Band
from trainer.desktop.pace import PaceControls, find_reading_s
from trainer.desktop.picture.moving import FRAME_MS, ease
from trainer.desktop.pieces import GAP_PX, MARGIN_PX, make_button, make_label, set_text
from trainer.desktop.signs import set_sign
from trainer.desktop.speaking import speak
from trainer.desktop.step_slider import TICKS_PER_STEP, StepSlider
from trainer.words import Words

GLIDE_S = 0.7
MOST_TOLD_SHARE = 0.22


class MotionBar(QFrame):
    """Take the pump apart along its order, and put it together again; `moved` carries apart from 0 to 1.

    is_done: says of a step, counted from 0, whether there is nothing left to move in it; such steps are
    passed over. find_look_s: says how long the eye takes to where a step begins; it waits for it.
    """

    moved = Signal(float)

    def __init__(self, words: Words, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__()
        self.setObjectName("motion")
        self._words, self._clock = words, clock
        self._since_s = 0.0
        self._way = 1
        self._is_large = self._is_short = False
        self._by_hand = 0
        self._play_text = words.say("window.play")
        self._glide: tuple[float, float, float] | None = None
        self._read_until_s: float | None = None
        self.is_done: Callable[[int], bool] = lambda _number: False
        self.find_look_s: Callable[[], float] = lambda: 0.0
        self.is_stepping = False
        self.name = make_label("stepName", words.say("window.loading"))
        self.number = make_label("stepNumber")
        self.number.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.number.setWordWrap(False)
        self.pace = PaceControls(words)
        self.way = make_label(text=" ")
        self.before = make_label("before")
        self.reading = make_label("small", words.say("motion.reading"))
        self.reading.setWordWrap(False)
        self.reading.hide()
        self.slider = StepSlider()
        self.slider.setAccessibleName(words.say("window.slider"))
        self.slider.setEnabled(False)
        self.slider.valueChanged.connect(self._tell_moved)
        self.slider.sliderPressed.connect(self.pause)
        self.back = make_button(
            "", lambda: self.step(-1), spoken=words.say("window.step-back"), sign="back"
        )
        self.play = make_button(
            words.say("window.play"),
            self.toggle,
            name="main",
            spoken=words.say("window.play-spoken"),
            sign="play",
        )
        self.forward = make_button(
            "", lambda: self.step(+1), spoken=words.say("window.step-forward"), sign="forward"
        )
        self._timer = QTimer(self, interval=FRAME_MS)
        self._timer.timeout.connect(self._tick)
        self._gliding = QTimer(self, interval=FRAME_MS)
        self._gliding.timeout.connect(self._glide_on)
        self._arrange()
        for button in (self.back, self.play, self.forward):
            button.setEnabled(False)

    def _arrange(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(MARGIN_PX, GAP_PX, MARGIN_PX, GAP_PX)
        column.setSpacing(2)
        self.head = QHBoxLayout()
        self.head.addWidget(self.name, 1)
        self.head.setSpacing(GAP_PX)
        self.head.addWidget(self.pace)
        self.head.addWidget(self.number)
        # Always three lines high, so that the picture above keeps its size.
        self._telling = QWidget()
        lines = QVBoxLayout(self._telling)
        lines.setContentsMargins(0, 0, 0, 0)
        lines.setSpacing(0)
        lines.addWidget(self.way)
        lines.addWidget(self.before)
        lines.addStretch(1)
        told = QWidget()
        whole = self._told = QVBoxLayout(told)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(2)
        whole.addLayout(self.head)
        whole.addWidget(self._telling)
        self._band = Band(told)
        column.addWidget(self._band)
        column.addSpacing(6)
        row = QHBoxLayout()
        row.setSpacing(GAP_PX // 2)
        for button in (self.back, self.play, self.forward):
            row.addWidget(button)
        row.addSpacing(GAP_PX)
        self._ends = [
            make_label("small", self._words.say(f"window.{end}")) for end in ("together", "apart")
        ]
        for label in self._ends:
            label.setWordWrap(False)
        row.addWidget(self.reading)
        for widget, stretch in ((self._ends[0], 0), (self.slider, 1), (self._ends[1], 0)):
            row.addWidget(widget, stretch)
        column.addLayout(row)

    def fit(self, window_px: int, *, is_large: bool, least_px: int) -> None:
        """Take no more of the window than the picture can spare: with large letters what is told scrolls."""
        self._band.set_most(round(MOST_TOLD_SHARE * window_px) if is_large else window_px, least_px)
        if is_large == self._is_large:
            return
        self._is_large = is_large
        # Where it may scroll, the number of the step keeps clear of the bar.
        self._told.setContentsMargins(0, 0, GAP_PX if is_large else 0, 0)
        for label in self._ends:
            label.setHidden(is_large)
        if is_large:
            self.head.removeWidget(self.pace)
            self._told.addWidget(self.pace)
        else:
            self._told.removeWidget(self.pace)
            self.head.insertWidget(1, self.pace)

    # ------------------------------------------------------------------ where it stands
    @property
    def apart(self) -> float:
        """How far apart, 0 to 1."""
        return self.slider.value() / max(self.slider.maximum(), 1)

    @property
    def goal(self) -> float:
        """How far apart, 0 to 1, once it has got to where it glides."""
        return self._glide[2] if self._glide and self.is_gliding else self.apart

    @property
    def is_playing(self) -> bool:
        """Is it running by itself?"""
        return self._timer.isActive()

    @property
    def is_gliding(self) -> bool:
        """Is it on its way to where a lesson wants it?"""
        return self._gliding.isActive()

    def set_steps(self, steps: int) -> None:
        """Set how many steps the order has; where the slider stands is kept as a share."""
        share = self.apart
        self.slider.blockSignals(True)  # where it stands does not change
        self.slider.setRange(0, steps * TICKS_PER_STEP)
        self.slider.setSingleStep(TICKS_PER_STEP // 4)
        self.slider.setPageStep(TICKS_PER_STEP)
        self.slider.setValue(round(share * steps * TICKS_PER_STEP))
        self.slider.blockSignals(False)
        for widget in (self.slider, self.back, self.play, self.forward):
            widget.setEnabled(True)
        self._name_play()

    def wait(self) -> None:
        """Stand together and still until an order is known."""
        self.pause()
        self.slider.blockSignals(True)  # nothing is to be moved: the next picture stands together
        self.slider.setValue(0)
        self.slider.blockSignals(False)
        for widget in (self.slider, self.back, self.play, self.forward):
            widget.setEnabled(False)
        self._name_play()

    def set_apart(self, apart: float) -> None:
        """Go to a share of the way at once."""
        self._gliding.stop()
        self.slider.setValue(round(apart * self.slider.maximum()))

    def glide_to(self, apart: float) -> None:
        """Go to a share of the way in a moment that the eye can follow."""
        self.pause()
        if abs(apart - self.apart) * self.slider.maximum() < 1:
            return
        self.is_stepping = False
        self._glide = (self._clock(), self.apart, min(max(apart, 0.0), 1.0))
        self._gliding.start()

    # ------------------------------------------------------------------ what it says
    def tell(self, name: str, number: str, way: str, before: str) -> None:
        """Name what moves, which step it is, the way it goes, and what must be done before; a screen reader says it."""
        if (name, way, before) != (self.name.text(), self.way.text(), self.before.text()):
            speak(
                self,
                ". ".join(told for told in (before, name, number, way) if told.strip()),
                urgent=bool(before),
            )
        self.name.setText(name)
        self.number.setText(number)
        self.number.setVisible(bool(number))
        set_text(self.way, way)
        set_text(self.before, before)
        self._telling.setMinimumHeight(round(3.1 * self.way.fontMetrics().lineSpacing()))

    def show_by_hand(self, pieces: int) -> None:
        """Show how many pieces are off by hand: where some are, the slider's end is not "together"."""
        if pieces == self._by_hand == 0:
            return
        self._by_hand, words = pieces, self._words
        told = words.count("window.by-hand", pieces) if pieces else ""
        self._ends[0].setText(told or words.say("window.together"))
        self.slider.setAccessibleDescription(told)
        self.slider.show_done({n for n in range(self.steps) if self.is_done(n)} if pieces else ())

    # ------------------------------------------------------------------ how it moves
    def _tell_moved(self) -> None:
        self.moved.emit(self.apart)
        if not self.is_playing:
            self._name_play()

    def step(self, by: int) -> None:
        """Go to the next whole step, forward or back."""
        on_the_way = self.goal
        self.pause()
        at = round(on_the_way * self.slider.maximum()) / TICKS_PER_STEP
        to = math.floor(at) + 1 if by > 0 else math.ceil(at) - 1
        if by > 0 and to > math.floor(at) and self._find_undone(to - 1) > to - 1:
            to = min(self._find_undone(to - 1) + 1, self.steps)
            self.slider.setValue((to - 1) * TICKS_PER_STEP)  # nothing moves up to there
        self.glide_to(to * TICKS_PER_STEP / max(self.slider.maximum(), 1))
        self.is_stepping = True

    def toggle(self) -> None:
        """Play, or hold; from the end it puts the pump together again."""
        if self.is_playing:
            self.pause()
            return
        if not self.slider.isEnabled():
            return
        self._gliding.stop()
        if self.slider.value() >= self.slider.maximum():
            self._way = -1
        elif self.slider.value() <= 0:
            self._way = 1
        self._since_s = self._clock()
        self._read_until(None)
        self._timer.start()
        self._show_play("window.pause", "pause")

    def pause(self) -> None:
        """Stand still."""
        self._timer.stop()
        self._gliding.stop()
        self._read_until(None)
        self._name_play()

    def _read_until(self, until_s: float | None) -> None:
        """Stand still until then; who sees nothing move is told that it goes on."""
        self._read_until_s = until_s
        waits = until_s is not None and bool(self.before.text())
        self.reading.setVisible(waits and not self._is_large)
        self._ends[0].setHidden(waits or self._is_large)

    def _name_play(self) -> None:
        at_end = self.slider.value() >= self.slider.maximum() > 0
        if at_end or self.slider.value() <= 0:
            self._way = -1 if at_end else 1
        is_forth = self._way > 0
        self._show_play(*(("window.play", "play") if is_forth else ("window.play-back", "reverse")))

    def _show_play(self, key: str, sign: str) -> None:
        self._play_text = self._words.say(key)
        self.play.setText("" if self._is_short else self._play_text)
        set_sign(self.play, sign)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the sign alone on the button where there is no room for its words; it is spoken and told as before."""
        super().resizeEvent(event)
        words_px = self.play.fontMetrics().horizontalAdvance(self._play_text)
        rest_px = 3 * self.back.sizeHint().width() + 2 * self.slider.minimumSizeHint().width()
        is_short = self._is_large and words_px + rest_px > self.width()
        if is_short != self._is_short:
            self._is_short = is_short
            self.play.setText("" if is_short else f" {self._play_text}")

    def _tick(self) -> None:
        """Move by the time that has passed, so that a slow machine still shows the right motion."""
        now_s = self._clock()
        if self._read_until_s is not None:
            if now_s < self._read_until_s:
                return
            self._since_s = self._read_until_s
            self._read_until(None)
        tick_s = self.pace.seconds_per_step / TICKS_PER_STEP
        ticks = int((now_s - self._since_s) / tick_s)
        if not ticks:
            return
        self._since_s += ticks * tick_s  # what is left of a tick counts in the next frame
        at = self.slider.value()
        if self._way > 0 and (begun := self._find_begun(at, at + ticks)) is not None:
            self._begin(begun, now_s)
        else:
            self.slider.setValue(at + self._way * ticks)
        if not 0 < self.slider.value() < self.slider.maximum():
            self.pause()

    def _find_begun(self, at: int, to: int) -> int | None:
        """Find the first step that begins on the way between two values of the slider; None for none."""
        first = -(-at // TICKS_PER_STEP)
        return first if first < self.steps and first * TICKS_PER_STEP < to else None

    def _begin(self, number: int, now_s: float) -> None:
        """Begin a step, or the next of which something is left to move: what must be done before it is read first."""
        number = self._find_undone(number)
        if number == self.steps:
            self.slider.setValue(self.slider.maximum())
            return
        # The part has just stirred, so that it and what comes before it are told.
        self.slider.setValue(number * TICKS_PER_STEP + 1)
        reading_s = find_reading_s(self.before.text())
        if reading_s and self.pace.waits:
            self.pause()
        elif still_s := max(reading_s, self.find_look_s()):
            self._read_until(now_s + still_s)

    def _find_undone(self, number: int) -> int:
        """Find the first step from this one on of which something is left to move; the count of all if none is."""
        while number < self.steps and self.is_done(number):
            number += 1
        return number

    @property
    def steps(self) -> int:
        """How many steps the order has."""
        return self.slider.maximum() // TICKS_PER_STEP

    def _glide_on(self) -> None:
        if self._glide is None:
            return
        since_s, start, end = self._glide
        share = min((self._clock() - since_s) / GLIDE_S, 1.0)
        eased = ease(share)
        self.slider.setValue(round((start + (end - start) * eased) * self.slider.maximum()))
        if share >= 1.0:
            self._gliding.stop()
            self._glide = None
            self._name_play()
