"""The short form beside a strange assembly: names, corrected guesses, joints and rules of the work, as a TOML text.

Read as data only, bounded in size and depth; every fault is told with its line.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from models.spec.errors import ContentError, Fault, SurroundingsError, say_near
from models.spec.joint import JointKind
from trainer.core.order.guess import Kind

MOST_BYTES = 200_000
LONGEST_TEXT = 300
MOST_ITEMS = 400
CARRYING = (JointKind.THREADED, JointKind.PRESS, JointKind.KEYED, JointKind.SEALED)
AXES = ("x", "-x", "y", "-y", "z", "-z")

_TOP = ("up", "parts", "joints")
_PART = ("name", "many", "is", "flexible", "base", "ignore", "before")
_BOLTED = ("kind", "by", "holds")
_CARRIED = ("kind", "carrier", "carried", "tool", "interference_mm")
_FLAGS = ("flexible", "base", "ignore")
_SYNTAX = re.compile(r"\(at line (\d+), column (\d+)\)")

Path_ = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class PartSaid:
    """What the form says of a part; "" and None where it says nothing."""

    name: str = ""
    many: str = ""
    kind: Kind | None = None
    flexible: bool | None = None
    base: bool = False
    ignore: bool = False
    before: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class JointSaid:
    """What the form says of a joint: as in GuessedJoint, with the tool in plain words."""

    kind: JointKind
    members: tuple[str, ...]
    by: tuple[str, ...] = ()
    tool: str = ""
    interference_mm: float = 0.0

    @property
    def own(self) -> frozenset[str]:
        """The pieces whose guessed joints it stands in for."""
        return frozenset(self.by or self.members[1:])


@dataclass(frozen=True, slots=True)
class StepForm:
    """A whole form."""

    up: str = "z"
    parts: Mapping[str, PartSaid] = field(default_factory=dict)
    joints: tuple[JointSaid, ...] = ()


NO_FORM = StepForm()


def read_form(path: Path, sets: Mapping[str, Sequence[str]]) -> StepForm:
    """Read a form for an assembly whose parts and their pieces are `sets`.

    Raises:
        SurroundingsError: the file is not there. ContentError: with every fault of it.
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
    return parse_form(raw, str(path), sets)


def parse_form(raw: bytes, shown: str, sets: Mapping[str, Sequence[str]]) -> StepForm:
    """Read a form from its bytes. Raises ContentError with every fault."""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise ContentError(
            [Fault(shown, line, 0, "is not UTF-8 text", "save it as UTF-8")]
        ) from error
    try:
        content = tomllib.loads(text)
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
    reading = _Reading(shown, find_lines(text), sets)
    form = reading.read(content)
    if reading.faults:
        raise ContentError(sorted(reading.faults, key=lambda fault: fault.line))
    return form


def find_lines(text: str) -> dict[Path_, int]:
    """Find the line of every table and key of a TOML text that stands at the start of a line."""
    lines: dict[Path_, int] = {}
    table: Path_ = ()
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


class _Reading:
    """Gather a form and its faults."""

    def __init__(
        self, shown: str, lines: Mapping[Path_, int], sets: Mapping[str, Sequence[str]]
    ) -> None:
        self.shown = shown
        self.lines = lines
        self.sets = sets
        self.pieces = {name for names in sets.values() for name in names}
        self.faults: list[Fault] = []

    def read(self, content: Mapping[str, Any]) -> StepForm:
        self._check_keys((), content, _TOP)
        up = content.get("up", "z")
        if up not in AXES:
            self._blame(("up",), f"up is {_quote(up)}", "write one of " + ", ".join(AXES))
        parts: dict[str, PartSaid] = {}
        told = content.get("parts", {})
        if not isinstance(told, dict):
            self._blame(("parts",), "parts is no table", "write [parts.NAME] and its keys below it")
            told = {}
        for name, said in told.items():
            if name not in self.sets:
                what = f"no part is called {_quote(name)}"
                self._blame(("parts", name), what, say_near(name, self.sets))
            elif not isinstance(said, dict):
                self._blame(("parts", name), f"{name} is no table", f"write [parts.{name}]")
            else:
                parts[name] = self._read_part(name, said)
        self._check_base(parts)
        joints = content.get("joints", [])
        if not isinstance(joints, list) or len(joints) > MOST_ITEMS:
            self._blame(("joints",), "joints is no list", "write [[joints]] and its keys below it")
            joints = []
        found = [self._read_joint(i, joint) for i, joint in enumerate(joints)]
        up = up if isinstance(up, str) else "z"
        return StepForm(up, parts, tuple(joint for some in found for joint in some))

    def _read_part(self, name: str, said: Mapping[str, Any]) -> PartSaid:
        at: Path_ = ("parts", name)
        self._check_keys(at, said, _PART)
        kind = said.get("is")
        if kind is not None and kind not in set(Kind):
            self._blame(
                (*at, "is"), f"{_quote(kind)} is no kind of part", say_near(str(kind), Kind)
            )
            kind = None
        for flag in _FLAGS:
            if not isinstance(said.get(flag, False), bool):
                self._blame((*at, flag), f"{flag} is neither true nor false", "write true or false")
        return PartSaid(
            self._text((*at, "name"), said.get("name", "")),
            self._text((*at, "many"), said.get("many", "")),
            Kind(kind) if kind is not None else None,
            said.get("flexible"),
            said.get("base", False) is True,
            said.get("ignore", False) is True,
            self._texts((*at, "before"), said.get("before", [])),
        )

    def _check_base(self, parts: Mapping[str, PartSaid]) -> None:
        bases = [name for name, said in parts.items() if said.base]
        for name in bases:
            at: Path_ = ("parts", name, "base")
            if len(self.sets[name]) > 1:
                self._blame(at, f"{name} is {len(self.sets[name])} pieces", "one piece is the base")
            if name != bases[0]:
                self._blame(at, f"{bases[0]} is already the base", "one part stays put")
            if parts[name].ignore:
                self._blame(at, f"{name} is the base and of no interest", "take one of the two out")

    def _read_joint(self, number: int, said: Any) -> list[JointSaid]:  # noqa: ANN401 - whatever the file holds
        at: Path_ = ("joints", number)
        if not isinstance(said, dict):
            self._blame(at, "a joint is no table", "write [[joints]] and its keys below it")
            return []
        kinds = [JointKind.BOLTED, *CARRYING]
        kind = said.get("kind", "")
        if kind not in kinds:
            self._blame(
                (*at, "kind"), f"{_quote(kind)} is no kind of joint", say_near(str(kind), kinds)
            )
            return []
        before = len(self.faults)
        if kind == JointKind.BOLTED:
            joints = self._read_bolted(at, said)
        else:
            joints = self._read_carried(at, said, JointKind(kind))
        return joints if len(self.faults) == before else []

    def _read_bolted(self, at: Path_, said: Mapping[str, Any]) -> list[JointSaid]:
        self._check_keys(at, said, _BOLTED)
        by = self._named((*at, "by"), said.get("by", []))
        holds = self._named((*at, "holds"), said.get("holds", []))
        if not by:
            self._blame((*at, "by"), "names no fastener", 'write by = ["NAME"]')
        if len(holds) == 1 or set(by) & set(holds) == set(holds) != set():
            what = "holds names fewer than two pieces to hold together"
            self._blame((*at, "holds"), what, "name two or more, or [] for none")
        return [JointSaid(JointKind.BOLTED, holds, (one,)) for one in by]

    def _read_carried(self, at: Path_, said: Mapping[str, Any], kind: JointKind) -> list[JointSaid]:
        self._check_keys(at, said, _CARRIED)
        ends: list[str] = []
        for key in ("carrier", "carried"):
            names = self._named((*at, key), [said[key]] if key in said else [])
            if len(names) != 1:
                self._blame((*at, key), f"{key} names no single piece", f'write {key} = "NAME"')
            ends += names
        if len(set(ends)) == 1:
            self._blame(at, "a piece cannot carry itself", "name two pieces")
        press = said.get("interference_mm", 0.0)
        if isinstance(press, bool) or not isinstance(press, (int, float)) or not 0 <= press <= 10:
            what = f"interference_mm is {_quote(press)}"
            self._blame((*at, "interference_mm"), what, "write millimetres, from 0 to 10")
            press = 0.0
        tool = self._text((*at, "tool"), said.get("tool", ""))
        return [JointSaid(kind, tuple(ends), (), tool, float(press))]

    def _named(self, at: Path_, names: Any) -> tuple[str, ...]:  # noqa: ANN401 - whatever the file holds
        """Give the pieces that a list of piece and part names stands for."""
        found: dict[str, None] = {}
        for name in self._texts(at, names):
            if name in self.pieces:
                found[name] = None
            elif name in self.sets:
                found.update(dict.fromkeys(self.sets[name]))
            else:
                near = say_near(name, [*self.sets, *self.pieces])
                self._blame(at, f"no piece or part is called {_quote(name)}", near)
        return tuple(found)

    def _text(self, at: Path_, value: Any) -> str:  # noqa: ANN401 - whatever the file holds
        if not isinstance(value, str) or len(value) > LONGEST_TEXT or not _is_plain(value):
            what = f"{at[-1]} is no text of one line and at most {LONGEST_TEXT} letters"
            self._blame(at, what, "write it in quotes")
            return ""
        return value.strip()

    def _texts(self, at: Path_, value: Any) -> tuple[str, ...]:  # noqa: ANN401 - whatever the file holds
        listed = [value] if isinstance(value, str) else value
        if not isinstance(listed, list) or len(listed) > MOST_ITEMS:
            self._blame(at, f"{at[-1]} is no list of texts", 'write ["…", "…"]')
            return ()
        return tuple(text for text in (self._text(at, one) for one in listed) if text)

    def _check_keys(self, at: Path_, said: Mapping[str, Any], known: Sequence[str]) -> None:
        for key in said:
            if key not in known:
                self._blame((*at, key), f"{_quote(key)} is not known here", say_near(key, known))

    def _blame(self, at: Path_, what: str, remedy: str) -> None:
        """Note a fault at the nearest line that is known."""
        line = next((self.lines[at[:n]] for n in range(len(at), 0, -1) if at[:n] in self.lines), 0)
        self.faults.append(Fault(self.shown, line, 0, what, remedy))


def _is_plain(text: str) -> bool:
    return all(letter.isprintable() for letter in text)


def _quote(value: object) -> str:
    text = str(value)
    return repr(text if len(text) <= 60 else text[:60] + "…")
