"""States of the window in which a practical is begun, watched line by line, ended and filed, for pictures."""

from __future__ import annotations

from collections.abc import Callable

from tests.desktop.driving import wait_until
from trainer.desktop.picture.replay import OUT_S
from trainer.desktop.window import PumpWindow
from trainer.lesson.practical import Level


def _hold_practical(window: PumpWindow, *marks: Level, at: str = "") -> None:
    """Hold a practical: so many lines marked, and a line gone to."""
    observing = window.observing
    observing.open()
    wait_until(lambda: not observing.is_busy)
    begin = observing.pane.begin
    begin.person.put("Mira Thorne")
    begin.observer.put("Rook Marlowe")
    begin.what.choose("take-impeller-off")
    observing.begin()
    wait_until(lambda: not observing.is_busy)
    watch = observing.pane.watch
    for level in marks:
        watch.mark(level)
        watch.step_on(1)
    if at:
        watch.go_to(at)


def _play_line(window: PumpWindow, line: str) -> None:
    """Hold a practical and let what a line moves stand where it goes to; `reset` lets time pass again."""
    _hold_practical(window, at=line)
    wait_until(lambda: not window.observing.playing.is_looking)
    replay = window.trying.replay
    there_s = replay._since_s + OUT_S
    replay._clock = lambda: there_s
    replay.go_on()


def _begin_practical(window: PumpWindow) -> None:
    window.observing.open()
    wait_until(lambda: not window.observing.is_busy)


def _end_practical(window: PumpWindow, *marks: Level) -> None:
    _hold_practical(window)
    watch = window.observing.pane.watch
    for level in (*marks, *[Level.ALONE] * watch.list.count())[: watch.list.count()]:
        watch.remark.setText("looked twice" if level is Level.PROMPTED else "")
        watch.mark(level)
        watch.step_on(1)
    window.observing.pane.show_outcome()


def _end_early(window: PumpWindow) -> None:
    _hold_practical(window, Level.ALONE)
    window.observing.pane.show_outcome()


def _file_practical(window: PumpWindow) -> None:
    _end_practical(window, Level.ALONE, Level.PROMPTED)
    page = window.observing.pane.close_page
    for sign, name in zip(page.signs, ("Mira Thorne", "Rook Marlowe"), strict=True):
        sign.setText(name)
    window.observing.sign()
    wait_until(lambda: not window.observing.is_busy)


PRACTICALS: dict[str, Callable[[PumpWindow], None]] = {
    "practical": _begin_practical,
    "practical-line": lambda window: _hold_practical(window, Level.ALONE, Level.PROMPTED),
    "practical-plays": lambda window: _play_line(window, "impeller-off"),
    "practical-critical": lambda window: _hold_practical(window, Level.NOT_DONE, at="lock-out"),
    "practical-never": lambda window: _hold_practical(window, Level.ALONE, at="pry-by-vanes"),
    "practical-open": _end_early,
    "practical-passed": lambda window: _end_practical(window, Level.ALONE, Level.PROMPTED),
    "practical-failed": lambda window: _end_practical(window, Level.PROMPTED, Level.NOT_DONE),
    "practical-filed": _file_practical,
}
