"""What practice does in the background: look up where a learner stands, pose a question, pose one again that was left."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from models.spec.build import Build
from trainer.desktop.asking.drawing import DrawnBenches
from trainer.lesson.outcome import Help
from trainer.lesson.practice import History, Mastery, Next, Standing, Why
from trainer.session.as_left import Plain, StrangeValueError, take_text
from trainer.session.bench import Bench
from trainer.session.practising import Asked, Practice, read_history

if TYPE_CHECKING:
    from trainer.session.teaching import Learner


@dataclass(frozen=True, slots=True)
class Looked:
    """The practice of a pump, and where its learner stands."""

    practice: Practice
    standing: Standing
    mastery: tuple[Mastery, ...]


@dataclass(frozen=True, slots=True)
class Pose:
    """Why a question was posed, and what it was drawn from."""

    next: Next
    seed: str

    def write(self) -> Mapping[str, Plain]:
        """Write what it can be posed by again."""
        subject = self.next.subject
        why, help_ = str(self.next.why), str(self.next.help)
        return {"kind": str(subject.kind), "subject": subject.subject, "why": why, "help": help_}


@dataclass(frozen=True, slots=True)
class Posed:
    """A question of practice, and the build that it is asked of."""

    pose: Pose
    asked: Asked
    build: Build


def name_pump(build: str, options: Mapping[str, str]) -> str:
    """Name a pump with what was chosen for it."""
    chosen = (f"{option}={value}" for option, value in sorted(options.items()))
    return " ".join((build, *chosen))


def look_up(bench: Bench, history: History, now: datetime, seed: str) -> Looked:
    """Make the practice of a pump; what can be asked of it takes a while to find out."""
    practice = Practice(bench, DrawnBenches(), history, seed)
    return Looked(practice, practice.find_standing(now), practice.map_mastery(now))


def find_history(learner: Learner | None) -> History:
    """Find what is known of a learner; without a name nothing is. In the background: a server may be slow to answer."""
    return read_history(learner.records, learner.person) if learner else History()


def pose(practice: Practice, now: datetime, left: Mapping[str, Plain]) -> Posed | None:
    """Pose the next question; None where there is none.

    Args:
        practice: the sitting.
        now: in the time zone whose day is meant.
        left: a question that was left half answered, to be posed again; empty for none.
    """
    again = _read_pose(practice, left)
    asked = practice.ask_again(again.next, again.seed) if again else practice.ask_next(now, ahead=True)  # fmt: skip
    if asked is None:
        return None
    build, item = practice.bench.build, asked.item
    if (item.build, dict(item.options)) != (build.name, dict(build.options)):
        build = practice.benches.open(item.build, item.options).build
    return Posed(Pose(asked.next, asked.seed), asked, build)


def _read_pose(practice: Practice, left: Mapping[str, Plain]) -> Pose | None:
    """Read what was posed; None for nothing, or where the pump cannot be asked that any more."""
    if not left:
        return None
    try:
        names = [take_text(left.get(key)) for key in ("kind", "subject", "why", "help", "seed")]
        kind, subject, why, help_, seed = names
        following = next(s for s in practice.pool if (s.kind, s.subject) == (kind, subject))
        return Pose(Next(following, Why(why), Help(help_)), seed)
    except (StrangeValueError, ValueError, StopIteration):
        return None
