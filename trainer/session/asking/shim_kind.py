"""The question how thick a pack of shims has to be, from one measured gap with a known pack in."""

from __future__ import annotations

from functools import lru_cache

from models.spec.errors import RefusalError
from trainer.core.measure.chain import MeasuredClearance
from trainer.core.measure.rests import find_shim_sensitivity, is_moved
from trainer.lesson.item import Basis, Field, GapShown, Item, Mistake, Number
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.lesson import Camera, Show
from trainer.lesson.said import Amount, Said, name_clearance, say
from trainer.session.asking.benches import once_a_bench
from trainer.session.asking.gap_kinds import (
    FELT_DIGITS,
    GAP_DIGITS,
    Given,
    find_tolerance,
    make_mistakes,
)
from trainer.session.asking.kind import Draw, Kind
from trainer.session.asking.part_kinds import ask
from trainer.session.bench import Bench
from trainer.session.sheet_plan import FOUR_PLACES
from trainer.session.typed import USUAL_THICKNESSES, read_stock

MOST_SHIMS = 3
THINNEST_MM, THICKEST_MM = 0.1, 3.0
"""Between these a drawn pack comes out: none at all, or a heap, is no question of shims."""
LEAST_CHANGE_MM, MOST_CHANGE_MM = 0.05, 0.6
"""By how much the pack is to change."""


@once_a_bench
def _list_moved(bench: Bench) -> tuple[str, ...]:
    """List the running gaps that shims set: those that feelers measure. What else moves with the pack only has to follow."""
    return tuple(
        one.name
        for one in bench.clearances
        if one.name in FOUR_PLACES and is_moved(one) and not one.bends
    )


@lru_cache(maxsize=1)
def _list_thicknesses() -> tuple[float, ...]:
    return tuple(shim.thickness_mm for shim in read_stock(USUAL_THICKNESSES))


def _draw_shim_thickness(draw: Draw) -> Item:
    measured = draw.bench.clearance(draw.subject)
    s = find_shim_sensitivity(measured)
    gap_mm, pack_mm = _find_given(draw) or _draw_given(draw, measured, s)
    given = (
        *(Given(say("ask.shim-one"), shim, 1.0, GAP_DIGITS) for shim in pack_mm),
        Given(say("ask.shim-gap"), gap_mm, -1.0 / s, FELT_DIGITS),
    )
    was = sum(pack_mm)
    change = (measured.aim_mm - gap_mm) / s
    off = find_tolerance(given, GAP_DIGITS)
    why = say(
        f"why.shim-{'opens' if s > 0.0 else 'closes'}",
        was=Amount(was),
        gap=Amount(gap_mm),
        aim=Amount(measured.aim_mm),
        change=Amount(abs(change)),
        more=say(f"why.shim-{'thicker' if change > 0.0 else 'thinner'}"),
        total=Amount(was + change),
    )
    number = Number(
        was + change, was + change - off, was + change + off, why,
        mistakes=_find_mistakes(was, change, off, gap_mm), shown=GapShown(measured.name),
    )  # fmt: skip
    build = draw.bench.build
    stem = (
        *ask(draw, "ask.shims", clearance=name_clearance(measured.name)),
        say("ask.shims-found", gap=Amount(gap_mm, digits=FELT_DIGITS),
            pack=tuple(Amount(shim) for shim in pack_mm), aim=Amount(measured.aim_mm)),
    )  # fmt: skip
    show = Show(build.name, build.options, lit=("shim",), cutaway=True, camera=Camera.SIDE)
    field = Field("thickness", say("ask.shims-field"), number)
    basis = Basis(say("basis.chain", source=measured.required_by))
    return Item(
        QuestionKind.SHIM_THICKNESS, draw.subject, build.name, build.options, stem, (field,), basis,
        show,
    )  # fmt: skip


def _find_given(draw: Draw) -> tuple[float, tuple[float, ...]] | None:
    """Find the gap and the pack that a lesson gives; None where it gives neither."""
    gap, pack = draw.wanted.numbers("found_gap_mm"), draw.wanted.numbers("with_pack_mm")
    if bool(gap) != bool(pack):
        raise RefusalError(
            "a found gap and the pack that was in belong together: give both or none"
        )
    return (gap[0], pack) if gap else None


def _draw_given(
    draw: Draw, measured: MeasuredClearance, s: float
) -> tuple[float, tuple[float, ...]]:
    """Draw a pack of usual shims and a gap, as feelers read it, that asks for another pack."""
    chance = draw.chance
    while True:
        pack = tuple(chance.choices(_list_thicknesses(), k=chance.randint(1, MOST_SHIMS)))
        change = chance.choice((-1.0, 1.0)) * chance.uniform(LEAST_CHANGE_MM, MOST_CHANGE_MM)
        gap_mm = round(measured.aim_mm - s * change, FELT_DIGITS)
        total = sum(pack) + (measured.aim_mm - gap_mm) / s
        if gap_mm > 0.0 and THINNEST_MM <= total <= THICKEST_MM:
            return gap_mm, pack


def _find_mistakes(was: float, change: float, off: float, gap_mm: float) -> tuple[Mistake, ...]:
    """Find where the usual slips lead: the wrong way, the change alone, the gap added to the pack."""
    slips: tuple[tuple[float, Said], ...] = (
        (was - change, say("why.shim-wrong-way")),
        (abs(change), say("why.shim-change-alone")),
        (was + gap_mm, say("why.shim-gap-added")),
    )
    return make_mistakes(was + change, off, slips)


SHIM_THICKNESS = Kind("clearance", _list_moved, _draw_shim_thickness)
