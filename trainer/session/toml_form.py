"""Read a form that somebody filled in as a TOML text: bounded, as data only, every fault with its line."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from models.spec.errors import ContentError, Fault, SurroundingsError, say_near

MOST_BYTES = 200_000
LONGEST_TEXT = 300

FormPath = tuple[str | int, ...]
"""Where a value stands in a form: keys of tables, numbers of lists."""

_SYNTAX = re.compile(r"\(at line (\d+), column (\d+)\)")


@dataclass(frozen=True, slots=True)
class TomlForm:
    """A form as it was read: how it is called in messages, what it holds, and the lines of its keys from 1."""

    shown: str
    content: Mapping[str, Any]
    lines: Mapping[FormPath, int] = field(default_factory=dict)


def read_toml(path: Path) -> TomlForm:
    """Read a form's file.

    Raises:
        SurroundingsError: the file is not there. ContentError: too long, no UTF-8, no TOML.
    """
    try:
        raw = path.read_bytes() if path.stat().st_size <= MOST_BYTES else None
    except OSError as error:
        reason = error.strerror or str(error)
        raise SurroundingsError(f"{path} cannot be read ({reason}); check the path") from error
    if raw is None:
        raise ContentError(
            [Fault(str(path), 0, 0, f"is over {MOST_BYTES} bytes", "a form is a short text")]
        )
    return parse_toml(raw, str(path))


def parse_toml(raw: bytes, shown: str) -> TomlForm:
    """Read a form from its bytes. Raises ContentError for what is no UTF-8 or no TOML."""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise ContentError(
            [Fault(shown, line, 0, "is not UTF-8 text", "save it as UTF-8")]
        ) from error
    try:
        return TomlForm(shown, tomllib.loads(text), find_lines(text))
    except tomllib.TOMLDecodeError as error:
        found = _SYNTAX.search(str(error))
        line, column = (int(found[1]), int(found[2])) if found else (text.count("\n") + 1, 0)
        what = _SYNTAX.sub("", str(error)).strip()
        raise ContentError(
            [
                Fault(
                    shown,
                    line,
                    column,
                    f"is no TOML: {what}",
                    "texts stand in quotes, lists in [ ]",
                )
            ]
        ) from error
    except RecursionError as error:
        raise ContentError([Fault(shown, 0, 0, "nests too deep", "a form is flat")]) from error


def find_lines(text: str) -> dict[FormPath, int]:
    """Find the line of every table and key of a TOML text that stands at the start of a line."""
    lines: dict[FormPath, int] = {}
    table: FormPath = ()
    counts: dict[str, int] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        bare = line.strip()
        if match := re.match(r"\[\[\s*([\w-]+)\s*\]\]", bare):
            counts[match[1]] = counts.get(match[1], -1) + 1
            table = (match[1], counts[match[1]])
            lines[table] = number
        elif match := re.match(r"\[([^\[\]]+)\]", bare):
            table = tuple(part.strip().strip("\"'") for part in match[1].split("."))
            lines[table] = number
            lines.setdefault(table[:1], number)
        elif match := re.match(r"([\w-]+|\"[^\"]*\"|'[^']*')\s*(=|\.)", bare):
            lines.setdefault((*table, match[1].strip("\"'")), number)
    return lines


class FormReading:
    """Gather what a form says, and every fault of it."""

    def __init__(self, form: TomlForm) -> None:
        self.form = form
        self.faults: list[Fault] = []

    def check(self) -> None:
        """Raise ContentError with every fault found so far, by line; nothing when there is none."""
        if self.faults:
            raise ContentError(sorted(self.faults, key=lambda fault: fault.line))

    def blame(self, at: FormPath, what: str, remedy: str) -> None:
        """Note a fault at the nearest line that is known."""
        lines = self.form.lines
        line = next((lines[at[:n]] for n in range(len(at), 0, -1) if at[:n] in lines), 0)
        self.faults.append(Fault(self.form.shown, line, 0, what, remedy))

    def check_keys(self, at: FormPath, said: Mapping[str, Any], known: Sequence[str]) -> None:
        """Blame every key that is not known."""
        for key in said:
            if key not in known:
                self.blame((*at, key), f"{quote(key)} is not known here", say_near(key, known))

    def text(self, at: FormPath, value: Any, longest: int = LONGEST_TEXT) -> str:  # noqa: ANN401 - whatever the file holds
        """Read a text of one line; "" after blaming anything else."""
        if not isinstance(value, str) or len(value) > longest or not is_plain(value):
            what = f"{at[-1]} is no text of one line and at most {longest} letters"
            self.blame(at, what, "write it in quotes")
            return ""
        return value.strip()


def is_plain(text: str) -> bool:
    """Can every sign of it be shown on one line?"""
    return all(letter.isprintable() for letter in text)


def quote(value: object) -> str:
    """Quote what somebody wrote for a message, cut short where it is long."""
    text = str(value)
    return repr(text if len(text) <= 60 else text[:60] + "…")
