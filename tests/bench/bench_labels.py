"""What numbers in the picture cost: 40 of them laid out and painted, beside plainly painting 40 lines, rings and texts.

Run as `python -m tests.bench.bench_labels`; prints a table. Needs a screen, as every window does. Times are
processor time of the window's thread, so that what else the machine does counts for nothing.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, Qt
from PySide6.QtGui import QImage, QPainter, QPen
from PySide6.QtWidgets import QApplication

from trainer.desktop.picture.number_painting import Label, make_letters, paint_labels
from trainer.desktop.picture.numbers import Lettered, NumberTracing
from trainer.desktop.picture.view import PumpView
from trainer.desktop.theme import PALETTE, load_letters
from trainer.session.bench import open_bench
from trainer.session.numbering import number_parts
from trainer.stage.camera import ViewName

BUILD = "end-suction/100-250"
ROUNDS = 31
SIZE_PX = (880, 620)


@dataclass(frozen=True, slots=True)
class LabelTimes:
    """Medians in milliseconds of processor time, with the count of labels.

    laid_out: after a turn of the eye by a degree or so. painted: with halos, rings and dots. plain: as many
    lines, rings and texts with the painter alone. found: where parts are seen, looked up in the careful picture.
    """

    count: int
    laid_out: float
    painted: float
    plain: float
    found: float

    @property
    def ratio(self) -> float:
        """How many times as long labels take as painting them plainly."""
        return (self.laid_out + self.painted) / self.plain


def measure_labels(build: str = BUILD, rounds: int = ROUNDS) -> LabelTimes:
    """Measure on the half section from the side, where the most parts are seen. Needs a QApplication."""
    assembly = open_bench(build).assembly
    view = PumpView()
    view.resize(*SIZE_PX)
    view.show_assembly(assembly)
    view.set_section(True)
    view.look_from(ViewName.SIDE)
    tracing = NumberTracing(lambda _piece: None, str)
    tracing.show_parts(assembly, number_parts(assembly), {part: part for part in assembly.sets})
    tracing.set_lettered(Lettered.NUMBERS, view)
    stage = view.surface.full
    assert stage is not None
    view.set_state(stage)
    numbers = stage.frame_of_numbers(*view.size_px)
    tracing.find_spots(view, numbers)
    image = QImage(view.size(), QImage.Format.Format_RGB32)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setFont(make_letters(view.font()))
    start = view.camera
    turned = [start.orbited(1.0 + number % 5, 0.0) for number in range(rounds)]

    def lay_out(number: int) -> None:
        view.camera = turned[number]
        tracing.lay_out(view)

    laid_out = _measure(rounds, lay_out)
    labels = tracing.labels
    painted = _measure(
        rounds, lambda _: paint_labels(painter, labels, view.marks, "", is_named=False)
    )
    plain = _measure(rounds, lambda _: _paint_plainly(painter, labels))
    view.camera = start
    found = _measure(rounds, lambda _: tracing.find_spots(view, numbers))
    painter.end()
    view.surface.close()
    return LabelTimes(len(labels), laid_out, painted, plain, found)


def _paint_plainly(painter: QPainter, labels: Sequence[Label]) -> None:
    painter.setPen(QPen(PALETTE.ink, 1.2))
    painter.setBrush(PALETTE.paper)
    painter.drawLines([QLineF(label.spot, label.ring.center()) for label in labels])
    for label in labels:
        painter.drawEllipse(label.ring)
        painter.drawText(label.ring, Qt.AlignmentFlag.AlignCenter, label.text)


def _measure(rounds: int, act: Callable[[int], object]) -> float:
    took = []
    for number in range(rounds):
        started_s = time.thread_time()
        act(number)
        took.append(1000.0 * (time.thread_time() - started_s))
    return statistics.median(took)


def tell(times: LabelTimes) -> str:
    """Make the table."""
    return "\n".join(
        (
            f"{BUILD}, half section, {SIZE_PX[0]} x {SIZE_PX[1]}: {times.count} numbers",
            f"laid out           {times.laid_out:6.2f} ms",
            f"painted            {times.painted:6.2f} ms",
            f"together           {times.laid_out + times.painted:6.2f} ms",
            f"painted plainly    {times.plain:6.2f} ms   ratio {times.ratio:.1f}",
            f"looked up at rest  {times.found:6.2f} ms",
        )
    )


def main() -> None:
    """Print the table."""
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    app.setFont(load_letters())
    print(tell(measure_labels()))


if __name__ == "__main__":
    main()
