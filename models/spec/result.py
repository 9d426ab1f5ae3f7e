"""A named result: a plain number that follows from a build's dimensions, such as the balance ratio of a seal."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from models.spec.length import Length

if TYPE_CHECKING:
    from models.spec.build import Build


@dataclass(frozen=True, slots=True)
class Result:
    """Name what follows from the dimensions.

    name: a word key. places: what must be there for it. compute(build) gives the value, without a
    unit, with its sensitivities to the dimensions behind it.
    """

    name: str
    places: tuple[str, ...]
    compute: Callable[[Build], Length]
