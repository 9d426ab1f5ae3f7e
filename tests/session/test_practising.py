"""Practice on a pump: what is asked, and what stands beside it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from trainer.lesson.kinds import QuestionKind
from trainer.lesson.outcome import Help
from trainer.lesson.practice import History
from trainer.session.asking import Benches
from trainer.session.practising import Practice

NOON = datetime(2026, 12, 1, 12, tzinfo=UTC)
BENCHES = Benches()


def test_an_example_is_of_the_same_kind_and_about_something_else() -> None:
    bench = BENCHES.open("packing/38")
    practice = Practice(bench, BENCHES, History(), "seed", [QuestionKind.NEXT_OFF])
    assert len(practice.pool) > 2
    for minute in range(5):
        asked = practice.ask_next(NOON + timedelta(minutes=minute))
        assert asked is not None
        assert asked.next.help is Help.EXAMPLE
        assert asked.example is not None
        assert asked.example.kind is asked.item.kind
        assert asked.example.subject != asked.item.subject


def test_the_same_seed_asks_the_same_and_another_seed_something_else() -> None:
    bench = BENCHES.open("packing/38")

    def list_asked(seed: str) -> list[str]:
        practice = Practice(bench, BENCHES, History(), seed)
        found = (practice.ask_next(NOON) for _ in range(6))
        return [one.item.key for one in found if one is not None]

    assert list_asked("one") == list_asked("one")
    assert list_asked("one") != list_asked("two")
