"""Put into words what an item is about: the kind of question and its subject."""

from __future__ import annotations

from trainer.words.speech import Words

_HEADS = ("part.{}.name", "clearance.{}", "fault.{}", "practice.subject-{}")


def tell_subject(words: Words, kind: str, subject: str) -> str:
    """Tell an item, such as "Point it out: impeller"; a subject that has no words of its own as it is spelt."""
    head, _, rest = subject.partition(".")
    told = next(
        (words.say(key.format(head)) for key in _HEADS if words.has(key.format(head))), head
    )
    told = f"{told} ({rest})" if rest else told
    return words.say("practice.item", kind=words.say(f"practice.kind-{kind}"), subject=told)


def tell_item_key(words: Words, item: str) -> str:
    """Tell an item by its key, KIND/SUBJECT."""
    kind, _, subject = item.partition("/")
    return tell_subject(words, kind, subject)


def tell_choice_id(words: Words, id_: str) -> str:
    """Tell a choice or a line by its id: a part by its name, a pair by both, anything else as it is spelt."""
    left, sign, right = id_.partition("=")
    if sign:
        pair = {"left": tell_choice_id(words, left), "right": tell_choice_id(words, right)}
        return words.say("answer.pair", **pair)
    key = f"part.{id_}.name"
    return words.say(key) if words.has(key) else id_
