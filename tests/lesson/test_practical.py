"""A practical is marked line by line by a written rule; what is critical decides."""

from __future__ import annotations

import pytest

from models.spec.errors import RefusalError
from trainer.lesson.practical import LONGEST_REMARK, Level, Observed, Rubric, RubricLine

LINES = tuple(RubricLine(f"line-{n}", is_critical=n == 0) for n in range(5))
RUBRIC = Rubric("open-pump", LINES)


def watch(*levels: Level) -> Observed:
    observed = Observed(RUBRIC)
    for line, level in zip(LINES, levels, strict=False):
        observed = observed.mark(line.name, level)
    return observed


A, P, N = Level.ALONE, Level.PROMPTED, Level.NOT_DONE


@pytest.mark.parametrize(
    ("levels", "score", "passed"),
    [
        ((A, A, A, A, A), 1.0, True),
        ((A, A, A, P, P), 0.8, True),
        ((A, A, P, P, P), 0.7, False),
        ((A, A, A, A, N), 0.8, True),
        ((P, A, A, A, A), 0.9, False),
        ((N, A, A, A, A), 0.8, False),
        ((N, N, N, N, N), 0.0, False),
    ],
)
def test_the_mark_is_the_mean_and_a_critical_line_decides(levels: tuple[Level, ...], score: float, passed: bool) -> None:  # fmt: skip
    judged = watch(*levels).judge()
    assert judged.score == pytest.approx(score)
    assert judged.has_passed is passed
    assert judged.short == (() if levels[0] is A else ("line-0",))


def test_it_is_not_judged_before_every_line_is_marked() -> None:
    observed = watch(A, A)
    assert observed.left == ("line-2", "line-3", "line-4")
    with pytest.raises(RefusalError, match="line-2"):
        observed.judge()


def test_a_line_can_be_marked_otherwise_and_its_remark_goes_with_it() -> None:
    once = watch(A, A, A, A, A).mark("line-1", N, " slow ")
    assert (once.levels["line-1"], once.remarks["line-1"]) == (N, "slow")
    again = once.mark("line-1", A)
    assert again.levels["line-1"] is A
    assert not again.remarks
    assert once.remarks  # what was marked before is another value


def test_what_is_no_line_and_what_is_too_long_is_refused() -> None:
    with pytest.raises(RefusalError, match="line-1"):
        watch().mark("line-", A)
    with pytest.raises(RefusalError, match="shorten"):
        watch().mark("line-1", A, "x" * (LONGEST_REMARK + 1))
