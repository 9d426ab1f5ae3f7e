"""What only holds itself is looked for in the window's own thread: a timer may not be destroyed in another."""

from __future__ import annotations

import gc
import threading
import weakref

import pytest
from pytestqt.qtbot import QtBot

from trainer.desktop.window import PumpWindow

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]


class Ring:
    """Something that only holds itself; it notes in which thread it went."""

    def __init__(self, gone_in: list[int]) -> None:
        self.myself, self.gone_in = self, gone_in

    def __del__(self) -> None:
        self.gone_in.append(threading.get_ident())


def test_rings_go_in_the_windows_thread_though_another_makes_much(
    window: PumpWindow, qtbot: QtBot
) -> None:
    gone_in: list[int] = []
    ring = weakref.ref(Ring(gone_in))

    def make_much() -> None:
        kept = [[number] for number in range(200_000)]
        assert kept

    other = threading.Thread(target=make_much)
    other.start()
    other.join()
    assert not gc.isenabled()
    assert gone_in == [], "the other thread would have found it by itself"
    qtbot.waitUntil(lambda: ring() is None, timeout=10_000)
    assert gone_in == [threading.get_ident()]
    assert window.isVisible()
