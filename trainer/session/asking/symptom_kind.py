"""The question what a symptom may come from, and what to look at next: of what is left to look at, what costs least."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations

from trainer.lesson.item import Basis, Choice, Field, Item, OneOf, SomeOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.said import Amount, Quantity, Said, say
from trainer.lesson.symptoms import read_symptoms
from trainer.session.asking.benches import once_a_bench
from trainer.session.asking.kind import Draw, Kind
from trainer.session.asking.part_kinds import COMMON_PRACTICE, ask
from trainer.session.bench import Bench
from trainer.session.sheet_plan import WHOLE

MOST_WRONG = 3
MOST_CHECKS = 5
PLAINLY = 2.0
"""By what factor a check takes longer than the cheapest at the least to be offered beside it: how long one takes, everybody
judges by their own place."""
NEEDS = {"milky-oil": "breather", "seal-drips": "seal-face"}
"""Symptoms that a pump can have only with such a part: oil, and a seal that must not drip."""


@once_a_bench
def _list_symptoms(bench: Bench) -> tuple[str, ...]:
    build = bench.build
    if not build.has(*WHOLE):
        return ()
    known = read_symptoms().by_name
    return tuple(name for name in known if name not in NEEDS or build.has(NEEDS[name]))


def _draw_symptom(draw: Draw) -> Item:
    build = draw.bench.build
    done, form = _ask_next(draw)
    stem = (
        say(f"symptom.{draw.subject}"),
        *ask(draw, "ask.symptom"),
        say("ask.checks-done" if done else "ask.checks-none-done"),
        *(say("ask.check-done", check=say(f"check.{name}")) for name in done),
    )
    # How long a check takes, and which one tells a cause, is practice throughout.
    sources = dict.fromkeys((*read_symptoms().by_name[draw.subject].sources, COMMON_PRACTICE))
    return Item(
        QuestionKind.SYMPTOM, draw.subject, build.name, build.options, stem,
        (
            Field("causes", say("ask.symptom-causes"), _ask_causes(draw)),
            Field("check", say("ask.symptom-check"), form),
        ),
        Basis(say("basis.symptom"), "; ".join(sources)), caution=say("caution.look-standing"),
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
    beside = known.list_beside(draw.subject)
    done = chance.choice(_list_done(checks, known.minutes, is_last_asked=bool(beside)))
    left = [name for name in checks if name not in done]
    names = [*done, *_list_offered(left, known.minutes)]
    names += chance.sample(sorted(beside), min(max(MOST_CHECKS - len(names), 1), len(beside)))
    chance.shuffle(names)

    def tell(name: str) -> Said:
        if name in done:
            return say("why.check-done")
        if name in beside:
            return say("why.check-beside", cause=say(f"cause.{beside[name]}"))
        key = "why.check-cheapest" if name == left[0] else "why.check-dearer"
        minutes, least = (Amount(known.minutes[one], Quantity.COUNT, 0) for one in (name, left[0]))
        return say(key, minutes=minutes, least=least, cheapest=say(f"check.{left[0]}"))

    choices = tuple(Choice(name, say(f"check.{name}"), tell(name)) for name in names)
    return tuple(sorted(done, key=checks.index)), OneOf(choices, frozenset({left[0]}))


def _list_offered(left: Sequence[str], minutes: Mapping[str, float]) -> list[str]:
    """List of what is left the cheapest check, and those that plainly take longer. left: the cheapest first."""
    least = minutes[left[0]]
    return [left[0], *(name for name in left[1:] if minutes[name] >= PLAINLY * least)]


def _list_done(
    checks: Sequence[str], minutes: Mapping[str, float], *, is_last_asked: bool
) -> list[tuple[str, ...]]:
    """List what may have been done so that it is plain what comes next.

    checks: the cheapest first. is_last_asked: whether all but one may have been done too: then the dearest is right at
    times, beside those that are done and those that tell nothing of it.
    """
    ways = (done for many in range(len(checks)) for done in combinations(checks, many))
    return [
        done
        for done in ways
        if len(_list_offered([one for one in checks if one not in done], minutes)) > 1
        or (is_last_asked and len(done) == len(checks) - 1)
    ]


SYMPTOM = Kind("symptom", _list_symptoms, _draw_symptom)
