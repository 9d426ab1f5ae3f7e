"""One real window for the tests of this folder: it is slow to fill, and each test leaves it as it found it."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from trainer.desktop.theme import load_letters
from trainer.desktop.window import PumpWindow
from trainer.records import open_records
from trainer.words import load_words

BUILD = "end-suction/100-250"
LONGEST_S = 400.0
NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


@pytest.fixture(scope="session")
def window(qapp: QApplication, tmp_path_factory: pytest.TempPathFactory) -> Iterator[PumpWindow]:
    qapp.setFont(load_letters())
    records = open_records(tmp_path_factory.mktemp("records") / "attempts.db")
    shown = PumpWindow(load_words(), BUILD, records=records, clock=lambda: NOON)
    shown.show()
    shown.load()
    deadline = time.monotonic() + LONGEST_S
    while not shown.lesson.next.isEnabled():
        assert time.monotonic() < deadline, shown.motion.way.text()
        QTest.qWait(20)
    yield shown
    shown.close()
    records.close()
