"""Open a window in a fresh process and say how long it takes until it shows something: `python -m tests.bench.first_picture ours|bare BEGUN`.

BEGUN is what the monotonic clock said when the process was started. `ours` is the window of the program with its first
pump, solids cached; `bare` is the least that pyvistaqt can show: one cube. Prints one line of JSON.
"""

from __future__ import annotations

import json
import sys
import time

from PySide6.QtCore import QEventLoop, QTimer
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QApplication

FORBIDDEN = ("OCP", "cadquery", "trimesh", "pyvistaqt", "pyvista")
LONGEST_MS = 120_000


def show_ours(application: QApplication) -> tuple[float, float, float]:
    """Show the program's window; when the window stood there, when the pump was in it, and how long the processor was busy till then."""
    from trainer.desktop.picture.view import PumpView
    from trainer.desktop.start import FIRST_BUILD
    from trainer.desktop.theme import load_letters
    from trainer.desktop.window import PumpWindow
    from trainer.words import load_words

    application.setFont(load_letters())
    window = PumpWindow(load_words(), FIRST_BUILD)
    window.show()
    window.load()
    application.processEvents()
    shown = time.monotonic()
    loop = QEventLoop()
    drawn: list[tuple[float, float]] = []

    def note(painter: QPainter, *, with_handles: bool = True) -> None:
        """What stands over the pump is painted once there is a pump to stand over."""
        PumpView.paint_over(window.view, painter, with_handles=with_handles)
        if not drawn:
            drawn.append((time.monotonic(), time.process_time()))
            QTimer.singleShot(0, loop.quit)

    window.view.paint_over = note  # type: ignore[method-assign]
    QTimer.singleShot(LONGEST_MS, loop.quit)
    loop.exec()
    assert drawn
    loaded = [name for name in FORBIDDEN if name in sys.modules]
    assert not loaded, f"on the way to the first picture: {loaded}"
    window.close()
    return shown, *drawn[0]


def show_bare(application: QApplication) -> tuple[float, float, float]:
    """Show one cube in a window of pyvistaqt; the same of a cube."""
    import pyvista
    from PySide6.QtWidgets import QMainWindow
    from pyvistaqt import QtInteractor

    window = QMainWindow()
    plotter = QtInteractor(window)
    window.setCentralWidget(plotter)
    plotter.add_mesh(pyvista.Cube())
    window.resize(1280, 720)
    window.show()
    shown = time.monotonic()
    surface = plotter.ren_win
    assert surface is not None
    while surface.GetNeverRendered() and 1e3 * (time.monotonic() - shown) < LONGEST_MS:
        application.processEvents()
    application.processEvents()
    drawn, busy = time.monotonic(), time.process_time()
    window.close()
    return shown, drawn, busy


def main(which: str, begun: float) -> None:
    """Show one and print what it took since `begun`."""
    application = QApplication(sys.argv[:1])
    shown, drawn, busy = (show_ours if which == "ours" else show_bare)(application)
    told = {"shown_s": shown - begun, "drawn_s": drawn - begun, "busy_s": busy}
    sys.stdout.write(json.dumps(told) + "\n")


if __name__ == "__main__":
    main(sys.argv[1], float(sys.argv[2]))
