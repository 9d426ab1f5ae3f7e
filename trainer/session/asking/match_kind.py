"""The question which part has which duty."""

from __future__ import annotations

from models.spec.errors import RefusalError, say_near
from trainer.lesson.item import Basis, Choice, Field, Item, Pairs, PiecesShown
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.lesson import Camera, Show
from trainer.lesson.said import name_part, say
from trainer.session.asking.kind import Draw, Kind
from trainer.session.asking.part_kinds import COMMON_PRACTICE, ask
from trainer.session.bench import Bench

DUTIES = "duties"
PAIRS = 5


def _list_matched(bench: Bench) -> tuple[str, ...]:
    return (DUTIES,) if len(_draw_kinds(bench)) > 1 else ()


def _draw_kinds(bench: Bench) -> dict[str, list[str]]:
    """Sort parts by their kind: two nuts have duties too much alike to be told apart fairly."""
    kinds: dict[str, list[str]] = {}
    for part, names in bench.build.places.items():
        kinds.setdefault(bench.build.pieces[names[0]].part.kind, []).append(part)
    return kinds


def _draw_match(draw: Draw) -> Item:
    build, chance = draw.bench.build, draw.chance
    parts = list(draw.wanted.names("parts"))
    for part in parts:
        if part not in build.places:
            raise RefusalError(f"{build.name} has no part {part!r}; {say_near(part, build.places)}")
    if not parts:
        kinds = list(_draw_kinds(draw.bench).values())
        parts = [chance.choice(one) for one in chance.sample(kinds, min(PAIRS, len(kinds)))]
    left = tuple(
        Choice(
            part,
            say("choice.part", part=name_part(part)),
            say("why.match", duty=say(f"part.{part}.duty")),
            PiecesShown(build.places[part]),
        )
        for part in parts
    )
    duties = chance.sample(parts, len(parts))
    choices = tuple(
        Choice(part, say(f"part.{part}.duty"), say("why.match-other", part=name_part(part)))
        for part in duties
    )
    form = Pairs(left, choices, {part: part for part in parts})
    field = Field("pairs", say("ask.match-field"), form)
    show = Show(build.name, build.options, lit=tuple(parts), cutaway=True, camera=Camera.SIDE)
    basis = Basis(say("basis.part"), COMMON_PRACTICE)
    return Item(
        QuestionKind.MATCH, DUTIES, build.name, build.options, ask(draw, "ask.match"), (field,),
        basis, show,
    )  # fmt: skip


MATCH = Kind("", _list_matched, _draw_match)
