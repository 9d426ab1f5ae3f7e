"""Show item statistics, to a person or for scripts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from trainer.lesson.advice import find_advice
from trainer.lesson.outcome import Outcome
from trainer.lesson.statistics import (
    Broken,
    ChoiceUse,
    Doubt,
    ItemFigures,
    Reliability,
    count_broken,
    count_choices,
    find_figures,
    find_reliability,
    make_table,
)
from trainer.words import Words
from trainer.words.telling_subject import tell_choice_id, tell_item_key

if TYPE_CHECKING:
    from trainer.session.simulating import SimulatedClass

MOST_LISTED = 12
UNUSED_FROM = 10
"""A wrong choice that was offered so often and never taken tempts nobody. Our own choice."""


def describe_statistics(
    outcomes: Sequence[Outcome], simulated: SimulatedClass | None, seed: int
) -> dict[str, object]:
    """Describe the statistics of answers for scripts."""
    table = make_table(outcomes)
    reliability = find_reliability(table)
    told: dict[str, object] = {
        "simulated": simulated is not None,
        "persons": len(table.persons),
        "items": [_describe_item(one) for one in find_figures(table)],
        "reliability": {
            "persons": reliability.persons, "items": reliability.items,
            "alpha": reliability.alpha, "error": reliability.error,
            "doubts": [str(doubt) for doubt in reliability.doubts],
        },
        "choices": [
            {"item": use.item, "field": use.field, "choice": use.choice, "right": use.is_right,
             "offered": use.offered, "taken": use.taken, "mean_elsewhere": use.rest}
            for use in count_choices(outcomes)
        ],
        "broken": [
            {"item": one.item, "first": one.first, "then": one.then, "broken": one.broken,
             "asked": one.asked}
            for one in count_broken(outcomes)
        ],
    }  # fmt: skip
    if simulated is not None:
        told |= {
            "seed": seed,
            "difficulties": dict(simulated.difficulties),
            "agreement": simulated.agreement,
        }
    return told


def _describe_item(one: ItemFigures) -> dict[str, object]:
    return {
        "item": one.item,
        "count": one.count,
        "mean_mark": one.difficulty,
        "mean_between": list(one.lies),
        "all_right": one.all_right,
        "discrimination": one.discrimination,
        "between": list(one.between) if one.between else None,
        "doubts": [str(doubt) for doubt in one.doubts],
    }


def show_statistics(
    words: Words, outcomes: Sequence[Outcome], simulated: SimulatedClass | None, seed: int
) -> None:
    """Show the statistics of answers to a person."""
    table = make_table(outcomes)
    if simulated is not None:
        learners = len(table.persons)
        click.echo(words.say("statistics.simulated", learners=learners, seed=seed))
    if not table.items:
        click.echo(words.say("statistics.none"))
        return
    persons = words.count("statistics.persons", len(table.persons))
    items = words.count("statistics.of-questions", len(table.items))
    click.echo(words.say("statistics.title", persons=persons, items=items))
    _show_items(words, find_figures(table))
    click.echo(words.say("statistics.means"))
    click.echo(_tell_reliability(words, find_reliability(table)))
    _show_choices(words, count_choices(outcomes))
    _show_broken(words, count_broken(outcomes))
    _show_advice(words, outcomes)
    if simulated is not None and simulated.agreement is not None:
        agreement = words.number(simulated.agreement, 3)
        click.echo("\n" + words.say("statistics.simulated-recovers", agreement=agreement))


def _show_items(words: Words, figures: Sequence[ItemFigures]) -> None:
    from rich.console import Console
    from rich.table import Table

    everywhere = set.intersection(*(set(one.doubts) for one in figures))
    columns = ["item", "count", "difficulty", "all-right", "discrimination"]
    columns += ["doubts"] if any(set(one.doubts) - everywhere for one in figures) else []
    shown = Table(box=None, pad_edge=False)
    for name in columns:
        right = name not in {"item", "doubts"}
        shown.add_column(
            words.say(f"statistics.column-{name}"), justify="right" if right else "left"
        )
    for one in sorted(figures, key=lambda one: one.difficulty):
        cells = {
            "item": tell_item_key(words, one.item),
            "count": str(one.count),
            "difficulty": words.say(
                "statistics.difficulty", share=one.difficulty, least=one.lies[0], most=one.lies[1]
            ),
            "all-right": words.number(one.all_right),
            "discrimination": _tell_discrimination(words, one),
            "doubts": _tell_doubts(words, [d for d in one.doubts if d not in everywhere]),
        }
        shown.add_row(*(cells[name] for name in columns))
    Console(highlight=False, markup=False).print(shown)
    if everywhere:
        told = _tell_doubts(words, sorted(everywhere))
        click.echo(words.say("statistics.doubts-everywhere", doubts=told))


def _tell_doubts(words: Words, doubts: Sequence[Doubt]) -> str:
    return "; ".join(words.say(f"statistics.doubt-{doubt}") for doubt in doubts)


def _tell_discrimination(words: Words, one: ItemFigures) -> str:
    if one.discrimination is None:
        return words.say("statistics.undefined")
    if one.between is None:
        return words.number(one.discrimination)
    least, most = one.between
    return words.say("statistics.discrimination", value=one.discrimination, least=least, most=most)


def _tell_reliability(words: Words, found: Reliability) -> str:
    if found.alpha is None:
        why = " ".join(words.say(f"statistics.doubt-{doubt}") for doubt in found.doubts)
        return words.say("statistics.no-alpha", why=why)
    told = words.say(
        "statistics.alpha",
        alpha=words.number(found.alpha, 3),
        error=words.number(found.error or 0.0, 2),
        persons=words.count("statistics.persons", found.persons),
        items=words.count("statistics.of-questions", found.items),
    )
    if Doubt.FEW_FOR_RELIABILITY in found.doubts:
        told += " " + words.say("statistics.doubt-few-for-reliability")
    return told


def _show_choices(words: Words, uses: Sequence[ChoiceUse]) -> None:
    wrong = [use for use in uses if not use.is_right]
    taken = sorted((use for use in wrong if use.taken), key=lambda use: -use.share)
    if taken:
        click.echo("\n" + words.say("statistics.choices"))
    for use in taken[:MOST_LISTED]:
        fields = {"taken": use.taken, "offered": use.offered}
        share = words.number(100.0 * use.share, 0)
        item = tell_item_key(words, use.item)
        click.echo(words.say("statistics.choice", item=item, choice=tell_choice_id(words, use.item, use.choice), share=share, **fields))  # fmt: skip
    unused = [use for use in wrong if not use.taken and use.offered >= UNUSED_FROM]
    if unused:
        click.echo(words.say("statistics.unused", least=UNUSED_FROM, count=len(unused)))


def _show_broken(words: Words, broken: Sequence[Broken]) -> None:
    if not broken:
        return
    click.echo("\n" + words.say("statistics.broken"))
    for one in broken[:MOST_LISTED]:
        first, then = (tell_choice_id(words, one.item, id_) for id_ in (one.first, one.then))
        fields = {"first": first, "then": then, "broken": one.broken, "asked": one.asked}
        click.echo(
            words.say("statistics.broken-line", item=tell_item_key(words, one.item), **fields)
        )


def _show_advice(words: Words, outcomes: Sequence[Outcome]) -> None:
    """Show what an instructor may do about it; only what the numbers are sure of."""
    found = find_advice(find_figures(make_table(outcomes)), count_choices(outcomes), count_broken(outcomes))  # fmt: skip
    click.echo("\n" + words.say("statistics.advice" if found else "statistics.advice-none"))
    for one in found[:MOST_LISTED]:
        chosen = [tell_choice_id(words, one.item, id_) for id_ in one.choices]
        fields = {"choices": words.say("form.next").join(chosen)} if chosen else {}
        told = words.say(f"statistics.advice-{one.what}", item=tell_item_key(words, one.item), **fields)  # fmt: skip
        click.echo(words.say("practice.listed", subject=told))
