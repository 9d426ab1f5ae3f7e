"""What the window says of the pump, of the step it shows and at the parts it lights; plain texts, no widget."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from models.spec.build import Build
from trainer.desktop.picture.overlay import NameTag
from trainer.handout.step_form_text import name_all
from trainer.session.bench import Bench
from trainer.session.on_bench import OnBench
from trainer.session.step_bench import StepBench
from trainer.words import Words
from trainer.words.naming import BuildNaming, Naming, StepNaming
from trainer.words.speech import begin
from trainer.words.telling import tell_pump

MOST_TAGS = 4
MOST_NAMED = 2
"""Unusual values of a pump that are named at the head of the window."""


def make_naming(words: Words, bench: OnBench) -> Naming:
    """Make the naming of whatever stands on the bench."""
    if isinstance(bench, StepBench):
        return StepNaming(words, name_all(bench), bench.guessed.parts, bench.joints)
    assert isinstance(bench, Bench)
    return BuildNaming(words, bench.build)


def tell_build(words: Words, build: Build, usual: Mapping[str, str]) -> tuple[str, str]:
    """Name a pump with some of what it has other than the usual one, and list all of that."""
    name = tell_pump(words, build.name)
    values = [
        words.say(f"option.{option}.{value}")
        for option, value in build.options.items()
        if value != usual[option]
    ]
    if not values:
        return name, ""
    more = len(values) - MOST_NAMED
    shown = values[:MOST_NAMED] + ([words.count("window.build-more", more)] if more > 0 else [])
    return words.say("window.build-with", build=name, values=", ".join(shown)), ", ".join(values)


def tell_step(
    words: Words, naming: Naming, bench: OnBench, number: int, *, is_back: bool
) -> tuple[str, str, str, str]:
    """Name what moves in a step of the order, which step it is, the way it goes, and what must be done before."""
    steps = bench.order.steps
    step = steps[number]
    name = naming.tell_pieces(step.pieces)
    place = words.say("window.step", number=number + 1, last=len(steps))
    before = ""
    if is_back:
        direction = naming.tell_way(step.direction.back)
        way = words.count("window.goes-on", len(step.taken), direction=direction)
    else:
        way = naming.tell_taken(step.taken[0], len(step.taken))
        told = " ".join(naming.tell_work(work) for work in bench.work_before(number))
        before = words.say("window.work-before", work=told) if told else ""
    return begin(name), place, way, before


def make_tags(
    words: Words, naming: Naming, lit: Iterable[str], in_the_way: Iterable[str]
) -> dict[str, NameTag]:
    """Make the names that stand on leaders, by piece: one for each part, at its first piece."""
    tags: dict[str, NameTag] = {}
    known = {piece for pieces in naming.sets.values() for piece in pieces}
    for pieces, barred in ((in_the_way, True), (lit, False)):
        sets: dict[str, list[str]] = {}
        for piece in pieces:
            if piece in known:
                sets.setdefault(naming.find_part(piece), []).append(piece)
        for names in list(sets.values())[:MOST_TAGS]:
            told = naming.tell_pieces(names)
            text = words.say("window.tag-in-the-way", part=told) if barred else told
            tags[min(names)] = NameTag(text, barred)
    return tags
