"""Simulate learners: whoever is able enough answers rightly, with a chance that follows from ability and difficulty.

The two-parameter logistic model: the chance is 1 / (1 + exp(-a (ability - b))), with b an item's difficulty and a how
sharply it parts; with every a = 1 it is Rasch's. (Lord, Applications of Item Response Theory, 1980, from memory.)
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

HARDEST = 2.0
"""Difficulties run from its negative to it, in standard deviations of ability: about one in eight, and seven in eight, answer rightly."""
SHARPNESS = (0.8, 1.6)


def make_difficulties(items: int) -> tuple[float, ...]:
    """Make evenly spread difficulties for so many items, in standard deviations of ability."""
    return tuple(float(b) for b in np.linspace(-HARDEST, HARDEST, items))


def draw_right(
    difficulties: tuple[float, ...], learners: int, chance: np.random.Generator
) -> npt.NDArray[np.bool_]:
    """Draw who answers what rightly: learners (rows) by items (columns). Abilities are normal, sharpness differs."""
    ability = chance.standard_normal((learners, 1))
    sharp = chance.uniform(*SHARPNESS, size=(1, len(difficulties)))
    right: npt.NDArray[np.bool_] = chance.random((learners, len(difficulties))) < find_chance_right(
        ability, np.array(difficulties)[None, :], sharp
    )
    return right


def find_chance_right(
    ability: npt.NDArray[np.float64],
    difficulty: npt.NDArray[np.float64],
    sharpness: npt.NDArray[np.float64],
) -> npt.NDArray[np.float64]:
    """Find the chance of a right answer, 0 to 1; the three may have any shapes that go together."""
    found: npt.NDArray[np.float64] = 1.0 / (1.0 + np.exp(-sharpness * (ability - difficulty)))
    return found
