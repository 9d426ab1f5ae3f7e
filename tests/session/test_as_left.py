"""The file of how the window was left: whole or not at all, set aside when it cannot be used, never in the way."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.spec.errors import SurroundingsError
from trainer.session.as_left import (
    AsLeft,
    AsLeftFile,
    Plain,
    StrangeValueError,
    Trouble,
    take_number,
    take_numbers,
    take_table,
    take_text,
    take_texts,
)

PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner, max_size=3),
    max_leaves=8,
)  # fmt: skip


def test_nothing_is_found_where_nothing_was_left(tmp_path: Path) -> None:
    assert AsLeftFile(tmp_path / "none").read() == AsLeft()


@given(values=st.dictionaries(st.text(max_size=5), PLAIN, max_size=4))
def test_what_is_written_is_read_again(
    tmp_path_factory: pytest.TempPathFactory, values: dict[str, Plain]
) -> None:
    file = AsLeftFile(tmp_path_factory.mktemp("left"))
    file.write(values)
    assert file.read() == AsLeft(values)
    assert [path.name for path in file.folder.iterdir()] == ["as-left.json"]


def test_all_in_which_a_name_stands_is_dropped_and_the_rest_stays(tmp_path: Path) -> None:
    file = AsLeftFile(tmp_path)
    file.write({"practical": {"signs": ["Ann Marsh", ""]}})
    file.put_aside()
    file.write({"pane": "shim", "note": "Ann Marsh"})
    other = file.put_aside()
    file.write({"pane": "shim", "practical": {"person": "ann marsh", "lines": []}, "who": "Ann"})
    assert file.drop_naming("Ann Marsh") == 3
    assert file.read().values == {"pane": "shim", "who": "Ann"}
    assert [path.name for path in tmp_path.iterdir()] == ["as-left.json"]
    assert other is not None
    assert file.drop_naming("Ann Marsh") == 0


@pytest.mark.parametrize(
    ("content", "trouble"),
    [
        (b"", Trouble.DAMAGED),
        (b'{"format": 1, "values": {"pane": "sh', Trouble.DAMAGED),
        (b"\xff\xfe\x00", Trouble.DAMAGED),
        (b"[1, 2]", Trouble.DAMAGED),
        (b'{"format": 1, "values": 7}', Trouble.DAMAGED),
        (b'{"some": "other program"}', Trouble.DAMAGED),
        (b"[" * 200_000, Trouble.DAMAGED),
        (b'{"format": 2, "values": {}}', Trouble.NEWER),
    ],
)
def test_a_file_that_cannot_be_used_is_set_aside_whole(
    tmp_path: Path, content: bytes, trouble: Trouble
) -> None:
    file = AsLeftFile(tmp_path)
    file.path.write_bytes(content)
    found = file.read()
    assert (found.values, found.trouble) == ({}, trouble)
    assert found.set_aside is not None
    assert found.set_aside.read_bytes() == content
    assert file.read() == AsLeft()
    file.path.write_bytes(content)
    second = file.read().set_aside
    assert second not in {None, found.set_aside}, "an earlier one is kept"


def test_a_folder_that_refuses_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(SurroundingsError, match="cannot be written"):
        AsLeftFile(tmp_path / "file").write({})


def test_a_write_that_fails_leaves_the_old_file_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = AsLeftFile(tmp_path)
    file.write({"pane": "shim"})

    def refuse(_number: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", refuse)
    with pytest.raises(SurroundingsError, match="No space left"):
        file.write({"pane": "sheet"})
    assert json.loads(file.path.read_text())["values"] == {"pane": "shim"}
    assert len(list(tmp_path.iterdir())) == 1


@given(PLAIN)
def test_a_value_is_taken_as_what_it_is_or_refused(value: Plain) -> None:
    takers: list[tuple[Callable[[Plain], object], type]] = [
        (take_table, dict),
        (take_text, str),
        (take_texts, list),
        (take_number, float),
    ]
    for take, kind in takers:
        try:
            taken = take(value)
        except StrangeValueError:
            continue
        assert isinstance(taken, kind)


def test_numbers_must_be_as_many_as_are_asked_for() -> None:
    assert take_numbers([1, 2.5, -3], 3) == [1.0, 2.5, -3.0]
    strange: list[Plain] = [[1, 2], [1, 2, True], [1, 2, "3"], "123", None]
    for wrong in strange:
        with pytest.raises(StrangeValueError, match="number"):
            take_numbers(wrong, 3)
