"""Show what a clearance does in service: as tables, as JSON, as a diagram."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trainer.session.consequences import (
    CONSEQUENCES,
    PLACES,
    READERS,
    compare_places,
    list_consequential,
)
from trainer.words import Words
from trainer.words.telling import tell_clearance
from trainer.words.telling_service import tell_amount, tell_duty, tell_life

if TYPE_CHECKING:
    from rich.console import Console

    from trainer.session.service import JointPreload, ServiceBench, Setting
    from trainer.stage.service_plot import Panel

FORMULAS = ("leakage", "rim-pressure", "thrust", "back-vanes", "bearing-life", "bearing-rating", "radial-load", "growth", "preload")  # fmt: skip
"""The formulas that are told with their source, in this order."""
PLOTTED = {"back-vane": ("thrust_n", "life_h"), "wear-ring": ("leakage_m3_per_h", "lost_percent"), "hub-ring": ("thrust_n", "hub_leakage_m3_per_h")}  # fmt: skip
WITHOUT = "without_relief_n"


def list_wanted(bench: ServiceBench, clearance: str | None) -> tuple[str, ...]:
    """List the clearances to tell of: the one that is named, or all that have consequences.

    Raises:
        RefusalError: nothing is worked out for the one that is named.
    """
    if clearance is None:
        return list_consequential(bench)
    compare_places(bench, clearance)
    return (clearance,)


# ---------------------------------------------------------------- JSON
def describe_service(
    bench: ServiceBench, setting: Setting, wanted: Sequence[str], torques_nm: Mapping[str, float]
) -> dict[str, Any]:
    """Describe everything as plain values, the unit at the end of each key; an endless life is null."""
    service = bench.look(setting)
    return {
        "build": bench.build.name,
        "duty": asdict(bench.duty),
        "clearances": [
            {
                "name": name,
                "value_mm": service.gap(name).value_mm,
                "required_mm": list(service.gap(name).required_mm),
                "chance_inside": service.gap(name).chance,
                "places": [
                    {"place": told.place, "gap_mm": told.gap_mm, **_make_finite(told.amounts)}
                    for told in compare_places(bench, name, setting)
                ],
            }
            for name in wanted
        ],
        "bearings": [
            _make_finite(
                {
                    "piece": one.name,
                    "dynamic_rating_n": one.rating.dynamic_n,
                    "static_rating_n": one.rating.static_n,
                    "radial_n": one.load.radial_n,
                    "axial_n": one.load.axial_n,
                    "equivalent_n": one.load.equivalent_n,
                    "life_h": one.life_h,
                    "static_safety": one.static_safety,
                    "survival": one.survival,
                }
            )
            for one in service.bearings
        ],
        "bolts": [_describe_bolts(one) for one in bench.list_preloads(torques_nm)],
        "assumptions": list(bench.list_assumptions()),
        "formulas": list(FORMULAS),
        "for_teaching_only": True,
    }


def _describe_bolts(one: JointPreload) -> dict[str, Any]:
    return {
        "joint": one.joint.name,
        "fasteners": one.joint.fastener,
        "count": one.joint.count,
        "thread_mm": one.joint.bolt.thread_mm,
        "property_class": one.joint.bolt.property_class,
        **{name: round(value, 6) for name, value in asdict(one.preload).items()},
    }


def _make_finite(values: Any) -> dict[str, Any]:  # noqa: ANN401 - numbers and names of one row
    return {
        name: (None if isinstance(value, float) and not math.isfinite(value) else value)
        for name, value in values.items()
    }


# ---------------------------------------------------------------- for a person
def show_service(
    words: Words,
    bench: ServiceBench,
    setting: Setting,
    wanted: Sequence[str],
    torques_nm: Mapping[str, float],
    source: str,
    console: Console | None = None,
) -> None:
    """Show the consequences of each clearance, the bearings, the bolts, and what all of it rests on.

    `source` says who tells what the pump runs at.
    """
    from trainer.console.show import open_console

    out = open_console(console)
    build = bench.build
    out.print(words.say("service.title", build=build.name), style="bold")
    out.print(words.say("service.teaching"))
    out.print(tell_duty(words, bench.duty))
    out.print(words.say("service.duty-source", source=source), style="dim")
    for name in wanted:
        _show_clearance(words, bench, setting, name, out)
    if not wanted:
        out.print(words.say("service.none"))
    if bench.wheel.is_open:
        out.print(words.say("service.plate"))
    _show_bearings(words, bench, setting, out)
    _show_bolts(words, bench, torques_nm, out)
    out.print(words.say("service.assumptions"), style="bold")
    for key in bench.list_assumptions():
        out.print(f"  · {words.say(f'service.assumed-{key}')}")
    out.print(words.say("service.formulas"), style="bold")
    for key in FORMULAS:
        out.print(f"  · {words.say(f'service.formula-{key}')}")
    out.print(words.say("service.teaching"))


def _show_clearance(
    words: Words, bench: ServiceBench, setting: Setting, name: str, out: Console
) -> None:
    from trainer.console.show import make_table

    gap = bench.look(setting).gap(name)
    columns = compare_places(bench, name, setting)
    key = "service.inside" if gap.is_inside else "service.outside"
    title = words.say(key, name=tell_clearance(words, name), value=words.millimetres(gap.value_mm), percent=words.number(100 * gap.chance, 1))  # fmt: skip
    out.print(title, style="bold")
    table = make_table("", "", *(words.say(f"service.place-{place}") for place in PLACES))
    for column in table.columns[1:]:
        column.justify = "right"
    table.add_row(words.say("service.row-gap"), *(words.number(told.gap_mm) for told in columns))
    for amount in CONSEQUENCES[name]:
        cells = (tell_amount(words, amount, told.amounts[amount]) for told in columns)
        table.add_row(words.say(f"service.row-{amount}"), *cells)
    out.print(table)
    out.print(words.say(f"service.reading-{name}"))
    if any(told.amounts.get("thrust_n", 0.0) < 0.0 for told in columns):
        out.print(words.say("service.over-relieved"))
    out.print()


def _show_bearings(words: Words, bench: ServiceBench, setting: Setting, out: Console) -> None:
    from trainer.console.show import make_table
    from trainer.words.telling import tell_piece

    names = ("piece", "radial", "axial", "equivalent", "rating", "life", "safety", "survival")
    hours = words.number(bench.duty.run_h, 0)
    titles = [words.say(f"service.bearing-{name}", hours=hours) for name in names]
    table = make_table(words.say("service.bearings"), *titles)
    for column in table.columns[1:]:
        column.justify = "right"
        column.no_wrap = True
    for one in bench.look(setting).bearings:
        table.add_row(
            tell_piece(words, bench.build, one.name),
            *(
                words.number(force, 0)
                for force in (
                    one.load.radial_n,
                    one.load.axial_n,
                    one.load.equivalent_n,
                    one.rating.dynamic_n,
                )
            ),
            tell_life(words, one.life_h),
            words.number(min(one.static_safety, 99.0), 0),
            words.number(100 * one.survival, 1),
        )
    out.print(table)
    out.print(words.say("service.reading-bearings"))
    out.print()


def _show_bolts(
    words: Words, bench: ServiceBench, torques_nm: Mapping[str, float], out: Console
) -> None:
    from trainer.console.show import make_table
    from trainer.words.telling import tell_part

    names = ("fastener", "bolts", "torque", "preload", "band", "share", "most", "yield")
    table = make_table(
        words.say("service.bolts"), *(words.say(f"service.bolt-{name}") for name in names)
    )
    for column in table.columns[1:]:
        column.no_wrap = True  # numbers and sizes stay whole; the names wrap
    for column in table.columns[2:]:
        column.justify = "right"
    for one in bench.list_preloads(torques_nm):
        bolt, found = one.joint.bolt, one.preload
        table.add_row(
            words.say(
                "service.bolt-set",
                count=one.joint.count,
                part=tell_part(words, one.joint.fastener),
            ),
            words.say(
                "service.bolt-size",
                thread=words.number(bolt.thread_mm, 0),
                grade=bolt.property_class,
            ),
            words.number(found.torque_nm, 0),
            words.number(found.preload_n / 1e3, 1),
            words.say(
                "service.bolt-from-to",
                low=words.number(found.least_n / 1e3, 0),
                high=words.number(found.most_n / 1e3, 0),
            ),
            words.number(100 * found.share, 0),
            words.number(100 * found.most_share, 0),
            words.number(100 * found.yield_share, 0),
        )
    out.print(table)
    out.print(words.say("service.reading-bolts"))
    out.print()


# ---------------------------------------------------------------- diagram
def draw_plot(
    words: Words, bench: ServiceBench, setting: Setting, wanted: Sequence[str], file: Path
) -> None:
    """Draw the consequences of the first clearance wanted into a file.

    Raises:
        RefusalError: nothing to draw, or a file that is no picture. SurroundingsError: it could not be written.
    """
    from models.spec.errors import RefusalError
    from trainer.stage.service_plot import draw_service

    if not wanted:
        raise RefusalError(f"{bench.build.name} has no clearance whose consequences can be drawn")
    name = wanted[0]
    draw_service(
        file,
        words.say(f"service.plot-title-{name}", build=bench.build.name),
        words.say(f"service.plot-caption-{name}"),
        make_panels(words, bench, setting, name),
    )


def make_panels(
    words: Words, bench: ServiceBench, setting: Setting, name: str
) -> tuple[Panel, ...]:
    """Make the panels of one clearance: each consequence over its limits and beyond."""
    from trainer.stage.service_plot import Panel, PlotLine

    curve, now = bench.draw_curve(name, setting), bench.look(setting)
    gap = now.gap(name)
    panels = []
    for amount in PLOTTED[name]:
        shown = [amount, WITHOUT] if amount == "thrust_n" else [amount]
        lines = tuple(
            PlotLine(
                words.say(f"service.line-{one}") if len(shown) > 1 else "",
                curve.gaps_mm,
                tuple(READERS[one](service) for service in curve.services),
            )
            for one in shown
        )
        value = READERS[amount](now)
        panels.append(
            Panel(
                words.say("service.axis-gap", clearance=tell_clearance(words, name)),
                words.say(f"service.axis-{amount}"),
                lines,
                gap.required_mm,
                words.say("service.plot-allowed"),
                (gap.value_mm, value),
                words.say(
                    "service.plot-set",
                    value=tell_amount(words, amount, value),
                    unit=words.say(f"service.unit-{amount}"),
                ),
            )
        )
    return tuple(panels)
