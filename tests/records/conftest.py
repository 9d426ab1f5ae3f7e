from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

import pytest

from trainer.records import Attempt, Json

KINDS = ("put-in-order", "point-out", "shim-thickness")
FIRST_MORNING = datetime(2024, 3, 4, 8, 30, tzinfo=UTC)


def make_attempt(number: int, person: str = "Ann", answer: Json = "casing-nut-1") -> Attempt:
    """Make the attempt with this number: the same each time, and unlike every other."""
    return Attempt(
        id=UUID(int=number),
        person=person,
        when=FIRST_MORNING + timedelta(minutes=number),
        kind=KINDS[number % len(KINDS)],
        build="end-suction/100-250",
        options={"bracket": "enclosed"},
        question=f"teardown-{number}",
        answer=[answer, number],
        result={"valid": number % 2 == 0, "steps": [{"piece": "casing-nut-1", "travel_mm": 12.5}]},
        score=None if number % 3 == 0 else 1 / number,
        lesson=f"first-strip-{number % 4}",
        subject=f"part-{number % 7}",
        seed=f"seed {number}",
        seconds=number / 7,
        marks={"what": 1.0, "why": number / 64},
    )


@pytest.fixture(name="attempt")
def _attempt() -> Callable[..., Attempt]:
    return make_attempt


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "learner's own %20 folder" / "records.sqlite3"
