"""The question which mistake a pump was built with."""

from __future__ import annotations

from dataclasses import dataclass

from models.spec.errors import RefusalError
from models.spec.fault import SeededFault
from models.spec.rule import Broken, check_rules
from trainer.lesson.item import Basis, Choice, Field, Item, OneOf, PiecesShown
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.lesson import Camera, Show
from trainer.lesson.said import Said, say
from trainer.session.asking.benches import once_a_bench
from trainer.session.asking.kind import Draw, Kind
from trainer.session.asking.part_kinds import CHOICES, ask
from trainer.session.bench import Bench
from trainer.session.faults import open_faulty

MOST_ALIKE = 2
"""Wrong choices that break the same rule as the right one, elsewhere: they are told apart by looking only."""


@dataclass(frozen=True, slots=True)
class Proved:
    """A mistake that breaks exactly one rule here. pieces: where one sees it, of those that are on the pump."""

    broken: Broken
    pieces: tuple[str, ...]


@once_a_bench
def _list_makeable(bench: Bench) -> tuple[SeededFault, ...]:
    """List the mistakes that the chosen options and the parts of a build allow."""
    build = bench.build
    return tuple(
        fault
        for fault in build.family.faults
        if build.has(*fault.places)
        and all(
            build.options[option] in values
            for option, values in build.family.list_needs(fault).items()
        )
    )


def _list_faults(bench: Bench) -> tuple[str, ...]:
    found = _list_makeable(bench)
    return tuple(fault.key for fault in found) if len(found) >= CHOICES else ()


@once_a_bench
def prove_fault(bench: Bench, key: str) -> Proved:
    """Prove that a mistake is the only thing wrong with a pump built with it.

    Raises:
        RefusalError: it breaks no rule of the build, or more than one.
    """
    both = open_faulty(bench, key)
    broken = check_rules(both.faulty.build, bench.build.family.rules)
    if len(broken) != 1 or broken[0].number != both.fault.rule:
        raise RefusalError(f"the fault {key} of {bench.name} is not the only one in it")
    there = both.faulty.build.pieces
    pieces = (*(name for name in both.shown if name in there), *broken[0].pieces)
    return Proved(broken[0], tuple(dict.fromkeys(name for name in pieces if name in there)))


def _draw_find_fault(draw: Draw) -> Item:
    bench, key, chance = draw.bench, draw.subject, draw.chance
    proved = prove_fault(bench, key)
    own = next(fault for fault in _list_makeable(bench) if fault.key == key)
    faults = [fault for fault in _list_makeable(bench) if fault is not own]
    alike = [f.key for f in faults if f.rule == own.rule and _is_elsewhere(bench, f, own)]
    others = [f.key for f in faults if f.rule != own.rule]
    wrong = chance.sample(alike, min(MOST_ALIKE, len(alike)))
    wrong += chance.sample(others, min(CHOICES - 1 - len(wrong), len(others)))
    names = [key, *wrong]
    chance.shuffle(names)
    choices = tuple(
        Choice(
            name,
            say(f"fault.{name}"),
            _tell_why(draw, name, own, proved.broken),
            PiecesShown(proved.pieces) if proved.pieces else None,
        )
        for name in names
    )
    build = bench.build
    stem = (
        *ask(draw, "ask.find-fault"),
        say("ask.fault-noticed", noticed=say(f"fault.{key}.leads-to")),
    )
    field = Field("fault", say("ask.find-fault-field"), OneOf(choices, frozenset({key})))
    show = Show(build.name, build.options, cutaway=True, camera=Camera.SIDE, fault=key)
    basis = Basis(
        say("basis.fault", rule=say(f"rule.{proved.broken.key}"), number=proved.broken.number)
    )
    return Item(
        QuestionKind.FIND_FAULT, key, build.name, build.options, stem, (field,), basis, show
    )


def _tell_why(draw: Draw, name: str, own: SeededFault, broken: Broken) -> Said:
    """Tell why a mistake is the one, or what it would lead to and that its rule is kept here, or kept where it would break it."""
    if name == own.key:
        return say("why.fault-is-it", rule=say(f"rule.{broken.key}"))
    number = next(fault.rule for fault in _list_makeable(draw.bench) if fault.key == name)
    leads_to = say(f"fault.{name}.leads-to")
    if number == own.rule:
        return say("why.fault-is-elsewhere", leads_to=leads_to)
    rule = next(rule.key for rule in draw.bench.build.family.rules if rule.number == number)
    return say("why.fault-is-not", leads_to=leads_to, rule=say(f"rule.{rule}"))


def _is_elsewhere(bench: Bench, fault: SeededFault, own: SeededFault) -> bool:
    """Is a mistake made at other places, and does it break the same rule by other pieces?"""
    one, other = (set(prove_fault(bench, each.key).broken.pieces) for each in (fault, own))
    return not set(fault.places) & set(own.places) and one != other


FIND_FAULT = Kind("fault", _list_faults, _draw_find_fault)
