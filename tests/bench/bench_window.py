"""How quick the window is: its start, motion, pick, cut and numbers, each against a reference in the same run.

`python -m tests.bench.bench_window` needs a screen and prints the table; absolute times depend on the machine and on
what else it does, the ratios far less. Motion is measured by the processor time of a frame too, which does not grow
when others use the machine. `--long` runs what holds memory steady.
"""

from __future__ import annotations

import gc
import json
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QEventLoop, QPointF, QTimer
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication
from vtkmodules.vtkCommonMath import vtkMatrix4x4

from models.spec.assembly import Assembly
from models.spec.face import Axis
from trainer.desktop.picture.moving import FRAME_MS
from trainer.desktop.picture.numbers import Lettered
from trainer.desktop.window import PumpWindow
from trainer.stage.cut import Cut
from trainer.stage.offscreen import read_picture
from trainer.stage.scene import Finish, Stage

HOUSE = Path(__file__).parents[2]
LARGEST = "end-suction/125-315"
"""The usual pump with the most triangles (587,412 in 111 pieces) among those of every family and size."""
Offsets = dict[str, npt.NDArray[np.float64]]


@dataclass(frozen=True, slots=True)
class Row:
    """One figure: what was measured, against what, and how the two must stand to each other.

    The ratio is measured over reference, and must be at most `most`.
    """

    name: str
    measured_s: float
    reference: str
    reference_s: float
    most: float

    @property
    def ratio(self) -> float:
        """Measured over reference."""
        return self.measured_s / self.reference_s


def time_each(work: Callable[[int], object], times: int, clock: Callable[[], float]) -> float:
    """Find the median time of a piece of work, given the number of each round; the first round is not counted."""
    work(0)
    took = []
    for number in range(times):
        start = clock()
        work(number)
        took.append(clock() - start)
    return statistics.median(took)


# ------------------------------------------------------------------ start
def measure_start(rounds: int) -> tuple[Row, float]:
    """Measure the first picture against a bare window with one cube, by turns; and when our window stood there."""
    ours, bare = [], []
    for _ in range(rounds):
        bare.append(_show_first("bare")["drawn_s"])
        ours.append(_show_first("ours"))
    drawn = statistics.median(one["drawn_s"] for one in ours)
    row = Row("first picture", drawn, "a bare window with one cube", statistics.median(bare), 1.0)
    return row, statistics.median(one["shown_s"] for one in ours)


def _show_first(which: str) -> dict[str, float]:
    command = [sys.executable, "-m", "tests.bench.first_picture", which, str(time.monotonic())]
    done = subprocess.run(command, cwd=HOUSE, capture_output=True, text=True, check=True)
    told: dict[str, float] = json.loads(done.stdout)
    return told


# ------------------------------------------------------------------ motion
def measure_animation(assembly: Assembly, size: tuple[int, int], frames: int) -> Row:
    """Measure a frame in motion against a bare loop over the same actors with the same settings.

    The bare loop moves every actor by its matrix, draws, and reads the picture, as any off-screen animation must;
    ours does what a window needs besides: it aims with room in depth and inks outlines. Processor time.
    """
    stage = Stage(assembly)
    stage.fit(size, margin=0.2)
    ways: list[Offsets] = [
        {
            piece.name: np.array([0.5 * step * n, 0.0, 0.0])
            for n, piece in enumerate(assembly.pieces)
        }
        for step in range(10)
    ]

    def draw(number: int) -> None:
        stage.set_offsets(ways[number % 10])
        stage.frame_with_numbers(*size, Finish.MOVING)

    draw(0)
    matrices = [actor._matrix for actor in stage._actors.values()]

    def draw_bare(number: int) -> None:
        way = ways[number % 10]
        for matrix, offset in zip(matrices, way.values(), strict=True):
            _set_matrix(matrix, offset)
        stage._window.Render()
        read_picture(stage._window)

    # By turns, so that both meet the same weather.
    ours, bare = [], []
    for _ in range(5):
        ours.append(time_each(draw, frames, time.process_time))
        bare.append(time_each(draw_bare, frames, time.process_time))
    return Row(
        "a frame in motion",
        statistics.median(ours),
        "a bare loop",
        statistics.median(bare),
        1.0 / 0.95,
    )


def _set_matrix(matrix: vtkMatrix4x4, offset: npt.NDArray[np.float64]) -> None:
    for axis in range(3):
        matrix.SetElement(axis, 3, float(offset[axis]))


@dataclass(frozen=True, slots=True)
class Motion:
    """What the real window did while a pump came apart: frames a second, and processor time of one."""

    frames_per_s: float
    busy_s: float
    thread_s: float
    share: float


def measure_motion(window: PumpWindow, seconds: float) -> Motion:
    """Drag the slider from together to apart in so many seconds, and count the frames that were shown.

    Played by itself the pump would stand still wherever a warning is to be read.
    """
    view, slider = window.view, window.motion.slider
    window.motion.set_apart(0.0)
    wait(500)
    shown = [0]
    paint = view.surface.paint

    def count_and_paint(painter: QPainter) -> bool:
        shown[0] += 1
        return paint(painter)

    view.surface.paint = count_and_paint  # type: ignore[method-assign]
    busy, thread, start = time.process_time(), time.thread_time(), time.perf_counter()

    def drag() -> None:
        share = min((time.perf_counter() - start) / seconds, 1.0)
        slider.setValue(round(share * slider.maximum()))

    hand = QTimer(interval=FRAME_MS)
    hand.timeout.connect(drag)
    hand.start()
    wait(round(1e3 * seconds))
    hand.stop()
    took = time.perf_counter() - start
    busy, thread = time.process_time() - busy, time.thread_time() - thread
    view.surface.paint = paint  # type: ignore[method-assign]
    count = max(shown[0], 1)
    return Motion(
        shown[0] / took, busy / count, thread / count, getattr(view.surface, "share", 1.0)
    )


def wait(milliseconds: int) -> None:
    """Let the window live for a while."""
    loop = QEventLoop()
    QTimer.singleShot(milliseconds, loop.quit)
    loop.exec()


# ------------------------------------------------------------------ pick, cut, numbers
def measure_pick(stage: Stage, size: tuple[int, int], picks: int) -> float:
    """Measure how long it takes to find what lies under the pointer, median over spots all over the picture."""
    source = np.random.default_rng(7)
    spots = source.uniform((0.1, 0.1), (0.9, 0.9), (picks + 1, 2)) * size
    for spot in spots:
        stage.pick(
            float(spot[0]), float(spot[1]), size
        )  # what finds the hits is built when first asked for
    return time_each(
        lambda n: stage.pick(float(spots[n][0]), float(spots[n][1]), size), picks, time.perf_counter
    )


def measure_cut(stage: Stage, cuts: int) -> float:
    """Measure a new plane of the cut through the whole meshes, median over planes across the pump."""
    return time_each(
        lambda n: stage.set_cut(Cut(Axis.Y, -40.0 + 80.0 * n / cuts)), cuts, time.perf_counter
    )


def measure_numbers(window: PumpWindow, paints: int) -> tuple[int, float]:
    """Measure laying out and painting the numbers and names of a pump taken apart; how many, and how long."""
    view, tracing = window.view, window.finding.labelling.tracing
    tracing.set_lettered(Lettered.NAMES, view)
    window.motion.set_apart(1.0)
    wait(300)
    tracing.find_spots(view)
    image = QImage(view.size(), QImage.Format.Format_ARGB32_Premultiplied)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)

    def paint(number: int) -> None:
        view.camera = view.camera.orbited(0.02 if number % 2 else -0.02, 0.0)
        tracing.paint(painter, view)

    took = time_each(paint, paints, time.perf_counter)
    painter.end()
    count = len(tracing.labels)
    tracing.set_lettered(Lettered.NOTHING, view)
    return count, took


# ------------------------------------------------------------------ memory
def read_memory_mb() -> float:
    """Read how much memory this process holds, in MB (Linux)."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * 4096 / 1e6


TOLD_EVERY = 100
"""Rounds after which it is told how much memory is held: of a run that is ended early so much is known."""


@dataclass(frozen=True, slots=True)
class Growth:
    """How much memory was held, in MB: before a piece of work, once it had been done a few times, and at its end."""

    before_mb: float
    warm_mb: float
    end_mb: float
    rounds: int

    @property
    def left_mb(self) -> float:
        """What the rounds after the first few left behind."""
        return self.end_mb - self.warm_mb

    def __str__(self) -> str:
        return (
            f"{self.before_mb:.0f} MB before, {self.warm_mb:.0f} MB warm, {self.end_mb:.0f} MB after"
            f" {self.rounds} rounds more ({self.left_mb:+.1f})"
        )


def find_growth(
    work: Callable[[int], object],
    times: int,
    warm: int,
    settle: Callable[[], object] = gc.collect,
) -> Growth:
    """Find how much memory a piece of work leaves behind after it has been done `warm` times already.

    settle: lets end what the work has begun in the background, and what is left be found.
    """
    before = read_memory_mb()
    for number in range(warm):
        work(number)
    settle()
    warm_mb = read_memory_mb()
    for number in range(times):
        work(number)
        if number % TOLD_EVERY == 0:
            print(f"{number:5d} {read_memory_mb():.1f} MB", flush=True)
    settle()
    return Growth(before, warm_mb, read_memory_mb(), times)


# ------------------------------------------------------------------ all of it
def open_window(build: str, size: tuple[int, int] | None = None) -> PumpWindow:
    """Open the window with a build, in the usual size or another, and wait for its order."""
    from trainer.desktop.theme import load_letters
    from trainer.words import load_words

    application = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(application, QApplication)
    application.setFont(load_letters())
    window = PumpWindow(load_words(), build)
    if size is not None:
        window.resize(*size)
    window.show()
    window.load()
    while window.ordered is None:
        wait(50)
    wait(2000)
    return window


def main() -> None:
    """Print the table."""
    print(f"load of the machine: {os.getloadavg()[0]:.1f}")
    start, shown_s = measure_start(3)
    window = open_window(LARGEST)
    full, front = window.view.surface.full, window.view.surface.front
    assert full is not None
    assert front is not None
    triangles = [sum(len(p.mesh.triangles) for p in s.assembly.pieces) for s in (full, front)]
    print(
        f"{LARGEST}: {len(full.assembly.pieces)} pieces, {triangles[0]} triangles, {triangles[1]} in motion"
    )
    print(f"window shows after {shown_s:.2f} s")
    size = tuple(side // 2 for side in window.view.size_px)
    for row in (start, measure_animation(front.assembly, (size[0], size[1]), 20)):
        print(
            f"{row.name}: {1e3 * row.measured_s:.1f} ms; {row.reference} {1e3 * row.reference_s:.1f} ms;"
            f" ratio {row.ratio:.2f} (at most {row.most:.2f})"
        )
    for _ in range(3):
        motion = measure_motion(window, 5.0)
        print(
            f"in the window: {motion.frames_per_s:.1f} frames a second at {motion.share:.2f} of its size; processor"
            f" {1e3 * motion.busy_s:.1f} ms a frame, of it in the window's thread {1e3 * motion.thread_s:.1f} ms"
        )
    window.motion.set_apart(0.0)
    wait(1500)
    pick_s = measure_pick(full, window.view.size_px, 300)
    print(f"what lies under the pointer: {1e3 * pick_s:.2f} ms")
    print(f"hover in the window: {1e3 * _hover(window, 200):.2f} ms")
    print(
        f"a new plane of the cut: {1e3 * measure_cut(full, 40):.1f} ms whole, {1e3 * measure_cut(front, 40):.1f} ms in motion"
    )
    full.set_cut(None)
    front.set_cut(None)
    count, took_s = measure_numbers(window, 50)
    print(f"{count} numbers with names laid out and painted: {1e3 * took_s:.1f} ms")
    window.close()


def _hover(window: PumpWindow, picks: int) -> float:
    view = window.view
    source = np.random.default_rng(3)
    spots = source.uniform((0.1, 0.1), (0.9, 0.9), (picks, 2)) * view.size_px
    return time_each(lambda n: view.pick(QPointF(*spots[n])), picks, time.perf_counter)


if __name__ == "__main__":
    main()
