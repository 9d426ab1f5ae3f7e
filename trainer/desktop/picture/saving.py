"""Write the picture into a file as large as is wanted, in a process of its own, so that the window goes on."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import replace
from multiprocessing import get_context
from pathlib import Path

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QObject, QThread, Signal
from PySide6.QtGui import QImage, QPainter

from models.spec.errors import PumpwrightError
from trainer.desktop.picture.view import PumpView
from trainer.stage.look import Look
from trainer.stage.pose import Pose, find_scale, write_pose


def paint_over(view: PumpView, size: tuple[int, int]) -> QImage:
    """Paint what stands over the view's picture, as large as for a picture of `size`, on nothing."""
    image = QImage(*size, QImage.Format.Format_RGBA8888_Premultiplied)
    image.fill(0)
    scale = find_scale(view.size_px, size)
    painter = QPainter(image)
    painter.setFont(view.font())
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(
        *(0.5 * (of - scale * seen) for of, seen in zip(size, view.size_px, strict=True))
    )
    painter.scale(scale, scale)
    view.paint_over(painter, with_handles=False)
    painter.end()
    return image


class SavingWork(QThread):
    """Draw and write one picture; tells the file, or why there is none."""

    saved = Signal(str)
    failed = Signal(str)

    def __init__(self, pose: Pose, look: Look, over: QImage, path: Path, parent: QObject) -> None:
        super().__init__(parent)
        self._pose, self._over, self._path = pose, over, path
        # A view of a table that cannot be changed cannot travel to another process; a copy can.
        self._look = replace(look, tones=dict(look.tones))

    def run(self) -> None:
        """Do it; a file that stood there before stays until the new one is complete."""
        try:
            with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
                pool.submit(
                    write_pose, self._pose, self._look, read_pixels(self._over), self._path
                ).result()
        except (OSError, PumpwrightError, BrokenProcessPool, MemoryError) as error:
            self.failed.emit(str(error) or type(error).__name__)
        else:
            self.saved.emit(str(self._path))


def read_pixels(image: QImage) -> npt.NDArray[np.uint8]:
    """Read an image of four bytes a pixel: (h, w, 4)."""
    # Copied: what the bits lie in goes with the image.
    rows = np.frombuffer(image.constBits(), np.uint8).copy().reshape(image.height(), -1)
    return rows[:, : 4 * image.width()].reshape(image.height(), image.width(), 4)
