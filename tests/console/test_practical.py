"""The command `practical`: the rubric on paper, and a practical that is marked live, signed by both and filed."""

from __future__ import annotations

import json
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner, Result

from models.spec.build import TABLES
from models.spec.errors import RefusalError, SurroundingsError
from models.spec.procedure import read_procedures
from trainer.console import make_console
from trainer.console.practical import _Watching
from trainer.records import FiledSignOff, Records, SignOff, open_records
from trainer.session.unsigned import UnsignedPracticals

BUILD = ("--build", "end-suction/100-250")
NAMES = ("--person", "Ann Marsh", "--observer", "Dora Fenn")
STEPS = read_procedures(TABLES)["open-pump"].steps


@pytest.fixture(autouse=True)
def records_apart(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PUMPWRIGHT_RECORDS", str(tmp_path / "records.db"))
    monkeypatch.setattr("trainer.session.unsigned.find_own_folder", lambda: tmp_path / "own")


def run(*arguments: str | Path, typed: str = "") -> Result:
    result = CliRunner().invoke(make_console(), ["practical", *map(str, arguments)], input=typed)
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def watch(marks: str, signs: str = "ann marsh\nDora Fenn\n") -> Result:
    typed = "".join(f"{mark}\n" for mark in marks.split("|")) + signs
    return run("open-pump", *BUILD, *NAMES, "--json", typed=typed)


def test_it_is_marked_signed_by_both_and_filed_with_its_remarks() -> None:
    result = watch(
        "|".join(["a", "x", "a", "p needs to think", "b", "a", *["a"] * (len(STEPS) - 3)])
    )
    assert result.exit_code == 0, result.output
    told = json.loads(result.stdout)
    assert told["passed"]
    assert told["lines"] == {step.name: 1.0 for step in STEPS}
    with open_records() as records:
        (filed,) = records.list_sign_offs("Ann Marsh")
    assert (filed.observer, filed.practical, filed.passed) == ("Dora Fenn", "open-pump", True)
    assert {one.line for one in filed.lines if one.is_critical} == {step.name for step in STEPS if step.is_critical}  # fmt: skip


def test_a_critical_line_after_a_prompt_is_not_passed_and_filed_all_the_same() -> None:
    result = watch("|".join(["p forgot the tag", *["a"] * (len(STEPS) - 1)]))
    assert result.exit_code == 1
    assert "not passed" in result.stderr
    with open_records() as records:
        (filed,) = records.list_sign_offs("Ann Marsh")
    assert not filed.passed
    assert (filed.lines[0].mark, filed.lines[0].remark) == (0.5, "forgot the tag")


def test_who_does_not_sign_with_the_name_is_asked_again_and_nothing_is_filed_before() -> None:
    marks = "|".join(["a"] * len(STEPS))
    assert watch(marks, "Ann\nAnn Marsh\n\ndora fenn\n").exit_code == 0
    stopped = watch(marks, "Ann Marsh\n")
    assert stopped.exit_code == 130
    assert "nothing was filed" in stopped.stderr
    with open_records() as records:
        assert len(records.list_sign_offs()) == 1


def test_the_rubric_is_printed_whole(tmp_path: Path) -> None:
    paper = tmp_path / "rubric.pdf"
    assert run("open-pump", *BUILD, "--out", paper).exit_code == 0
    document = pypdfium2.PdfDocument(paper.read_bytes())
    text = " ".join(document[0].get_textpage().get_text_range().split())
    assert len(document) == 1
    assert "Lock the driver out with your own lock and tag" in text
    assert text.count("CRITICAL") == sum(step.is_critical for step in STEPS)
    assert "maker's manual" in text


def test_one_that_was_held_is_printed_as_it_went(tmp_path: Path) -> None:
    paper = tmp_path / "held.pdf"
    typed = "\n".join(["a", "n never drained it", *["a"] * (len(STEPS) - 2), "ann marsh", "dora fenn", ""])  # fmt: skip
    result = run("open-pump", *BUILD, *NAMES, "--out", paper, typed=typed)
    assert result.exit_code == 1, result.output
    text = " ".join(pypdfium2.PdfDocument(paper.read_bytes())[0].get_textpage().get_text_range().split())  # fmt: skip
    with open_records() as records:
        (signed,) = records.list_sign_offs("Ann Marsh")
        filed = records.find_sign_off(signed.id)
    assert filed is not None
    assert filed.hash in text.replace(" ", "")
    share = f"{100 * (len(STEPS) - 1) / len(STEPS):.0f} %: not passed"
    for told in ("never drained it", "Ann Marsh", "Dora Fenn", share, "entry 1"):
        assert told in text
    assert signed.begun is not None
    assert signed.begun <= signed.when


def test_records_that_cannot_be_written_lose_nothing_and_are_tried_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    refuses = [True]
    add = Records.add_sign_off

    def refuse(records: Records, signed: SignOff) -> FiledSignOff:
        if refuses:
            refuses.pop()
            raise SurroundingsError("the disk is full")
        return add(records, signed)

    monkeypatch.setattr(Records, "add_sign_off", refuse)
    result = watch("|".join(["a"] * len(STEPS)), "Ann Marsh\nDora Fenn\n\n")
    assert "the disk is full" in result.stderr
    assert result.exit_code == 0
    with open_records() as records:
        assert len(records.list_sign_offs()) == 1


def test_neither_paper_nor_both_names_is_refused() -> None:
    assert run("open-pump", *BUILD).exit_code == 2
    assert run("open-pump", *BUILD, *NAMES[:2]).exit_code == 2


# ------------------------------------------------------------------ stopped, and gone on with
MANY = len(STEPS)


def test_one_that_is_stopped_half_way_is_gone_on_with_and_filed_once(tmp_path: Path) -> None:
    half = watch("a|p a word was needed|n", signs="")
    assert half.exit_code == 130
    assert "What is marked is kept" in half.stderr
    other = run("open-pump", *BUILD, "--person", "Tom Dyke", "--observer", "Dora Fenn", typed="a\n")
    assert "Going on" not in other.stderr, "another person's is none of it"
    rest = watch("|".join(["a"] * (MANY - 3)))
    assert f"3 of {MANY} lines are marked" in rest.stderr
    with open_records() as records:
        (signed,) = records.list_sign_offs("Ann Marsh")
    assert [one.mark for one in signed.lines] == [1.0, 0.5, 0.0, *[1.0] * (MANY - 3)]
    assert signed.lines[1].remark == "a word was needed"
    again = watch("a", signs="")
    assert "Going on" not in again.stderr, "what is filed is not gone on with"
    assert len(list((tmp_path / "own" / "practicals").iterdir())) == 2


def test_every_mark_is_on_the_disk_before_the_next_line_is_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A program that is killed says nothing: what it left has to be there already."""
    folder, asked = tmp_path / "own" / "practicals", list[int]()
    ask = _Watching._ask  # between two questions is where one is killed

    def look(watching: _Watching, prompt: str) -> str:
        files = list(folder.glob("*.json"))
        asked.append(
            len(json.loads(files[0].read_text())["values"]["practical"]["levels"]) if files else 0
        )
        return ask(watching, prompt)

    monkeypatch.setattr(_Watching, "_ask", look)
    watch("|".join(["a"] * 4), signs="")
    assert asked == [0, 1, 2, 3, 4]


def test_one_that_was_stopped_can_be_begun_anew() -> None:
    watch("n|n", signs="")
    typed = "".join(["a\n"] * MANY) + "ann marsh\ndora fenn\n"
    assert run("open-pump", *BUILD, *NAMES, "--afresh", typed=typed).exit_code == 0
    with open_records() as records:
        (signed,) = records.list_sign_offs("Ann Marsh")
    assert signed.passed


def test_a_folder_that_keeps_nothing_hinders_no_practical(tmp_path: Path) -> None:
    (tmp_path / "own").write_text("a file where a folder should be")
    result = watch("|".join(["a"] * MANY))
    assert result.exit_code == 0, result.output
    assert "cannot be written" in result.stderr


def test_erasing_reaches_what_a_terminal_keeps_of_an_unsigned_practical() -> None:
    watch("a", signs="")
    run("open-pump", *BUILD, "--person", "Tom Dyke", "--observer", "Eve Cull", typed="a\n")
    assert UnsignedPracticals().drop_naming("ann marsh") == 1
    assert "Going on" not in watch("a", signs="").stderr
    left = run("open-pump", *BUILD, "--person", "Tom Dyke", "--observer", "Eve Cull", typed="")
    assert "Going on" in left.stderr


def test_one_on_file_is_listed_and_printed_again(tmp_path: Path) -> None:
    held, again = tmp_path / "held.pdf", tmp_path / "again.pdf"
    typed = "".join(["a\n"] * (MANY - 1)) + "p on the last one\nann marsh\ndora fenn\n"
    run("open-pump", *BUILD, *NAMES, "--out", held, typed=typed)
    (told,) = json.loads(run("--list", "--json").stdout)
    assert (told["entry"], told["person"], told["practical"]) == (1, "Ann Marsh", "open-pump")
    assert "Ann Marsh" in run("--list").stdout
    assert json.loads(run("--list", "--json", "--person", "Tom Dyke").stdout) == []
    assert run("--print", "1", "--out", again).exit_code == 0
    one, other = (
        pypdfium2.PdfDocument(path.read_bytes())[0].get_textpage().get_text_range()
        for path in (held, again)
    )
    assert one == other
    assert "on the last one" in other
    with pytest.raises(RefusalError, match="entry 2"):
        run("--print", "2", "--out", again)
    assert run("--print", "1").exit_code == 2
    assert run(*NAMES).exit_code == 2
