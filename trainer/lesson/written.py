"""Find what stands in braces in an author's text, and the numbers that stand bare.

A number enters a lesson as a reference to a build, `{clearance: back-vane}`, which is worked out when
the step is shown, or with its source, `{25 kg | common practice}`. Anything else could go stale unseen.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from models.spec.errors import say_choice
from trainer.lesson.said import Amount, Quantity


class RefersTo(StrEnum):
    """What a reference is about."""

    CLEARANCE = "clearance"
    LIMIT = "limit"
    DIMENSION = "dimension"
    COUNT = "count"
    RESULT = "result"
    PART = "part"
    OPTION = "option"
    PUMP = "pump"


class End(StrEnum):
    """Which value of several."""

    LEAST = "least"
    AIM = "aim"
    MOST = "most"


ENDS: dict[RefersTo, tuple[End, ...]] = {
    RefersTo.CLEARANCE: (End.LEAST, End.MOST),
    RefersTo.LIMIT: (End.LEAST, End.AIM, End.MOST),
    RefersTo.DIMENSION: (End.LEAST, End.MOST),
}
"""What may stand behind a name, after a point; of a limit it must."""


@dataclass(frozen=True, slots=True)
class Reference:
    """A number or a name of a build. text: as written, without the braces; at: where its brace stands in the text."""

    text: str
    at: int
    to: RefersTo
    name: str
    end: End | None = None


@dataclass(frozen=True, slots=True)
class Sourced:
    """A number with who says so. amount: of a length in mm; any other is None and told as `said`."""

    text: str
    at: int
    said: str
    source: str
    amount: Amount | None = None


@dataclass(frozen=True, slots=True)
class Trouble:
    """What an author has to mend in a text. snippet: the words it is about, at `at`."""

    at: int
    snippet: str
    what: str
    remedy: str


Braced = Reference | Sourced

BRACES = re.compile(r"\{([^{}]*)\}")
_LIST_NUMBER = re.compile(r"^[ \t]*\d{1,2}[.)](?=\s)", re.MULTILINE)
_ID_IN_CODE = re.compile(r"`(?=[^`]*[a-z])[a-z0-9]+(?:[-/.=][a-z0-9]+)+`")
_AMOUNT = re.compile(r"([+\u2212-]?)(\d+(?:\.(\d+))?)\s*(\S+)")
_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*(/[a-z0-9]+(-[a-z0-9]+)*)?(\.[a-z0-9]+(-[a-z0-9]+)*)?")
UNITS_MM = {"mm": (1.0, 0), "µm": (1e-3, 3)}
"""Units of length, which are told in the reader's unit, with their digits more; any other number is told as it is written."""
_NO_BRACES = "Braces hold a reference, like {clearance: back-vane}, or a number with its source, like {25 kg | common practice}"
_BARE = "Refer to the build, like {limit: back-vane.least}, or say who says so, like {25 kg | common practice}"
_SHORTEST_SOURCE = 3


def list_braced(text: str) -> tuple[Braced, ...]:
    """List what stands in braces in a text that has no trouble, in its order; what has trouble is passed over."""
    return tuple(one for one in _read(text) if not isinstance(one, Trouble))


def list_trouble(text: str) -> tuple[Trouble, ...]:
    """List what is wrong with a text: braces that hold nothing known, numbers that stand bare."""
    found = [one for one in _read(text) if isinstance(one, Trouble)]
    return tuple(sorted((*found, *_find_bare(text)), key=lambda one: one.at))


def _read(text: str) -> Iterator[Braced | Trouble]:
    for match in BRACES.finditer(text):
        inside, at = match[1], match.start()
        yield _read_sourced(inside, at) if "|" in inside else _read_reference(inside, at)


def _read_sourced(inside: str, at: int) -> Sourced | Trouble:
    said, _, source = (part.strip() for part in inside.partition("|"))
    said, source = " ".join(said.split()), " ".join(source.split())
    if not said or not any(map(_is_digit, said)):
        return Trouble(at, f"{{{inside}}}", "there is no number before the |", _NO_BRACES)
    if len(source) < _SHORTEST_SOURCE or "|" in source:
        what = f"nobody is named behind the | of {said}"
        return Trouble(at, f"{{{inside}}}", what, "Name the source, or write common practice")
    return Sourced(inside, at, said, source, _read_amount(said))


def _read_amount(said: str) -> Amount | None:
    match = _AMOUNT.fullmatch(said)
    if match is None or match[4] not in UNITS_MM:
        return None
    factor, more = UNITS_MM[match[4]]
    value_mm = float(match[2]) * factor * (-1.0 if match[1] in {"-", "\N{MINUS SIGN}"} else 1.0)
    return Amount(value_mm, Quantity.LENGTH, len(match[3] or "") + more)


def _read_reference(inside: str, at: int) -> Reference | Trouble:
    kind, colon, rest = (part.strip() for part in inside.partition(":"))
    rest = "".join(rest.split())
    if not colon or kind not in set(RefersTo):
        what = f"{{{inside}}} refers to nothing known"
        near = say_choice(kind, RefersTo) if colon else _NO_BRACES
        return Trouble(at, f"{{{inside}}}", what, near)
    to = RefersTo(kind)
    name, end = _part_end(to, rest)
    if not _NAME.fullmatch(name) or (to is RefersTo.LIMIT and end is None):
        remedy = {
            RefersTo.LIMIT: "Write a clearance and which limit, like {limit: back-vane.least}",
            RefersTo.DIMENSION: "Write a part and a row of its drawing, like {dimension: shim.thickness}",
        }.get(to, f"Write a name, like {{{to}: …}}")
        return Trouble(at, f"{{{inside}}}", f"{{{inside}}} names nothing", remedy)
    return Reference(inside, at, to, name, end)


def _part_end(to: RefersTo, rest: str) -> tuple[str, End | None]:
    name, point, last = rest.rpartition(".")
    return (name, End(last)) if point and last in ENDS.get(to, ()) else (rest, None)


def _find_bare(text: str) -> Iterator[Trouble]:
    """Find what no brace closes, and numbers outside braces that are no numbering of a list and no id."""
    left = text
    for allowed in (BRACES, _LIST_NUMBER, _ID_IN_CODE):
        left = allowed.sub(lambda match: re.sub(r"\S", " ", match[0]), left)
    for match in re.finditer(r"[{}]", left):
        yield Trouble(match.start(), match[0], f"a {match[0]} stands alone", _NO_BRACES)
    at = 0
    while at < len(left):
        if not _is_digit(left[at]):
            at += 1
            continue
        start = at
        while start and not left[start - 1].isspace():
            start -= 1
        while at < len(left) and not left[at].isspace():
            at += 1
        word = left[start:at].strip("*_().,;:!?“”\"'")
        start = left.index(word, start)
        yield Trouble(start, word, f"the number {word} stands bare", _BARE)


def _is_digit(character: str) -> bool:
    return unicodedata.category(character).startswith("N")
