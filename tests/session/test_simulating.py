"""A simulated class: whoever is drawn to be wrong gives an answer that is wrong, in every form."""

from __future__ import annotations

import numpy as np
import pytest

from trainer.lesson.marking import FULL, ROUNDING
from trainer.session.asking import Benches
from trainer.session.simulating import simulate_class


@pytest.mark.parametrize("is_right", [True, False])
def test_who_is_drawn_to_be_right_is_right_and_who_is_not_is_not(
    monkeypatch: pytest.MonkeyPatch, is_right: bool
) -> None:
    def draw(hard: tuple[float, ...], learners: int, _: np.random.Generator) -> object:
        return np.full((learners, len(hard)), is_right)

    monkeypatch.setattr("trainer.session.simulating.draw_right", draw)
    benches = Benches()
    made = simulate_class(benches.open("end-suction/100-250"), benches, 4, 40, 1)
    assert len(made.difficulties) == 40
    all_right = {one.score >= FULL - ROUNDING for one in made.outcomes}
    assert all_right == {is_right}
    assert len({one.kind for one in made.outcomes}) > 15
