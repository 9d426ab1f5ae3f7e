"""Choose a pump: what the usual one has, and whether a page of a lesson is about the one on the bench."""

from __future__ import annotations

from models.spec.build import Build
from models.spec.choosing import choose
from models.spec.family import Family
from trainer.lesson import Show


def find_usual(family: Family) -> dict[str, str]:
    """Find the options of a family's usual pump."""
    return choose(family, {})


def is_shown(show: Show, build: Build) -> bool:
    """Say whether a view is of this build: the same size with the options that the view names."""
    return show.build == build.name and choose(build.family, show.options) == build.options


def is_same(one: Build, other: Build) -> bool:
    """Say whether two builds are the same size with the same options, whatever was measured on either."""
    return one.name == other.name and one.options == other.options
