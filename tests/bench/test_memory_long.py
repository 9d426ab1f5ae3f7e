"""Memory stays steady over what a class does all day: changes of the build, rebuilds with other shims, taking apart.

All of it is done in the real window, whose lists, cards and panes may keep what they should let go. Small builds stand on
the bench where it is the changing that is asked about, so that a thousand rounds take minutes. The rebuilds, the fewest,
come first: what a thousand rounds leave to be used again grows and shrinks by more than they leave behind.
"""

from __future__ import annotations

import ctypes
import gc
import sys
from collections.abc import Iterator
from itertools import count

import pytest
from PySide6.QtCore import QEventLoop, QTimer
from PySide6.QtWidgets import QApplication

from models.builds import make_named_build
from models.solids.assemble import find_missing
from tests.bench.bench_window import Growth, find_growth, open_window, wait
from trainer.desktop.bench_work import BenchChoice
from trainer.desktop.window import PumpWindow
from trainer.session.typed import make_pack

pytestmark = [pytest.mark.long, pytest.mark.window, pytest.mark.xdist_group("window")]
CHANGES, CYCLES, REBUILDS = 1000, 1000, 20
STEADY_MB = 40.0
"""More than this left behind by so many rounds is a leak: the meshes of one pump take as much."""
SMALL = ("impeller-fixings/100-250", "rolling-bearings/bore-50", "packing/38", "mechanical-seal/38")
PUMP = "end-suction/100-250"
EVERY = 50
"""Every so many changes a whole pump stands on the bench."""
SETTLING_MS = 5000
LONGEST_MS = 1_800_000
"""However busy the machine is, a rebuild is done by then."""


@pytest.fixture
def window(qapp: QApplication) -> Iterator[PumpWindow]:
    shown = open_window(PUMP, (1060, 620))
    yield shown
    shown.close()
    qapp.processEvents()


def tell(what: str, growth: Growth) -> None:
    """Print what was measured, for the record."""
    sys.stdout.write(f"\n{what}: {growth}\n")


def test_twenty_rebuilds_with_other_shims(window: PumpWindow) -> None:
    thickness = count(100)

    def rebuild(_: int) -> None:
        # A thickness that nobody has made yet, so that solids are really made.
        choice = BenchChoice(PUMP, pack_mm=(0.5, 0.3, next(thickness) / 1000.0))
        while not has_new_solids(choice):
            choice = BenchChoice(PUMP, pack_mm=(0.5, 0.3, next(thickness) / 1000.0))
        ask(window, choice)

    growth = find_growth(rebuild, REBUILDS, 8, settle)
    tell("rebuilds with other shims", growth)
    assert growth.left_mb < STEADY_MB


def test_a_thousand_changes_between_cached_builds(window: PumpWindow) -> None:
    def change(number: int) -> None:
        build = PUMP if number % EVERY == 0 else SMALL[number % len(SMALL)]
        ask(window, BenchChoice(build))
        assert window.standing is not None
        assert window.standing.name == build

    growth = find_growth(change, CHANGES, 2 * EVERY, settle)
    tell("changes between cached builds", growth)
    assert growth.left_mb < STEADY_MB


def test_a_thousand_times_apart_and_together(window: PumpWindow, qapp: QApplication) -> None:
    def cycle(_: int) -> None:
        for share in (0.6, 1.0, 0.3, 0.0):
            window.motion.set_apart(share)
            qapp.processEvents()
            window.view.surface.draw_moving()

    growth = find_growth(cycle, CYCLES, 40)
    tell("times apart and together", growth)
    assert growth.left_mb < STEADY_MB


def settle() -> None:
    """Let what is found out ahead of the pump come to its end, and give back what nobody holds.

    What the C library keeps of memory that was given back to it is no leak, and differs by 20 MB from time to time.
    """
    wait(SETTLING_MS)
    gc.collect()
    ctypes.CDLL(None).malloc_trim(0)


def has_new_solids(choice: BenchChoice) -> bool:
    """Tell whether a choice has solids that are not kept yet."""
    assert choice.pack_mm is not None
    build = make_named_build(choice.build, pack=make_pack(choice.pack_mm))
    return bool(find_missing(build).missing)


def ask(window: PumpWindow, choice: BenchChoice) -> None:
    """Put something on the bench, and wait until its order is known."""
    loop = QEventLoop()
    window.changing.changed.connect(loop.quit)
    window.changing.failed.connect(loop.quit)
    QTimer.singleShot(LONGEST_MS, loop, loop.quit)
    window.changing.change(choice)
    loop.exec()
    window.changing.changed.disconnect(loop.quit)
    window.changing.failed.disconnect(loop.quit)
    assert window.changing.stands is choice
    assert window.ordered is window.standing
