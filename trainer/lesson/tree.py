"""Read YAML into plain text, lists and mappings, with the position of every value.

Every scalar stays text; the schema decides what a field is. So no spelling
turns into a surprise (`no` stays "no"), and no tag is ever acted upon. Built
from the parser's events without recursion, so that depth is ours to bound.
Anchors and aliases are refused: a lesson does not need them, and they are how
a small file becomes a huge one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    CollectionEndEvent,
    CollectionStartEvent,
    DocumentStartEvent,
    Event,
    MappingStartEvent,
    NodeEvent,
    ScalarEvent,
)
from ruamel.yaml.reader import ReaderError

from models.spec.errors import ContentError, Fault
from trainer.lesson.lesson import Path, Position

MOST_BYTES = 256_000
MOST_NODES = 20_000
MOST_DEPTH = 12
MOST_FAULTS = 100
_COLUMNS = "Begin the keys of one entry in one column, and the dashes of one list; look at the line above too"
_COLON = (
    "A text that holds a colon and a space stands in quotes, or behind | on lines of its own; "
    "a key has a space behind its colon: look at the line above too"
)
_WORDINGS: tuple[tuple[str, str, str], ...] = (
    (r"character '\\t' that cannot start", "a tab stands here", "Indent with spaces"),
    (r"character '(.)' that cannot start", r"a text cannot begin with \1", "Put the text in quotes"),
    (
        "mapping values are not allowed here", "a colon stands where there is no key",
        _COLON,
    ),
    ("unexpected end of stream", "the quote that opens here is never closed", "Close it, or take it out"),
    ("expected ',' or '[]}]'", "the bracket that opens here is not closed", "Close it, with commas between its items"),
    (
        "could not find expected ':'", "a line above holds no key",
        "A text of several lines stands behind |, indented farther than its key; a key ends in a colon",
    ),
    (
        "but found '<scalar>'", "more stands behind a bracket or a quote that has ended",
        "A text that begins with { or [ or a quote stands in quotes, or behind | on lines of its own",
    ),
    ("expected <block end>", "this line does not stand below those that it belongs to", _COLUMNS),
)  # fmt: skip
"""What the parser says, as a pattern; what that is in our words; and the remedy."""
_AT_ITS_BEGINNING = ("unexpected end of stream", "expected ',' or")
"""What is told where it began, and not where the parser gave up."""


@dataclass
class Tree:
    """Hold a file's content and where each value and each key stands."""

    content: object = ""
    values: dict[Path, Position] = field(default_factory=dict)
    keys: dict[Path, Position] = field(default_factory=dict)
    text: str = ""

    def find_inside(self, path: Path, snippet: str, before: str) -> Position:
        """Find where some words of a text stand in the file; where the text begins if they were folded or escaped.

        Args:
            path: of the text.
            snippet: the words.
            before: the text before them.
        """
        start = self.values[path]
        lines = self.text.split("\n")
        at = sum(len(line) + 1 for line in lines[: start.line - 1]) + start.column - 1
        for _ in range(before.count(snippet) + 1):
            found = self.text.find(snippet, at)
            if found < 0:
                return start
            at = found + len(snippet)
        above = self.text[:found]
        return Position(above.count("\n") + 1, found - above.rfind("\n"))


@dataclass
class _Open:
    """Hold a mapping or list whose end is still to come."""

    path: Path
    content: dict[str, object] | list[object]
    key: str | None = None


def read_tree(raw: bytes, file: str) -> Tree:
    """Read a YAML file's bytes.

    Args:
        raw: the file as it lies on disk.
        file: its name, for faults.

    Raises:
        ContentError: where the bytes are no YAML, or YAML that a lesson may not hold.
    """
    if len(raw) > MOST_BYTES:
        raise ContentError(
            [Fault(file, 0, 0, f"the file is over {MOST_BYTES} bytes", "Split the lesson")]
        )
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise ContentError(
            [Fault(file, line, 0, "this is not UTF-8 text", "Save the file as UTF-8")]
        ) from error
    builder = _Builder(file)
    builder.tree.text = text
    for event in _read_events(text, file):
        builder.take(event)
    if builder.faults:
        raise ContentError(builder.faults)
    return builder.tree


def _read_events(text: str, file: str) -> Iterator[Event]:
    try:
        yield from YAML(typ="safe", pure=True).parse(text)
    except MarkedYAMLError as error:
        raise ContentError([_word_problem(error, file)]) from error
    except ReaderError as error:
        before = text[: error.position]
        line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
        what = f"the character U+{ord(text[error.position]):04X} is not allowed"
        raise ContentError(
            [Fault(file, line, column, what, "Delete it; it cannot be seen")]
        ) from error
    except (YAMLError, ValueError, OverflowError, AssertionError) as error:
        # The parser lets some of its own slips out bare: a number that names no character
        # (\U99999999), a version it does not know (%YAML 1.3). Fuzzing found these.
        raise ContentError(
            [Fault(file, 0, 0, f"this is not YAML: {error}", "Look for % lines, and \\U in quotes")]
        ) from error


def _word_problem(error: MarkedYAMLError, file: str) -> Fault:
    """Put what the parser says into our words, where it can be mended."""
    problem = str(error.problem or error.context)
    marks = [error.problem_mark, error.context_mark]
    if any(one in problem for one in _AT_ITS_BEGINNING):
        marks.reverse()
    mark = next((one for one in marks if one), None)
    line, column = (mark.line + 1, mark.column + 1) if mark else (0, 0)
    for pattern, what, remedy in _WORDINGS:
        found = re.search(pattern, problem)
        if found:
            return Fault(file, line, column, f"this is not YAML: {found.expand(what)}", remedy)
    what = f"this is not YAML: {problem}"
    return Fault(file, line, column, what, "Look at the indent and the quotes here")


class _Builder:
    """Build the tree from events, keeping a stack of what is open."""

    def __init__(self, file: str) -> None:
        self.tree = Tree()
        self.faults: list[Fault] = []
        self.file = file
        self.open: list[_Open] = []
        self.documents = 0
        self.nodes = 0

    def take(self, event: Event) -> None:
        """Take the next event into account."""
        if isinstance(event, DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                self._stop(event, "a second document begins here", "Keep one lesson to a file")
        elif isinstance(event, CollectionEndEvent):
            self.open.pop()
        elif isinstance(event, NodeEvent):
            self._take_node(event)
            if len(self.faults) > MOST_FAULTS:
                raise ContentError(self.faults)

    def _take_node(self, event: NodeEvent) -> None:
        self.nodes += 1
        if self.nodes > MOST_NODES:
            what = f"the file holds more than {MOST_NODES} keys and values"
            self._stop(event, what, "Split the lesson")
        if isinstance(event, AliasEvent) or event.anchor:
            self._blame(
                event,
                "anchors (&) and aliases (*) are not used in lessons",
                "Write it out again, or quote the text",
            )
        if getattr(event, "tag", None):
            self._blame(
                event, "tags (!) are not used in lessons", "Take the tag out, or quote the text"
            )
        content: dict[str, object] | list[object] | str = ""
        if isinstance(event, ScalarEvent):
            content = event.value
        elif isinstance(event, CollectionStartEvent):
            content = {} if isinstance(event, MappingStartEvent) else []
        path = self._place(event, content)
        if not isinstance(content, str):
            self.open.append(_Open(path, content))
            if len(self.open) > MOST_DEPTH:
                self._stop(
                    event,
                    f"this is nested more than {MOST_DEPTH} deep",
                    "Bring it nearer to the margin",
                )

    def _place(self, event: NodeEvent, content: object) -> Path:
        """Put a value, or a mapping's key, where it belongs and note its position."""
        position = Position(event.start_mark.line + 1, event.start_mark.column + 1)
        parent = self.open[-1] if self.open else None
        path: Path = ()
        if parent is None:
            self.tree.content = content
        elif isinstance(parent.content, list):
            path = (*parent.path, len(parent.content))
            parent.content.append(content)
        elif parent.key is None:
            return self._place_key(event, parent, content, position)
        else:
            path = (*parent.path, parent.key)
            parent.content[parent.key], parent.key = content, None
            if isinstance(event, ScalarEvent) and not event.value and not event.style:
                # Nothing is written there, and the parser places nothing on the next line.
                position = self.tree.keys[path]
        self.tree.values[path] = position
        return path

    def _place_key(self, event: NodeEvent, parent: _Open, key: object, position: Position) -> Path:
        if not isinstance(key, str):
            self._blame(
                event, "a key has to be a plain word", "Quote the text if it begins with [ or {"
            )
            key = "?"
        path = (*parent.path, key)
        first = self.tree.keys.setdefault(path, position)
        if first != position:
            self._blame(
                event, f"{key} is already given in line {first.line}", "Keep one of the two"
            )
        parent.key = key
        return path

    def _blame(self, event: Event, what: str, remedy: str) -> None:
        mark = event.start_mark
        self.faults.append(Fault(self.file, mark.line + 1, mark.column + 1, what, remedy))

    def _stop(self, event: Event, what: str, remedy: str) -> None:
        """Give up here: what follows may be without end."""
        self._blame(event, what, remedy)
        raise ContentError(self.faults)
