"""Backup and restore: from a file and from a server, into either."""

from __future__ import annotations

import random
import re
import sqlite3
import subprocess
from collections.abc import Callable
from pathlib import Path
from uuid import UUID, uuid4

import psycopg
import pytest

from models.spec.errors import RefusalError, SurroundingsError
from tests.records.conftest import Ground
from tests.records.samples import NOON, make_sign_off
from tests.records.test_history import filled
from trainer.records import Attempt, back_up, open_records, restore
from trainer.records.backup import COPIED, hash_rows
from trainer.records.schema import CHAINS, METADATA

MakeAttempt = Callable[..., Attempt]
__all__ = ["filled"]  # the fixture


def hash_place(where: Path | str) -> str:
    with open_records(where) as records, records.reading() as connection:
        return hash_rows(connection)


def test_backup_holds_all_and_goes_back_whole(
    filled: Ground, tmp_path: Path, attempt: MakeAttempt
) -> None:
    file = tmp_path / "backup.sqlite3"
    before = hash_place(filled.where)
    with open_records(filled.where) as records:
        counts = back_up(records, file)
        assert (counts["attempts"], counts["history"], counts["sheets"]) == (6, 3, 2)
        assert hash_place(file) == before
        bytes_before = file.read_bytes()
        assert file.stat().st_mode & 0o777 == 0o600
        records.add_attempt(attempt(77, "Eve"))
        records.erase_person("Ann Marsh", UUID(int=300), NOON)
        later = hash_place(filled.where)
        kept = tmp_path / "kept.sqlite3"
        done = restore(records, file, kept)
        assert (done.is_sealed, done.returned) == (True, ("Ann Marsh",)), "who was erased is back"
        assert hash_place(filled.where) == before
        assert hash_place(kept) == later, "what was there is kept, with its erasure"
        records.check_whole()
        assert file.read_bytes() == bytes_before
        # What goes on after a restore goes on from there.
        records.add_attempt(attempt(78, "Eve"))
        records.add_sign_off(make_sign_off(400, "Eve"))
        assert restore(records, kept, tmp_path / "third.sqlite3").returned == ()
        assert hash_place(filled.where) == later
        with pytest.raises((sqlite3.IntegrityError, psycopg.IntegrityError), match="stay"):
            filled.sql("DELETE FROM attempts")
    names = ("backup.sqlite3", "kept.sqlite3", "third.sqlite3")
    left = sorted(each.name for each in tmp_path.glob("*.sqlite3*"))
    assert left == sorted(name + ending for name in names for ending in ("", ".sha256"))
    checking = ["sha256sum", "--check", "--status", *(f"{name}.sha256" for name in names)]
    subprocess.run(checking, cwd=tmp_path, check=True)


def test_backup_moves_records_to_an_empty_place(
    filled: Ground, tmp_path: Path, attempt: MakeAttempt
) -> None:
    with open_records(filled.where) as records:
        back_up(records, tmp_path / "backup.sqlite3")
    with open_records(tmp_path / "other" / "records.sqlite3") as other:
        restore(other, tmp_path / "backup.sqlite3")
        other.check_whole()
        # Whoever is erased here is somebody else than whoever has this number in other people's records.
        for name in other.list_people():
            other.erase_person(name, uuid4(), NOON)
        stranger = tmp_path / "stranger" / "records.sqlite3"
        with open_records(stranger) as strange:
            strange.add_attempt(attempt(900, "Eve"))
            back_up(strange, tmp_path / "strange.sqlite3")
        assert restore(other, tmp_path / "strange.sqlite3", tmp_path / "k.sqlite3").returned == ()
        restore(other, tmp_path / "backup.sqlite3", tmp_path / "l.sqlite3")
    assert hash_place(tmp_path / "other" / "records.sqlite3") == hash_place(filled.where)


def test_restore_over_records_is_refused_unless_they_are_kept(
    filled: Ground, tmp_path: Path
) -> None:
    file = tmp_path / "backup.sqlite3"
    before = hash_place(filled.where)
    with open_records(filled.where) as records:
        back_up(records, file)
        with pytest.raises(RefusalError, match="There are records in"):
            restore(records, file)
        with pytest.raises(RefusalError, match="There is a file"):
            restore(records, file, file)
        with pytest.raises(RefusalError, match="There is a file"):
            back_up(records, file)
    assert hash_place(filled.where) == before


@pytest.mark.parametrize("damage", ["cut", "row", "chain", "none", "seal"])
def test_damaged_backup_changes_nothing(filled: Ground, tmp_path: Path, damage: str) -> None:
    file = tmp_path / "backup.sqlite3"
    before = hash_place(filled.where)
    with open_records(filled.where) as records:
        back_up(records, file)
        if damage == "seal":
            Ground(file, None, "").sql("INSERT INTO people VALUES (99, 'Eve', NULL)")
        else:
            file.with_name("backup.sqlite3.sha256").unlink()
        if damage == "cut":
            file.write_bytes(file.read_bytes()[:9000])
        elif damage == "none":
            file.unlink()
        elif damage != "seal":
            spoil = {
                "row": "UPDATE attempts SET answer_json = '['",
                "chain": "UPDATE sheets SET when_utc = 'x'",
            }
            copy = Ground(file, None, "")
            copy.unlock()
            copy.sql(spoil[damage])
        with pytest.raises(SurroundingsError, match=re.escape(str(file))):
            restore(records, file, tmp_path / "kept.sqlite3")
    assert hash_place(filled.where) == before
    assert not (tmp_path / "kept.sqlite3").exists()


def test_records_that_are_damaged_are_not_backed_up_as_if_they_were_sound(
    filled: Ground, tmp_path: Path
) -> None:
    filled.unlock()
    filled.sql("UPDATE history SET when_utc = 'x' WHERE number = 2")
    with open_records(filled.where) as records, pytest.raises(SurroundingsError, match="entry 2"):
        back_up(records, tmp_path / "backup.sqlite3")
    assert list(tmp_path.glob("backup*")) == []


def test_restore_that_reads_back_otherwise_changes_nothing(
    filled: Ground, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = hash_place(filled.where)
    with open_records(filled.where) as records:
        back_up(records, tmp_path / "backup.sqlite3")
        answers = iter("abcdef")
        monkeypatch.setattr("trainer.records.backup.hash_rows", lambda _: next(answers))
        monkeypatch.setattr("trainer.records.backup._write_file", lambda *_: {})
        with pytest.raises(SurroundingsError, match="reads back otherwise"):
            restore(records, tmp_path / "backup.sqlite3", tmp_path / "kept.sqlite3")
        monkeypatch.undo()
        records.check_whole()
    assert hash_place(filled.where) == before


def test_every_table_is_copied() -> None:
    assert {*COPIED, CHAINS} == set(METADATA.tables.values())


def test_backup_of_noise_is_never_a_traceback(tmp_path: Path, attempt: MakeAttempt) -> None:
    """Bytes changed by chance, without a seal to tell: refused with a message, or harmless. The place stays usable."""
    chance = random.Random(20261130)
    file, spoiled = tmp_path / "backup.sqlite3", tmp_path / "spoiled.sqlite3"
    with open_records(tmp_path / "records.sqlite3") as records:
        records.add_attempt(attempt(1))
        records.add_sign_off(make_sign_off(100))
        back_up(records, file)
    whole = file.read_bytes()
    refused = 0
    with open_records(tmp_path / "other.sqlite3") as other:
        for _ in range(25):
            content = bytearray(whole)
            for _ in range(chance.choice([1, 3, 40])):
                content[chance.randrange(chance.choice([4096, len(content)]))] = chance.randrange(
                    256
                )
            spoiled.write_bytes(content)
            kept = tmp_path / f"kept-{chance.random()}.sqlite3"
            try:
                assert not restore(other, spoiled, kept).is_sealed
            except SurroundingsError:
                refused += 1
            other.check_whole()
    assert 0 < refused < 25
