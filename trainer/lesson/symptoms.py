"""What a symptom may come from, what it cannot come from, and which check tells each cause, with its price in time.

Judged in the shop and by nobody's formula: `tables/symptoms.csv` has a row for each cause of a symptom,
`innocent.csv` the causes that cannot bring it, `checks.csv` how long a check takes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from models.spec.cells import Faults, read_number
from models.spec.errors import say_near
from trainer.lesson.taught import TAUGHT, check_taught, read_taught


@dataclass(frozen=True, slots=True)
class Symptom:
    """One symptom. causes: by cause the check that tells it; innocent: causes that cannot bring it; sources: who says so."""

    name: str
    causes: Mapping[str, str]
    innocent: tuple[str, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Symptoms:
    """All of them by name, and the minutes that each check takes."""

    by_name: Mapping[str, Symptom]
    minutes: Mapping[str, float]

    def list_checks(self, symptom: str) -> tuple[str, ...]:
        """List the checks of a symptom, the cheapest first."""
        checks = self.by_name[symptom].causes.values()
        return tuple(sorted(checks, key=self.minutes.__getitem__))

    def list_beside(self, symptom: str) -> Mapping[str, str]:
        """List the checks that tell nothing but causes which cannot bring a symptom, each with one of these."""
        own, tells = self.by_name[symptom], dict[str, list[str]]()
        for one in self.by_name.values():
            for cause, check in one.causes.items():
                tells.setdefault(check, []).append(cause)
        innocent = set(own.innocent)
        return {check: causes[0] for check, causes in tells.items() if innocent.issuperset(causes)}


@lru_cache(maxsize=2)
def read_symptoms(folder: Path = TAUGHT) -> Symptoms:
    """Read the three tables. Raises ContentError with every fault of the first that has any."""
    minutes = _read_minutes(folder)
    rows, faults = read_taught("symptoms", ("symptom", "check", "source"), {"check": tuple(minutes)}, folder)  # fmt: skip
    causes: dict[str, dict[str, str]] = {}
    sources: dict[str, dict[str, None]] = {}
    for key, row in rows.items():
        symptom, _, cause = key.partition(".")
        sources.setdefault(symptom, {})[row["source"].text] = None
        told = causes.setdefault(symptom, {})
        check = row["check"].text
        if not cause:
            faults.add(row["symptom"], f"{key!r} is no SYMPTOM.CAUSE", "write both")
        elif check in minutes and minutes[check] in {minutes[one] for one in told.values() if one in minutes}:  # fmt: skip
            what = f"two checks of {symptom} take equally long"
            faults.add(row["check"], what, "one of them has to be the next")
        told[cause] = check
    check_taught(faults)
    innocent = _read_innocent(folder, causes)
    return Symptoms(
        {
            name: Symptom(name, found, innocent[name], tuple(sources[name]))
            for name, found in causes.items()
        },
        minutes,
    )


def _read_minutes(folder: Path) -> dict[str, float]:
    rows, faults = read_taught("checks", ("check", "minutes", "source"), folder=folder)
    minutes = {name: read_number(row["minutes"], faults, "minutes") for name, row in rows.items()}
    check_taught(faults)
    return minutes


def _read_innocent(
    folder: Path, causes: Mapping[str, Mapping[str, str]]
) -> dict[str, tuple[str, ...]]:
    rows, faults = read_taught("innocent", ("symptom", "causes", "source"), {"symptom": tuple(causes)}, folder)  # fmt: skip
    known = sorted({cause for told in causes.values() for cause in told})
    found = {name: tuple(row["causes"].text.split()) for name, row in rows.items()}
    for name, listed in found.items():
        at = rows[name]["causes"]
        for cause in listed:
            if cause not in known:
                faults.add(at, f"cause {cause!r} is unknown", say_near(cause, known))
            elif cause in causes.get(name, {}):
                faults.add(at, f"{cause} is a cause of {name} too", "take it out of one table")
    _check_complete(faults, causes, found)
    return found


def _check_complete(
    faults: Faults, causes: Mapping[str, Mapping[str, str]], found: Mapping[str, tuple[str, ...]]
) -> None:
    for name in causes:
        if not found.get(name):
            faults.add(None, f"nothing is innocent of {name}", "write what cannot bring it")
    check_taught(faults)
