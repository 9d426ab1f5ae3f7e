"""Check a lesson against the builds it is about: every name, every reference, and that every question can be drawn."""

from __future__ import annotations

from collections.abc import Iterator

from models.spec.errors import Fault, RefusalError, say_choice
from models.spec.making import find_fault, make_faulty
from trainer.lesson import Lesson, Show, Step, Wanted, check_lesson
from trainer.lesson.lesson import Path, Position
from trainer.lesson.written import list_braced
from trainer.session.asking.benches import Benches
from trainer.session.asking.drawing import draw_item, find_kind
from trainer.session.bench import Bench
from trainer.session.teaching import find_known
from trainer.session.written_numbers import find_rest

SEEDS = ("one", "two", "three")
"""A question is drawn so often: what is drawn afresh must be possible however chance falls."""
STEP_TEXTS = ("title", "say", "caution")


def check_lesson_on_builds(lesson: Lesson, benches: Benches, *, draws: bool = True) -> list[Fault]:
    """Check a lesson as it will be shown: each step on its own build with its own options.

    Args:
        lesson: as read.
        benches: where builds are opened.
        draws: whether every question is drawn, for which the solids of some builds have to be there.

    Returns:
        Every fault, in the order of the file; one for each place.
    """
    found = check_lesson(lesson, find_known())
    named = {(fault.line, fault.column) for fault in found}
    checking = _Checking(lesson, benches, named, draws=draws)
    for fault in checking.list_faults():
        if (fault.line, fault.column) not in named:
            named.add((fault.line, fault.column))
            found.append(fault)
    return sorted(found, key=lambda fault: (fault.line, fault.column))


class _Checking:
    """Go through a lesson step by step. named: where faults were found already, by line and column."""

    def __init__(
        self, lesson: Lesson, benches: Benches, named: set[tuple[int, int]], *, draws: bool
    ) -> None:
        self._lesson, self._benches, self._named, self._draws = lesson, benches, named, draws

    def list_faults(self) -> Iterator[Fault]:
        first = Show(self._lesson.build, self._lesson.options)
        bench, fault = self._open(first, ())
        if fault:
            yield fault
        if bench:
            yield from self._check_text(bench, ("title",), self._lesson.title)
        for index, step in enumerate(self._lesson.steps):
            yield from self._check_step(step, ("steps", index))

    def _check_step(self, step: Step, path: Path) -> Iterator[Fault]:
        bench, fault = self._open(step.show, (*path, "show"))
        if fault:
            yield fault
        if bench is None:
            return
        yield from self._check_show(bench, step.show, (*path, "show"))
        for key in STEP_TEXTS:
            yield from self._check_text(bench, (*path, key), getattr(step, key))
        if step.ask:
            yield from self._check_text(bench, (*path, "ask", "prompt"), step.ask.prompt)
        if step.ask and self._draws:
            yield from self._check_ask(bench, step.ask, (*path, "ask"))

    def _open(self, show: Show, path: Path) -> tuple[Bench | None, Fault | None]:
        """Open the bench of a view; where its options cannot be had together, say so."""
        try:
            return self._benches.open(show.build, show.options), None
        except RefusalError as error:
            if any(self._is_named((*path, "with", option)) for option in show.options):
                return None, None  # the option that there is not is told where it stands
            for key in ("with", "build"):
                if (*path, key) in self._lesson.positions:
                    return None, self._blame((*path, key), str(error))
            return None, None  # it stands elsewhere, and is told there

    def _is_named(self, path: Path) -> bool:
        position = self._lesson.find_position(*path)
        return position is not None and (position.line, position.column) in self._named

    def _check_show(self, bench: Bench, show: Show, path: Path) -> Iterator[Fault]:
        names = [((*path, "off"), show.off)] if show.off else []
        for key, listed in (("lit", show.lit), ("ghosted", show.ghosted), ("near", show.near)):
            names += [((*path, key, place), name) for place, name in enumerate(listed)]
        for where, name in names:
            try:
                bench.find_pieces(name)
            except RefusalError as error:
                yield from self._blame_given(where, str(error))
        try:
            if show.clearance:
                bench.build.clearance(show.clearance)
        except RefusalError as error:
            yield from self._blame_given((*path, "clearance"), str(error))
        try:
            if show.fault:
                make_faulty(bench.build, find_fault(bench.build.family, show.fault))
        except RefusalError as error:
            yield from self._blame_given((*path, "fault"), str(error))

    def _check_text(self, bench: Bench, path: Path, text: str) -> Iterator[Fault]:
        for number, braced in enumerate(list_braced(text)):
            try:
                find_rest(bench.build, braced)
            except RefusalError as error:
                yield self._blame((*path, number), str(error))

    def _check_ask(self, bench: Bench, wanted: Wanted, path: Path) -> Iterator[Fault]:
        kind = find_kind(wanted.kind)
        given = wanted.text(kind.narrows) if kind.narrows else ""
        subjects = kind.list_subjects(bench)
        if given and given not in subjects:
            what = f"{bench.name} as chosen cannot be asked {wanted.kind} about {given}"
            yield self._blame((*path, kind.narrows), what, say_choice(given, subjects))
            return
        for seed in SEEDS:
            try:
                draw_item(bench, self._benches, wanted, seed)
            except RefusalError as error:
                yield self._blame((*path, "kind"), str(error))
                return

    def _blame_given(self, path: Path, what: str) -> Iterator[Fault]:
        if (
            path in self._lesson.positions
        ):  # else it is taken over from another step, and told there
            yield self._blame(path, what)

    def _blame(self, path: Path, what: str, remedy: str = "") -> Fault:
        position = self._lesson.positions.get(path, Position(0, 0))
        what, _, near = what.partition("; ") if not remedy else (what, "", remedy)
        return Fault(
            self._lesson.file, position.line, position.column, what, near[:1].upper() + near[1:]
        )
