"""Read gettext catalogues (PO files) into plain texts by key.

The reader is our own because babel's costs about 120 ms before its first line
is read, which is twice what the program may spend on its words at start-up;
the tests hold this reader against babel's on every catalogue we ship.

It reads the part of the format that catalogues by key need. What it does not
know (contexts, fuzzy entries) it refuses: a text half translated must not reach
a learner as if it were finished.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from gettext import c2py
from string import Formatter
from typing import TYPE_CHECKING

from models.spec.errors import ContentError, Fault

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from pathlib import Path

MOST_BYTES = 1_000_000
_LINE = re.compile(r'(?:(msgid_plural|msgid|msgstr)(?:\[(\d)\])?[ \t]+)?"((?:[^"\\]|\\.)*)"[ \t]*$')
_ESCAPE = re.compile(r"\\(.)")
_ESCAPED = {"n": "\n", "t": "\t", '"': '"', "\\": "\\"}
_PLURAL_FORMS = re.compile(r"nplurals\s*=\s*(\d)\s*;\s*plural\s*=\s*([^;\n]+)")
_NUMBERS_TRIED = 201  # every known plural rule shows all its forms below this
_FIELD_NAME = re.compile(r"[a-z][a-z0-9_]*\Z")


@dataclass(frozen=True)
class Catalogue:
    """Hold what one language says: single texts, plural texts, and its plural rule."""

    texts: dict[str, str]
    plurals: dict[str, tuple[str, ...]]
    choose_plural: Callable[[int], int]


@dataclass
class _Entry:
    """Gather the strings of one entry while its lines are read."""

    line: int
    strings: dict[str, list[str]] = field(default_factory=dict)

    def text(self, slot: str) -> str:
        return "".join(self.strings[slot])


def read_catalogue(paths: Iterable[Path]) -> Catalogue:
    """Read the PO files of one language and join them into one catalogue.

    Args:
        paths: the files; each has its own header entry with the plural rule.

    Returns:
        The catalogue of all files together.

    Raises:
        ContentError: listing every fault of every file, a key that two files
            hold among them.
    """
    faults: list[Fault] = []
    texts: dict[str, str] = {}
    plurals: dict[str, tuple[str, ...]] = {}
    first_seen: dict[str, str] = {}
    rules: dict[str, Callable[[int], int]] = {}
    for path in paths:
        reading = _Reading(str(path), faults)
        for entry in reading.split(_read_lines(path, faults)):
            key = entry.text("msgid")
            if key == "":
                reading.take_header(entry)
            elif key in first_seen:
                reading.blame(
                    entry.line,
                    f"the key {key} is already in {first_seen[key]}",
                    "Keep one of the two",
                )
            else:
                first_seen[key] = f"{path}:{entry.line}"
                reading.take(entry, key, texts, plurals)
        if not reading.forms:
            reading.blame(
                1,
                "the first entry holds no plural rule",
                "Write a Plural-Forms line that gettext can read",
            )
        rules |= reading.rules
        if len(rules) > 1:
            reading.blame(
                1,
                f"the files of one language differ in their plural rule: {sorted(rules)}",
                "Use one",
            )
    if faults or not rules:
        raise ContentError(faults or "a language needs at least one catalogue")
    return Catalogue(texts, plurals, next(iter(rules.values())))


def list_fields(text: str) -> list[str]:
    """List the names of the fields in a text, in order, each as often as it stands there.

    Raises:
        ValueError: where a field is anything but a plain name in braces.
    """
    names = []
    for _, name, spec, conversion in Formatter().parse(text):
        if name is None:
            continue
        # No dots, brackets, formats or conversions: a catalogue is data from
        # others and must not be able to reach into the objects it is given.
        if spec or conversion or not _FIELD_NAME.match(name):
            raise ValueError(f"{{{name}}} is not a plain field name")
        names.append(name)
    return names


def _read_lines(path: Path, faults: list[Fault]) -> list[str]:
    if path.stat().st_size > MOST_BYTES:
        faults.append(
            Fault(str(path), 1, 1, f"the file is larger than {MOST_BYTES} bytes", "Split it")
        )
        return []
    try:
        return path.read_text(encoding="utf-8").split("\n")
    except UnicodeDecodeError as error:
        faults.append(
            Fault(str(path), 1, 1, f"byte {error.start} is not UTF-8", "Save the file as UTF-8")
        )
        return []


class _Reading:
    """Read one file, keeping its name, its plural rule, its count of forms and the list of faults."""

    def __init__(self, name: str, faults: list[Fault]) -> None:
        self.name = name
        self.faults = faults
        self.rules: dict[str, Callable[[int], int]] = {}
        self.forms = 0

    def blame(self, line: int, what: str, remedy: str) -> None:
        self.faults.append(Fault(self.name, line, 1, what, remedy))

    def split(self, lines: list[str]) -> list[_Entry]:
        """Split lines into entries; every entry has a `msgid`."""
        entries: list[_Entry] = []
        slot = ""
        for number, raw in enumerate(lines, start=1):
            line = raw.strip()
            if line.startswith("#,") and "fuzzy" in line:
                self.blame(number, "an entry is marked fuzzy", "Finish it and take the mark off")
            if not line or line.startswith("#"):
                continue
            found = _LINE.match(line)
            if not found:
                what = f"this line cannot be read: {line[:60]}"
                self.blame(number, what, 'Write msgid "…" or msgstr "…"')
                continue
            if found[1]:
                slot = found[1] + (f"[{found[2]}]" if found[2] else "")
                self._open_slot(entries, slot, number)
            if entries:
                entries[-1].strings[slot].append(self._plain(found[3], number))
            else:
                self.blame(number, "a text stands before the first msgid", "Begin with a msgid")
        return entries

    def _open_slot(self, entries: list[_Entry], slot: str, number: int) -> None:
        """Begin the string that a keyword opens, and with `msgid` the entry that it opens."""
        if slot == "msgid":
            entries.append(_Entry(number))
        if not entries or slot in entries[-1].strings:
            self.blame(number, f"{slot} is out of place", "Begin each entry with its own msgid")
            # An entry of its own, so that what follows is read and its faults are found too.
            entries.append(_Entry(number, {"msgid": [f"out-of-place-{number}"]}))
        entries[-1].strings[slot] = []

    def _plain(self, quoted: str, number: int) -> str:
        if "\\" not in quoted:
            return quoted

        def read_escape(found: re.Match[str]) -> str:
            if found[1] not in _ESCAPED:
                self.blame(number, f"\\{found[1]} is not an escape", r"Use \n, \t, \" or \\")
            return _ESCAPED.get(found[1], "")

        return _ESCAPE.sub(read_escape, quoted)

    def take_header(self, entry: _Entry) -> None:
        """Read the plural rule out of a file's header entry."""
        found = _PLURAL_FORMS.search("".join(entry.strings.get("msgstr", [])))
        if not found:
            return
        rule = found[2].strip()
        try:
            choose = c2py(rule)
            largest = max(choose(number) for number in range(_NUMBERS_TRIED))
        except (ValueError, ArithmeticError) as error:
            self.blame(
                entry.line, f"the plural rule {rule} cannot be read: {error}", "Mend the rule"
            )
            return
        if largest + 1 > int(found[1]):
            self.blame(
                entry.line,
                f"the plural rule {rule} chooses more forms than it declares",
                "Mend nplurals",
            )
        self.rules, self.forms = {rule: choose}, int(found[1])

    def take(
        self, entry: _Entry, key: str, texts: dict[str, str], plurals: dict[str, tuple[str, ...]]
    ) -> None:
        """Put one entry among the single or the plural texts."""
        is_plural = "msgid_plural" in entry.strings
        slots = [f"msgstr[{form}]" for form in range(self.forms)] if is_plural else ["msgstr"]
        if set(entry.strings) != {"msgid", *slots, *(["msgid_plural"] if is_plural else [])}:
            wanted = ", ".join(slots) or "a plural rule in the header"
            self.blame(
                entry.line,
                f"{key} does not have the texts it needs",
                f"Give it {wanted} and no others",
            )
            return
        forms = tuple(entry.text(slot) for slot in slots)
        for text in forms:
            self._check_text(entry.line, key, text)
        if is_plural:
            plurals[key] = forms
        else:
            texts[key] = forms[0]

    def _check_text(self, line: int, key: str, text: str) -> None:
        if not text.strip():
            self.blame(line, f"{key} has no text", "Write the text, or take the key out")
        try:
            list_fields(text)
        except ValueError as error:
            self.blame(
                line,
                f"{key}: {error}",
                "Write each field as {a_plain_name}; double a brace that is meant as one",
            )
