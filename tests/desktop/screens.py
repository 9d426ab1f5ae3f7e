"""Take pictures of the window in its states, looks, sizes and letters, to be looked at.

    python -m tests.desktop.screens FOLDER [--states a,b] [--looks light,dark] [--sizes 1280x720,1920x1080@250]
    python -m tests.desktop.screens --readme

`--states questions` takes every kind of question as it is asked, with its helps, and marked; `--states open` whatever
opens over the window.
A size may carry the size of the letters in percent behind an @. `--readme` makes the pictures of the window
that stand in the README. Needs a screen; an Xvfb of 1920 × 1080 will do.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtGui import QImage, QPixmap
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tests.desktop.popup_states import POPUPS, close_all, complete_name, grab_screen
from tests.desktop.practical_states import PRACTICALS
from tests.desktop.question_states import leave, make_states
from tests.step_scenes import make_cover_scene, write_scene
from trainer.desktop.bench_work import BenchChoice, name_choice
from trainer.desktop.doing.withholding import Way
from trainer.desktop.picture.numbers import Lettered
from trainer.desktop.theme import load_letters
from trainer.desktop.window import PumpWindow
from trainer.records import open_records
from trainer.stage.camera import ViewName
from trainer.stage.look import LookName
from trainer.stage.scene import Finish
from trainer.words import load_words
from trainer.words.telling import tell_part

HOUSE = Path(__file__).resolve().parents[2]
BUILD = "end-suction/100-250"
SIZES = ("1280x720", "1920x1080", "1920x1080@250")
LONGEST_MS = 120_000
SETTLED_MS = 600


def _take_apart(window: PumpWindow) -> None:
    window.motion.set_apart(0.5)


def _take_all_apart(window: PumpWindow) -> None:
    window.look_from(ViewName.EXPLODED)
    window.motion.set_apart(1.0)


def _cut_half(window: PumpWindow) -> None:
    window.section.setChecked(True)
    window.change_section()
    window.look_from(ViewName.SIDE)


def _number(window: PumpWindow) -> None:
    window.finding.labelling.buttons[Lettered.NUMBERS].click()


def _number_apart(window: PumpWindow) -> None:
    _take_all_apart(window)
    _number(window)


def _list_apart(window: PumpWindow) -> None:
    window._picked("impeller")
    window.parts.show_list()
    _number_apart(window)


def _pick(window: PumpWindow) -> None:
    window._picked("impeller")


def _reach(window: PumpWindow) -> None:
    window._picked("wear-ring")
    window.finding.reaching.ask()
    _wait_for(lambda: bool(window.finding.reaching.steps))


def _show_through(window: PumpWindow) -> None:
    window.show_pane("part")
    window.withholding.change(Way.GLASS, ("volute", "suction-cover"))


def _leave_alone(window: PumpWindow) -> None:
    window._picked("shaft")
    window.withholding.change(Way.ALONE, ("shaft", "impeller"))


def _show_card(window: PumpWindow) -> None:
    window._picked("impeller")
    window.parts.show_card()


def _search(window: PumpWindow) -> None:
    window._picked("shaft")
    window.parts.search.setText("washr")


def _come_closer(window: PumpWindow) -> None:
    window._picked("wear-ring")
    window.finding.labelling.buttons[Lettered.NAMES].click()
    window.section.setChecked(True)
    window.change_section()


def _tell(window: PumpWindow) -> None:
    window.show_pane("sheet")
    window.noticing.tell(window.words.say("desk.held-elsewhere"))


def _refuse(window: PumpWindow) -> None:
    window._picked("bearing-cap")
    window.dragging.pull_chosen()


def _measure(window: PumpWindow) -> None:
    window.show_pane("shim")
    window.measuring.show("back-vane")


def _prove(window: PumpWindow) -> None:
    window.proving.prove("back-vane")


def _ask_question(window: PumpWindow) -> None:
    lesson = window.lesson.lesson
    assert lesson is not None
    window.show_pane("lesson")
    window.lesson.go(next(n for n, step in enumerate(lesson.steps) if step.ask))


def _open(pane: str) -> Callable[[PumpWindow], None]:
    return lambda window: window.show_pane(pane)


def _ask_too_much(window: PumpWindow) -> None:
    window.show_pane("build")
    window.builds.choose("drive-end", "bell-housing")
    window.builds.choose("vacuum-pump", "on-housing")


def _make(window: PumpWindow) -> None:
    """Show the strip of what is being made as it stands after a while; to be left by `reset`."""
    words, strip = window.words, window.changing.strip
    strip.begin(words.say("choosing.making", name=name_choice(words, BenchChoice(BUILD))))
    made = words.say("choosing.making-solids", done=41, of=97)
    named = words.say("choosing.made-last", told=made, part=tell_part(words, "impeller"))
    strip.tell(named, 41, 97, 75.0)


def _guess(window: PumpWindow) -> None:
    """Put somebody's assembly on the bench and look at what was guessed of it; `reset` puts the pump back."""
    file = Path(tempfile.mkdtemp()) / "lid.step"
    window.opening.open_file(write_scene(file, make_cover_scene()))
    _wait_for(lambda: window.guessing.bench is not None and window.ordered is window.standing)
    window.guessing.show()


STATES: dict[str, Callable[[PumpWindow], None]] = {
    "together": lambda window: window.show_pane("lesson"),
    "apart-half": _take_apart,
    "apart": _take_all_apart,
    "section": _cut_half,
    "numbers": _number,
    "numbers-apart": _number_apart,
    "list-apart": _list_apart,
    "picked": _pick,
    "card": _show_card,
    "search": _search,
    "names": _come_closer,
    "reach": _reach,
    "glass": _show_through,
    "alone": _leave_alone,
    "refused": _refuse,
    "chain": _measure,
    "proof": _prove,
    "question": _ask_question,
    "shims": _open("shim"),
    "service": _open("service"),
    "sheet": _open("sheet"),
    "pump": _ask_too_much,
    "desk": lambda window: window.desk.show(),
    "keys": lambda window: window.keys.show(),
    "notice": _tell,
    **PRACTICALS,
    "making": _make,
    "guesses": _guess,
}
OPEN = {**POPUPS, "open-name": lambda window: complete_name(window, _guess)}
"""Those in which a list, a menu or a dialog stands open over the window; `open` names all."""
QUESTIONS = make_states()
"""Those in which something is asked: many, so they are taken only where they are named; `questions` names all."""


def reset(window: PumpWindow) -> None:
    """Put the window back to how it began."""
    window.changing.strip.end()
    if window.changing.wanted != window.changing.first:
        window.changing.change(window.changing.first)
        _wait_for(lambda: not window.changing.is_busy)
    window.motion.pause()
    window.observing._begin_another()
    window.trying.replay._clock = time.monotonic
    window.noticing.clear()
    window.parts.search.clear()
    window.builds.choose_pump(BUILD)
    window.measuring.stop()
    window.dragging.put_all_back()
    window.withholding.show_all()
    for button in window.finding.labelling.buttons.values():
        if button.isChecked():
            button.click()
    window.motion.set_apart(0.0)
    window.section.setChecked(False)
    window.change_section()
    window.show_pane("lesson")
    window.lesson.go(0)
    window.look_from(ViewName.ISO)


def _wait_for(is_so: Callable[[], bool]) -> None:
    """Wait until something is so; one that never is so is seen in the picture."""
    for _ in range(LONGEST_MS // 50):
        if is_so():
            break
        QTest.qWait(50)


def _is_at_rest(window: PumpWindow) -> bool:
    """Is the careful picture on the screen, and nothing on the way to it?"""
    surface = window.view.surface
    is_drawn = surface.is_settled and surface.finish is not Finish.MOVING
    is_still = not (window.motion.is_gliding or window.styling.is_under_way)
    return is_drawn and not surface.is_drawing and is_still


def take(window: PumpWindow, path: Path, *, is_open: bool = False) -> None:
    """Take a picture once the full frame is drawn and the motion has ended; of the screen where something stands open.

    Else what is on the screen is held against what the window paints when asked.
    """
    for _ in range(2):  # what is still measured or looked for may change the picture once more
        QTest.qWait(SETTLED_MS)
        _wait_for(lambda: _is_at_rest(window))
    if is_open:
        grab_screen(window).save(str(path))
        return
    seen, painted = grab_screen(window), window.grab()
    painted.save(str(path))
    is_whole = window.screen().geometry().contains(window.frameGeometry())
    if is_whole and not is_alike(seen, painted):
        seen.save(str(path.with_suffix(".seen.png")))
        sys.stderr.write(f"{path.name}: the screen shows something else than the window paints\n")


def is_alike(one: QPixmap, other: QPixmap) -> bool:
    """Are two pictures the same? A window that has stopped painting itself is found by nothing else."""
    first, second = (each.toImage().convertToFormat(QImage.Format.Format_RGB32) for each in (one, other))  # fmt: skip
    return first == second


def take_all(
    window: PumpWindow,
    folder: Path,
    states: Sequence[str],
    looks: Sequence[str],
    sizes: Sequence[str],
) -> None:
    """Take pictures of every state in every look and size, as STATE-LOOK-SIZE.png."""
    for look in looks:
        window.desk.set_look(look)
        for size in sizes:
            pixels, _, percent = size.partition("@")
            window.set_text_percent(int(percent) if percent else None)
            window.resize(*map(int, pixels.split("x")))
            for state in states:
                reset(window)
                {**STATES, **OPEN, **QUESTIONS}[state](window)
                path = folder / f"{state}-{look}-{size}.png"
                take(window, path, is_open=state in OPEN)
                close_all()
                if state in QUESTIONS or state in OPEN:
                    leave(window)
    reset(window)


def open_filled(folder: Path) -> PumpWindow:
    """Open the window with the demonstration pump, its order known and its lesson begun."""
    window = PumpWindow(load_words(), BUILD, records=open_records(folder / "records.db"))
    window.show()
    window.load()
    for _ in range(LONGEST_MS // 50):
        if window.lesson.next.isEnabled():
            break
        QTest.qWait(50)
    return window


def main() -> int:
    """Read the command line, take the pictures."""
    parser = argparse.ArgumentParser(prog="python -m tests.desktop.screens")
    parser.add_argument("folder", nargs="?", type=Path)
    parser.add_argument("--states", default=",".join(STATES))
    parser.add_argument("--looks", default=",".join(look.value for look in LookName))
    parser.add_argument("--sizes", default=",".join(SIZES))
    parser.add_argument("--readme", action="store_true")
    chosen = parser.parse_args()
    if chosen.folder is None and not chosen.readme:
        parser.error("name a folder, or --readme")
    application = QApplication(sys.argv[:1])
    application.setFont(load_letters())
    with tempfile.TemporaryDirectory() as records:
        window = open_filled(Path(records))
        if chosen.folder is not None:
            chosen.folder.mkdir(parents=True, exist_ok=True)
            named = {"questions": ",".join(QUESTIONS), "open": ",".join(OPEN)}
            states = named.get(chosen.states, chosen.states)
            lists = (states, chosen.looks, chosen.sizes)
            take_all(window, chosen.folder, *(each.split(",") for each in lists))
        if chosen.readme:
            take_for_readme(window)
        window.close()
    return 0


README = {
    "window-apart": ("list-apart", "light"),
    "window-gap": ("chain", "light"),
    "window-held": ("refused", "dark"),
}


def take_for_readme(window: PumpWindow) -> None:
    """Take the pictures that stand in the README, at 1280 × 720."""
    window.resize(1280, 720)
    for name, (state, look) in README.items():
        window.desk.set_look(look)
        reset(window)
        STATES[state](window)
        take(window, HOUSE / ".pictures" / f"{name}.png")


if __name__ == "__main__":
    raise SystemExit(main())
