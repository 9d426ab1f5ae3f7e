"""The question which component one would fit for a duty that is described."""

from __future__ import annotations

import random

from models.spec.build import TABLES
from models.spec.fitting import Fitting, FittingDuty, Taken, read_fitting
from trainer.lesson.item import Basis, Choice, Field, Item, OneOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.said import Amount, Quantity, Said, say
from trainer.session.asking.benches import once_a_bench
from trainer.session.asking.kind import Draw, Kind
from trainer.session.asking.part_kinds import CHOICES, ask
from trainer.session.bench import Bench

ANY, NONE = "any-of-these", "none-of-these"
"""What is offered besides, where there are few components: two alone are guessed right half the time."""
FEW = 2
"""Components that are offered where any of them would do, or none."""


@once_a_bench
def _list_duties(bench: Bench) -> tuple[str, ...]:
    fitting, family = read_fitting(TABLES), bench.build.family.name
    return tuple(
        name for name, duty in fitting.duties.items() if family in fitting.families[duty.set]
    )


def _draw_which_to_fit(draw: Draw) -> Item:
    fitting, chance = read_fitting(TABLES), draw.chance
    duty = fitting.duties[draw.subject]
    form = _ask_which(fitting, duty, chance)
    asked = (
        say("ask.fitting-criterion", criterion=_tell_asked(fitting, criterion, taken, chance))
        for criterion, taken in duty.asks.items()
    )
    stem = (say(f"fitting.{duty.set}.{duty.name}"), *asked)
    field = Field("component", say(f"ask.fit-{duty.set}"), form)
    sources = {
        rows[criterion].source
        for rows in fitting.suits[duty.set].values()
        for criterion in duty.asks
        if criterion in rows
    }
    build = draw.bench.build
    basis = Basis(say("basis.fitting"), "; ".join(sorted(sources)))
    return Item(
        QuestionKind.WHICH_TO_FIT, duty.name, build.name, build.options,
        (*stem, *ask(draw, "ask.which-to-fit")), (field,), basis,
    )  # fmt: skip


def _ask_which(fitting: Fitting, duty: FittingDuty, chance: random.Random) -> OneOf:
    """Ask for the one that suits; where few are offered, it is asked too whether any of them would do, or none."""
    suiting = fitting.list_suiting(duty)
    wrong = [component for component in fitting.suits[duty.set] if component not in suiting]
    if suiting and wrong:
        right = chance.choice(suiting)
        names = [right, *chance.sample(wrong, min(CHOICES - 1, len(wrong)))]
    else:
        right = ANY if suiting else NONE
        names = list(
            chance.sample(list(fitting.suits[duty.set]), min(FEW, len(fitting.suits[duty.set])))
        )
    chance.shuffle(names)
    choices = [
        Choice(name, say(f"component.{duty.set}.{name}"), _tell_why(fitting, duty, name, right))
        for name in names
    ]
    if len(names) < CHOICES:
        offered = tuple(one for one in names if one != right)
        choices += [
            Choice(one, say(f"choice.fit-{one}"), _tell_rest(fitting, duty, one, right, offered))
            for one in (ANY, NONE)
        ]
    return OneOf(tuple(choices), frozenset({right}))


def _tell_asked(fitting: Fitting, criterion: str, asked: Taken, chance: random.Random) -> Said:
    """Tell what is asked of one criterion; of a range a number in it, for all of it suits alike."""
    if asked.between is None:
        return say(f"asked.{criterion}.{asked.levels[0]}")
    step = fitting.steps[criterion]
    value = step * round(chance.uniform(*asked.between) / step)
    return say(f"asked.{criterion}", value=Amount(value, Quantity(fitting.units[criterion]), 0))


def _tell_why(fitting: Fitting, duty: FittingDuty, component: str, right: str) -> Said:
    """Tell which criteria a component fails, or, of one that suits, that it fails none and what it brings."""
    failed = _tell_failed(fitting, duty, component)
    if failed is not None:
        return say("why.fit-fails", reasons=failed)
    good = say(f"component.{duty.set}.{component}.good-for")
    return say("why.fit-suits-too" if right == ANY else "why.fit-suits", good=good)


def _tell_failed(fitting: Fitting, duty: FittingDuty, component: str) -> Said | None:
    failed = fitting.find_failed(duty, component)
    reasons = tuple(say(f"suits.{duty.set}.{component}.{criterion}") for criterion in failed)
    return say_in_turn(reasons) if reasons else None


def _tell_rest(
    fitting: Fitting, duty: FittingDuty, rest: str, right: str, others: tuple[str, ...]
) -> Said:
    """Tell why any of them would do, or none, or why not; by one that speaks for it."""
    if rest == right:
        return say(f"why.fit-{rest}")
    one = right if right not in {ANY, NONE} else others[0]
    if rest == NONE:
        good = say(f"component.{duty.set}.{one}.good-for")
        return say("why.fit-not-none", one=say(f"component.{duty.set}.{one}"), good=good)
    other = others[0]
    reasons = _tell_failed(fitting, duty, other)
    assert reasons is not None, "others than the right one fail something"
    return say("why.fit-not-any", one=say(f"component.{duty.set}.{other}"), reasons=reasons)


def say_in_turn(said: tuple[Said, ...]) -> Said:
    """Say sentences one after another."""
    told = said[0]
    for one in said[1:]:
        told = say("said.then", first=told, then=one)
    return told


WHICH_TO_FIT = Kind("duty", _list_duties, _draw_which_to_fit)
