"""Choose a pump: what the usual one has, and whether a lesson is about the one on the bench."""

from __future__ import annotations

from models.spec.build import Build
from models.spec.choosing import choose
from models.spec.family import Family
from trainer.lesson import Lesson


def find_usual(family: Family) -> dict[str, str]:
    """Find the options of a family's usual pump."""
    return choose(family, {})


def is_about(lesson: Lesson, build: Build) -> bool:
    """Say whether a lesson is about this build: the same size with the options that the lesson names."""
    return lesson.build == build.name and choose(build.family, lesson.options) == build.options
