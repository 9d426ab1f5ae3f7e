"""Draw one question of any kind, the same again from the same seed."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence

from models.spec.errors import RefusalError, say_near
from trainer.lesson.item import Item
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.wanted import Wanted
from trainer.session.asking.afresh import draw_bench, is_afresh
from trainer.session.asking.benches import Benches
from trainer.session.asking.kind import Draw, Kind
from trainer.session.bench import Bench


def find_kind(name: QuestionKind) -> Kind:
    """Find a kind by its name. All of them are loaded with the first: the window shows its pump before it asks anything."""
    from trainer.session.asking.kinds import KINDS

    return KINDS[name]


def list_subjects(bench: Bench, kind: QuestionKind) -> tuple[str, ...]:
    """List what a kind of question can be about on a build; empty where the build has nothing of it."""
    return find_kind(kind).list_subjects(bench)


def draw_item(bench: Bench, benches: Benches, wanted: Wanted, seed: str) -> Item:
    """Draw a question.

    Args:
        bench: the pump that it is asked on; where it is wanted afresh, one that another of its family is drawn for.
        benches: where others are opened from, for kinds that compare pumps.
        wanted: the kind, and how far it is narrowed down.
        seed: the same seed draws the same question of the same build.

    Raises:
        RefusalError: the build has nothing to ask of that kind, or not about what was given.
    """
    kind = find_kind(wanted.kind)
    # A text seeds by its bytes, the same on every machine; hash() of a text would not.
    chance = random.Random(f"{seed}/{wanted.kind}/{wanted.id}")
    if is_afresh(wanted):
        bench = _draw_bench(bench, benches, wanted, chance)
    subjects = kind.list_subjects(bench)
    if not subjects:
        raise RefusalError(f"{bench.name} has nothing to ask of the kind {wanted.kind}")
    given = wanted.text(kind.narrows) if kind.narrows else ""
    asked = narrow_down(subjects, given)
    if not asked:
        raise RefusalError(
            f"{bench.name} cannot be asked {wanted.kind} about {given}; {say_near(given, subjects)}"
        )
    subject = (
        chance.choice(asked) if kind.weigh is None else _draw_weighed(asked, kind.weigh, chance)
    )
    return kind.draw(Draw(bench, benches, subject, chance, wanted))


def _draw_weighed(
    subjects: Sequence[str], weigh: Callable[[str], float], chance: random.Random
) -> str:
    (subject,) = chance.choices(subjects, [weigh(one) for one in subjects])
    return subject


def narrow_down(subjects: Sequence[str], given: str) -> Sequence[str]:
    """Narrow subjects down to the one that is given, else to those that begin with it and a point; "" leaves all."""
    if not given:
        return subjects
    if given in subjects:
        return (given,)
    return [subject for subject in subjects if subject.startswith(f"{given}.")]


def _draw_bench(bench: Bench, benches: Benches, wanted: Wanted, chance: random.Random) -> Bench:
    """Draw another pump of the family that can be asked what is wanted."""
    kind = find_kind(wanted.kind)
    given = wanted.text(kind.narrows) if kind.narrows else ""
    parts = set(wanted.names("parts"))

    def is_wanted(drawn: Bench) -> bool:
        asked = narrow_down(kind.list_subjects(drawn), given)
        return bool(asked) and parts <= set(drawn.build.places)

    return draw_bench(bench, benches, chance, is_wanted=is_wanted, needs_solids=kind.needs_solids)
