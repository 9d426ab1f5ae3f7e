"""A move that is tried: what moves, how far it gets, and what stops it there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly
from models.spec.errors import RefusalError
from trainer.core.order.directions import Direction, with_riders
from trainer.core.order.marking import DONE
from trainer.core.order.pulling import Pull
from trainer.core.order.state import Refused, State, TakenOff
from trainer.session.bench import Bench
from trainer.session.teaching import mark_lines

AT_ONCE_MM = 0.005
"""Travel below this is contact."""
CLEAR_SHARE = 1.2
"""A free piece is shown drawn clear by this much of its own length."""


@dataclass(frozen=True, slots=True, eq=False)
class TriedMove:
    """A piece tried, and what became of it.

    moving: the piece with all that rides on it. gone: pieces that were off before, or lie elsewhere.
    hindrance: the pieces that stop it: what holds the joint, or what is met first.
    direction, travel_mm: the way it goes, and how far until it meets the hindrance (or is clear, if
    free); None and 0 where a joint holds it.
    """

    found: TakenOff | Refused
    moving: frozenset[str]
    gone: frozenset[str]
    hindrance: frozenset[str]
    direction: Direction | None
    travel_mm: float

    @property
    def piece(self) -> str:
        """The piece that was tried."""
        return self.found.piece

    @property
    def is_free(self) -> bool:
        """It comes off."""
        return isinstance(self.found, TakenOff)

    @property
    def is_held(self) -> bool:
        """A joint holds it, so that it does not move at all."""
        return self.direction is None

    @property
    def is_touching(self) -> bool:
        """It bears on what is in the way before it has moved."""
        return not self.is_free and not self.is_held and self.travel_mm <= AT_ONCE_MM

    @property
    def shift_mm(self) -> npt.NDArray[np.float64]:
        """How far it gets, (3,) mm."""
        return self.direction.vector * self.travel_mm if self.direction else np.zeros(3)


def try_move(assembly: Assembly, found: TakenOff | Refused, gone: frozenset[str]) -> TriedMove:
    """Work out what is seen of a move that the order engine has judged.

    Args:
        assembly: the pieces.
        found: what a state said to the piece.
        gone: pieces that are not there any more.
    """
    moving = frozenset(with_riders(assembly, {found.piece})) - gone
    if isinstance(found, TakenOff):
        low = np.min([assembly.by_name[name].mesh.bounds[0] for name in moving], axis=0)
        high = np.max([assembly.by_name[name].mesh.bounds[1] for name in moving], axis=0)
        length_mm = CLEAR_SHARE * float((high - low) @ np.abs(found.direction.vector))
        return TriedMove(found, moving, gone, frozenset(), found.direction, length_mm)
    hindrance = found.hindrance
    moving -= hindrance
    if found.held or found.way is None:
        return TriedMove(found, moving, gone, hindrance, None, 0.0)
    way = found.way
    return TriedMove(found, moving, gone, hindrance, way.direction, way.travel_mm)


def make_tried(pull: Pull, gone: frozenset[str]) -> TriedMove:
    """Say what is seen of a pull that does not take its piece off; `gone` are pieces not there any more."""
    way, travel_mm = (None, 0.0) if pull.is_held else (pull.direction, pull.stop_mm)
    moving = pull.moving - pull.hindrance
    return TriedMove(pull.found, moving, gone, pull.hindrance, way, travel_mm)


def try_piece(bench: Bench, name: str, after: Sequence[str] = ()) -> TriedMove:
    """Try to take a piece off once others are off.

    Args:
        bench: the pump.
        name: a piece, or a part, of which the first piece is tried.
        after: lines of an order, pieces or parts that are off already.

    Raises:
        RefusalError: an unknown name; lines that cannot all be off by then; a piece that is off itself.
    """
    piece = bench.find_pieces(name)[0]
    marked = mark_lines(bench, after)
    state = State(bench.assembly, bench.blocking, bench.order.list_ways_out())
    for judged in marked.steps:
        if judged.verdict not in DONE:
            raise RefusalError(
                f"{judged.piece} could not be taken off in that order, so it cannot be off already; "
                "have the list marked with order --mark"
            )
        state.try_take(judged.piece)
    if piece in state.off:
        raise RefusalError(f"{piece} is off already by that list; try a piece that is still on")
    gone = frozenset(bench.assembly.by_name) - state.lot_of(piece)
    return try_move(bench.assembly, state.look(piece), gone)


def try_shown(bench: Bench, piece: str, taken: Iterable[str]) -> TriedMove:
    """Try a piece once others were taken off one after another; of these one that did not come off stays on.

    Raises:
        KeyError: the pump has no such piece.
    """
    state = State(bench.assembly, bench.blocking, bench.order.list_ways_out())
    for name in taken:
        state.try_take(name)
    gone = frozenset(bench.assembly.by_name) - state.lot_of(piece)
    return try_move(bench.assembly, state.look(piece), gone)
