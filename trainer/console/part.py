"""The command `part`: all that is known of one part, from why it is there to what comes off with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Unpack

import click

from trainer.console.asking import (
    BuildChoice,
    make_build_options,
    make_command,
    make_json_option,
    open_chosen,
    print_json,
)
from trainer.words import Words
from trainer.words.speech import begin

if TYPE_CHECKING:
    from pathlib import Path

    from models.solids.weighing import Weight
    from models.spec.material_choices import MaterialChoice
    from trainer.core.order.leaving import Fixing, Leaving
    from trainer.session.bench import Bench


@dataclass(frozen=True, slots=True)
class PartAnswer:
    """What is known of one part of a bench; the weight is that of its first piece."""

    bench: Bench
    part: str
    weight: Weight
    choices: tuple[MaterialChoice, ...]
    fixings: tuple[Fixing, ...]
    leaving: Leaving | None

    @property
    def pieces(self) -> tuple[str, ...]:
        """Names of its pieces."""
        return self.bench.build.places[self.part]


def make_part(words: Words) -> click.Command:
    """Make the command."""
    options = make_build_options(words, measured=False)
    name = click.argument("part")

    @make_command(words, "part", options[0], name, *options[1:], make_json_option(words))
    def part(part: str, as_json: bool, **chosen: Unpack[BuildChoice]) -> None:
        from models.spec.build import TABLES

        answer = find_answer(open_chosen(words, chosen), part, chosen["tables"] or TABLES)
        if as_json:
            print_json(describe_part(words, answer))
        else:
            show_part(words, answer)

    return part


def find_answer(bench: Bench, name: str, tables: Path) -> PartAnswer:
    """Find what is known of a part, named by itself or by one of its pieces.

    Raises:
        RefusalError: no part or piece of the build is called that; near matches are given.
    """
    from models.solids.memory import FactMemory
    from models.solids.weighing import weigh_pieces
    from models.spec.material_choices import find_choices, read_material_choices
    from models.spec.materials import read_densities
    from trainer.core.order.leaving import find_fixings, find_leaving

    piece = bench.build.pieces[bench.find_pieces(name)[0]]
    place = piece.place.name
    (weight,) = weigh_pieces([piece], read_densities(tables), FactMemory())
    return PartAnswer(
        bench,
        place,
        weight,
        find_choices(read_material_choices(tables), place, piece.part.kind),
        find_fixings(bench.build, place),
        find_leaving(bench.assembly, bench.blocking, bench.order, place),
    )


def describe_part(words: Words, answer: PartAnswer) -> dict[str, Any]:
    """Describe a part for scripts: kg; keys beside the words a person reads; steps count from 1."""
    from trainer.words.telling import tell_part
    from trainer.words.telling_part import tell_caution, tell_choice, tell_fixing

    build, leaving = answer.bench.build, answer.leaving
    kind = build.pieces[answer.pieces[0]].part
    return {
        "build": build.name,
        "name": answer.part,
        "title": tell_part(words, answer.part),
        "kind": kind.kind,
        "pieces": list(answer.pieces),
        "quantity": len(answer.pieces),
        "duty": words.say(f"part.{answer.part}.duty"),
        "material": kind.material.value,
        "materials": [
            {"material": one.material, "when": one.when, "told": tell_choice(words, one)}
            for one in answer.choices
        ],
        "mass_kg": answer.weight.mass_kg,
        "needs_hoist": answer.weight.needs_hoist,
        "wear": words.say(f"part.{answer.part}.wear"),
        "caution": tell_caution(words, answer.part) or None,
        "held_by": [
            {
                "joint": one.joint,
                "role": one.role.value,
                "others": list(one.others),
                "by": list(one.by),
                "tool": one.tool,
                "told": tell_fixing(words, build, one),
            }
            for one in answer.fixings
        ],
        "leaves": leaving
        and {
            "step": leaving.step + 1,
            "after": list(leaving.after),
            "along": list(leaving.along),
            "rides_on": list(leaving.rides_on),
        },
    }


def show_part(words: Words, answer: PartAnswer) -> None:
    """Show a part to a person, a heading a line."""
    from trainer.console.show import make_table, open_console

    told = describe_part(words, answer)
    title = begin(told["title"])
    table = make_table(
        words.count("part-told.title", told["quantity"], part=title, build=told["build"]), "", ""
    )
    table.show_header = False
    digits = 1 if answer.weight.mass_kg >= 10 else 3
    mass = words.say("part-told.each", mass=words.number(answer.weight.mass_kg, digits))
    lines = {
        "duty": told["duty"],
        "materials": "\n".join(one["told"] for one in told["materials"]),
        "mass": f"{mass}\n{words.say('mass.lifting')}" if told["needs_hoist"] else mass,
        "wear": told["wear"],
        "caution": told["caution"] or "",
        "held": "\n".join(one["told"] for one in told["held_by"]),
        **_tell_leaving(words, answer),
    }
    for key, text in lines.items():
        if text:
            table.add_row(words.say(f"part-told.heading-{key}"), begin(text))
    console = open_console(None)
    console.print(table)
    console.print(words.say("order.safety-here"))


def _tell_leaving(words: Words, answer: PartAnswer) -> dict[str, str]:
    from trainer.words.naming import BuildNaming
    from trainer.words.telling_part import tell_after, tell_along

    if answer.leaving is None:
        return {"after": words.say("part-told.stays")}
    naming = BuildNaming(words, answer.bench.build)
    return {
        "after": tell_after(words, naming, answer.leaving),
        "along": tell_along(words, naming, answer.leaving),
    }
