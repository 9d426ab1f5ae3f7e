"""The question what becomes of a part: use it again, rework it or renew it, by its picture and what was measured."""

from __future__ import annotations

from models.spec.build import Build
from trainer.lesson.damages import VERDICTS, Bounds, Damage, read_damages, read_mistaken
from trainer.lesson.item import Basis, Choice, Field, Figure, Item, OneOf, PiecesShown
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.lesson import Camera, Show
from trainer.lesson.said import Amount, Filling, name_part, say
from trainer.session.asking.benches import once_a_bench
from trainer.session.asking.kind import Draw, Kind
from trainer.session.asking.part_kinds import CHOICES, ask
from trainer.session.bench import Bench

DIGITS = 2
"""Of what is told."""
OFF_BOUND = 0.15
"""How far from both ends of its band a value lies at the least, as a share of the band."""
SEEN = 0.7
"""A clearance that wear shows on, as a share of the most that is allowed."""
OPENED = 1.6
"""How far beyond its limit a clearance is drawn at the most, as a share of it: worn, not wrecked."""
MOST_MARKS = 9
"""Ways in which the marks of a damage are strewn on its picture."""


@once_a_bench
def _list_damages(bench: Bench) -> tuple[str, ...]:
    return tuple(
        name
        for name, damage in read_damages().items()
        if (place := _find_place(bench.build, damage)) is not None
        and (damage.measure != "clearance" or _has_clearance(bench.build, place))
    )


def _find_place(build: Build, damage: Damage) -> str | None:
    return next((place for place in damage.places if place in build.places), None)


def _has_clearance(build: Build, name: str) -> bool:
    return any(clearance.name == name for clearance in build.clearances)


def _find_bounds(build: Build, damage: Damage, place: str) -> Bounds | None:
    """Find what decides: the table's bounds, or of a clearance what the build allows; it can't be closed by rework."""
    if damage.measure != "clearance":
        return damage.bounds
    most = build.find_requirement(build.clearance(place)).upper
    return Bounds(most, most, OPENED * most)


def _draw_reuse_or_renew(draw: Draw) -> Item:
    build, chance = draw.bench.build, draw.chance
    damage = read_damages()[draw.subject]
    place = _find_place(build, damage)
    assert place is not None, "only such damages are listed"
    bounds = _find_bounds(build, damage, place)
    verdict, stem = damage.always, (*ask(draw, "ask.reuse-or-renew", part=name_part(place)),)
    told: dict[str, Filling] = {}
    if bounds is not None:
        value = _draw_value(draw, bounds)
        verdict = bounds.judge(value)
        told = {
            "value": Amount(value),
            "reuse": Amount(bounds.reuse_to),
            "rework": Amount(bounds.rework_to),
        }
        stem = (*stem, say(f"ask.measured-{damage.measure}", **told))
    shown = PiecesShown(build.places[place])
    why = say(f"why.damage-{damage.measure or 'always'}-{verdict}", because=say(f"damage.{damage.name}.because"), **told)  # fmt: skip
    verdicts = tuple(Choice(one, say(f"verdict.{one}"), why, shown) for one in VERDICTS)
    figure = Figure(
        damage.name, {"marks": float(chance.randint(1, MOST_MARKS))}, say(f"damage.{damage.name}")
    )
    show = Show(build.name, build.options, lit=(place,), cutaway=True, camera=Camera.SIDE)
    return Item(
        QuestionKind.REUSE_OR_RENEW, damage.name, build.name, build.options, stem,
        (
            Field("verdict", say("ask.damage-verdict"), OneOf(verdicts, frozenset({verdict}))),
            Field("cause", say("ask.damage-cause"), _ask_cause(draw, damage)),
        ),
        Basis(say("basis.damage"), damage.source), show, figure,
    )  # fmt: skip


def _draw_value(draw: Draw, bounds: Bounds) -> float:
    """Draw what was measured: each verdict that there is alike often, and well off what parts it from the next."""
    chance = draw.chance
    if bounds.reuse_to == bounds.rework_to:  # worn: no longer as close as a new one
        bands = [(SEEN * bounds.reuse_to, bounds.reuse_to), (bounds.rework_to, bounds.most)]
    else:
        bands = [(0.0, bounds.reuse_to), (bounds.reuse_to, bounds.rework_to), (bounds.rework_to, bounds.most)]  # fmt: skip
    low, high = chance.choice(bands)
    room = OFF_BOUND * (high - low)
    return round(chance.uniform(low + room, high - room), DIGITS)


def _ask_cause(draw: Draw, damage: Damage) -> OneOf:
    """Ask what did it; wrong is what one may mistake for it on such a part, and what would look otherwise."""
    others = read_mistaken()[damage.name]
    names = [damage.name, *draw.chance.sample(others, min(CHOICES - 1, len(others)))]
    draw.chance.shuffle(names)

    def choose(name: str) -> Choice:
        if name == damage.name:
            why = say("why.cause-shows-so", seen=say(f"damage.{name}"))
            return Choice(name, say(f"damage.{name}.from"), why)
        shows = say("why.cause-shows-otherwise", other=say(f"mistaken.{name}.shows"))
        return Choice(name, say(f"mistaken.{name}"), shows)

    return OneOf(tuple(map(choose, names)), frozenset({damage.name}))


REUSE_OR_RENEW = Kind("damage", _list_damages, _draw_reuse_or_renew)
