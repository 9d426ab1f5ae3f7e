"""The command `fits`: what sits on what and how tight, what pressing it does, how a bearing is mounted."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NotRequired, Unpack

import click

from trainer.console.asking import (
    BuildChoice,
    Decorator,
    make_build_options,
    make_command,
    make_json_option,
    open_chosen,
    print_json,
)
from trainer.words import Words

if TYPE_CHECKING:
    from models.spec.build import Build
    from trainer.session.fits import FitAnswer, Residual


class FitChoice(BuildChoice):
    """What the options say: a build and perhaps one of its fits, or a fit by itself."""

    fit: NotRequired[str | None]
    size: NotRequired[str | None]
    hole: NotRequired[str | None]
    shaft: NotRequired[str | None]


def make_fits(words: Words) -> click.Command:
    """Make the command."""
    options: tuple[Decorator, ...] = (
        click.argument("build", required=False),
        *make_build_options(words)[1:],
        click.option("--fit", metavar="NAME", help=words.say("console.help-fit")),
        click.option("--size", metavar="LENGTH", help=words.say("console.help-fit-size")),
        click.option("--hole", metavar="CLASS", help=words.say("console.help-fit-hole")),
        click.option("--shaft", metavar="CLASS", help=words.say("console.help-fit-shaft")),
    )

    @make_command(words, "fits", *options, make_json_option(words))
    def fits(as_json: bool, **chosen: Unpack[FitChoice]) -> None:
        size, hole, shaft = chosen.get("size"), chosen.get("hole"), chosen.get("shaft")
        one, free = chosen.get("fit"), (size, hole, shaft)
        if bool(chosen["build"]) == any(free) or (any(free) and (one or not all(free))):
            raise click.UsageError(words.say("fits.ask-one"))
        if size and hole and shaft:
            _answer_free(words, size, hole, shaft, as_json=as_json)
        else:
            _answer_build(words, open_chosen(words, chosen).build, one, as_json=as_json)

    return fits


def _answer_free(words: Words, size: str, hole: str, shaft: str, *, as_json: bool) -> None:
    from trainer.handout.fit_texts import tell_free_fit
    from trainer.session.fits import answer_free_fit
    from trainer.session.typed import read_length_mm

    found = answer_free_fit(read_length_mm(size), hole, shaft)
    if as_json:
        sides = {
            name: {
                "class": one.name,
                "lower_um": one.lower_um,
                "upper_um": one.upper_um,
                "source": one.source,
            }
            for name, one in (("hole", found.hole), ("shaft", found.shaft))
        }
        print_json({"size_mm": found.hole.size_mm, **sides, **_describe_between(found.between.least_um, found.between.most_um, found.between.kind.value, found.chance)})  # fmt: skip
    else:
        click.echo(tell_free_fit(words, found))


def _answer_build(words: Words, build: Build, name: str | None, *, as_json: bool) -> None:
    from trainer.handout.fit_texts import tell_fit
    from trainer.session.fits import find_named_fit, list_fits

    if name is not None:
        answer = find_named_fit(build, name)
        if as_json:
            print_json(describe_fit(build, answer))
        else:
            click.echo("\n  ".join(tell_fit(words, build, answer)))
            click.echo(words.say("fits.defer"))
        return
    answers = list_fits(build)
    if as_json:
        print_json([describe_fit(build, one) for one in answers])
    elif answers:
        show_fits(words, build, answers)
    else:
        click.echo(words.say("fits.none", build=build.name))


def _describe_between(least_um: float, most_um: float, kind: str, chance: float) -> dict[str, Any]:
    return {
        "clearance_um": [round(least_um, 3), round(most_um, 3)],
        "kind": kind,
        "chance_of_interference": round(chance, 6),
    }


def describe_fit(build: Build, answer: FitAnswer) -> dict[str, Any]:
    """Describe one fit for scripts. Ranges are [least, most]; a clearance below zero is interference."""
    sides = {
        name: {
            "piece": side.face.piece,
            "face": side.face.face,
            "dimension": ".".join(side.face.term),
            "nominal_mm": side.nominal_mm,
            "class": side.tolerance_class or None,
            "limits_um": list(side.limits_um),
            "measured_mm": side.measured_mm,
            "source": str(build.dimension(side.face.term).source),
        }
        for name, side in (("bore", answer.bore), ("journal", answer.journal))
    }
    between = answer.between
    return {
        "name": answer.fit.name,
        "joint": answer.fit.joint or None,
        "size_mm": answer.fit.size_mm,
        **sides,
        **_describe_between(between.least_um, between.most_um, between.kind.value, answer.chance),
        "clearance_now_um": round(answer.likely_um, 3),
        "pressed": _describe_pressed(answer),
        "mounted": _describe_mounted(answer),
    }


def _describe_pressed(answer: FitAnswer) -> dict[str, Any] | None:
    pressed = answer.pressed
    if pressed is None:
        return None
    return {
        "pressure_mpa": _round(pressed.pressure_mpa),
        "force_n": _round(pressed.force_n),
        "torque_nm": _round(pressed.torque_nm),
        "bore_closing_um": _round(pressed.closing_um),
        "outside_growth_um": _round(pressed.growth_um),
        "most_hoop_mpa": round(pressed.hoop_mpa, 3),
        "strength_mpa": pressed.strength_mpa,
        "length_mm": round(answer.fit.length_mm, 3),
        "warm_outer_c": round(pressed.warm_outer_c, 1),
    }


def _describe_mounted(answer: FitAnswer) -> dict[str, Any] | None:
    mounted = answer.mounted
    if mounted is None:
        return None
    heating = mounted.heating
    return {
        "heat_to_c": round(heating.temperature_c, 1),
        "aim_c": heating.aim_c,
        "most_c": heating.most_c,
        "warmth": heating.warmth.value,
        "residual": _describe_residual(mounted.at_rest),
        "residual_warm": _describe_residual(mounted.warm),
        "may_run_tight": mounted.may_run_tight,
    }


def _describe_residual(left: Residual | None) -> dict[str, Any] | None:
    if left is None:
        return None
    return {
        "clearance_um": _round((left.least_um, left.likely_um, left.most_um)),
        "chance_of_none": round(left.chance_tight, 6),
    }


def _round(values: tuple[float, ...]) -> list[float]:
    return [round(value, 3) for value in values]


def show_fits(words: Words, build: Build, answers: tuple[FitAnswer, ...]) -> None:
    """Show every fit in a table, and below it what follows from those that are tight."""
    from rich.padding import Padding

    from trainer.console.show import make_table, open_console
    from trainer.handout.fit_texts import (
        tell_between,
        tell_chance,
        tell_consequences,
        tell_pair,
        tell_size,
    )

    columns = ("number", "fit", "size", "between", "chance")
    table = make_table(
        words.say("fits.title", build=build.name),
        *(words.say(f"fits.column-{name}") for name in columns),
    )
    for number, one in enumerate(answers, start=1):
        table.add_row(
            str(number),
            tell_pair(words, build, one),
            tell_size(words, one),
            tell_between(words, one.between),
            tell_chance(words, one.between, one.chance),
        )
    console = open_console(None)
    console.print(table)
    follows = {tell_pair(words, build, one): tell_consequences(words, one) for one in answers}
    if any(follows.values()):
        console.print(words.say("fits.mind"), style="bold")
    for pair, told in follows.items():
        if told:
            console.print(pair)
            console.print(Padding("\n".join(told), (0, 0, 0, 2)))
    console.print(words.say("fits.defer"))
