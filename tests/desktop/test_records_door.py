"""The records are opened once however many ask, and a server that is away is waited for once."""

from __future__ import annotations

from concurrent.futures import Future, ThreadPoolExecutor
from itertools import count
from pathlib import Path
from threading import Event

import pytest

from models.spec.errors import SurroundingsError
from trainer.desktop import records_door
from trainer.desktop.records_door import RecordsDoor
from trainer.records import Records, opening

LONG_S = 30.0


def test_two_that_ask_at_once_open_them_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PUMPWRIGHT_RECORDS", str(tmp_path / "records.db"))
    door = RecordsDoor()
    with ThreadPoolExecutor(2) as threads:
        one, other = (threads.submit(door.open) for _ in range(2))
        assert one.result() is other.result() is door.records
    door.close()


def test_who_asks_while_another_waits_is_told_what_came_of_it_and_who_asks_later_tries_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    tried: list[float] = []
    ticks, both_asked = count(1.0), Event()

    def read_clock() -> float:
        now = next(ticks)
        if now == 3.0:  # the second has said when it asked, and waits
            both_asked.set()
        return now

    def refuse() -> Records:
        tried.append(next(ticks))
        if len(tried) == 1:
            threads.submit(door.open).add_done_callback(seconds.append)
            assert both_asked.wait(LONG_S)
        raise SurroundingsError("The server cannot be reached.")

    monkeypatch.setattr(opening, "open_records", refuse)
    monkeypatch.setattr(records_door, "monotonic", read_clock)
    door, seconds = RecordsDoor(), list[Future[Records]]()
    with ThreadPoolExecutor(1) as threads, pytest.raises(SurroundingsError):
        door.open()
    (second,) = seconds
    assert "cannot be reached" in str(second.exception())
    assert len(tried) == 1
    with pytest.raises(SurroundingsError):
        door.open()
    assert len(tried) == 2
