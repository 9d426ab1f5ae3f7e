"""The command `sheet`: form, judgement, PDF, records."""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from click.testing import CliRunner, Result

from models.spec.errors import ContentError, RefusalError, SurroundingsError
from tests.sheet_samples import change_form
from trainer.console import make_console
from trainer.session.sheet_judging import EXAMPLE

BUILD = "end-suction/100-250"
HOUSE = Path(__file__).resolve().parents[2]


@pytest.fixture(autouse=True)
def records_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    return tmp_path / "data" / "pumpwright" / "records.sqlite3"


@pytest.fixture
def form(tmp_path: Path) -> Path:
    path = tmp_path / "form.toml"
    path.write_text(change_form(), encoding="utf-8")
    return path


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(make_console(), ["sheet", *map(str, arguments)])


def ask(*arguments: str | Path, status: int = 0) -> Any:
    result = run(*arguments, "--json")
    assert result.exit_code == status, result.output
    return json.loads(result.stdout)


@pytest.mark.parametrize(
    "build", [(BUILD,), ("self-priming/80",), (BUILD, "--with", "priming=vacuum-assisted")]
)
def test_written_form_reads_back_as_a_sheet_with_everything_to_do(
    tmp_path: Path, build: tuple[str, ...]
) -> None:
    path = tmp_path / "new.toml"
    assert run(*build, "--write-form", path).exit_code == 0
    answer = ask("--form", path, status=1)["sheet"]
    assert (answer["build"], answer["verdict"]) == (build[0], "open")
    assert {one["kind"] for one in answer["missing"]} == {
        "head", "signed", "line", "part", "torque", "test", "pack",
    }  # fmt: skip
    assert all(line["left"] is None for line in answer["lines"])
    text = path.read_text(encoding="utf-8")
    assert all(len(line) < 1000 for line in text.splitlines())
    assert "19 thou" in text


def test_form_that_is_there_is_never_written_over(form: Path) -> None:
    before = form.read_bytes()
    result = run(BUILD, "--write-form", form)
    assert result.exit_code == 2
    assert "is there already" in result.output
    assert form.read_bytes() == before


def test_scripts_get_values_with_units_in_their_keys(form: Path) -> None:
    answer = ask("--form", form)
    sheet = answer["sheet"]
    gap = next(line for line in sheet["lines"] if line["name"] == "back-vane")
    assert gap["left"]["counts_mm"] == pytest.approx(0.49)
    assert sheet["pack"]["advice"]["ideal_mm"] == pytest.approx(0.66)
    assert (sheet["verdict"], answer["filed"], answer["file"]) == ("pass", None, None)


def test_people_get_tables_and_the_result_in_words(form: Path) -> None:
    result = run("--form", form)
    assert result.exit_code == 0
    for told in ("✓ PASS", "back-vane gap", "front wear ring", "0.40 to 0.80", "Not filed", "maker's manual"):  # fmt: skip
        assert told in result.stdout, told
    example = run("--example")
    assert example.exit_code == 0
    assert example.stdout == result.stdout


def test_shops_own_limits_go_before_the_tables(form: Path, tmp_path: Path) -> None:
    own = tmp_path / "own.csv"
    own.write_text(
        "clearance,least,aim,most,unit,source\nback-vane,0.6,0.7,0.9,mm,depot sheet 4\n",
        encoding="utf-8",
    )
    answer = ask("--form", form, "--limits", own, status=1)["sheet"]
    gap = next(line for line in answer["lines"] if line["name"] == "back-vane")
    assert (gap["low_mm"], gap["high_mm"], gap["left"]["verdict"]) == (0.6, 0.9, "fail")
    assert "depot sheet 4" in run("--form", form, "--limits", own).stdout
    new = tmp_path / "new.toml"
    assert run(BUILD, "--write-form", new, "--limits", own).exit_code == 0
    assert "back-vane gap: 0.60 to 0.90 mm" in new.read_text(encoding="utf-8")


def test_result_that_is_not_pass_is_an_exit_status(tmp_path: Path) -> None:
    path = tmp_path / "form.toml"
    path.write_text(change_form(("tests", "turns-free", '"fail: rubs"')), encoding="utf-8")
    result = run("--form", path)
    assert result.exit_code == 1
    assert "✗ FAIL" in result.stdout


def test_markup_of_the_terminal_in_an_entry_is_shown_as_typed(tmp_path: Path) -> None:
    path = tmp_path / "form.toml"
    path.write_text(change_form(("", "serial", '"[bold]7[/x]"')), encoding="utf-8")
    assert "[bold]7[/x]" in run("--form", path).stdout


def test_sheet_is_filed_shown_listed_and_corrected(form: Path, tmp_path: Path) -> None:
    first = ask("--form", form, "--file")["filed"]
    assert (first["number"], first["corrects"]) == (1, None)
    mended = tmp_path / "mended.toml"
    mended.write_text(change_form(("", "remarks", '"mended"')), encoding="utf-8")
    second = ask("--form", mended, "--file", "--corrects", first["id"][:8])["filed"]
    assert second["corrects"] == first["id"]
    assert second["previous_hash"] == first["hash"]
    shown = ask("--show", "1")
    assert shown["filed"]["corrected_by"] == second["id"]
    assert shown["sheet"] == ask("--form", form)["sheet"]
    assert "NO LONGER VALID" in run("--show", first["id"]).stdout
    listed = ask("--list")
    assert [one["number"] for one in listed] == [2, 1]
    told = run("--list").stdout
    assert "Marlowe" in told
    again = run("--form", mended, "--file", "--corrects", first["id"])
    assert isinstance(again.exception, RefusalError)
    assert "corrected already" in str(again.exception)
    assert len(ask("--list")) == 2


def test_chain_is_checked_and_a_changed_sheet_named(form: Path, records_file: Path) -> None:
    assert "No sheet is filed" in run("--check").stdout
    for _ in range(3):
        ask("--form", form, "--file")
    assert ask("--check") | {"last_hash": ""} == {
        "whole": True, "count": 3, "last_hash": "", "first_wrong": None, "why": None,
    }  # fmt: skip
    connection = sqlite3.connect(records_file, isolation_level=None)
    connection.execute("DROP TRIGGER sheets_stay_as_they_are")
    connection.execute(
        "UPDATE sheets SET content_json = replace(content_json, '0.49', '0.59') WHERE number = 2"
    )
    connection.close()
    answer = ask("--check", status=1)
    assert (answer["first_wrong"], answer["why"]) == (2, "hash")
    result = run("--check")
    assert result.exit_code == 1
    assert "Sheet 2 is the first that does not agree" in result.stdout
    assert run("--show", "1").exit_code == 0
    for number in ("2", "3"):
        shown = run("--show", number)
        assert isinstance(shown.exception, SurroundingsError)
        assert "Sheet 2 is the first" in str(shown.exception)
    listed = run("--list")
    assert listed.exit_code == 1
    assert "Sheet 2 is the first" in listed.stderr


def test_fault_files_nothing_and_prints_nothing(tmp_path: Path, records_file: Path) -> None:
    path, out = tmp_path / "form.toml", tmp_path / "sheet.pdf"
    path.write_text(change_form(("torque", "cap-joint", '"40"')), encoding="utf-8")
    result = run("--form", path, "--file", "--out", out, "--no-drawing")
    assert isinstance(result.exception, ContentError)
    assert not out.exists()
    assert not records_file.exists()


def test_unsigned_name_cannot_be_filed(tmp_path: Path) -> None:
    path = tmp_path / "form.toml"
    path.write_text(change_form(("", "assembler", '""')), encoding="utf-8")
    result = run("--form", path, "--file")
    assert isinstance(result.exception, RefusalError)
    assert "assembler" in str(result.exception)


def test_pdf_carries_the_hash_of_the_filed_sheet(form: Path, tmp_path: Path) -> None:
    out = tmp_path / "sheet.pdf"
    filed = ask("--form", form, "--file", "--out", out, "--no-drawing")
    assert filed["file"] == str(out)
    document = pypdfium2.PdfDocument(out.read_bytes())
    page = document[0].get_textpage()
    text = page.get_text_range()
    page.close()
    document.close()
    assert filed["filed"]["hash"] in "".join(text.split())


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((), "ask one thing"),
        (("--list", "--check"), "ask one thing"),
        (("--write-form", "x.toml"), "say for which pump"),
        ((BUILD, "--form", str(EXAMPLE)), "leave BUILD out"),
        (("--example", "--file"), "go with --form"),
        (("--example", "--out", "sheet.txt"), "end its name in .pdf"),
    ],
)
def test_question_that_is_none_is_refused(arguments: tuple[str, ...], message: str) -> None:
    result = run(*arguments)
    assert result.exit_code == 2
    assert message in result.output


def test_judging_a_form_loads_neither_kernel_nor_pictures_nor_compiler() -> None:
    program = (
        "import sys\nfrom trainer.console import make_console\n"
        "make_console().main(['sheet', '--example', '--json'], standalone_mode=False)\n"
        "sys.stderr.write(' '.join(sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=HOUSE,
        env=os.environ,
        capture_output=True,
        text=True,
        check=True,
    )
    loaded = set(done.stderr.split())
    assert "trainer.session.sheet_judging" in loaded
    slow = {
        "cadquery",
        "OCP",
        "vtk",
        "vtkmodules",
        "PySide6",
        "typst",
        "numba",
        "sqlalchemy",
        "PIL",
    }
    assert loaded & slow == set()
