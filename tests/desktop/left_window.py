"""A window in a process of its own, to be killed: it does some work, says so, and stays until it is killed.

Run as `python -m tests.desktop.left_window FOLDER write|read`.
"""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tests.desktop.driving import answer_something, wait_until
from trainer.desktop.doing.keeping import When
from trainer.desktop.doing.observing import Observing
from trainer.desktop.theme import load_letters
from trainer.desktop.window import PumpWindow
from trainer.lesson.practical import Level
from trainer.session.as_left import AsLeftFile
from trainer.session.withheld import Withheld
from trainer.stage.camera import ViewName
from trainer.words import LengthUnit, load_words

ASSEMBLER = "A. Halloran"
PAGE = 1


def describe(window: PumpWindow) -> dict[str, object]:
    """Describe what is to be the same after a crash."""
    assert window.bench
    assert window.sheet.fields
    camera = window.view.camera
    return {
        "build": window.bench.build.name,
        "pack": [float(one.middle) for one in window.bench.build.pack],
        "pane": window.pane,
        "towards": [round(float(one), 6) for one in camera.towards],
        "mm_per_px": round(camera.mm_per_px, 6),
        "section": window.section.isChecked(),
        "withheld": [sorted(window.view.hidden), sorted(window.view.ghosted)],
        "apart": round(window.motion.apart, 6),
        "page": window.lesson.number,
        "letters": window.desk.pane.text.name,
        "units": str(window.words.lengths.unit),
        "size": [window.width(), window.height()],
        "assembler": window.sheet.fields.edits[("assembler",)].text(),
        "outcome": window.sheet.fields.outcomes["pressure"].name,
        "sheet": str(window.sheet._id),
        "by-hand": [move.piece for move in window.dragging.hand.moves]
        if window.dragging.hand
        else [],
        "tried": window.service.read_tried(),
        "felt": window.shims.found.text(),
        "practical": window.observing._read_left(),
        "practice": window.practising.read_left(),
    }


def practise(window: PumpWindow) -> None:
    """Answer half of what practice asks next."""
    window.practising.open()
    wait_until(lambda: not window.practising.is_busy)
    window.practising.ask_next()
    wait_until(lambda: not window.practising.is_busy)
    control = window.practising.pane.question.control
    assert control is not None
    answer_something(control)


def work(window: PumpWindow) -> None:
    """Do what somebody does before the power fails."""
    practise(window)
    window.resize(1400, 800)
    window.lesson.go(PAGE)
    window.desk.set_text("125")
    window.desk.set_unit(LengthUnit.INCH)
    window.motion.set_apart(0.0)
    window._picked("coupling-key")
    window.dragging.pull_chosen()
    window.motion.set_apart(0.25)
    window.look_from(ViewName.SIDE)
    window.view.camera = window.view.camera.orbited(7.0, 3.0).zoomed(1.7)
    window.section.setChecked(True)
    window.change_section()
    window.view.camera = window.view.camera.orbited(7.0, 3.0).zoomed(1.7)
    window.withholding.take(Withheld(frozenset({"suction-cover"}), frozenset({"volute"})))
    assert window.sheet.fields
    window.sheet.fields.edits[("assembler",)].setText(ASSEMBLER)
    window.sheet.fields.outcomes["pressure"].choose("pass")
    window.service.put_tried({"back-vane": [0.61, 0.4, 0.9]})
    hold_practical(window)
    window.shims.found.setText("34thou")
    window.show_pane("sheet")


def wait_for(observing: Observing) -> None:
    while observing.is_busy:
        QTest.qWait(20)


def hold_practical(window: PumpWindow) -> None:
    """Watch a practical half through."""
    observing = window.observing
    observing.open()
    wait_for(observing)
    observing.pane.begin.person.put("Mira Thorne")
    observing.pane.begin.observer.put(ASSEMBLER)
    observing.begin()
    wait_for(observing)
    observing.pane.watch.remark.setText("without gloves")
    observing.pane.watch.mark(Level.PROMPTED)


def main() -> None:
    """Open the window and do as told; what it shows is printed as one line, with a full stop once it is on disk."""
    folder, task = Path(sys.argv[1]), sys.argv[2]
    application = QApplication([])
    application.setFont(load_letters())
    window = PumpWindow(load_words(), "end-suction/100-250", left=AsLeftFile(folder))
    window.show()
    window.load()
    while When.WALK not in window.keeping._reached:
        QTest.qWait(20)
    if task == "write":
        work(window)
        while "34thou" not in str(AsLeftFile(folder).read().values):
            QTest.qWait(50)
    QTest.qWait(50)
    sys.stdout.write(json.dumps(describe(window)) + "\n")
    sys.stdout.flush()
    QTimer.singleShot(120_000, lambda: os._exit(3))  # were the test itself to die
    application.exec()


if __name__ == "__main__":
    main()
