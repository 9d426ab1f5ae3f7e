"""The short form beside a strange assembly: names, corrected guesses, joints and rules of the work, as a TOML text.

Read as data only, bounded in size and depth; every fault is told with its line.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from models.spec.errors import say_near
from models.spec.joint import JointKind
from trainer.core.order.guess import Kind
from trainer.session.toml_form import FormPath, FormReading, TomlForm, parse_toml, quote, read_toml

MOST_ITEMS = 400
CARRYING = (JointKind.THREADED, JointKind.PRESS, JointKind.KEYED, JointKind.SEALED)
AXES = ("x", "-x", "y", "-y", "z", "-z")

_TOP = ("up", "parts", "joints")
_PART = ("name", "many", "is", "flexible", "base", "ignore", "before")
_BOLTED = ("kind", "by", "holds")
_CARRIED = ("kind", "carrier", "carried", "tool", "interference_mm")
_FLAGS = ("flexible", "base", "ignore")


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


def write_said(form: StepForm) -> str:
    """Write a form that says what this one says and no more; read back it is equal to it."""
    lines = [f"up = {quote_text(form.up)}"]
    for part, said in form.parts.items():
        lines += ["", f"[parts.{part}]"]
        lines += [
            f"{key} = {quote_text(value)}"
            for key, value in (("name", said.name), ("many", said.many))
            if value
        ]
        lines += [f"is = {quote_text(said.kind.value)}"] if said.kind is not None else []
        lines += [f"flexible = {str(said.flexible).lower()}"] if said.flexible is not None else []
        lines += ["base = true"] if said.base else []
        lines += ["ignore = true"] if said.ignore else []
        lines += [f"before = {quote_list(said.before)}"] if said.before else []
    for joint in form.joints:
        lines += ["", "[[joints]]", f"kind = {quote_text(joint.kind.value)}"]
        if joint.kind is JointKind.BOLTED:
            lines += [f"by = {quote_list(joint.by)}", f"holds = {quote_list(joint.members)}"]
        else:
            lines += [
                f"carrier = {quote_text(joint.members[0])}",
                f"carried = {quote_text(joint.members[1])}",
            ]
            lines += [f"tool = {quote_text(joint.tool)}"] if joint.tool else []
            press = joint.interference_mm
            lines += [f"interference_mm = {press!r}"] if press else []
    return "\n".join(lines) + "\n"


def quote_text(text: str) -> str:
    """Write a TOML text; JSON's quotes and escapes are TOML's, too."""
    return json.dumps(text, ensure_ascii=False)


def quote_list(texts: Sequence[str]) -> str:
    """Write a list of TOML texts."""
    return "[" + ", ".join(quote_text(text) for text in texts) + "]"


def read_form(path: Path, sets: Mapping[str, Sequence[str]]) -> StepForm:
    """Read a form for an assembly whose parts and their pieces are `sets`.

    Raises:
        SurroundingsError: the file is not there. ContentError: with every fault of it.
    """
    return _read(read_toml(path), sets)


def parse_form(raw: bytes, shown: str, sets: Mapping[str, Sequence[str]]) -> StepForm:
    """Read a form from its bytes. Raises ContentError with every fault."""
    return _read(parse_toml(raw, shown), sets)


def _read(form: TomlForm, sets: Mapping[str, Sequence[str]]) -> StepForm:
    reading = _Reading(form, sets)
    said = reading.read(form.content)
    reading.check()
    return said


class _Reading(FormReading):
    """Gather a form and its faults."""

    def __init__(self, form: TomlForm, sets: Mapping[str, Sequence[str]]) -> None:
        super().__init__(form)
        self.sets = sets
        self.pieces = {name for names in sets.values() for name in names}

    def read(self, content: Mapping[str, Any]) -> StepForm:
        self.check_keys((), content, _TOP)
        up = content.get("up", "z")
        if up not in AXES:
            self.blame(("up",), f"up is {quote(up)}", "write one of " + ", ".join(AXES))
        parts: dict[str, PartSaid] = {}
        told = content.get("parts", {})
        if not isinstance(told, dict):
            self.blame(("parts",), "parts is no table", "write [parts.NAME] and its keys below it")
            told = {}
        for name, said in told.items():
            if name not in self.sets:
                what = f"no part is called {quote(name)}"
                self.blame(("parts", name), what, say_near(name, self.sets))
            elif not isinstance(said, dict):
                self.blame(("parts", name), f"{name} is no table", f"write [parts.{name}]")
            else:
                parts[name] = self._read_part(name, said)
        self._check_base(parts)
        joints = content.get("joints", [])
        if not isinstance(joints, list) or len(joints) > MOST_ITEMS:
            self.blame(("joints",), "joints is no list", "write [[joints]] and its keys below it")
            joints = []
        found = [self._read_joint(i, joint) for i, joint in enumerate(joints)]
        up = up if isinstance(up, str) else "z"
        return StepForm(up, parts, tuple(joint for some in found for joint in some))

    def _read_part(self, name: str, said: Mapping[str, Any]) -> PartSaid:
        at: FormPath = ("parts", name)
        self.check_keys(at, said, _PART)
        kind = said.get("is")
        if kind is not None and kind not in set(Kind):
            self.blame((*at, "is"), f"{quote(kind)} is no kind of part", say_near(str(kind), Kind))
            kind = None
        for flag in _FLAGS:
            if not isinstance(said.get(flag, False), bool):
                self.blame((*at, flag), f"{flag} is neither true nor false", "write true or false")
        return PartSaid(
            self.text((*at, "name"), said.get("name", "")),
            self.text((*at, "many"), said.get("many", "")),
            Kind(kind) if kind is not None else None,
            said.get("flexible"),
            said.get("base", False) is True,
            said.get("ignore", False) is True,
            self._texts((*at, "before"), said.get("before", [])),
        )

    def _check_base(self, parts: Mapping[str, PartSaid]) -> None:
        bases = [name for name, said in parts.items() if said.base]
        for name in bases:
            at: FormPath = ("parts", name, "base")
            if len(self.sets[name]) > 1:
                self.blame(at, f"{name} is {len(self.sets[name])} pieces", "one piece is the base")
            if name != bases[0]:
                self.blame(at, f"{bases[0]} is already the base", "one part stays put")
            if parts[name].ignore:
                self.blame(at, f"{name} is the base and of no interest", "take one of the two out")

    def _read_joint(self, number: int, said: Any) -> list[JointSaid]:  # noqa: ANN401 - whatever the file holds
        at: FormPath = ("joints", number)
        if not isinstance(said, dict):
            self.blame(at, "a joint is no table", "write [[joints]] and its keys below it")
            return []
        kinds = [JointKind.BOLTED, *CARRYING]
        kind = said.get("kind", "")
        if kind not in kinds:
            self.blame(
                (*at, "kind"), f"{quote(kind)} is no kind of joint", say_near(str(kind), kinds)
            )
            return []
        before = len(self.faults)
        if kind == JointKind.BOLTED:
            joints = self._read_bolted(at, said)
        else:
            joints = self._read_carried(at, said, JointKind(kind))
        return joints if len(self.faults) == before else []

    def _read_bolted(self, at: FormPath, said: Mapping[str, Any]) -> list[JointSaid]:
        self.check_keys(at, said, _BOLTED)
        by = self._named((*at, "by"), said.get("by", []))
        holds = self._named((*at, "holds"), said.get("holds", []))
        if not by:
            self.blame((*at, "by"), "names no fastener", 'write by = ["NAME"]')
        if len(holds) == 1 or set(by) & set(holds) == set(holds) != set():
            what = "holds names fewer than two pieces to hold together"
            self.blame((*at, "holds"), what, "name two or more, or [] for none")
        return [JointSaid(JointKind.BOLTED, holds, (one,)) for one in by]

    def _read_carried(
        self, at: FormPath, said: Mapping[str, Any], kind: JointKind
    ) -> list[JointSaid]:
        self.check_keys(at, said, _CARRIED)
        ends: list[str] = []
        for key in ("carrier", "carried"):
            names = self._named((*at, key), [said[key]] if key in said else [])
            if len(names) != 1:
                self.blame((*at, key), f"{key} names no single piece", f'write {key} = "NAME"')
            ends += names
        if len(set(ends)) == 1:
            self.blame(at, "a piece cannot carry itself", "name two pieces")
        press = said.get("interference_mm", 0.0)
        if isinstance(press, bool) or not isinstance(press, (int, float)) or not 0 <= press <= 10:
            what = f"interference_mm is {quote(press)}"
            self.blame((*at, "interference_mm"), what, "write millimetres, from 0 to 10")
            press = 0.0
        tool = self.text((*at, "tool"), said.get("tool", ""))
        return [JointSaid(kind, tuple(ends), (), tool, float(press))]

    def _named(self, at: FormPath, names: Any) -> tuple[str, ...]:  # noqa: ANN401 - whatever the file holds
        """Give the pieces that a list of piece and part names stands for."""
        found: dict[str, None] = {}
        for name in self._texts(at, names):
            if name in self.pieces:
                found[name] = None
            elif name in self.sets:
                found.update(dict.fromkeys(self.sets[name]))
            else:
                near = say_near(name, [*self.sets, *self.pieces])
                self.blame(at, f"no piece or part is called {quote(name)}", near)
        return tuple(found)

    def _texts(self, at: FormPath, value: Any) -> tuple[str, ...]:  # noqa: ANN401 - whatever the file holds
        listed = [value] if isinstance(value, str) else value
        if not isinstance(listed, list) or len(listed) > MOST_ITEMS:
            self.blame(at, f"{at[-1]} is no list of texts", 'write ["…", "…"]')
            return ()
        return tuple(text for text in (self.text(at, one) for one in listed) if text)
