"""What may stand on the bench: a pump of ours, or somebody's assembly from a file; and how it is chosen."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Protocol

from models.spec.assembly import Assembly
from models.spec.build import Build
from trainer.core.order.blocking import Blocking
from trainer.core.order.layout import Layout
from trainer.core.order.teardown import Order


class OnBench(Protocol):
    """Whatever stands on the bench: enough to show it, take it apart, drag, search, number and try.

    `session.bench.Bench` and `session.step_bench.StepBench` are such. What is worked out late (blocking,
    order, layout) takes seconds when it is not kept yet: ask for it in the background only. Lengths
    may be larger than life (a watch, a bridge): `words.naming` turns them back where they are told.
    """

    @property
    def name(self) -> str:
        """FAMILY/SIZE, or the name of the file."""

    @property
    def identity(self) -> Hashable:
        """Equal for what is the same thing with other shims or other guesses: view and motion stay then."""

    @property
    def build(self) -> Build | None:
        """The build of a pump of ours; None for somebody's assembly, of which no dimension is known."""

    @property
    def assembly(self) -> Assembly:
        """Pieces with meshes in place, and what holds and carries them."""

    @property
    def has_relations(self) -> bool:
        """Do the relations lie ready, so that `blocking` is read and not worked out?"""

    @property
    def blocking(self) -> Blocking:
        """Who stands in whose way."""

    @property
    def order(self) -> Order:
        """One good teardown order."""

    @property
    def layout(self) -> Layout:
        """Where every piece stands when all is apart."""

    @property
    def base(self) -> str:
        """The piece that stays put and is not in the order; "" for none. Known with the order."""

    def work_before(self, step: int) -> Sequence[str]:
        """Give the work that comes before a step, counted from 0, to be told by `Naming.tell_work`."""

    def find_pieces(self, name: str) -> tuple[str, ...]:
        """Find the piece, or all pieces of a part, by name. Raises RefusalError with near matches."""
