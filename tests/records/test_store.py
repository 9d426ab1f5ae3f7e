from __future__ import annotations

import math
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from enum import Enum
from pathlib import Path
from uuid import UUID

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.spec.errors import RefusalError
from tests.records.conftest import Ground
from trainer.records import Attempt, Json, Records, check_person_name, open_records

MakeAttempt = Callable[..., Attempt]


def test_attempt_comes_back_as_it_was_recorded(ground: Ground, attempt: MakeAttempt) -> None:
    with open_records(ground.where) as records:
        for number in range(7):
            records.add_attempt(attempt(number))
    with open_records(ground.where) as records:
        listed = records.list_attempts()
        records.check_whole()
    assert listed == tuple(attempt(number) for number in reversed(range(7)))


def test_latest_comes_first_and_of_equal_times_the_one_recorded_last(
    ground: Ground, attempt: MakeAttempt
) -> None:
    noon = datetime(2024, 3, 4, 12, tzinfo=UTC)
    times = [noon, noon - timedelta(days=1), noon, noon + timedelta(microseconds=1)]
    records = open_records(ground.where)
    for number, when in enumerate(times):
        records.add_attempt(replace(attempt(number), when=when))
    assert [each.id.int for each in records.list_attempts()] == [3, 2, 0, 1]
    assert [each.id.int for each in records.list_attempts(limit=2)] == [3, 2]


def test_limit_of_nothing_lists_all(ground: Ground, attempt: MakeAttempt) -> None:
    records = open_records(ground.where)
    for number in range(103):
        records.add_attempt(attempt(number))
    assert len(records.list_attempts()) == 100
    assert len(records.list_attempts(limit=None)) == 103


def test_attempts_of_one_person_are_found_by_the_name_as_typed(
    ground: Ground, attempt: MakeAttempt
) -> None:
    records = open_records(ground.where)
    for number, person in enumerate(["Zoe\u0308  Marsh", "Ann", "Zo\u00eb Marsh"]):
        records.add_attempt(attempt(number, person))
    assert records.list_people() == ("Zo\u00eb Marsh", "Ann")
    assert [each.id.int for each in records.list_attempts(" Zo\u00eb Marsh ")] == [2, 0]
    assert records.list_attempts("nobody yet") == ()


def test_attempts_are_found_by_kind_item_lesson_and_time(
    ground: Ground, attempt: MakeAttempt
) -> None:
    records = open_records(ground.where)
    made = [attempt(number) for number in range(40)]
    for one in made:
        records.add_attempt(one)

    def list_ids(**wanted: object) -> list[int]:
        found = records.list_attempts(limit=None, **wanted)  # type: ignore[arg-type] # any of them
        return [each.id.int for each in reversed(found)]

    for key in {one.item for one in made}:
        assert list_ids(item=key) == [one.id.int for one in made if one.item == key]
    assert list_ids(kind="point-out") == list(range(1, 40, 3))
    assert list_ids(lesson="first-strip-3", since=made[20].when) == [23, 27, 31, 35, 39]
    assert made[5].item == "shim-thickness/part-5"
    assert replace(made[5], subject="").item == "", "an attempt from before is no item"


def test_recording_the_same_attempt_again_changes_nothing(
    ground: Ground, attempt: MakeAttempt
) -> None:
    records = open_records(ground.where)
    for _ in range(3):
        records.add_attempt(attempt(1))
    later = replace(attempt(1), when=attempt(2).when, seconds=99.0)
    records.add_attempt(later)  # tried again once the clock had gone on
    assert records.list_attempts() == (attempt(1),)


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"score": 0.5}, "score"),
        ({"person": "Bert"}, "person"),
        ({"answer": ["casing-nut-1", 1.0]}, "answer"),
        ({"kind": "what-if", "result": None}, "kind, result"),
    ],
)
def test_other_content_under_the_same_id_is_refused_and_changes_nothing(
    ground: Ground, attempt: MakeAttempt, change: dict[str, object], named: str
) -> None:
    records = open_records(ground.where)
    records.add_attempt(attempt(1))
    with pytest.raises(RefusalError, match=f"{attempt(1).id} .* another {named}\\.$"):
        records.add_attempt(replace(attempt(1), **change))  # type: ignore[arg-type] # any field
    assert records.list_attempts() == (attempt(1),)
    assert records.list_people() == ("Ann",)


plain = st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False)
# Any text at all, half surrogates and NUL too: an answer may hold what a phone sent.
words = st.text(st.characters(codec=None), max_size=8)
json_values: st.SearchStrategy[Json] = st.recursive(
    plain | words,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(words, inner, max_size=4),
    max_leaves=12,
)


@pytest.fixture(scope="module")
def shared_records(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Records]:
    with open_records(tmp_path_factory.mktemp("records") / "any-json.sqlite3") as records:
        yield records


@given(answer=json_values, result=json_values, options=st.dictionaries(words, words, max_size=3))
def test_any_json_comes_back_the_same(
    shared_records: Records, answer: Json, result: Json, options: dict[str, str]
) -> None:
    earlier = shared_records.list_attempts(limit=1)
    number = earlier[0].id.int + 1 if earlier else 0
    made = Attempt(
        id=UUID(int=number),
        person="Ann",
        when=datetime(2024, 1, 1, tzinfo=UTC) + timedelta(seconds=number),
        kind="read-gap",
        build="b",
        question="q",
        answer=answer,
        result=result,
        options=options,
    )
    shared_records.add_attempt(made)
    shared_records.add_attempt(made)
    (read,) = shared_records.list_attempts(limit=1)
    assert read.id == made.id
    # repr tells 1 from 1.0 and True, and -0.0 from 0.0, which == does not.
    assert repr(in_order(read.answer)) == repr(in_order(answer))
    assert repr(in_order(read.result)) == repr(in_order(result))
    assert read.options == options


def in_order(value: Json) -> object:
    if isinstance(value, dict):
        return {key: in_order(value[key]) for key in sorted(value)}
    return [in_order(each) for each in value] if isinstance(value, list) else value


@given(st.text(st.characters(codec=None), max_size=90))
def test_tidying_a_name_twice_changes_nothing(typed: str) -> None:
    try:
        name = check_person_name(typed)
    except RefusalError:
        return
    assert check_person_name(name) == name
    name.encode()


@pytest.mark.parametrize("typed", ["", " \t\n", "a" * 81, "Ann\x00", "Ann\ud800", "\ue000"])
def test_name_that_cannot_be_shown_is_refused(typed: str) -> None:
    with pytest.raises(RefusalError, match=r"[Nn]ame"):
        check_person_name(typed)


def test_time_of_any_zone_is_kept_as_utc(attempt: MakeAttempt) -> None:
    zone = timezone(timedelta(hours=5, minutes=45))
    made = replace(attempt(1), when=datetime(2024, 1, 1, 0, 0, tzinfo=zone))
    assert made.when.isoformat() == "2023-12-31T18:15:00+00:00"


class Feel(str, Enum):  # noqa: UP042 - the kind whose str() is not its value
    TIGHT = "tight"


def test_values_are_copied_into_plain_types(attempt: MakeAttempt) -> None:
    gaps_mm = [0.4]
    answer: Json = {"gap_mm": np.float64(0.25), "feel": Feel.TIGHT, "all": (gaps_mm,)}
    made = replace(attempt(1), answer=answer)
    gaps_mm.append(9.0)
    assert repr(made.answer) == "{'gap_mm': 0.25, 'feel': 'tight', 'all': [[0.4]]}"


def nest(depth: int) -> Json:
    value: Json = 0
    for _ in range(depth):
        value = [value]
    return value


@pytest.mark.parametrize(
    ("change", "error", "message"),
    [
        ({"when": datetime(2024, 1, 1)}, ValueError, "time zone"),  # noqa: DTZ001 - the fault
        ({"answer": {"gap_mm": [math.nan]}}, ValueError, r"answer\.gap_mm\[0\] must be finite"),
        ({"answer": {1: 2}}, TypeError, "the key 1, which is not text"),
        ({"result": {"path": Path()}}, TypeError, r"result\.path is a PosixPath"),
        ({"result": nest(51)}, ValueError, "nested more than 50 deep"),
        ({"score": math.inf}, ValueError, "score must be finite"),
        ({"build": ""}, ValueError, "build must be"),
        ({"question": "a\nb"}, ValueError, "question must be"),
        ({"subject": "\x00"}, ValueError, "subject must be"),
        ({"kind": "Dance!"}, ValueError, "kind must be"),
        ({"seconds": math.nan}, ValueError, "seconds must be finite"),
        ({"answer": "x" * 1_000_000}, RefusalError, "answer is too long"),
    ],
)
def test_attempt_that_cannot_be_kept_is_never_made(
    attempt: MakeAttempt, change: dict[str, object], error: type[Exception], message: str
) -> None:
    with pytest.raises(error, match=message):
        replace(attempt(1), **change)  # type: ignore[arg-type] # wrong on purpose
    assert replace(attempt(1), result=nest(50)).result == nest(50)


def test_default_file_lies_in_the_users_data_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, attempt: MakeAttempt
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    with open_records() as records:
        records.add_attempt(attempt(1))
        path = tmp_path / "data" / "pumpwright" / "records.sqlite3"
        assert records.name == str(path)
    assert path.parent.stat().st_mode & 0o777 == 0o700
    assert os.listdir(path.parent) == ["records.sqlite3"]  # noqa: PTH208 - names only


def test_importing_records_loads_no_database_library(tmp_path: Path) -> None:
    program = """
import sys, pathlib
import trainer.records
heavy = {"sqlalchemy", "alembic", "sqlite3", "psycopg"}
assert not heavy & set(sys.modules), heavy & set(sys.modules)
path = pathlib.Path(sys.argv[1])
trainer.records.open_records(path).close()
assert "psycopg" not in sys.modules
print("alembic" in sys.modules, "sqlalchemy" in sys.modules)
"""
    command = [sys.executable, "-W", "error", "-c", program, str(tmp_path / "records.sqlite3")]
    root = Path(__file__).parents[2]
    said = [
        subprocess.run(command, cwd=root, check=True, capture_output=True, text=True).stdout.strip()
        for _ in range(2)
    ]
    assert said == ["True True", "False True"], "alembic is for the file's first opening only"


def test_records_has_no_other_names() -> None:
    import trainer.records

    with pytest.raises(AttributeError, match="close_records"):
        _ = trainer.records.close_records
