"""The commands `people`, `records`, `certificate`, on a file and on a server."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any
from uuid import UUID

import pypdfium2
import pytest
from click.testing import CliRunner, Result

from models.spec.errors import RefusalError
from tests.records.conftest import Ground, ground, server
from tests.records.samples import make_certificate, make_sign_off
from trainer.console import make_console
from trainer.handout.certificate_page import (
    make_certificate_pages,
    make_certificate_pdf,
    tell_certificate,
)
from trainer.records import FiledCertificate, open_records
from trainer.records.sheet import Sheet
from trainer.session.as_left import AsLeftFile
from trainer.session.certifying import find_end
from trainer.words import load_words

__all__ = ["ground", "server"]  # fixtures
NOW = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


@pytest.fixture
def kept(ground: Ground, monkeypatch: pytest.MonkeyPatch) -> Ground:
    monkeypatch.setenv("PUMPWRIGHT_RECORDS", str(ground.where))
    with open_records() as records:
        records.add_sign_off(make_sign_off(1))
        records.add_sheet(Sheet(UUID(int=2), NOW, {"assembler": "Ann Marsh"}))
    return ground


def run(*arguments: str | Path, status: int = 0) -> Result:
    result = CliRunner().invoke(make_console(), [str(one) for one in arguments])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    assert result.exit_code == status, result.output
    return result


def ask(*arguments: str | Path, status: int = 0) -> Any:
    return json.loads(run(*arguments, "--json", status=status).stdout)


def issue(*more: str | Path) -> Any:
    return ask("certificate", "Ann Marsh", "--for", "strip-and-rebuild", "--by", "Dora Fenn", *more)


@pytest.mark.usefixtures("kept")
def test_certificate_is_issued_printed_verified_and_withdrawn(tmp_path: Path) -> None:
    paper = tmp_path / "certificate.pdf"
    made = issue("--months", "24", "--title", "Strip and rebuild", "--out", paper)
    code = made["code"]
    document = pypdfium2.PdfDocument(paper.read_bytes())
    text = document[0].get_textpage().get_text_range()
    assert len(document) == 1
    for told in (code, "Ann Marsh", "Strip and rebuild", "Dora Fenn", "Cleo Dyke", made["expires"]):
        assert told in text
    assert ask("records", "verify", code.lower())["standing"] == "holds"
    assert "Ann Marsh: Strip and rebuild" in run("records", "verify", code).output
    assert ask("people") == [
        {"name": "Ann Marsh", "attempts": 0, "passed": 1, "certificates": 1},
        {"name": "Cleo Dyke", "attempts": 0, "passed": 0, "certificates": 0},
        {"name": "Dora Fenn", "attempts": 0, "passed": 0, "certificates": 0},
    ]
    withdrawn = ask("certificate", "--withdraw", code, "--by", "Dora Fenn", "--why", "wrong pump")
    assert withdrawn["standing"] == "withdrawn"
    assert "wrong pump" in run("records", "verify", code, status=1).output
    again = tmp_path / "again.pdf"
    run("certificate", "--print", code, "--out", again)
    assert (
        "Withdrawn" in pypdfium2.PdfDocument(again.read_bytes())[0].get_textpage().get_text_range()
    )
    assert [one["code"] for one in ask("certificate", "--list")] == [code]


@pytest.mark.usefixtures("kept")
def test_records_are_backed_up_erased_and_restored(tmp_path: Path) -> None:
    code = issue()["code"]
    backup = tmp_path / "backup.sqlite3"
    assert ask("records", "backup", backup)["rows"]["history"] == 2
    csv, plain = tmp_path / "a.csv", tmp_path / "a.json"
    run("records", "export", "Ann Marsh", "--csv", csv, "--out", plain)
    assert len(json.loads(plain.read_text())["history"]) == 2
    assert csv.read_text().startswith("when_utc,")
    assert ask("records", "erase", "Ann Marsh", status=1) == {
        "erased": False, "attempts": 0, "entries": 2, "sheets": 1,
    }  # fmt: skip
    assert ask("people")[0]["name"] == "Ann Marsh", "nothing is erased until it is said"
    AsLeftFile().write({"pane": "shim", "practical": {"person": "Ann Marsh"}})
    told = ask("records", "erase", "Ann Marsh", "--yes")
    assert (told["erased"], told["left"]) == (True, 1)
    assert AsLeftFile().read().values == {"pane": "shim"}
    assert ask("records", "verify", code, status=1)["person"] is None
    assert ask("records", "check")["whole"] is True
    with pytest.raises(RefusalError, match="There are records"):
        run("records", "restore", backup)
    told = run("records", "restore", backup, "--keep", tmp_path / "kept.sqlite3").output
    assert "kept.sqlite3" in told
    assert ".sha256" not in told
    assert "Erased since this backup was made, and back with it: Ann Marsh." in told
    backup.with_name("backup.sqlite3.sha256").unlink()
    told = run("records", "restore", backup, "--keep", tmp_path / "again.sqlite3").output
    assert "There was no backup.sqlite3.sha256 beside the backup" in told
    assert ask("records", "verify", code)["person"] == "Ann Marsh"


@pytest.mark.usefixtures("kept")
def test_renamed_person_keeps_what_was_passed_and_is_certified_for_it() -> None:
    told = ask("people", "--rename", "Ann Marsh", "Ann Fleet")
    assert told[0] == {"name": "Ann Fleet", "attempts": 0, "passed": 1, "certificates": 0}
    made = ask("certificate", "Ann Fleet", "--for", "strip-and-rebuild", "--by", "Dora Fenn")
    assert (made["person"], made["standing"]) == ("Ann Fleet", "holds")
    assert ask("people")[0]["certificates"] == 1


@pytest.mark.usefixtures("kept")
def test_scrubbing_again_does_no_harm() -> None:
    assert ask("records", "scrub")["scrubbed"] is True
    assert "is overwritten" in run("records", "scrub").output
    assert ask("records", "check")["whole"] is True


def test_export_is_for_nobody_else_to_read(kept: Ground, tmp_path: Path) -> None:
    assert kept.where
    out, csv = tmp_path / "a.json", tmp_path / "a.csv"
    run("records", "export", "Ann Marsh", "--out", out, "--csv", csv)
    assert [file.stat().st_mode & 0o777 for file in (out, csv)] == [0o600, 0o600]


def test_check_names_what_was_changed(kept: Ground) -> None:
    kept.unlock()
    kept.sql("UPDATE history_names SET said_json = '{}' WHERE role = 'learner'")
    assert ask("records", "check", status=1)["history"]["why"] == "name"
    told = run("records", "check", status=1).output
    assert "Entry 1 of the history is not as it was written: a name in it was changed" in told


@pytest.mark.parametrize(
    "arguments",
    [
        ("certificate",),
        ("certificate", "Ann", "--for", "x"),
        ("certificate", "--print", "x"),
        ("certificate", "--withdraw", "x"),
        ("certificate", "--list", "--print", "x"),
        ("certificate", "Ann", "--for", "x", "--by", "y", "--months", "0"),
        ("records", "backup"),
    ],
)
def test_question_that_lacks_something_is_refused(arguments: tuple[str, ...]) -> None:
    run(*arguments, status=2)


@pytest.mark.usefixtures("kept")
def test_practical_that_was_not_passed_is_named_with_those_that_were() -> None:
    with pytest.raises(RefusalError, match="signed off and passed: strip-and-rebuild"):
        run("certificate", "Ann Marsh", "--for", "walk", "--by", "Dora Fenn")


def test_place_is_chosen_by_an_option_of_the_command_or_before_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PUMPWRIGHT_RECORDS", "")
    for number, arguments in enumerate(
        (["records", "check", "--records", "{}"], ["--records", "{}", "people"])
    ):
        file = tmp_path / f"{number}.sqlite3"
        run(*(one.format(file) for one in arguments))
        assert file.exists()


@pytest.mark.parametrize(
    ("begins", "months", "ends"),
    [
        ((2026, 11, 30), 24, (2028, 11, 30)),
        ((2026, 11, 30), 3, (2027, 2, 28)),
        ((2027, 8, 31), 6, (2028, 2, 29)),
        ((2026, 1, 31), 1, (2026, 2, 28)),
        ((2026, 12, 1), 1, (2027, 1, 1)),
    ],
)
def test_months_end_on_the_same_day_or_the_last_there_is(
    begins: tuple[int, int, int], months: int, ends: tuple[int, int, int]
) -> None:
    assert find_end(date(*begins), months) == date(*ends)


def test_all_that_is_told_stands_on_paper_however_long() -> None:
    words = load_words("en")
    name = "Bartholomew " * 6
    sign_offs = [replace(make_sign_off(number, name), practical=f"practical-{number}") for number in range(8)]  # fmt: skip
    certificate = make_certificate(20, *range(8), person=name)
    told = tell_certificate(words, FiledCertificate(certificate, 4, "7f" * 32, name), sign_offs)
    document = pypdfium2.PdfDocument(make_certificate_pdf(told, words))
    text = "".join(page.get_textpage().get_text_range() for page in document)
    assert text.count("Bartholomew") == 12
    assert all(f"practical-{number}" in text for number in range(8))
    assert told.code in text
    assert len(make_certificate_pages(told, words, 40)) == len(document)
