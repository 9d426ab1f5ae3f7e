"""Names say what a thing does in the words of the trade; some words say nothing."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[2]
EMPTY_VERB = re.compile(r"^_?(get|process|handle)_")
EMPTY_ROOM = re.compile(r"(^|_)(utils?|common|helpers?|base|managers?|misc)(_|$)")
EMPTY_CLASS = re.compile(r"(Manager|Helper|Utils?|Base|Processor|Handler)$")


def list_files() -> list[Path]:
    return [
        path
        for room in ("trainer", "models", "tests")
        for path in sorted((HOUSE / room).rglob("*.py"))
    ]


def find_empty_names(text: str) -> Iterator[str]:
    """Find functions and classes whose names hide what they do."""
    for node in ast.walk(ast.parse(text)):
        match node:
            case ast.FunctionDef(name=name) | ast.AsyncFunctionDef(name=name):
                if EMPTY_VERB.match(name):
                    yield name
            case ast.ClassDef(name=name):
                if EMPTY_CLASS.search(name):
                    yield name


def test_functions_and_classes_say_what_they_do() -> None:
    found = {
        f"{path.relative_to(HOUSE)}: {name}"
        for path in list_files()
        for name in find_empty_names(path.read_text(encoding="utf-8"))
    }
    assert found == set()


def test_files_and_folders_say_what_they_hold() -> None:
    names = [path.relative_to(HOUSE).with_suffix("") for path in list_files()]
    assert [str(name) for name in names if any(map(EMPTY_ROOM.search, name.parts))] == []


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("def get_bore(): ...", ["get_bore"]),
        ("class A:\n    async def _handle_click(self): ...", ["_handle_click"]),
        ("class PartManager: ...", ["PartManager"]),
        ("def make_shaft(): ...\nclass Shaft: ...\ndef getter(): ...", []),
    ],
)
def test_the_search_tells_empty_names_from_good_ones(text: str, names: list[str]) -> None:
    assert list(find_empty_names(text)) == names
