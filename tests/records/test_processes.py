from __future__ import annotations

import os
import random
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from tests.records.conftest import Ground
from trainer.records import Attempt, open_records

MakeAttempt = Callable[..., Attempt]
KILLS = 4
SEED = 20240304


class Writer:
    """A process that adds attempts; it waits for `go` so that several start together."""

    def __init__(self, where: Path | str, first_number: int, count: int) -> None:
        script = Path(__file__).with_name("steady_writer.py")
        self.process = subprocess.Popen(
            [sys.executable, str(script), str(where), str(first_number), str(count)],
            env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def wait_until_ready(self) -> None:
        assert self.process.stdout is not None
        assert self.process.stdout.readline() == "ready\n"

    def go(self) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write("go\n")
        self.process.stdin.flush()

    def read_acknowledged(self) -> Iterator[int]:
        """Read ids as they come; a line without its end was cut off by the kill."""
        assert self.process.stdout is not None
        for line in self.process.stdout:
            if line.endswith("\n"):
                yield int(line)

    def close(self) -> int:
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.kill()  # a no-op once it has ended by itself
        self.process.stdin.close()
        self.process.stdout.close()
        return self.process.wait()


@pytest.fixture
def start_writer(ground: Ground) -> Iterator[Callable[[int, int], Writer]]:
    writers: list[Writer] = []

    def start(first_number: int, count: int) -> Writer:
        writers.append(Writer(ground.where, first_number, count))
        return writers[-1]

    yield start
    for writer in writers:
        writer.close()


def test_nothing_acknowledged_is_lost_when_the_program_is_killed(
    ground: Ground, start_writer: Callable[[int, int], Writer], attempt: MakeAttempt
) -> None:
    """SIGKILL after a random number of acknowledged attempts and a random moment more.

    The moment is spent computing, not sleeping, while the writer is inside its next commits. It shows that the
    process may die anywhere; what a power cut leaves is for test_power_cut.py, as the operating system lives on here.
    """
    chance = random.Random(SEED)
    acknowledged: list[int] = []
    kills = KILLS if ground.server is None else 2  # the server itself is killed in test_server.py
    for round_number in range(kills):
        writer = start_writer(1 + round_number * 10_000, 10_000)
        writer.wait_until_ready()
        writer.go()
        enough = chance.randrange(1, 25)
        for number in writer.read_acknowledged():
            acknowledged.append(number)
            enough -= 1
            if enough == 0:
                sum(range(chance.randrange(300_000)))
                writer.process.kill()
        assert writer.close() == -9
        records = open_records(ground.where)
        records.check_whole()
        kept = {each.id.int: each for each in records.list_attempts(limit=None)}
        for number in acknowledged:
            assert kept[number] == attempt(number, person=f"Learner {number % 5}")
        signed = {each.id.int - 1_000_000 for each in records.list_sign_offs()}
        filed = {each.sheet.id.int for each in records.list_sheets(limit=None)}
        assert signed & filed >= {number for number in acknowledged if number % 5 == 0}
        # At most one attempt a killed writer may be recorded without having been acknowledged.
        assert len(kept) <= len(acknowledged) + round_number + 1
    assert len(acknowledged) >= kills


def test_two_processes_that_begin_the_same_file_and_write_at_once_lose_nothing(
    ground: Ground, start_writer: Callable[[int, int], Writer]
) -> None:
    count = 40
    writers = [start_writer(1, count), start_writer(1_001, count)]
    for writer in writers:  # neither waits for the other to open: the file is made by both at once
        writer.go()
    for writer in writers:
        writer.wait_until_ready()
    with ThreadPoolExecutor() as readers:
        said = list(readers.map(lambda writer: list(writer.read_acknowledged()), writers))
    assert said == [list(range(1, count + 1)), list(range(1_001, 1_001 + count))]
    records = open_records(ground.where)
    records.check_whole()
    assert {each.id.int for each in records.list_attempts(limit=None)} == {*said[0], *said[1]}
    assert records.check_history().count == records.check_sheets().count == 2 * count // 5
    assert len(records.count_attempts()) == 7, "five learners, one who signs and one who watches"


def test_two_processes_that_record_the_same_attempts_record_each_once(
    ground: Ground, start_writer: Callable[[int, int], Writer]
) -> None:
    writers = [start_writer(1, 20), start_writer(1, 20)]
    for writer in writers:
        writer.wait_until_ready()
    for writer in writers:
        writer.go()
    with ThreadPoolExecutor() as readers:
        said = list(readers.map(lambda writer: list(writer.read_acknowledged()), writers))
    assert said == [list(range(1, 21))] * 2
    kept = Counter(each.id.int for each in open_records(ground.where).list_attempts(limit=None))
    assert kept == Counter(range(1, 21))


def test_threads_share_one_records(ground: Ground, attempt: MakeAttempt) -> None:
    records = open_records(ground.where)
    with ThreadPoolExecutor(8) as threads:
        list(threads.map(records.add_attempt, [attempt(1 + number % 40) for number in range(80)]))
    assert {each.id.int for each in records.list_attempts()} == set(range(1, 41))
    records.check_whole()


def test_threads_that_open_a_new_file_at_once_make_it_once(
    ground: Ground, attempt: MakeAttempt
) -> None:
    def open_and_add(number: int) -> None:
        open_records(ground.where).add_attempt(attempt(number))

    with ThreadPoolExecutor(8) as threads:
        list(threads.map(open_and_add, range(1, 9)))
    records = open_records(ground.where)
    assert {each.id.int for each in records.list_attempts()} == set(range(1, 9))
    records.check_whole()
