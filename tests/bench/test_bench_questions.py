"""The bench of drawing questions: a thousand at every run, all of them under --long; none that is not well made."""

from __future__ import annotations

import pytest

from tests.bench import bench_questions
from trainer.session.asking.kinds import KINDS


def test_questions_of_every_kind_are_drawn_well_made_and_far_cheaper_than_a_pump() -> None:
    result = bench_questions.run(count=1000)
    assert result.invalid == ()
    assert {row.kind for row in result.rows} <= set(KINDS)
    assert len(result.rows) >= len(KINDS) - 1
    assert result.ratio < 3 * bench_questions.PROMISED_RATIO
    assert "ratio" in bench_questions.tell(result)


@pytest.mark.long
def test_ten_thousand_questions_are_all_well_made_and_as_cheap_as_promised() -> None:
    result = bench_questions.run()
    print(bench_questions.tell(result))
    assert result.invalid == ()
    assert result.ratio <= bench_questions.PROMISED_RATIO
