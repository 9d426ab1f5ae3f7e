"""The command `statistics`: how good the questions are, from the records or from a simulated class."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, TypedDict, Unpack

import click

from trainer.console.asking import make_command, make_json_option, print_json
from trainer.console.records import make_records_option
from trainer.words import Words

if TYPE_CHECKING:
    from trainer.lesson.outcome import Outcome
    from trainer.session.simulating import SimulatedClass

SEED, ITEMS = 1, 26
MOST_LEARNERS = 5000


class StatisticsChoice(TypedDict):
    """What the options of the command say."""

    lesson: str | None
    simulate: int | None
    seed: int | None
    items: int | None
    build: str | None
    as_json: bool


def make_statistics(words: Words) -> click.Command:
    """Make the command."""
    say = words.say
    count = click.IntRange(2, MOST_LEARNERS)
    options = (
        click.option("--lesson", metavar="LESSON", help=say("statistics.help-lesson")),
        click.option("--simulate", type=count, metavar="N", help=say("statistics.help-simulate")),
        click.option("--seed", type=click.IntRange(min=0), help=say("statistics.help-seed")),
        click.option("--items", type=click.IntRange(2, 500), help=say("statistics.help-items")),
        click.option("--build", metavar="BUILD", help=say("statistics.help-build")),
        make_records_option(words),
        make_json_option(words),
    )

    @make_command(words, "statistics", *options)
    def statistics(**chosen: Unpack[StatisticsChoice]) -> int:
        from trainer.console import statistics_show

        if chosen["simulate"] is None:
            if any(chosen[name] is not None for name in ("seed", "items", "build")):
                raise click.UsageError(say("statistics.seed-needs-simulate"))
            simulated, outcomes = None, _read_outcomes(chosen["lesson"])
        else:
            if chosen["lesson"]:
                raise click.UsageError(say("statistics.lesson-without-simulate"))
            simulated = _simulate(words, chosen)
            outcomes = simulated.outcomes
        seed = _find_seed(chosen)
        if chosen["as_json"]:
            print_json(statistics_show.describe_statistics(outcomes, simulated, seed))
        else:
            statistics_show.show_statistics(words, outcomes, simulated, seed)
        return 0

    return statistics


def _find_seed(chosen: StatisticsChoice) -> int:
    return SEED if chosen["seed"] is None else chosen["seed"]


def _read_outcomes(lesson: str | None) -> Sequence[Outcome]:
    """Read what came of all answers in the records, the first ones first."""
    from trainer.records import open_records
    from trainer.session.attempting import read_outcomes

    with open_records() as records:
        attempts = records.list_attempts(limit=None, lesson=lesson)
    return read_outcomes(reversed(attempts))


def _simulate(words: Words, chosen: StatisticsChoice) -> SimulatedClass:
    from trainer.console.progress import make_progress
    from trainer.session.asking import Benches
    from trainer.session.bench import open_bench
    from trainer.session.practising import PRACTICE_BUILD
    from trainer.session.simulating import simulate_class

    progress = make_progress(words)
    benches = Benches(lambda name, options: open_bench(name, options, progress=progress))
    bench = benches.open(chosen["build"] or PRACTICE_BUILD)
    assert chosen["simulate"] is not None
    items = ITEMS if chosen["items"] is None else chosen["items"]
    return simulate_class(bench, benches, chosen["simulate"], items, _find_seed(chosen))
