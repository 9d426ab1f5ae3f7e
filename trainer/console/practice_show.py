"""Tell how a learner stands: what is due, what is weak, what is new, how far each skill is."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from trainer.lesson.marking import ItemMark
from trainer.lesson.practice import Standing, Subject
from trainer.words import Words
from trainer.words.speech import begin
from trainer.words.telling_subject import tell_subject

if TYPE_CHECKING:
    from trainer.session.practising import Practice

MOST_LISTED = 8


def tell_today(words: Words, practice: Practice, now: datetime) -> list[str]:
    """Tell what is due today, what is weak, what comes next, and the map of mastery."""
    standing = practice.find_standing(now)
    build = practice.bench.name
    lines = [words.say("practice.today", build=build, day=f"{now:%Y-%m-%d}")]
    lines += _list(words, "due", standing.due)
    lines += _list(words, "later", standing.later)
    lines += _list(words, "weak", standing.weak)
    lines.append(words.count("practice.count-new", len(standing.new)))
    following = practice.peek_next(now)
    if following is None:
        lines.append(_tell_next_due(words, standing))
    else:
        told = tell_subject(words, following.subject.kind, following.subject.subject)
        why = words.say(f"practice.why-{following.why}")
        lines.append(words.say("practice.next", subject=told, why=why))
    return [*lines, "", *tell_map(words, practice, now)]


def tell_map(words: Words, practice: Practice, now: datetime) -> list[str]:
    """Tell how far each skill is, and what the figures mean."""
    lines = [words.say("practice.map")]
    for one in practice.map_mastery(now):
        fields = {
            "skill": begin(words.say(f"practice.skill-{one.skill}")),
            "seen": one.seen,
            "all": one.there_are,
            "known": words.number(100.0 * one.known, 1),
        }
        if one.recall is None:
            lines.append(words.say("practice.map-unseen", **fields))
        else:
            recall = words.number(100.0 * one.recall, 0)
            lines.append(words.say("practice.map-line", recall=recall, **fields))
    return [*lines, words.say("practice.map-means")]


def tell_end(
    words: Words, marks: Sequence[ItemMark], standing: Standing | None, *, kept: bool
) -> list[str]:
    """Tell how a sitting went."""
    if not marks:
        told = [words.say("practice.none-answered")]
    else:
        right = sum(mark.is_right for mark in marks)
        mean = words.number(100.0 * sum(mark.score for mark in marks) / len(marks), 0)
        told = [words.count("practice.answered", len(marks), right=right, mean=mean)]
        if kept:
            told.append(words.say("practice.kept"))
    if standing is not None and kept and not standing.due:
        told.append(_tell_next_due(words, standing))
    return ["", *told]


def describe_today(practice: Practice, now: datetime) -> dict[str, object]:
    """Describe how a learner stands, for scripts."""
    standing = practice.find_standing(now)
    following = practice.peek_next(now)
    return {
        "build": practice.bench.name,
        "due": [one.item for one in standing.due],
        "later_today": [one.item for one in standing.later],
        "weak": [one.item for one in standing.weak],
        "new": len(standing.new),
        "new_today": standing.new_today,
        "next": {"item": following.subject.item, "why": str(following.why),
                 "help": str(following.help)} if following else None,
        "next_due": standing.next_due.isoformat() if standing.next_due else None,
        "mastery": [
            {"skill": str(one.skill), "there_are": one.there_are, "seen": one.seen,
             "recall": one.recall, "known": one.known}
            for one in practice.map_mastery(now)
        ],
    }  # fmt: skip


def _list(words: Words, what: str, subjects: Sequence[Subject]) -> list[str]:
    if not subjects:
        return [words.say("practice.none-due")] if what == "due" else []
    lines = [words.count(f"practice.count-{what}", len(subjects))]
    lines += [
        words.say("practice.listed", subject=tell_subject(words, one.kind, one.subject))
        for one in subjects[:MOST_LISTED]
    ]
    if len(subjects) > MOST_LISTED:
        lines.append(words.count("practice.more", len(subjects) - MOST_LISTED))
    return lines


def _tell_next_due(words: Words, standing: Standing) -> str:
    if standing.next_due is None:
        return words.say("practice.nothing-ever")
    when = standing.next_due.astimezone()
    return words.say("practice.nothing-due", when=f"{when:%Y-%m-%d %H:%M}")
