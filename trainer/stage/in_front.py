"""Find what stands in front of the pieces that are spoken of, so that it can turn to glass."""

from __future__ import annotations

import numpy as np

from trainer.stage.marks import Marks
from trainer.stage.scene import Stage

LOOK_PX = (480, 300)
"""Small pictures in which is counted what hides what."""
SEEN_SHARE = 0.45
"""Where this much of the pieces is seen, nothing in front of them need turn to glass."""
MOST_ROUNDS = 5


def find_in_front(stage: Stage, wanted: frozenset[str], hidden: frozenset[str]) -> frozenset[str]:
    """Find the pieces that must turn to glass so that the wanted ones are seen from where the stage looks now.

    The stage's camera must be fitted to a picture of LOOK_PX; its marks are left as found here.

    Args:
        stage: with everything where it stands.
        wanted: what is to be seen.
        hidden: pieces that are not shown.
    """
    numbers = stage.find_numbers()
    names = {number: name for name, number in numbers.items()}
    stage.set_marks(Marks(hidden=frozenset(numbers) - wanted))
    alone = stage.frame_of_numbers(*LOOK_PX) > 0
    glass: frozenset[str] = frozenset()
    for _ in range(MOST_ROUNDS):
        stage.set_marks(Marks(hidden=hidden, ghosted=glass))
        over = stage.frame_of_numbers(*LOOK_PX)[alone]
        in_front = {names[int(number)] for number in np.unique(over) if number} - wanted
        seen = float(np.isin(over, [numbers[name] for name in wanted]).mean()) if over.size else 1.0
        if seen >= SEEN_SHARE or not in_front:
            break
        glass |= in_front
    stage.set_marks(Marks(hidden=hidden, ghosted=glass))
    return glass
