"""The question what a symptom may come from, and what to look at next: of what is left to look at, what costs least."""

from __future__ import annotations

from functools import lru_cache

from trainer.lesson.item import Basis, Choice, Field, Item, OneOf, SomeOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.said import Amount, Quantity, Said, say
from trainer.lesson.symptoms import read_symptoms
from trainer.session.asking.benches import MOST_KEPT
from trainer.session.asking.kind import Draw, Kind
from trainer.session.asking.part_kinds import COMMON_PRACTICE, ask
from trainer.session.bench import Bench
from trainer.session.sheet_plan import WHOLE

MOST_WRONG = 3
FEWEST_LEFT = 2
"""Checks that are left at the least, so that there is one to choose."""
NEEDS = {"milky-oil": "breather", "seal-drips": "seal-face"}
"""Symptoms that a pump can have only with such a part: oil, and a seal that must not drip."""


@lru_cache(maxsize=MOST_KEPT)
def _list_symptoms(bench: Bench) -> tuple[str, ...]:
    build = bench.build
    if not build.has(*WHOLE):
        return ()
    known = read_symptoms().by_name
    return tuple(name for name in known if name not in NEEDS or build.has(NEEDS[name]))


def _draw_symptom(draw: Draw) -> Item:
    build = draw.bench.build
    done, form = _ask_next(draw)
    stem = (say(f"symptom.{draw.subject}"), *ask(draw, "ask.symptom"))
    looked = (
        say("ask.checks-done", done=tuple(say(f"check.{name}") for name in done))
        if done
        else say("ask.checks-none-done")
    )
    return Item(
        QuestionKind.SYMPTOM, draw.subject, build.name, build.options, (*stem, looked),
        (
            Field("causes", say("ask.symptom-causes"), _ask_causes(draw)),
            Field("check", say("ask.symptom-check"), form),
        ),
        Basis(say("basis.symptom"), COMMON_PRACTICE), caution=say("caution.look-standing"),
    )  # fmt: skip


def _ask_causes(draw: Draw) -> SomeOf:
    symptom, chance = read_symptoms().by_name[draw.subject], draw.chance
    wrong = chance.sample(symptom.innocent, min(MOST_WRONG, len(symptom.innocent)))
    names = [*symptom.causes, *wrong]
    chance.shuffle(names)
    choices = tuple(
        Choice(
            name,
            say(f"cause.{name}"),
            say(
                "why.cause-can" if name in symptom.causes else "why.cause-cannot",
                shows=say(f"cause.{name}.shows"),
            ),
        )
        for name in names
    )
    return SomeOf(choices, frozenset(symptom.causes))


def _ask_next(draw: Draw) -> tuple[tuple[str, ...], OneOf]:
    """Ask for the cheapest check that is left, with some of the others done already."""
    known, chance = read_symptoms(), draw.chance
    checks = known.list_checks(draw.subject)
    done = chance.sample(checks, chance.randint(0, len(checks) - FEWEST_LEFT))
    left = [name for name in checks if name not in done]
    names = list(checks)
    chance.shuffle(names)

    def tell(name: str) -> Said:
        if name in done:
            return say("why.check-done")
        key = "why.check-cheapest" if name == left[0] else "why.check-dearer"
        minutes, least = (Amount(known.minutes[one], Quantity.COUNT, 0) for one in (name, left[0]))
        return say(key, minutes=minutes, least=least, cheapest=say(f"check.{left[0]}"))

    choices = tuple(Choice(name, say(f"check.{name}"), tell(name)) for name in names)
    return tuple(sorted(done, key=checks.index)), OneOf(choices, frozenset({left[0]}))


SYMPTOM = Kind("symptom", _list_symptoms, _draw_symptom)
