"""What an answer is drawn from and kept with."""

from __future__ import annotations

from trainer.session.answering import make_seed


def test_no_part_of_a_seed_can_be_read_in_it() -> None:
    one, again = (make_seed("first-strip/nut", "Ann Marsh", "chance") for _ in range(2))
    assert one == again
    assert not any(part in one.lower() for part in ("ann", "marsh", "strip", "chance"))
    others = {make_seed("first-strip/nut", name, "chance") for name in ("Ann Marsh", "Ben", "")}
    assert len(others | {make_seed("first-strip/nut", "Ann Marsh", "other")}) == 4
    assert make_seed("a", "bc") != make_seed("ab", "c")
