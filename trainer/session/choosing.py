"""Choose a pump: which sizes there are, what each can be had with, and why two values do not go together."""

from __future__ import annotations

from collections.abc import Mapping

from models.pumps import list_builds, make_named_build
from models.spec.build import Build
from models.spec.choosing import Clash, find_clashes
from models.spec.family import Family
from trainer.lesson import Lesson


def list_offers() -> dict[str, Family]:
    """List every build by name (FAMILY/SIZE) with its family, whose options say what it can be had with."""
    return list_builds()


def find_usual(name: str) -> dict[str, str]:
    """Find the options of the usual build of a name. Raises RefusalError for an unknown name."""
    return dict(make_named_build(name).options)


def find_bars(family: Family, chosen: Mapping[str, str]) -> tuple[Clash, ...]:
    """Find every reason why chosen values do not go together; none when a pump can be built with them."""
    return tuple(find_clashes(family, chosen))


def is_about(lesson: Lesson, build: Build) -> bool:
    """Say whether a lesson is about this build: the same size with the options that the lesson names."""
    if lesson.build != build.name:
        return False
    return make_named_build(lesson.build, lesson.options).options == build.options
