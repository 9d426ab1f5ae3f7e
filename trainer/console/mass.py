"""The command `mass`: what each piece and the whole pump weigh, and where their centres of gravity lie."""

from __future__ import annotations

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

if TYPE_CHECKING:
    from models.solids.weighing import Weight
    from models.spec.build import Build


def make_mass(words: Words) -> click.Command:
    """Make the command."""

    @make_command(words, "mass", *make_build_options(words), make_json_option(words))
    def mass(as_json: bool, **chosen: Unpack[BuildChoice]) -> None:
        from models.solids.memory import FactMemory
        from models.solids.weighing import add_weights, weigh_build
        from models.spec.build import TABLES
        from models.spec.materials import read_densities
        from trainer.console.progress import make_progress

        build = open_chosen(words, chosen).build
        densities = read_densities(chosen["tables"] or TABLES)
        tell = make_progress(words, "mass.weighing-")
        weights = weigh_build(
            build, densities, FactMemory(), lambda done, of: tell("solids", done, of)
        )
        whole = add_weights(build.name, weights)
        if as_json:
            print_json(describe_weights(build, weights, whole))
        else:
            show_weights(words, build, weights, whole)

    return mass


def describe_weights(build: Build, weights: tuple[Weight, ...], whole: Weight) -> dict[str, Any]:
    """Describe the weights of a build for scripts: kg, mm3, mm; each piece, and the whole."""
    pieces = [
        _describe(one) | {"material": build.pieces[one.name].part.material.value} for one in weights
    ]
    return {"build": build.name, "whole": _describe(whole), "pieces": pieces}


def _describe(weight: Weight) -> dict[str, Any]:
    return {
        "name": weight.name,
        "volume_mm3": weight.volume_mm3,
        "mass_kg": weight.mass_kg,
        "centre_of_gravity_mm": list(weight.centre_mm),
        "needs_hoist": weight.needs_hoist,
    }


def show_weights(words: Words, build: Build, weights: tuple[Weight, ...], whole: Weight) -> None:
    """Show the parts from the heaviest down, pieces of one part together, then the whole pump."""
    from trainer.console.show import make_table, open_console
    from trainer.words.telling import tell_part

    by_name = {one.name: one for one in weights}
    columns = ("name", "quantity", "material", "each", "centre", "lift")
    table = make_table(
        words.say("mass.title", build=build.name),
        *(words.say(f"mass.column-{name}") for name in columns),
    )
    parts = sorted(build.places.items(), key=lambda item: -by_name[item[1][0]].mass_kg)
    for place, names in parts:
        one = by_name[names[0]]
        material = words.say(f"material.{build.pieces[names[0]].part.material.value}.name")
        centre = _tell_centre(one) if len(names) == 1 else ""
        table.add_row(
            tell_part(words, place), str(len(names)), material, *_tell_weight(words, one, centre)
        )
    console = open_console(None)
    console.print(table)
    console.print(
        words.say(
            "mass.whole",
            mass=f"{whole.mass_kg:.1f}",
            litres=f"{whole.volume_mm3 / 1e6:.2f}",
            centre=_tell_centre(whole),
        )
    )
    console.print(words.say("mass.lifting" if whole.needs_hoist else "mass.by-hand"))


def _tell_weight(words: Words, one: Weight, centre: str) -> tuple[str, str, str]:
    lift = words.say("mass.hoist") if one.needs_hoist else ""
    digits = 1 if one.mass_kg >= 10 else 3
    return f"{one.mass_kg:.{digits}f}", centre, lift


def _tell_centre(one: Weight) -> str:
    return ", ".join(str(round(value)) for value in one.centre_mm)
