"""Check a lesson against the builds there are: does everything it names exist?"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from models.spec.errors import Fault, say_choice
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.lesson import Lesson, Path, Show
from trainer.lesson.wanted import Wanted


@dataclass(frozen=True, slots=True)
class Known:
    """List what lessons may name: builds, and for each build its options, parts, clearances and faults.

    `options` gives by build the values of each option; `parts` the names of
    parts and of single pieces; `clearances` the names of clearances; `faults` the keys of mistakes.
    """

    builds: Collection[str]
    options: Mapping[str, Mapping[str, Collection[str]]]
    parts: Mapping[str, Collection[str]]
    clearances: Mapping[str, Collection[str]]
    faults: Mapping[str, Collection[str]]


@dataclass(frozen=True, slots=True)
class _Mention:
    """A name at a path of the file, what it should be, and the names that would be right."""

    path: Path
    name: str
    what: str
    allowed: Collection[str]


def check_lesson(lesson: Lesson, known: Known) -> list[Fault]:
    """Check that all a lesson names exists.

    Args:
        lesson: a lesson as read.
        known: what there is.

    Returns:
        Every fault, in the order of the file; empty for a sound lesson.
    """
    faults: list[Fault] = []
    for mention in _list_mentions(lesson, known):
        position = lesson.find_position(*mention.path)
        if position is None or mention.name in mention.allowed:
            # No position: the value was taken over from elsewhere and is checked there.
            continue
        near = say_choice(mention.name, mention.allowed)
        what = f"there is no {mention.what} called {mention.name}"
        faults.append(Fault(lesson.file, position.line, position.column, what, near))
    for check in (_check_emphasis, _check_closeness, _check_giving_away, _check_own_words):
        faults += check(lesson)
    return sorted(faults, key=lambda fault: (fault.line, fault.column))


def _list_mentions(lesson: Lesson, known: Known) -> Iterator[_Mention]:
    yield _Mention(("build",), lesson.build, "build", known.builds)
    yield from _list_options((), lesson.build, lesson.options, known)
    for index, step in enumerate(lesson.steps):
        path: Path = ("steps", index)
        yield from _list_shown((*path, "show"), step.show, known)
        # Of a build that does not exist nothing more can be said than that.
        if step.ask and step.show.build in known.builds:
            yield from _list_asked((*path, "ask"), step.ask, step.show.build, known)


def _list_shown(path: Path, show: Show, known: Known) -> Iterator[_Mention]:
    yield _Mention((*path, "build"), show.build, "build", known.builds)
    yield from _list_options(path, show.build, show.options, known)
    if show.build in known.builds:
        if show.off:
            yield _Mention((*path, "off"), show.off, "part", known.parts[show.build])
        for key, named, there in (
            ("clearance", show.clearance, known.clearances),
            ("fault", show.fault, known.faults),
        ):
            if named:
                yield _Mention((*path, key), named, key, there[show.build])
        for field, names in (("lit", show.lit), ("ghosted", show.ghosted), ("near", show.near)):
            for place, name in enumerate(names):
                yield _Mention((*path, field, place), name, "part", known.parts[show.build])


def _list_options(
    path: Path, build: str, options: Mapping[str, str], known: Known
) -> Iterator[_Mention]:
    if build not in known.builds:
        return
    for option, value in options.items():
        there = known.options[build]
        where: Path = (*path, "with", option)
        yield _Mention(where, option, "option", there)
        if option in there:
            yield _Mention(where, value, f"value of {option}", there[option])


def _list_asked(path: Path, wanted: Wanted, build: str, known: Known) -> Iterator[_Mention]:
    for place, name in enumerate(wanted.names("parts")):
        yield _Mention((*path, "parts", place), name, "part", known.parts[build])
    for key, names in (("part", known.parts), ("fault", known.faults)):
        if key in wanted.given:
            yield _Mention((*path, key), wanted.text(key), key, names[build])
    gap = wanted.text("clearance")
    if gap:
        # Some kinds ask about an effect or a setting of a gap, CLEARANCE.WHAT; only a build knows which it has.
        name = gap if gap in known.clearances[build] else gap.partition(".")[0]
        allowed = known.clearances[build]
        yield _Mention((*path, "clearance"), gap if name not in allowed else name, "clearance", allowed)  # fmt: skip


def _check_emphasis(lesson: Lesson) -> Iterator[Fault]:
    """Find parts that one view both lights and ghosts."""
    for index, step in enumerate(lesson.steps):
        for place, name in enumerate(step.show.ghosted):
            position = lesson.find_position("steps", index, "show", "ghosted", place)
            if position and name in step.show.lit:
                what = f"{name} is both lit and ghosted"
                yield Fault(
                    lesson.file,
                    position.line,
                    position.column,
                    what,
                    "Take it out of one of the two",
                )


def _check_closeness(lesson: Lesson) -> Iterator[Fault]:
    """Find views that look closely at a pump which is taken apart: then all that moves is kept in the picture."""
    for index, step in enumerate(lesson.steps):
        position = lesson.find_position("steps", index, "show", "near")
        if position and (step.show.apart or step.show.off or step.show.clearance):
            what = "near is of a pump that is together, and shows no clearance"
            remedy = "Take out near, or apart, off and clearance"
            yield Fault(lesson.file, position.line, position.column, what, remedy)


GIVEN_AWAY = {QuestionKind.POINT_OUT, QuestionKind.NAME_IT}


def _check_giving_away(lesson: Lesson) -> Iterator[Fault]:
    """Find questions whose answer the page lights and names."""
    for index, step in enumerate(lesson.steps):
        if step.ask is None or step.ask.kind not in GIVEN_AWAY:
            continue
        part = step.ask.text("part")
        position = lesson.find_position("steps", index, "ask", "part")
        if position and part in step.show.lit:
            what = f"the page lights and names {part}, which is asked for"
            remedy = "Take it out of lit, or ask about it on another page"
            yield Fault(lesson.file, position.line, position.column, what, remedy)


def _check_own_words(lesson: Lesson) -> Iterator[Fault]:
    """Find orders asked for in the author's own words whose way is drawn: half the learners would be asked for the other."""
    for index, step in enumerate(lesson.steps):
        if step.ask is None or step.ask.kind is not QuestionKind.PUT_IN_ORDER:
            continue
        position = lesson.find_position("steps", index, "ask", "prompt")
        if position and step.ask.prompt and not step.ask.text("way"):
            what = "the words ask for one order, and the way it runs is drawn"
            remedy = "Write way: teardown, or way: assembly"
            yield Fault(lesson.file, position.line, position.column, what, remedy)
