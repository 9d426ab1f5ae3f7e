"""Put into words what an item is about: the kind of question and its subject."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from trainer.words.speech import Words

_HEADS = ("part.{}.name", "clearance.{}", "fault.{}", "procedure.{}", "practice.subject-{}")
_CHOICES: Mapping[str, tuple[str, ...]] = {
    "find-fault": ("fault.{id}",),
    "which-to-fit": ("component.*.{id}", "choice.fit-{id}"),
    "read-gap": ("choice.gap-{id}", "choice.turns-{id}"),
    "what-if": ("choice.what-if-{id}", "practice.chosen-what-if-{id}"),
    "true-or-false": ("choice.claim-{id}", "practice.chosen-reason-{id}"),
    "reuse-or-renew": ("verdict.{id}", "damage.{id}.from", "mistaken.{id}"),
    "read-gauge": ("believe.{subject}-{id}",),
    "where-to-measure": ("gauge.{id}", "measuring.{id}"),
    "tighten": ("practice.chosen-tighten-{id}",),
    "symptom": ("cause.{id}", "check.{id}"),
    "audit-sheet": ("clearance.{id}", "sheet.run-out-{id}", "practice.chosen-entry-{id}"),
    "set-hand": ("hand.{id}", "hand-reason.{subject}-{id}", "hand-reason.{id}", "branch.{id}"),
    "procedure": ("step.{id}",),
}
"""By kind of question, under which keys a choice or a line stands by its id; a star stands for one word."""


def tell_subject(words: Words, kind: str, subject: str) -> str:
    """Tell an item, such as "Point it out: impeller"; a subject that has no words of its own as it is spelt."""
    head, _, rest = subject.partition(".")
    known = (key.format(head) for key in _HEADS)
    told = next((words.say(key) for key in known if words.has(key)), head.replace("-", " "))
    told = f"{told} ({rest})" if rest else told
    return words.say("practice.item", kind=words.say(f"practice.kind-{kind}"), subject=told)


def tell_item_key(words: Words, item: str) -> str:
    """Tell an item by its key, KIND/SUBJECT."""
    kind, _, subject = item.partition("/")
    return tell_subject(words, kind, subject)


def tell_choice_id(words: Words, item: str, id_: str) -> str:
    """Tell a choice or a line of an item by its id: a part by its name, a pair by both, else by the words of its kind.

    item: its key. What has no words of its own is told as it is spelt.
    """
    left, sign, right = id_.partition("=")
    if sign:
        pair = {
            "left": tell_choice_id(words, item, left),
            "right": tell_choice_id(words, item, right),
        }
        return words.say("answer.pair", **pair)
    kind, _, subject = item.partition("/")
    keys = (
        key.format(id=id_, subject=subject) for key in ("part.{id}.name", *_CHOICES.get(kind, ()))
    )
    found = next((key for key in map(partial(_find_key, words), keys) if key), "")
    return words.say(found) if found else id_.replace("-", " ")


def _find_key(words: Words, key: str) -> str:
    """Find the key that there is of one with a star for a word; "" where there is none."""
    if "*" not in key:
        return key if words.has(key) else ""
    head, _, tail = key.partition("*")
    return next((one for one in words.texts if one.startswith(head) and one.endswith(tail)), "")
