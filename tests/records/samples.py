"""Attempts, sheets, sign-offs and certificates to be kept: the same each time, and light to import, for processes of their own."""

from __future__ import annotations

import hashlib
import json
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

from trainer.records import Attempt, Certificate, Json, LineSigned, Sheet, SignOff

KINDS = ("put-in-order", "point-out", "shim-thickness")
FIRST_MORNING = datetime(2024, 3, 4, 8, 30, tzinfo=UTC)
NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


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


def make_sheet(number: int, content: Json = None, corrects: int | None = None) -> Sheet:
    return Sheet(
        UUID(int=number),
        NOON + timedelta(hours=number),
        content if content is not None else {"gap_mm": [0.4, 0.5], "name": f"Ürs {number}"},
        UUID(int=corrects) if corrects else None,
    )


def make_sign_off(number: int, person: str = "Ann Marsh", *, passed: bool = True) -> SignOff:
    said = ("a shaky hand", "grips too hard") if person == "Ann Marsh" else ("", "steady")
    return SignOff(
        id=UUID(int=number),
        when=NOON + timedelta(hours=number),
        person=person,
        observer="Cleo Dyke",
        person_signed=person.lower(),
        observer_signed="Cleo Dyke",
        practical="strip-and-rebuild",
        build="end-suction/100-250",
        options={"bracket": "open"},
        lines=(
            LineSigned("lock-out", 1.0 if passed else 0.0, is_critical=True, remark=said[0]),
            LineSigned("shims", 0.5),
        ),
        passed=passed,
        remark=said[1],
    )


def make_certificate(number: int, *sign_offs: int, person: str = "Ann Marsh") -> Certificate:
    return Certificate(
        id=UUID(int=number),
        when=NOON,
        person=person,
        issuer="Dora Fenn",
        title="Strip and rebuild",
        sign_offs=tuple(UUID(int=one) for one in sign_offs),
        expires=date(2028, 3, 2),
    )


def hash_list(fields: list[object]) -> str:
    """Make a hash of fields as the notes for developers say it is made, and by nothing of ours."""
    return hashlib.sha256(json.dumps(fields, separators=(",", ":")).encode()).hexdigest()
