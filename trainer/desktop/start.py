"""Start the application: one window, one theme, the words of one language."""

from __future__ import annotations

import sys
from pathlib import Path

from PySide6.QtWidgets import QApplication

from trainer.desktop.own_faults import OwnFaults
from trainer.desktop.theme import load_letters
from trainer.desktop.window import PumpWindow
from trainer.session.as_left import AsLeftFile
from trainer.session.shop import read_shop_limits
from trainer.words import load_words

FIRST_BUILD = "end-suction/100-250"


def run_window(limits: Path | None, *, afresh: bool = False) -> int:
    """Run until the window is closed, by the limits of the shop's own file if there is one.

    Without `afresh` it goes on where it was left; with it, what was left is set aside.

    Raises:
        ContentError: the shop's file is wrong; nothing is opened then.
    """
    required = read_shop_limits(limits) if limits else None
    application = QApplication.instance() or QApplication(sys.argv[:1])
    if not isinstance(application, QApplication):
        raise TypeError("another kind of Qt application runs already in this process")
    words = load_words()
    application.setApplicationName(words.say("window.title"))
    application.setFont(load_letters())
    left = AsLeftFile()
    if afresh:
        left.put_aside()
    window = PumpWindow(words, FIRST_BUILD, limits=required, left=left)
    OwnFaults(words, window.view).watch()
    window.show()
    window.load()
    return application.exec()
