"""Work that moves no part but must be done before one comes off: lock out, drain, support, mark, measure."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Work:
    """One piece of work, declared with the family since no solid can tell it.

    key: word key of what to do and why. before: the place whose removal it precedes; "" for the very
    start. given: a place that must be filled for the work to be there, "" for none. critical: leaving it out can hurt somebody.
    """

    key: str
    before: str = ""
    critical: bool = False
    given: str = ""
