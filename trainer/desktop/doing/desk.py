"""Show all as a person wants it: letters, units, light. Chosen in the desk pane, at once, and kept."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

from trainer.desktop.doing.keeping import When
from trainer.desktop.panes.desk_pane import WITH_WINDOW, DeskPane
from trainer.desktop.picture.surface import SurfaceName
from trainer.desktop.pieces import make_button
from trainer.desktop.theme import PALETTE, TEXT_PERCENTS
from trainer.session.as_left import Plain, StrangeValueError, take_text
from trainer.stage.look import LOOKS, LookName
from trainer.words import LengthUnit

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow

KEY = "F2"
MACHINE = "machine"
DRAWN = (MACHINE, *SurfaceName)


class Desk(QObject):
    """Join the desk pane to the window."""

    def __init__(self, window: PumpWindow) -> None:
        super().__init__(window)
        self._window = window
        words = window.words
        self.pane = DeskPane(words)
        window.add_pane("desk", self.pane, window.close_pane)
        self.button = make_button("", self.show, spoken=words.say("desk.open"), sign="lamp")
        window.head_row.addWidget(self.button)
        window.add_key(KEY, self.show)
        self.pane.left.connect(window.close_pane)
        self.pane.text.chosen.connect(self.set_text)
        self.pane.units.chosen.connect(lambda name: self.set_unit(LengthUnit(name)))
        self.pane.text.choose(WITH_WINDOW)
        self.pane.units.choose(words.lengths.unit)
        self.looks = self.pane.add_row(
            "desk.look", list(LookName), [words.say(f"desk.look-{name}") for name in LookName], 0
        )
        self.drawn = self.pane.add_row(
            "desk.drawn", DRAWN, [words.say(f"desk.drawn-{name}") for name in DRAWN], 3
        )
        self.looks.chosen.connect(self.set_look)
        self.drawn.chosen.connect(self.set_drawn)
        self.looks.choose(next(name for name, look in LOOKS.items() if look == PALETTE.look))
        self.drawn.choose(MACHINE)
        window.keeping.keep("look", lambda: self.looks.name, self._put_look)
        window.keeping.keep("drawn", lambda: self.drawn.name, self._put_drawn, When.SOLIDS)
        pace = window.motion.pace
        window.keeping.keep(
            "pace", lambda: str(pace.pace), lambda one: pace.set_pace(take_text(one))
        )
        window.keeping.keep("waits", lambda: pace.waits, lambda one: pace.set_waits(one is True))
        window.keeping.keep("letters", lambda: self.pane.text.name, self._put_text)
        window.keeping.keep("units", lambda: str(words.lengths.unit), self._put_unit)

    def show(self) -> None:
        """Show the pane, or leave it."""
        if self._window.pane == "desk":
            self._window.close_pane()
        else:
            self._window.show_pane("desk")

    def set_text(self, name: str) -> None:
        """Set how large letters are: with the window, or so many percent."""
        self.pane.text.choose(name)
        self._window.set_text_percent(None if name == WITH_WINDOW else int(name))

    def set_look(self, name: str) -> None:
        """Show window and picture in a look."""
        self.looks.choose(name)
        self._window.set_look(name)

    def set_drawn(self, name: str) -> None:
        """Let the picture be drawn live or by frames, or let the machine decide."""
        self.drawn.choose(name)
        self._window.showing.prefer(None if name == MACHINE else SurfaceName(name))

    def set_unit(self, unit: LengthUnit) -> None:
        """Write lengths in a unit from now on, everywhere in the window."""
        self.pane.units.choose(unit)
        if self._window.words.lengths.unit is not unit:
            self._window.words.lengths.unit = unit
            self._tell_anew()

    def _tell_anew(self) -> None:
        """Let everything that shows a length write it anew."""
        window = self._window
        if window.bench is not None:
            window.shims.show_bench(window.bench)
            window.service.follow()
            if window.sheet.isVisible():
                window.sheet.lay_anew()
            else:  # its hundreds of fields take as long as all the rest: in an event of its own
                QTimer.singleShot(0, window.sheet, window.sheet.lay_anew)
            window.lesson.write_anew()
            window.lesson.ask_anew()
            window.practising.write_anew()
            window.part.show_piece(window.part.piece)
        window.guessing.write_anew()
        window.cutting.write_anew()
        window.measuring.refresh()

    def _put_text(self, value: Plain) -> None:
        self.set_text(take_text(value, frozenset({WITH_WINDOW, *map(str, TEXT_PERCENTS)})))

    def _put_look(self, value: Plain) -> None:
        self.set_look(take_text(value, frozenset(LookName)))

    def _put_drawn(self, value: Plain) -> None:
        name = take_text(value, frozenset(DRAWN))
        if name != MACHINE:
            self.set_drawn(name)

    def _put_unit(self, value: Plain) -> None:
        try:
            self.set_unit(LengthUnit(take_text(value)))
        except ValueError as error:
            raise StrangeValueError(str(error)) from error
