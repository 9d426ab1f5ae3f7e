"""Questions about parts: point it out, name it, say what it is for."""

from __future__ import annotations

import random

from trainer.lesson.item import Basis, Choice, Field, Item, OneOf, PiecesShown, Pointed
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.lesson import Camera, Show
from trainer.lesson.said import Filling, Said, name_part, say
from trainer.session.asking.kind import Draw, Kind
from trainer.session.bench import Bench
from trainer.session.written_numbers import say_written

CHOICES = 4
COMMON_PRACTICE = "common practice"
NARROWS = "part"


def list_parts(bench: Bench) -> tuple[str, ...]:
    """List the parts of a build that one can ask about, as its places are listed."""
    return tuple(bench.build.places)


def ask(draw: Draw, key: str, **fields: Filling) -> tuple[Said, ...]:
    """Say what is asked: the author's own words, or the usual ones of a key."""
    if draw.wanted.prompt:
        return (say_written(draw.bench.build, draw.wanted.prompt),)
    return (say(key, **fields),)


def draw_others(parts: tuple[str, ...], right: str, chance: random.Random) -> list[str]:
    """Draw the wrong parts of a choice."""
    others = [part for part in parts if part != right]
    return chance.sample(others, min(CHOICES - 1, len(others)))


def _show(draw: Draw, *lit: str) -> Show:
    build = draw.bench.build
    return Show(build.name, build.options, lit=lit, cutaway=True, camera=Camera.SIDE)


def _make_item(
    draw: Draw, kind: QuestionKind, stem: tuple[Said, ...], field: Field, show: Show
) -> Item:
    build = draw.bench.build
    basis = Basis(say("basis.part"), COMMON_PRACTICE)
    return Item(kind, draw.subject, build.name, build.options, stem, (field,), basis, show)


def _draw_point_out(draw: Draw) -> Item:
    build, part = draw.bench.build, draw.subject
    stem = ask(draw, "ask.point-out", part=name_part(part))
    parts = {name: piece.place.name for name, piece in build.pieces.items()}
    form = Pointed(
        frozenset(build.places[part]),
        parts,
        {other: say(f"part.{other}.duty") for other in build.places if other != part},
    )
    field = Field("part", say("ask.point-out-field"), form)
    return _make_item(draw, QuestionKind.POINT_OUT, stem, field, _show(draw))


def _draw_name_it(draw: Draw) -> Item:
    build, part = draw.bench.build, draw.subject
    names = [part, *draw_others(list_parts(draw.bench), part, draw.chance)]
    draw.chance.shuffle(names)
    choices = tuple(
        Choice(
            name,
            say("choice.part", part=name_part(name)),
            say(
                "why.name-is-right" if name == part else "why.name-is-other",
                part=name_part(name),
                duty=say(f"part.{name}.duty"),
            ),
            None if name == part else PiecesShown(build.places[name]),
        )
        for name in names
    )
    field = Field("part", say("ask.name-it-field"), OneOf(choices, frozenset({part})))
    return _make_item(
        draw, QuestionKind.NAME_IT, ask(draw, "ask.name-it"), field, _show(draw, part)
    )


def _draw_what_for(draw: Draw) -> Item:
    part = draw.subject
    names = [part, *draw_others(list_parts(draw.bench), part, draw.chance)]
    draw.chance.shuffle(names)
    choices = tuple(
        Choice(
            name,
            say(f"part.{name}.duty"),
            say("why.duty-is-right" if name == part else "why.duty-is-other", part=name_part(name)),
        )
        for name in names
    )
    field = Field("duty", say("ask.what-for-field"), OneOf(choices, frozenset({part})))
    stem = ask(draw, "ask.what-for", part=name_part(part))
    return _make_item(draw, QuestionKind.WHAT_FOR, stem, field, _show(draw, part))


POINT_OUT = Kind(NARROWS, list_parts, _draw_point_out)
NAME_IT = Kind(NARROWS, list_parts, _draw_name_it)
WHAT_FOR = Kind(NARROWS, list_parts, _draw_what_for)
