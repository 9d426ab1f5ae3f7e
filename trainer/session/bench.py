"""One pump on the bench: its build, solids, order, layout and clearances, each worked out when first asked."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import Any, Protocol, Unpack

from models.builds import list_builds, make_named_build
from models.solids.assemble import make_assembly
from models.solids.builders import Builders, Made
from models.solids.cache import MeshCache
from models.spec.assembly import Assembly
from models.spec.build import TABLES, Build
from models.spec.errors import RefusalError, say_near
from models.spec.making import Given
from trainer.core.measure.chain import MeasuredClearance, measure_clearances
from trainer.core.order.blocking import Blocking
from trainer.core.order.layout import Layout, make_layout
from trainer.core.order.teardown import Order, find_order
from trainer.session.relations import find_relations, read_relations

Progress = Callable[[str, int, int], None]
"""Called with (what: "solids" or "relations", done, of)."""


class Watch(Protocol):
    """Whoever waits for solids."""

    def note_made(self, done: int, of: int, made: Made) -> None:
        """Hear of one that was made, `done` of all that had to be."""

    def is_wanted(self) -> bool:
        """Say whether they are still wanted."""


class Bench:
    """Put a build on the bench. Cheap to make; solids and relations come from the cache or are made on first use.

    Attributes:
        build: the build, without any solid.
        progress: called while solids or relations are made.
        builders: processes that stay warm between benches; without, they come and go.
        watch: told of each solid that was made, and asked whether it is all still wanted.
        found: what others have found out about this bench; it goes when the bench does.
    """

    def __init__(
        self,
        build: Build,
        progress: Progress | None = None,
        cache: MeshCache | None = None,
        builders: Builders | None = None,
        watch: Watch | None = None,
    ) -> None:
        self.build = build
        self._builders, self._watch = builders, watch
        self._progress = progress
        self._cache = cache or MeshCache()
        self.found: dict[Hashable, Any] = {}

    @property
    def name(self) -> str:
        """FAMILY/SIZE."""
        return self.build.name

    @property
    def identity(self) -> Hashable:
        """Name and options: a pump with other shims is the same pump."""
        return self.build.name, tuple(self.build.options.items())

    @property
    def base(self) -> str:
        """A pump of ours is taken apart to the last piece."""
        return ""

    @property
    def has_relations(self) -> bool:
        """Do the relations lie in the cache?"""
        return read_relations(self.build, self._cache) is not None

    def open_other(self, build: Build) -> Bench:
        """Open a bench for another build with the same cache, builders and progress."""
        return Bench(build, self._progress, self._cache, self._builders, self._watch)

    @cached_property
    def twin(self) -> Bench:
        """The same pump for another thread; of one whose order is known with its solids, relations and order.

        What is worked out on relations is kept by the table itself, so the twin has a table of its own, over the same
        numbers.
        """
        twin = Bench(self.build, cache=self._cache)
        if self.is_ordered:
            known = {"assembly": self.assembly, "blocking": replace(self.blocking)}
            vars(twin).update(known, order=self.order)
        return twin

    @cached_property
    def assembly(self) -> Assembly:
        """Pieces with meshes in place, and what holds and carries them. Raises StoppedError once nobody wants it."""
        tell, watch = self._progress, self._watch

        def note(done: int, of: int, made: Made) -> None:
            if watch is not None:
                watch.note_made(done, of, made)
            if tell is not None:
                tell("solids", done, of)

        if watch is None:
            return make_assembly(self.build, self._cache, note, self._builders)
        return make_assembly(self.build, self._cache, note, self._builders, watch.is_wanted)

    @cached_property
    def blocking(self) -> Blocking:
        """Who stands in whose way."""
        tell = self._progress
        step = (lambda done, of: tell("relations", done, of)) if tell else None
        return find_relations(self.build, self.assembly, self._cache, step)

    @property
    def is_ordered(self) -> bool:
        """Has the order been worked out?"""
        return "order" in self.__dict__

    @cached_property
    def order(self) -> Order:
        """One good teardown order."""
        return find_order(self.assembly, self.blocking)

    def work_before(self, step: int) -> list[str]:
        """Name the work (keys) that comes before a step of the order, counted from 0; the start's work before step 0."""
        part = self.order.steps[step].part
        first = all(earlier.part != part for earlier in self.order.steps[:step])
        return [
            work.key
            for work in self.build.work
            if (not work.before and step == 0) or (work.before == part and first)
        ]

    @cached_property
    def layout(self) -> Layout:
        """Where every piece stands when the pump is apart."""
        return make_layout(self.order, self.blocking, self.assembly)

    @cached_property
    def clearances(self) -> tuple[MeasuredClearance, ...]:
        """Every clearance with its chain, from dimensions alone."""
        return measure_clearances(self.build)

    def clearance(self, name: str) -> MeasuredClearance:
        """Give one clearance. Raises RefusalError with near matches for an unknown name."""
        wanted = self.build.clearance(name).name
        return next(measured for measured in self.clearances if measured.name == wanted)

    def find_pieces(self, name: str) -> tuple[str, ...]:
        """Find the piece, or all pieces of a part, by name. Raises RefusalError with near matches."""
        if name in self.build.pieces:
            return (name,)
        if name in self.build.places:
            return self.build.places[name]
        known = [*self.build.places, *self.build.pieces]
        raise RefusalError(f"no piece or part is called {name!r}; {say_near(name, known)}")


def open_bench(
    name: str,
    options: Mapping[str, str] | None = None,
    *,
    progress: Progress | None = None,
    builders: Builders | None = None,
    **given: Unpack[Given],
) -> Bench:
    """Open a bench for FAMILY/SIZE with chosen options, measured values (mm), shims and the shop's own limits.

    Raises:
        RefusalError: unknown build, option or piece. ContentError: a table is wrong.
    """
    return Bench(make_named_build(name, options, **given), progress, builders=builders)


def list_benches(tables: Path = TABLES) -> dict[str, dict[str, list[str]]]:
    """List every build name with its options and their values, the usual one first."""
    return {name: family.option_values() for name, family in list_builds(tables).items()}


def list_every_build(tables: Path = TABLES) -> list[Build]:
    """List every size with its usual options, and with each other value of each option by itself.

    Where a value asks for another that is not the usual one, that comes along; no build stands here twice.
    """
    found: dict[tuple[str, tuple[tuple[str, str], ...]], Build] = {}
    for name, values in list_benches(tables).items():
        for chosen in [
            {},
            *({option: value} for option, others in values.items() for value in others[1:]),
        ]:
            build = make_named_build(name, chosen, tables=tables)
            found.setdefault((name, tuple(build.options.items())), build)
    return list(found.values())
