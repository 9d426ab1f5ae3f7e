"""Tables of practice are read whole, and each of their faults is told with its line."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from models.spec.errors import ContentError
from trainer.lesson.symptoms import read_symptoms
from trainer.lesson.taught import TAUGHT, check_taught, read_taught


def change(folder: Path, name: str, was: str, will: str) -> Path:
    shutil.copytree(TAUGHT, folder, dirs_exist_ok=True)
    file = folder / f"{name}.csv"
    text = file.read_text(encoding="utf-8")
    assert was in text
    file.write_text(text.replace(was, will, 1), encoding="utf-8")
    return folder


@pytest.mark.parametrize(
    ("name", "was", "will", "what"),
    [
        ("symptoms", "no-flow.valve-shut,look-at-valves", "no-flow.valve-shut,look-at-valve", "check 'look-at-valve' is unknown"),
        ("symptoms", "no-flow.valve-shut", "no-flow", "'no-flow' is no SYMPTOM.CAUSE"),
        ("symptoms", "no-flow.valve-shut,look-at-valves", "no-flow.valve-shut,read-gauges", "take equally long"),
        ("symptoms", "look-at-valves,common practice", "look-at-valves,the internet", "source 'the internet' is unknown"),
        ("checks", "read-gauges,2", "read-gauges,two", "minutes is 'two'"),
        ("innocent", "no-flow,bearing-worn", "no-flow,valve-shut", "is a cause of no-flow too"),
        ("innocent", "no-flow,bearing-worn", "no-flow,bearing-won", "cause 'bearing-won' is unknown"),
    ],
)  # fmt: skip
def test_a_fault_of_a_table_is_told_with_its_line(
    tmp_path: Path, name: str, was: str, will: str, what: str
) -> None:
    with pytest.raises(ContentError) as caught:
        read_symptoms(change(tmp_path / "tables", name, was, will))
    assert what in str(caught.value)
    assert all(fault.file == f"{name}.csv" and fault.line for fault in caught.value.faults)


def test_a_symptom_of_which_nothing_is_innocent_is_told(tmp_path: Path) -> None:
    folder = change(tmp_path / "tables", "innocent", "shakes,", "no-flaw,")
    with pytest.raises(ContentError, match="nothing is innocent of shakes"):
        read_symptoms(folder)


def test_every_table_says_who_says_so() -> None:
    for path in TAUGHT.glob("*.csv"):
        columns = path.read_text(encoding="utf-8").splitlines()[0].split(",")
        assert columns[-1] == "source", path.name
        rows, faults = read_taught(path.stem, columns)
        check_taught(faults)
        assert rows, path.name
