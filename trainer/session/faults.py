"""A pump built with a mistake in it, beside the same pump built right."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from models.spec.fault import SeededFault
from models.spec.making import find_fault, make_faulty
from models.spec.turning import find_rotation, find_shift_mm
from trainer.session.bench import Bench


@dataclass(frozen=True, eq=False)
class FaultyBench:
    """Two benches that differ by one mistake.

    fault: the mistake. sound: the pump as it should be. faulty: as the mistake makes it.
    """

    fault: SeededFault
    sound: Bench
    faulty: Bench

    @cached_property
    def concerned(self) -> tuple[str, ...]:
        """The pieces of the sound pump that the mistake concerns, in the order of interest."""
        build = self.sound.build
        return tuple(name for place in self.fault.places for name in build.pieces_at(place))

    @cached_property
    def missing(self) -> tuple[str, ...]:
        """Those of them that the faulty pump lacks."""
        return tuple(name for name in self.concerned if name not in self.faulty.build.pieces)

    @cached_property
    def wrong(self) -> tuple[str, ...]:
        """Those of them that it has, but not as it should; of a place that lacks some the others are right."""
        build = self.sound.build
        lacking = {build.pieces[name].place.name for name in self.missing}
        return tuple(n for n in self.concerned if build.pieces[n].place.name not in lacking)

    @cached_property
    def shown(self) -> tuple[str, ...]:
        """The pieces to look at: the first that is concerned of each part."""
        places = self.sound.build.pieces
        names = (*self.missing, *self.wrong)
        return tuple({places[name].place.name: name for name in reversed(names)}.values())[::-1]

    @cached_property
    def near_mm(self) -> npt.NDArray[np.float64] | None:
        """The point (3,) mm of the sound pump which the eye goes to, above the shaft; None: the first of the pieces."""
        if self.fault.near is None:
            return None
        place, name = self.fault.near
        piece = self.sound.build.piece_at(place)
        along, radius = piece.faces[name].near or (0.0, 0.0)
        own = np.array([along, 0.0, radius])
        return np.asarray(find_rotation(piece.pose) @ own + find_shift_mm(piece.pose))


def open_faulty(sound: Bench, key: str) -> FaultyBench:
    """Open the bench on which a pump stands built with a mistake in it.

    Raises:
        RefusalError: no fault has that key, or what was chosen does not allow it.
    """
    fault = find_fault(sound.build.family, key)
    return FaultyBench(fault, sound, sound.open_other(make_faulty(sound.build, fault)))
