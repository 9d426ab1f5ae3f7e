"""Every key the program's code names has a text."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import TYPE_CHECKING

import trainer
from trainer.words import Words, load_words

if TYPE_CHECKING:
    from collections.abc import Iterator

TRAINER_FOLDER = Path(trainer.__file__).parent
# `str.count("x")` takes one argument before the text's end, `Words.count` a number beside its key.
FEWEST_ARGUMENTS = {"say": 1, "has": 1, "count": 2}


def list_keys(source: str) -> Iterator[tuple[str, bool, int]]:
    """List the keys a source names: the key or the fixed head of one, whether it is whole, and the line."""
    for node in ast.walk(ast.parse(source)):
        if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)):
            continue
        if len(node.args) < FEWEST_ARGUMENTS.get(node.func.attr, 99):
            continue
        match node.args[0]:
            case ast.Constant(value=str(key)):
                yield key, True, node.lineno
            case ast.JoinedStr(values=[ast.Constant(value=str(head)), *_]):
                yield head, False, node.lineno


def find_unknown(source: str, words: Words) -> list[str]:
    keys = [*words.texts, *words.plurals]
    return [
        f"line {line}: {key}"
        for key, is_whole, line in list_keys(source)
        if not (words.has(key) if is_whole else any(known.startswith(key) for known in keys))
    ]


def test_every_key_named_in_the_program_has_a_text() -> None:
    words = load_words("en")
    unknown = {
        str(path.relative_to(TRAINER_FOLDER)): found
        for path in sorted(TRAINER_FOLDER.rglob("*.py"))
        if (found := find_unknown(path.read_text(encoding="utf-8"), words))
    }
    assert unknown == {}


def test_the_search_finds_an_unknown_key() -> None:
    words = Words("en", {"part.impeller.name": "impeller"}, {}, int)
    source = 'words.say("part.impeller.name")\nwords.say("part.no")\nw.say(f"part.{x}.name")\nw.say(f"prat.{x}")\n"aa".count("a")'
    assert find_unknown(source, words) == ["line 2: part.no", "line 4: prat."]
