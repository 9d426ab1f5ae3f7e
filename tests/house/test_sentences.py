"""No sentence stands in the code of a face: a translator must find all of them in the catalogues."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[2]
FACES = ("console", "desktop", "classroom", "handout", "stage")
# Three words in a row, the latter two lower case: prose, and not a name, a format or SQL.
PROSE = re.compile(r"^\W*[A-Za-z][\w’'-]*,? +[a-z][\w’'-]* +[a-z(]")


def find_sentences(text: str) -> Iterator[tuple[int, str]]:
    """Find prose in a file's strings; docstrings and what a bug raises are for developers."""
    tree = ast.parse(text)
    spared: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr):  # a docstring, of a module, class, function or attribute
            spared.add(id(node.value))
        if isinstance(node, ast.Raise | ast.Assert):
            spared.update(id(part) for part in ast.walk(node))
    for node in ast.walk(tree):
        match node:
            case ast.Constant(value=str(value)) if id(node) not in spared and PROSE.search(value):
                yield node.lineno, value


def test_faces_write_no_sentences_of_their_own() -> None:
    files = [path for face in FACES for path in sorted((HOUSE / "trainer" / face).rglob("*.py"))]
    assert files != []
    found = [
        f"{path.relative_to(HOUSE)}:{line}: {sentence[:80]}"
        for path in files
        for line, sentence in find_sentences(path.read_text(encoding="utf-8"))
    ]
    assert found == []


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("label('Take the nut off')", 1),
        ("label(f'{name} is still held by {other}')", 1),
        ("label(words.say('order.held', piece=name))", 0),
        ('def draw():\n    """Draw the part in its place."""', 0),
        ("raise ValueError('a part is never its own neighbour')", 0),
        ("font = 'DejaVu Sans Mono'; rule = 'color: black'", 0),
    ],
)
def test_the_search_tells_prose_from_names(text: str, count: int) -> None:
    assert len(list(find_sentences(text))) == count
