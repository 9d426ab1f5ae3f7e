"""Run a view on both surfaces in a process of its own and print what was seen, as JSON.

A process of its own, because another test's drawing surfaces may stand open in this one by another door.
"""

from __future__ import annotations

import json
import sys

import numpy as np
from PySide6.QtCore import QEventLoop, QPointF, QTimer
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from tests.desktop.test_lighten import make_assembly, make_ball
from trainer.desktop.picture.hands import PumpHands
from trainer.stage.scene import Finish

Frame = np.ndarray


def wait_for(told: list[str], count: int) -> None:
    loop = QEventLoop()
    watch = QTimer(interval=20)
    watch.timeout.connect(lambda: loop.quit() if len(told) >= count else None)
    watch.start()
    QTimer.singleShot(60_000, loop.quit)
    loop.exec()


def grab(view: PumpHands) -> Frame:
    image = view.grab().toImage().convertToFormat(QImage.Format.Format_RGB888)
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), -1)
    return rows[:, : 3 * image.width()].reshape(image.height(), image.width(), 3).astype(int)


def main() -> None:
    application = QApplication(sys.argv[:1])
    view = PumpHands()
    view.resize(640, 400)
    view.show()
    view.show_assembly(make_assembly(make_ball(50.0), make_ball(20.0, shift_mm=90.0)))
    drawn: list[str] = []
    changed: list[str] = []
    view.drawn.connect(lambda: drawn.append("drawn"))
    view.surface_changed.connect(changed.append)
    view.surface_failed.connect(changed.append)
    middle = QPointF(*view.find_seen()["ball-0"].toTuple())
    seen = {}
    for count, name in enumerate(("frames", "live", "frames"), start=0):
        if count:
            view.use_surface(name)
            wait_for(changed, count)
        drawn.clear()
        view.redraw()
        view.surface.draw_moving()
        application.processEvents()
        moving, was_moving = grab(view), view.finish is Finish.MOVING
        wait_for(drawn, 1)
        seen[f"{count}-{name}"] = (moving, grab(view), was_moving, view.pick(middle))
    first_moving, first, *_ = seen["0-frames"]
    ground = first[2, 2]
    told = {
        "changed": changed,
        "moving": [was_moving for _, _, was_moving, _ in seen.values()],
        "picked": [picked for *_, picked in seen.values()],
        "covered": [
            float((np.abs(moving - ground).max(axis=-1) > 30).mean())
            for moving, *_ in seen.values()
        ],
        "unlike_at_rest": [
            float((np.abs(rest - first).max(axis=-1) > 24).mean()) for _, rest, *_ in seen.values()
        ],
        "unlike_in_motion": [
            float((np.abs(moving - first_moving).max(axis=-1) > 40).mean())
            for moving, *_ in seen.values()
        ],
    }
    view.give_back()
    view.close()
    print(json.dumps(told))


if __name__ == "__main__":
    main()
