"""Erase a person, rename one, export all that is kept of one: the same on a file and on a server."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path
from uuid import UUID

import pytest

from models.spec.errors import RefusalError, SurroundingsError
from tests.records.conftest import Ground
from tests.records.samples import NOON
from tests.records.test_history import TODAY, filled, find_code
from tests.records.test_sheets import quote
from trainer.records import (
    Attempt,
    Json,
    Records,
    Sheet,
    Standing,
    open_records,
    write_attempts_csv,
)
from trainer.records.entry import Entry, EntryKind

MakeAttempt = Callable[..., Attempt]
SECRETS = ("Ann Marsh", "ann marsh", "a shaky hand", "grips too hard")
__all__ = ["filled"]  # the fixture


def read_everything(ground: Ground) -> str:
    """Read all that is kept, as an owner sees it; of a file every byte, and whatever lies beside it."""
    tables = ("people", "attempts", "sheets", "history", "history_names", "erased_sheets", "chains")
    text = str([ground.sql(f"SELECT * FROM {table}") for table in tables])
    if isinstance(ground.where, Path):
        text += "".join(
            file.read_bytes().decode("latin-1") for file in ground.where.parent.iterdir()
        )
    return text


def list_assemblers(records: Records) -> list[object]:
    contents = [one.sheet.content for one in records.list_sheets()]
    return [content["assembler"] for content in contents if isinstance(content, dict)]


def test_erased_person_is_gone_and_all_else_stays_and_can_be_checked(filled: Ground) -> None:
    with open_records(filled.where) as records:
        before = records.list_attempts()
        code = find_code(records)
        assert all(secret in read_everything(filled) for secret in SECRETS)
        would = records.count_named("Ann Marsh")
        erased = records.erase_person("Ann Marsh", UUID(int=300), NOON)
        assert erased == would
        assert (erased.attempts, erased.entries, erased.sheets) == (3, 2, 1)
        records.check_whole()
        assert records.check_history().count == 4
        assert records.list_people() == ("Ben", "Cleo Dyke", "Dora Fenn")
        # What statistics count is all there, of somebody who is still one person and no longer anybody.
        after = records.list_attempts()
        assert sorted((one.item, one.score) for one in after if one.score) == sorted(
            (one.item, one.score) for one in before if one.score
        )
        strangers = {one.person for one in after} - {"Ben"}
        assert len(strangers) == 1
        assert {one.when.hour for one in after if one.person != "Ben"} == {0}
        assert {one.when.minute for one in after if one.person == "Ben"} == {32, 34, 36}
        assert records.verify_code(code, TODAY).standing is Standing.ERASED
        assert {one.seed for one in after if one.person != "Ben"} == {""}
        assert "seed 2" in {one.seed for one in after}
        (signed,) = (one for one in records.list_sign_offs() if one.id == UUID(int=100))
        assert (signed.observer, signed.remark, signed.lines[0].remark) == ("Cleo Dyke", "", "")
        assert list_assemblers(records) == ["Ben", "erased"]
        with pytest.raises(RefusalError, match="Nobody is kept as Ann Marsh"):
            records.erase_person("Ann Marsh", UUID(int=301), NOON)
    left = read_everything(filled)
    assert [secret for secret in SECRETS if secret in left] == []
    assert "Ben" in left


def test_erasing_may_leave_sheets_as_they_are(filled: Ground) -> None:
    with open_records(filled.where) as records:
        erased = records.erase_person("Ann Marsh", UUID(int=300), NOON, sheets=False)
        assert erased.sheets == 0
        assert list_assemblers(records) == ["Ben", "Ann Marsh"]
        records.check_whole()


def test_everybody_may_be_erased_one_after_another(filled: Ground) -> None:
    with open_records(filled.where) as records:
        for number, name in enumerate(records.list_people()):
            records.erase_person(name, UUID(int=300 + number), NOON)
            records.check_whole()
        assert records.list_people() == ()
        assert len({one.person for one in records.list_attempts()}) == 2
        assert len(records.list_sign_offs()) == 2


def test_sheet_changed_after_its_name_was_erased_is_found(filled: Ground) -> None:
    with open_records(filled.where) as records:
        records.erase_person("Ann Marsh", UUID(int=300), NOON)
        filled.unlock()
        filled.sql(
            "UPDATE sheets SET content_json = replace(content_json, '0.4', '0.9') WHERE number = 1"
        )
        chain = records.check_sheets()
        assert (chain.first_wrong, chain.why) == (1, "hash")


def test_somebody_on_very_many_sheets_can_be_erased() -> None:
    """Far more than what people type may be: the entry of an erasure holds a hash of each sheet."""
    sheets: Json = [[number, f"{number:064x}"] for number in range(20_000)]
    assert Entry(UUID(int=1), NOON, EntryKind.ERASED, {"sheets": sheets}).content == {
        "sheets": sheets
    }
    with pytest.raises(RefusalError, match="too long to keep"):
        Entry(UUID(int=1), NOON, EntryKind.CERTIFIED, {"sheets": sheets})


def test_sheet_put_back_to_what_an_earlier_erasure_left_is_found(filled: Ground) -> None:
    """Two people stood on one sheet, and were erased one after the other; then the first's erasure is made the last."""
    with open_records(filled.where) as records:
        both = Sheet(UUID(int=50), NOON, {"assembler": "Ann Marsh", "inspector": "Ben"})
        records.add_sheet(both)
        records.erase_person("Ann Marsh", UUID(int=300), NOON)
        [(left,)] = filled.sql("SELECT content_json FROM sheets WHERE number = 3")
        records.erase_person("Ben", UUID(int=301), NOON)
        records.check_whole()
        filled.unlock()
        filled.sql(
            f"UPDATE sheets SET content_json = {quote(left)} WHERE number = 3",
            "DELETE FROM erased_sheets WHERE entry_number = (SELECT max(number) FROM history)",
        )
        chain = records.check_sheets()
        assert (chain.first_wrong, chain.why) == (3, "hash")


def test_former_name_goes_from_sheets_unless_it_is_somebody_elses_by_now(
    filled: Ground, attempt: MakeAttempt
) -> None:
    with open_records(filled.where) as records:
        records.rename_person("Ann Marsh", "Ann Fleet")
        assert records.count_named("Ann Fleet").sheets == 1
        assert len(records.export_person("Ann Fleet")["sheets"]) == 1  # type: ignore[arg-type]
        records.add_attempt(attempt(60, "Ann Marsh"))
        assert records.count_named("Ann Fleet").sheets == 0
        records.rename_person("Ann Marsh", "Anne")
        records.erase_person("Ann Fleet", UUID(int=300), NOON)
        assert list_assemblers(records) == ["Ben", "erased"]


def test_why_a_certificate_was_withdrawn_is_its_holders_and_is_erased(filled: Ground) -> None:
    with open_records(filled.where) as records:
        code = find_code(records)
        records.withdraw_certificate(UUID(int=102), UUID(int=103), NOON, "Dora Fenn", "fell asleep")
        assert "fell asleep" in json.dumps(records.export_person("Ann Marsh"))
        records.erase_person("Ann Marsh", UUID(int=300), NOON)
        found = records.verify_code(code, TODAY)
        assert found.standing is Standing.WITHDRAWN
        assert found.filed is not None
        assert found.filed.withdrawn == (NOON, "")
        records.check_whole()
    assert "fell asleep" not in read_everything(filled)


def test_certificate_of_somebody_erased_needs_no_withdrawal(filled: Ground) -> None:
    with open_records(filled.where) as records:
        records.erase_person("Ann Marsh", UUID(int=300), NOON)
        with pytest.raises(RefusalError, match="proves nothing any more"):
            records.withdraw_certificate(UUID(int=102), UUID(int=103), NOON, "Dora Fenn", "?")


def test_name_that_somebody_who_reads_keeps_on_the_disk_is_told_and_goes_later(
    path: Path, attempt: MakeAttempt, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With a write-ahead log a reader may go on while a name is erased, and the old pages stay for it."""
    monkeypatch.setattr("trainer.records.sqlite_file.find_journal", lambda _: "WAL")
    place = Ground(path, None, "")
    with open_records(path, wait_s=0.05) as records:
        records.add_attempt(attempt(1, "Ann Marsh"))
        with records.reading() as connection:
            connection.exec_driver_sql("SELECT * FROM people")
            with pytest.raises(SurroundingsError, match=r"not overwritten yet.*records scrub"):
                records.erase_person("Ann Marsh", UUID(int=300), NOON)
            assert "Ann Marsh" in read_everything(place)
        assert records.list_people() == ()
        records.scrub()
        assert "Ann Marsh" not in read_everything(place)


def test_name_of_a_stand_in_can_be_nobodys(filled: Ground, attempt: MakeAttempt) -> None:
    with open_records(filled.where) as records:
        with pytest.raises(RefusalError, match="cannot begin with"):
            records.add_attempt(attempt(50, "nobody-1"))
        with pytest.raises(RefusalError, match="cannot begin with"):
            records.rename_person("Ben", "nobody-1")


def test_renamed_person_keeps_all_and_what_was_signed_keeps_the_old_name(filled: Ground) -> None:
    with open_records(filled.where) as records:
        records.rename_person("Ann Marsh", "Ann  Fleet")
        assert len(records.list_attempts("Ann Fleet")) == 3
        assert records.list_sign_offs()[1].person == "Ann Marsh"
        with pytest.raises(RefusalError, match="Somebody else"):
            records.rename_person("Ann Fleet", "Ben")
        with pytest.raises(RefusalError, match="Did you mean Ann Fleet"):
            records.rename_person("Ann Fleat", "Ann")
        records.check_whole()
        records.erase_person("Ann Fleet", UUID(int=300), NOON, sheets=False)
        assert "Ann Fleet" not in str(records.list_sign_offs())
        assert "Ann Marsh" not in str(records.list_sign_offs())


def test_export_holds_all_of_a_person_and_nobody_elses(
    filled: Ground, attempt: MakeAttempt
) -> None:
    with open_records(filled.where) as records:
        exported = records.export_person("Ann Marsh")
        with pytest.raises(RefusalError, match=r"Nobody is kept as Bren\. Did you mean Ben"):
            records.export_person("Bren")
    text = json.dumps(exported)
    assert all(secret in text for secret in SECRETS[:1] + SECRETS[2:])
    assert "Ben" not in text
    assert len(exported["attempts"]) == 3  # type: ignore[arg-type]
    rows = list(csv.DictReader(io.StringIO(write_attempts_csv(exported))))
    assert [row["id"] for row in rows] == [str(attempt(number).id) for number in (1, 3, 5)]
    assert float(rows[0]["seconds"]) == attempt(1).seconds
    assert json.loads(rows[2]["answer"]) == attempt(5).answer


def test_spreadsheet_takes_no_cell_for_a_formula() -> None:
    row = dict.fromkeys(
        ("when_utc", "lesson", "question", "kind", "subject", "build", "score", "seconds", "seed",
         "options", "marks", "answer", "result", "id")
    )  # fmt: skip
    text = write_attempts_csv({"attempts": [row | {"seed": "=1+1", "score": -0.5}]})
    assert "'=1+1" in text
    assert ",-0.5," in text
