"""Numbered invariants on a build."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.spec.build import Build


@dataclass(frozen=True, slots=True)
class Rule:
    """Check one thing that must be so on every sound build.

    number: stable, shown to people. key: words key. breaks(build) gives the pieces at fault, empty when kept.
    """

    number: int
    key: str
    breaks: Callable[[Build], tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Broken:
    """Say that a rule is broken and by which pieces."""

    number: int
    key: str
    pieces: tuple[str, ...]


def check_rules(build: Build, rules: tuple[Rule, ...]) -> tuple[Broken, ...]:
    """Check all rules and return those that are broken, in number order."""
    found = []
    for rule in sorted(rules, key=lambda rule: rule.number):
        pieces = rule.breaks(build)
        if pieces:
            found.append(Broken(rule.number, rule.key, pieces))
    return tuple(found)
