"""Memory stays steady over what a class does all day: changes of the build, rebuilds with other shims, taking apart."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from PySide6.QtCore import QEventLoop, QTimer
from PySide6.QtWidgets import QApplication

from models.spec.assembly import Assembly
from tests.bench.bench_window import find_growth_mb, open_window, wait
from trainer.desktop.picture.hands import PumpHands
from trainer.desktop.picture.lighten import lighten_assembly
from trainer.desktop.window import PumpWindow
from trainer.session.bench import open_bench

pytestmark = [pytest.mark.long, pytest.mark.window, pytest.mark.xdist_group("window")]
CHANGES, CYCLES, REBUILDS = 1000, 1000, 20
STEADY_MB = 40.0
"""More than this left behind by a thousand rounds is a leak: a pump's meshes take as much."""


@pytest.fixture(scope="module")
def pumps() -> list[tuple[Assembly, Assembly]]:
    wholes = [open_bench(name).assembly for name in ("end-suction/100-250", "self-priming/100")]
    return [(whole, lighten_assembly(whole, {})) for whole in wholes]


@pytest.fixture
def view(qapp: QApplication) -> Iterator[PumpHands]:
    shown = PumpHands()
    shown.resize(640, 360)
    shown.show()
    yield shown
    shown.give_back()
    shown.close()
    qapp.processEvents()


def test_a_thousand_changes_between_two_pumps(
    view: PumpHands, qapp: QApplication, pumps: list[tuple[Assembly, Assembly]]
) -> None:
    def change(number: int) -> None:
        whole, light = pumps[number % 2]
        view.show_assembly(whole)
        view.show_light(light)
        view.surface.draw_moving()
        qapp.processEvents()

    assert find_growth_mb(change, CHANGES, 40) < STEADY_MB


def test_a_thousand_times_apart_and_together(
    view: PumpHands, qapp: QApplication, pumps: list[tuple[Assembly, Assembly]]
) -> None:
    whole, light = pumps[0]
    view.show_assembly(whole)
    view.show_light(light)

    def cycle(_: int) -> None:
        for share in (0.5, 1.0, 0.5, 0.0):
            places = {
                piece.name: np.array([3.0 * share * n, 0.0, 0.0])
                for n, piece in enumerate(whole.pieces)
            }
            view.set_offsets(places, follow=True)
            view.surface.draw_moving()
            qapp.processEvents()

    assert find_growth_mb(cycle, CYCLES, 40) < STEADY_MB


def test_twenty_rebuilds_with_other_shims(qapp: QApplication) -> None:
    window = open_window("end-suction/100-250")

    def rebuild(number: int) -> None:
        before = window.bench
        # Each another thickness, so that solids are really made anew.
        window.shims.pack_chosen.emit((0.5, 0.3, round(0.1 + 0.01 * (number % 40), 3)))
        wait_until_other(window, before)

    growth = find_growth_mb(rebuild, REBUILDS, 4)
    window.close()
    qapp.processEvents()
    assert growth < 2 * STEADY_MB


def wait_until_other(window: PumpWindow, before: object) -> None:
    """Wait until another bench stands there and its order is known."""
    loop, watch = QEventLoop(), QTimer(interval=20)
    watch.timeout.connect(
        lambda: (
            loop.quit() if window.bench is not before and window.ordered is window.bench else None
        )
    )
    watch.start()
    QTimer.singleShot(120_000, loop.quit)
    loop.exec()
    watch.stop()
    assert window.bench is not before
    wait(50)
