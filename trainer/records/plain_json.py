"""Values that JSON can hold, and one text for each."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import TypeAlias

# Sequence and Mapping rather than list and dict: a caller's list[str] or tuple fits without a cast.
Json: TypeAlias = "str | int | float | bool | Sequence[Json] | Mapping[str, Json] | None"

MOST_DEPTH = 50


def make_plain(value: object, where: str) -> Json:
    """Copy a value into plain JSON types, so that nobody can change what was handed over.

    Args:
        value: may use tuples, any mapping, and subclasses of the plain types (numpy's floats).
        where: what to call the value in a message.

    Raises:
        TypeError: it holds something that JSON can't.
        ValueError: a number is not finite, or it is nested more than 50 deep.
    """
    return _copy(value, where, MOST_DEPTH)


def make_json_text(value: Json) -> str:
    """Write a value so that equal values give equal text: sorted keys, no spaces, ASCII only."""
    return json.dumps(
        value, allow_nan=False, ensure_ascii=True, separators=(",", ":"), sort_keys=True
    )


def read_mapping(value: Json) -> Mapping[str, Json]:
    """Read a mapping; empty where it is none, or nothing."""
    return value if isinstance(value, Mapping) else {}


def make_time_text(when: datetime) -> str:
    """Write a moment in UTC to the microsecond, always of the same width, so that text sorts as time does."""
    return when.astimezone(UTC).isoformat(timespec="microseconds")


def _copy(value: object, where: str, depth_left: int) -> Json:
    if depth_left < 0:
        raise ValueError(f"{where} is nested more than {MOST_DEPTH} deep")
    match value:
        case None | bool():
            return value
        case Mapping():
            return _copy_mapping(value, where, depth_left)
        case list() | tuple():
            return [
                _copy(each, f"{where}[{place}]", depth_left - 1) for place, each in enumerate(value)
            ]
    return _copy_single(value, where)


def _copy_mapping(value: Mapping[object, object], where: str, depth_left: int) -> Json:
    copied: dict[str, Json] = {}
    for key, each in value.items():
        if not isinstance(key, str):
            raise TypeError(f"{where} has the key {key!r}, which is not text")
        copied[str.__str__(key)] = _copy(each, f"{where}.{key}", depth_left - 1)
    return copied


def _copy_single(value: object, where: str) -> Json:
    match value:
        case str():
            return str.__str__(value)  # A subclass (an enum's member) may print as something else.
        case int():
            return int(value)
        case float() if math.isfinite(value):
            return float(value)
        case float():
            raise ValueError(f"{where} must be finite, not {value}")
    raise TypeError(f"{where} is a {type(value).__name__}, which JSON cannot hold")
