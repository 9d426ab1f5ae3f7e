"""How the window was left: one file of plain values in the person's own folder, whole or not at all.

Who wrote a value under a name judges it when it is read again: the file can come from another version, or from
a hand. The name of the person who works is never in it: the machine of a shop is shared, and whoever starts it next
would answer in another's name. A practical that is not signed yet does say whose it is, so that erasing reaches here.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path
from typing import TypeAlias

import platformdirs

from models.spec.errors import SurroundingsError
from trainer.session.writing import FOR_ONE, write_whole

FORMAT = 1
FILE_NAME = "as-left.json"
SET_ASIDE = "as-left-set-aside"
MOST_BYTES = 8_000_000
"""A file larger than this is none of ours: a hundred half-filled sheets take a tenth of it."""
MOST_SET_ASIDE = 20

Plain: TypeAlias = "bool | int | float | str | Sequence[Plain] | Mapping[str, Plain] | None"


class StrangeValueError(ValueError):
    """A value is not what was once written under its name."""


class Trouble(StrEnum):
    """Why nothing was found where something lies."""

    DAMAGED = "damaged"
    NEWER = "newer"
    UNREADABLE = "unreadable"


@dataclass(frozen=True, slots=True)
class AsLeft:
    """What was found: values by name; what was wrong with the file, and where it was set aside."""

    values: Mapping[str, Plain] = field(default_factory=dict)
    trouble: Trouble | None = None
    set_aside: Path | None = None


def find_own_folder() -> Path:
    """Find the folder in which the person who works here keeps what is not finished."""
    return platformdirs.user_state_path("pumpwright", appauthor=False)


class AsLeftFile:
    """Read and write the file. Tests give a folder of their own."""

    def __init__(self, folder: Path | None = None, name: str = FILE_NAME) -> None:
        self.folder = folder or find_own_folder()
        self.path = self.folder / name

    def read(self) -> AsLeft:
        """Read what is there; a file that cannot be used is set aside, never written over."""
        try:
            with self.path.open("rb") as file:
                raw = file.read(MOST_BYTES + 1)
        except FileNotFoundError:
            return AsLeft()
        except OSError:
            return AsLeft(trouble=Trouble.UNREADABLE)
        found = _read_content(raw)
        if isinstance(found, Trouble):
            return AsLeft(trouble=found, set_aside=self.put_aside())
        return AsLeft(found)

    def write(self, values: Mapping[str, Plain]) -> None:
        """Write all values so that a reader, and a machine that stops now, finds the old file or the new one.

        Raises:
            SurroundingsError: the disk or the folder refuses.
        """
        text = json.dumps({"format": FORMAT, "values": values}, ensure_ascii=False, allow_nan=False)
        try:
            write_whole(text.encode(), self.path, FOR_ONE)
        except OSError as error:
            reason = error.strerror or str(error)
            raise SurroundingsError(f"{self.path} cannot be written: {reason}") from error

    def drop_naming(self, name: str) -> int:
        """Drop all in which a person's name stands, files set aside too, and tell how many that were.

        Raises:
            SurroundingsError: as `write`.
        """
        asides = list(self.folder.glob(f"{SET_ASIDE}-*.json"))
        written = json.dumps(name.casefold(), ensure_ascii=False)
        named = [one for one in asides if written in one.read_text("utf-8", "replace").casefold()]
        for one in named:
            one.unlink()
        values = self.read().values
        kept = {
            key: value for key, value in values.items() if not _is_named(value, name.casefold())
        }
        if len(kept) < len(values):
            self.write(kept)
        return len(named) + len(values) - len(kept)

    def put_aside(self) -> Path | None:
        """Put the file beside its place, whole; None where there is none or the folder does not let it."""
        names = (self.folder / f"{SET_ASIDE}-{n}.json" for n in range(1, MOST_SET_ASIDE))
        free = next((path for path in names if not path.exists()), None)
        try:
            return self.path.rename(free) if free else self.path.replace(self.folder / f"{SET_ASIDE}-{MOST_SET_ASIDE}.json")  # fmt: skip
        except OSError:
            return None


def _is_named(value: Plain, name: str) -> bool:
    """Does a name stand somewhere in a value?"""
    if isinstance(value, str):
        return value.casefold() == name
    inside = value.values() if isinstance(value, Mapping) else value
    return isinstance(inside, Iterable) and any(_is_named(one, name) for one in inside)


def _read_content(raw: bytes) -> Mapping[str, Plain] | Trouble:
    if len(raw) > MOST_BYTES:
        return Trouble.DAMAGED
    try:
        content = json.loads(raw)
    except (ValueError, RecursionError):
        return Trouble.DAMAGED
    if not isinstance(content, dict):
        return Trouble.DAMAGED
    number, values = content.get("format"), content.get("values")
    if isinstance(number, int) and number > FORMAT:
        return Trouble.NEWER
    if number != FORMAT or not isinstance(values, dict):
        return Trouble.DAMAGED
    return values


# ---------------------------------------------------------------- judging a value that was read
def take_table(value: Plain) -> Mapping[str, Plain]:
    """Take a value as names with values. Raises StrangeValueError when it is none."""
    if not isinstance(value, dict):
        raise StrangeValueError("no table")
    return value


def take_text(value: Plain, known: frozenset[str] | None = None) -> str:
    """Take a value as a text, one of those that are known if they are given. Raises StrangeValueError when it is none."""
    if not isinstance(value, str) or (known is not None and value not in known):
        raise StrangeValueError("no such text")
    return value


def take_texts(value: Plain) -> list[str]:
    """Take a value as texts. Raises StrangeValueError when it is none."""
    if not isinstance(value, list):
        raise StrangeValueError("no list")
    return [take_text(one) for one in value]


def take_number(value: Plain) -> float:
    """Take a value as a finite number. Raises StrangeValueError when it is none."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise StrangeValueError("no number")
    return float(value)


def take_numbers(value: Plain, count: int) -> list[float]:
    """Take a value as so many finite numbers. Raises StrangeValueError when it is none."""
    if not isinstance(value, list) or len(value) != count:
        raise StrangeValueError("not so many numbers")
    return [take_number(one) for one in value]
