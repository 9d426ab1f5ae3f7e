"""The question what becomes of a part: use it again, rework it or renew it, by its picture and what was measured."""

from __future__ import annotations

from collections.abc import Sequence

from models.spec.build import Build
from trainer.lesson.damages import VERDICTS, Bounds, Damage, read_damages, read_mistaken
from trainer.lesson.item import Basis, Choice, Field, Figure, Item, OneOf, PiecesShown
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.lesson import Camera, Show
from trainer.lesson.said import Amount, Filling, Said, name_part, say
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
WEIGHT_MEASURED, WEIGHT_WORN, WEIGHT_ALWAYS = 5.0, 3.0, 2.1
"""How often a damage is asked about that is measured, or worn beyond its limit, or always renewed, against the others."""
OFTEN, OFTEN_WORN = (0.37, 0.45, 0.18), (0.5, 0.5)
"""How often a measured part is to be used again, reworked, renewed; of one that cannot be reworked, the first and the last.

With the weights above, each of the three is right in about a third of the questions of a pump: whoever always renews is
no better off than whoever guesses.
"""
DESCRIBED, DESCRIBED_ALWAYS = 0.3, 0.65
"""How often a damage is told in words, so that what else one may believe did it is right at times; where the part is renewed
whatever is measured, more often."""


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
    damage = read_damages()[draw.subject]
    place = _find_place(draw.bench.build, damage)
    assert place is not None, "only such damages are listed"
    described = DESCRIBED if damage.measure else DESCRIBED_ALWAYS
    if not draw.wanted.prompt and draw.chance.random() < described:
        return _draw_described(draw, damage, place)
    return _draw_seen(draw, damage, place)


def _draw_seen(draw: Draw, damage: Damage, place: str) -> Item:
    """Ask of a part that is drawn, and measured where that decides, what becomes of it and what did it."""
    build, chance = draw.bench.build, draw.chance
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
    names = _draw_causes(draw, damage)
    fields = (
        Field("verdict", say("ask.damage-verdict"), OneOf(verdicts, frozenset({verdict}))),
        Field("cause", say("ask.damage-cause"), _ask_cause(names, damage.name, damage)),
    )
    return _make_item(draw, damage, place, stem, fields, figure)


def _draw_described(draw: Draw, damage: Damage, place: str) -> Item:
    """Ask what did what somebody describes: whatever may be mistaken for another is right once itself."""
    names = _draw_causes(draw, damage)
    right = draw.chance.choice(names)
    stem = (
        say("ask.damage-described", part=name_part(place)),
        say("ask.damage-found", seen=_tell_seen(right, damage)),
    )
    fields = (Field("cause", say("ask.damage-cause"), _ask_cause(names, right, damage)),)
    return _make_item(draw, damage, place, stem, fields, None)


def _make_item(
    draw: Draw,
    damage: Damage,
    place: str,
    stem: tuple[Said, ...],
    fields: tuple[Field, ...],
    figure: Figure | None,
) -> Item:
    build = draw.bench.build
    show = Show(build.name, build.options, lit=(place,), cutaway=True, camera=Camera.SIDE)
    causes, mistaken = fields[-1].form, read_mistaken()[damage.name]
    assert isinstance(causes, OneOf)
    said_so = [mistaken.get(choice.id, damage.source) for choice in causes.choices]
    source = "; ".join(dict.fromkeys((damage.source, *sorted(said_so))))
    return Item(
        QuestionKind.REUSE_OR_RENEW, damage.name, build.name, build.options, stem, fields,
        Basis(say("basis.damage"), source), show, figure,
    )  # fmt: skip


def _draw_value(draw: Draw, bounds: Bounds) -> float:
    """Draw what was measured, well off what parts its verdict from the next."""
    chance = draw.chance
    if bounds.reuse_to == bounds.rework_to:  # worn: no longer as close as a new one
        bands = [(SEEN * bounds.reuse_to, bounds.reuse_to), (bounds.rework_to, bounds.most)]
        often: Sequence[float] = OFTEN_WORN
    else:
        bands = [(0.0, bounds.reuse_to), (bounds.reuse_to, bounds.rework_to), (bounds.rework_to, bounds.most)]  # fmt: skip
        often = OFTEN
    ((low, high),) = chance.choices(bands, often)
    room = OFF_BOUND * (high - low)
    return round(chance.uniform(low + room, high - room), DIGITS)


def _draw_causes(draw: Draw, damage: Damage) -> list[str]:
    """Draw what may have done it: the damage's own cause, and what one may mistake for it on such a part."""
    others = sorted(read_mistaken()[damage.name])
    names = [damage.name, *draw.chance.sample(others, min(CHOICES - 1, len(others)))]
    draw.chance.shuffle(names)
    return names


def _ask_cause(names: Sequence[str], right: str, damage: Damage) -> OneOf:
    """Ask what did it; of what is wrong it is told how it would look."""

    def choose(name: str) -> Choice:
        own = name == damage.name
        said = say(f"damage.{name}.from" if own else f"mistaken.{name}")
        if name == right:
            return Choice(name, said, say("why.cause-shows-so", seen=_tell_seen(name, damage)))
        other = say(f"damage.{name}" if own else f"mistaken.{name}.shows")
        return Choice(name, said, say("why.cause-shows-otherwise", other=other))

    return OneOf(tuple(map(choose, names)), frozenset({right}))


def _tell_seen(name: str, damage: Damage) -> Said:
    """Tell what a cause leaves, without naming it."""
    return say(f"damage.{name}" if name == damage.name else f"mistaken.{name}.seen")


def _weigh(name: str) -> float:
    """Weigh how often a damage is asked about, so that what becomes of the part comes out as each about as often."""
    damage = read_damages()[name]
    if not damage.measure:
        return WEIGHT_ALWAYS
    return WEIGHT_MEASURED if damage.bounds is not None else WEIGHT_WORN


REUSE_OR_RENEW = Kind("damage", _list_damages, _draw_reuse_or_renew, weigh=_weigh)
