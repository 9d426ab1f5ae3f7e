"""The command `faults`: the mistakes that can be made in a rebuild, what rule each breaks, and which options it needs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from trainer.console.asking import make_command, make_json_option, print_json
from trainer.words import Words

if TYPE_CHECKING:
    from models.spec.family import Family
    from models.spec.fault import SeededFault
    from trainer.session.faults import FaultyBench


def make_faults(words: Words) -> click.Command:
    """Make the command."""
    build = click.argument("build", required=False)

    @make_command(words, "faults", build, make_json_option(words))
    def faults(build: str | None, as_json: bool) -> None:
        found = list_faulted(build)
        if as_json:
            print_json([describe_fault(words, *one) for one in found])
        else:
            show_faults(words, found)

    return faults


def list_faulted(build: str | None) -> list[tuple[Family, SeededFault]]:
    """List every family's faults, or those of the family of one build. Raises RefusalError for an unknown build."""
    from models.builds import FAMILIES, list_builds
    from models.spec.errors import RefusalError, say_near

    known = list_builds()
    if build is not None and build not in known:
        raise RefusalError(f"no build is called {build!r}; {say_near(build, known)}")
    families = FAMILIES.values() if build is None else [known[build]]
    return [(family, fault) for family in families for fault in family.faults]


def describe_fault(words: Words, family: Family, fault: SeededFault) -> dict[str, Any]:
    """Describe a fault for scripts."""
    key = next(rule.key for rule in family.rules if rule.number == fault.rule)
    return {
        "fault": fault.key,
        "family": family.name,
        "rule": fault.rule,
        "rule_key": key,
        "must_be": words.say(f"rule.{key}"),
        "what": words.say(f"fault.{fault.key}"),
        "leads_to": words.say(f"fault.{fault.key}.leads-to"),
        "needs": {option: list(values) for option, values in family.list_needs(fault).items()},
    }


def describe_seeded(words: Words, both: FaultyBench) -> dict[str, Any]:
    """Describe for scripts a mistake that was made: its fault, which pieces are missing and which are wrong."""
    told = describe_fault(words, both.sound.build.family, both.fault)
    return told | {
        "missing": list(both.missing),
        "wrong": list(both.wrong),
        "why": told["leads_to"],
    }


def show_faults(words: Words, found: list[tuple[Family, SeededFault]]) -> None:
    """Show faults as tables, one a family."""
    from trainer.console.show import make_table, open_console

    console = open_console(None)
    for family in dict.fromkeys(family.name for family, _ in found):
        columns = ("rule", "key", "what", "needs")
        table = make_table(
            words.say("fault.title", family=words.say(f"family.{family}")),
            *(words.say(f"fault.column-{name}") for name in columns),
        )
        table.columns[1].no_wrap = True  # it is typed again
        for one, fault in found:
            if one.name == family:
                needs = [f"{k}={' | '.join(v)}" for k, v in one.list_needs(fault).items()]
                what = words.say(f"fault.{fault.key}")
                table.add_row(str(fault.rule), fault.key, what, "; ".join(needs))
        console.print(table)
    if not found:
        console.print(words.say("fault.none"))
