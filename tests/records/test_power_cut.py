"""Cut the power at every moment of recording, and see what the file holds afterwards.

How: watched_writer.py records attempts with the program's own code and writes down each change that
SQLite hands to the operating system, each sync, and each acknowledgement. `Disk` below replays that
list up to a moment and makes what a disk could hold if the power went then: what was synced, and of
the rest nothing, everything, or a random part. The program then opens what is left.

What it proves: that the order of writes and syncs is right. Whatever the operating system does with
what it was not told to sync (sectors of 512 bytes out of order or never, a file grown with noise in
it, names made or removed late), each acknowledged attempt is there, whole, and the file is sound.
That the model is hard enough to find a loss is shown by two settings that do lose.

What it does not prove: that the disk keeps its word. A drive that says "synced" and is not, one that
damages sectors it was not writing, and a file system with a fault of its own are outside it. Names
land in the order they were made, as file systems with a journal do it. One writer, one connection at
a time; the folder itself is there before.
"""

from __future__ import annotations

import _sqlite3
import ctypes
import os
import pickle
import random
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from models.spec.errors import SurroundingsError
from trainer.records import Attempt, open_records

# A Python that holds SQLite inside itself shows no way to its file layer; Debian's does.
has_file_layer = hasattr(ctypes.CDLL(getattr(_sqlite3, "__file__", None)), "sqlite3_vfs_find")
pytestmark = pytest.mark.skipif(
    not has_file_layer, reason="power cut not simulated: SQLite's file layer can't be reached"
)

ATTEMPTS = 4
SECTOR_BYTES = 512
SEED = 20240304
# How much of what was not synced reaches the disk; two of them by chance.
PORTIONS = (0.0, 1.0, 0.5, 0.9)

Change = tuple[Any, ...]


@dataclass
class File:
    synced: bytes = b""
    pending: list[Change] = field(default_factory=list)

    def make_content(self, portion: float, chance: random.Random) -> bytes:
        """Make what is on the disk when this portion of what is pending has landed."""
        content = bytearray(self.synced)
        for change in self.pending:
            if change[0] == "truncate":
                if chance.random() < portion:
                    resize(content, change[2], chance)
                continue
            for offset, data in list_sectors(change[2], change[3]):
                if chance.random() < portion:
                    resize(content, max(len(content), offset), chance)
                    content[offset : offset + len(data)] = data
        return bytes(content)


def resize(content: bytearray, size: int, chance: random.Random) -> None:
    """Cut, or grow by noise: a grown file may show what lay in its sectors before."""
    del content[size:]
    content += chance.randbytes(size - len(content))


def list_sectors(offset: int, data: bytes) -> Iterator[tuple[int, bytes]]:
    end = offset + len(data)
    while offset < end:
        stop = min(end, (offset // SECTOR_BYTES + 1) * SECTOR_BYTES)
        yield offset, data[: stop - offset]
        data = data[stop - offset :]
        offset = stop


class Disk:
    """A folder on a disk: what is on it for certain, and what was asked for since."""

    def __init__(self) -> None:
        self.files: dict[str, File] = {}  # as the running program sees it
        self.synced_names: dict[str, File] = {}
        self.pending_names: list[tuple[str, str, File]] = []

    def apply(self, change: Change) -> None:
        match change:
            case ("create", name):
                self.files[name] = File()
                self.pending_names.append(("create", name, self.files[name]))
            case ("remove", name):
                self.pending_names.append(("remove", name, self.files.pop(name)))
            case ("write" | "truncate", name, *_):
                self.files[name].pending.append(change)
            case ("sync", name):
                file = self.files[name]
                file.synced = file.make_content(1.0, random.Random(0))
                file.pending.clear()
            case ("sync-folder",):
                self.synced_names = dict(self.files)
                self.pending_names.clear()
            case _:
                raise AssertionError(change)

    def cut_power(self, portion: float, chance: random.Random) -> dict[str, bytes]:
        names = dict(self.synced_names)
        landed = round(portion * len(self.pending_names))
        if 0 < portion < 1:
            landed = chance.randint(0, len(self.pending_names))
        for verb, name, file in self.pending_names[:landed]:
            if verb == "create":
                names[name] = file
            else:
                del names[name]
        return {name: file.make_content(portion, chance) for name, file in names.items()}


@dataclass(frozen=True)
class Recording:
    log: list[Change]
    folder: Path


def record(
    folder: Path, *settings: str, journal: str = "DELETE", count: int = ATTEMPTS
) -> Recording:
    (folder / "data").mkdir()
    log_file = folder / "log"
    script = Path(__file__).with_name("watched_writer.py")
    file = folder / "data" / "records.sqlite3"
    subprocess.run(
        [sys.executable, str(script), str(file), str(count), str(log_file), journal, *settings],
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
        check=True,
    )
    return Recording(pickle.loads(log_file.read_bytes()), folder / "data")


def find_losses(recording: Recording, folder: Path, *, laid: bool = False) -> Iterator[str]:
    """Cut the power after every change, in every portion; say each time something is not as promised.

    laid: only once the tables are laid and the first attempt is acknowledged.
    """
    chance = random.Random(SEED)
    disk = Disk()
    promised: list[Attempt] = []
    tried: set[int] = set()  # many moments leave the same disk
    written = [change[1] for change in recording.log if change[0] == "acknowledged"]
    for moment, change in enumerate(recording.log):
        if change[0] == "acknowledged":
            promised.append(change[1])
        else:
            disk.apply(change)
        if laid and not promised:
            continue
        for portion in PORTIONS:
            left = disk.cut_power(portion, chance)
            if (key := hash((len(promised), *sorted(left.items())))) in tried:
                continue
            tried.add(key)
            place = folder / f"{moment}-{portion}"
            place.mkdir()
            for name, content in left.items():
                (place / name).write_bytes(content)
            loss = find_loss(place, promised, written)
            if loss:
                yield f"power cut after {change[:2]} ({moment}), {portion} landed: {loss}"


def find_loss(place: Path, promised: list[Attempt], written: list[Attempt]) -> str:
    try:
        with open_records(place / "records.sqlite3") as records:
            records.check_whole()
            kept = list(reversed(records.list_attempts(limit=None)))
    except SurroundingsError as error:
        return str(error)
    # The one being recorded may be there, whole, without having been acknowledged yet.
    if kept in (promised, written[: len(promised) + 1]):
        return ""
    return f"{len(promised)} acknowledged, {len(kept)} kept"


@pytest.mark.parametrize(("journal", "count"), [("DELETE", ATTEMPTS), ("WAL", 2)])
def test_nothing_acknowledged_is_lost_when_the_power_is_cut(
    tmp_path: Path, journal: str, count: int
) -> None:
    recording = record(tmp_path, journal=journal, count=count)
    acknowledged = [change for change in recording.log if change[0] == "acknowledged"]
    assert len(acknowledged) == count
    assert any(
        str(change[1]).endswith("-wal") for change in recording.log[1:] if len(change) > 1
    ) == (journal == "WAL"), "the journal asked for is the one that was written"
    assert list(find_losses(recording, tmp_path, laid=journal == "WAL")) == []


def test_list_of_changes_is_complete(tmp_path: Path) -> None:
    """Replayed to its end it gives the very files that were written, so no write went unseen."""
    recording = record(tmp_path)
    disk = Disk()
    for change in recording.log:
        if change[0] != "acknowledged":
            disk.apply(change)
    files = {file.name: file.read_bytes() for file in recording.folder.iterdir()}
    assert disk.cut_power(1.0, random.Random(SEED)) == files
    assert disk.cut_power(0.0, random.Random(SEED)) == files, "something was left unsynced"


@pytest.mark.parametrize(
    ("setting", "loss"),
    [("PRAGMA synchronous=FULL", "1 acknowledged, 0 kept"), ("PRAGMA synchronous=OFF", "damaged")],
)
def test_setting_that_syncs_too_little_is_seen_to_lose(
    tmp_path: Path, setting: str, loss: str
) -> None:
    """FULL leaves the journal's removal unsynced; OFF syncs nothing. The model must find both."""
    laid = loss.startswith("1 acknowledged")
    losses = find_losses(record(tmp_path, setting), tmp_path, laid=laid)
    assert loss in next(losses, "no loss was found")
