"""Number the parts in the picture: the buttons and keys for it, and when parts are looked up anew."""

from __future__ import annotations

import time
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, QTimer

from trainer.desktop.picture.numbers import Lettered, NumberTracing
from trainer.desktop.pieces import make_switch
from trainer.session.numbering import Numbering, number_parts
from trainer.stage.scene import Finish

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow

AGAIN_S = 0.6
"""While all moves, parts are looked up again after this long: often enough to see what comes out."""


class Labelling(QObject):
    """Keep the numbers of the picture; `numbering` is the same for picture, list and answers."""

    def __init__(self, window: PumpWindow) -> None:
        super().__init__(window)
        self._window = window
        self._looked_s = 0.0
        self.numbering = Numbering(())
        words = window.words
        self.tracing = NumberTracing(
            window.view.picked.emit, lambda more: words.count("finding.left-out", more)
        )
        self.tracing.keeps_names = lambda: window.answering.keeps_names
        window.view.tracings.append(self.tracing)
        self.buttons = {
            lettered: make_switch(
                words, f"finding.{lettered.value}", partial(self._choose, lettered)
            )
            for lettered in (Lettered.NUMBERS, Lettered.NAMES)
        }
        window.tools.add_gap()
        for button, key in zip(self.buttons.values(), ("Ctrl+N", "Ctrl+Shift+N"), strict=True):
            window.tools.addWidget(button)
            window.add_key(key, button.click)
        self._again = QTimer(self, singleShot=True, interval=0)
        self._again.timeout.connect(self._look)
        window.came.connect(self._take_bench)
        window.view.drawn.connect(self._look_carefully)
        window.view.installEventFilter(self)

    def _choose(self, lettered: Lettered) -> None:
        """Put numbers, or numbers and names, on the picture; pressed again they go."""
        chosen = lettered if self.buttons[lettered].isChecked() else Lettered.NOTHING
        for other, button in self.buttons.items():
            button.setChecked(other is chosen)
        self.tracing.set_lettered(chosen, self._window.view)
        # Where the eye goes along with what moves it is not the view that fits the pump into the room left.
        self._window.accompanying.follow(self._window.motion.apart)

    def _take_bench(self) -> None:
        assembly, naming = self._window.assembly, self._window.naming
        assert assembly is not None
        self.numbering = number_parts(assembly, self.numbering)
        names = {part: naming.tell_part(part) for part in naming.sets}
        self.tracing.show_parts(assembly, self.numbering, names)

    def _look_carefully(self) -> None:
        """Look where parts are seen in the careful picture, pixel by pixel."""
        view = self._window.view
        numbers = view.numbers
        is_whole = numbers is not None and numbers.shape == view.size_px[::-1]
        if self.tracing.lettered is not Lettered.NOTHING:
            self._looked_s = time.monotonic()
            self.tracing.find_spots(view, numbers if is_whole else None)

    def _look(self) -> None:
        if self.tracing.lettered is not Lettered.NOTHING:
            self._looked_s = time.monotonic()
            self.tracing.find_spots(self._window.view)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Look again while the picture moves, and keep room when it has another size."""
        if self.tracing.lettered is not Lettered.NOTHING:
            view = self._window.view
            if event.type() in (QEvent.Type.Resize, QEvent.Type.FontChange):
                self.tracing.fit_room(view)
            elif (
                event.type() == QEvent.Type.Paint
                and view.finish is Finish.MOVING
                and time.monotonic() - self._looked_s > AGAIN_S
            ):
                self._again.start()
        return super().eventFilter(watched, event)
