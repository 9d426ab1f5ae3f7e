"""Questions about clearances: work one out from measured parts, turn it to its aim by its screws."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from models.spec.build import Build
from models.spec.clearance import Clearance, ClearanceKind
from models.spec.dimension import Unit
from models.spec.length import Term
from trainer.core.measure.adjusting import Turning, find_turning
from trainer.core.measure.chain import Link, MeasuredClearance
from trainer.lesson.item import Basis, Choice, Field, GapShown, Item, Mistake, Number, OneOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.lesson import Camera, Show
from trainer.lesson.said import Amount, Quantity, Said, name_clearance, name_part, name_piece, say
from trainer.session.asking.afresh import draw_measured
from trainer.session.asking.benches import once_a_bench
from trainer.session.asking.kind import Draw, Kind
from trainer.session.asking.part_kinds import ask
from trainer.session.bench import Bench

TURNS = ".turns"
"""Behind the name of a clearance that is set by screws: how far to turn them."""
FELT_DIGITS = 2
"""Feelers are read to a hundredth. Source: common practice."""
FLAT_DIGITS = 1
GAP_DIGITS = 2
FINE_DIGITS = 3
FINE_MM = 0.1
"""A dimension whose limits lie closer together than this is measured to a thousandth. Source: common practice."""
MOST_LINKS = 9
"""More dimensions than anybody adds up without a sheet."""
SMALL, INSIDE, LARGE = VERDICTS = ("small", "inside", "large")
"""Each is drawn alike often: as drawn, a clearance is mostly inside its limits, and nobody would have to look."""
BEYOND = (0.05, 0.6)
"""How far beyond its limits a clearance is drawn, as a share of the room between them."""
SURE = 1.2
"""How far from a limit at the least, by what rounding may take."""
MOST_TRIED = 6
"""Gaps that are tried for one that a part of another size can bring about."""
MOST_OFF_MM, MOST_OFF = 2.0, 0.15
"""By how much, or by what share of it, a part that is no sheet may be off its drawing: one of another pump, or one that was
faced off. Common practice."""
CHANGED = ("shim", "flat-gasket")
"""Kinds of part that are found of another thickness than the drawing's, before castings and shafts are."""
STANDARD = ("bearing",)
THINNEST_MM, THICKEST_MM = 0.05, 1.5
"""Between these lies what is found in the place of a shim or a gasket."""
SAME = 1e-9
APART_MM = 1e-6
"""What lies between the band of a slip and that of what is right, at the least."""
FLATS = 6
"""Flats of a hexagon: what FLAT counts."""
ASKED_KINDS = (ClearanceKind.AXIAL, ClearanceKind.DIAMETRAL, ClearanceKind.OVERLAP)


@dataclass(frozen=True, slots=True)
class Given:
    """One number given to a learner: what is said of it, its true value in mm, how the answer follows it, its digits."""

    said: Said
    value_mm: float
    sensitivity: float
    digits: int

    @property
    def amount(self) -> Amount:
        """The number as it is told."""
        return Amount(self.value_mm, digits=self.digits)


def half_digit(digits: int) -> float:
    """Give half of the last digit told: by how much a rounded number may be off."""
    return 0.5 * 10.0**-digits


def find_tolerance(given: Sequence[Given], digits: int) -> float:
    """Find by how much an honest answer may be off: what rounding took from each number given, and from the answer."""
    off = sum(abs(one.sensitivity) * half_digit(one.digits) for one in given)
    return off + half_digit(digits)


def make_mistakes(
    right: float, off: float, slips: Iterable[tuple[float, Said]]
) -> tuple[Mistake, ...]:
    """Make the mistakes of slips, each a number and what is said of it; one that could be taken for right is none."""
    return tuple(
        Mistake(wrong - off, wrong + off, why)
        for wrong, why in slips
        if abs(wrong - right) > 2.0 * off + APART_MM
    )


@once_a_bench
def _list_clearances(bench: Bench) -> tuple[str, ...]:
    """List the clearances that are plain sums of few lengths, and those that screws set."""
    found = []
    for measured in bench.clearances:
        clearance = bench.build.clearance(measured.name)
        if _is_plain_sum(bench.build, clearance, measured):
            found.append(measured.name)
        turning = find_turning(bench.build, clearance, measured)
        if turning is not None and turning.flats == FLATS:
            found.append(measured.name + TURNS)
    return tuple(found)


def _is_plain_sum(build: Build, clearance: Clearance, measured: MeasuredClearance) -> bool:
    return (
        clearance.is_plain
        and clearance.kind in ASKED_KINDS
        and len(measured.chain) <= MOST_LINKS
        and all(
            abs(abs(link.sensitivity) - 1.0) < SAME
            and build.dimension((link.piece, link.dimension)).unit is not Unit.DEG
            for link in measured.chain
        )
    )


def _draw_read_gap(draw: Draw) -> Item:
    if draw.subject.endswith(TURNS):
        return _draw_turns(draw)
    bench = draw.bench
    measured = bench.clearance(draw.subject)
    given = _give(measured, _draw_values(draw, measured))
    digits = _find_digits(given)
    value = sum(one.sensitivity * one.value_mm for one in given)
    off = find_tolerance(given, digits)
    number = Number(
        value, value - off, value + off, _tell_sum(given, value, digits), digits=digits,
        mistakes=_find_mistakes(given, value, off), shown=GapShown(measured.name),
    )  # fmt: skip
    fields = [Field("gap", say("ask.read-gap-field"), number)]
    judged = _judge(measured, value, off, digits)
    if judged is not None:
        fields.append(Field("verdict", say("ask.gap-verdict-field"), judged, weight=0.5))
    stem = (
        *ask(draw, "ask.read-gap", clearance=name_clearance(measured.name)),
        _tell_between(bench.build, bench.build.clearance(measured.name)),
        *(say("ask.gap-given", given=one.said) for one in given),
        _tell_limits(measured),
    )
    return _make_item(draw, measured, stem, tuple(fields))


def _draw_values(draw: Draw, measured: MeasuredClearance) -> Mapping[Term, float]:
    """Draw what was measured: parts as drawn, or one of another size, so that each verdict comes about alike often."""
    chance = draw.chance
    values = dict(draw_measured(measured.chain, chance))
    bands = _find_bands(measured, values)
    low, high = bands[chance.choice(sorted(bands))]
    gap = sum(one.value_mm * one.sensitivity for one in _give(measured, values))
    if low <= gap <= high:
        return values
    changes = [chance.uniform(low, high) - gap for _ in range(MOST_TRIED)]
    for links in _list_other_sized(draw.bench, measured):
        for change in changes if links else ():
            link = chance.choice(links)
            term = link.piece, link.dimension
            other = values[term] + change / link.sensitivity
            if _can_be(draw.bench, link, other):
                return {**values, term: other}
    return values


def _find_bands(
    measured: MeasuredClearance, values: Mapping[Term, float]
) -> Mapping[str, tuple[float, float]]:
    """Find by verdict between which gaps, in mm, one is drawn: so far from a limit that rounding does not decide."""
    low, high = measured.required_mm
    given = _give(measured, values)
    unsure = SURE * find_tolerance(given, _find_digits(given))
    near, far = (max(share * (high - low), unsure) for share in BEYOND)
    bands = {SMALL: (low - far, low - near), LARGE: (high + near, high + far)}
    return bands if high - low <= 2.0 * unsure else {**bands, INSIDE: (low + unsure, high - unsure)}


def _can_be(bench: Bench, link: Link, value_mm: float) -> bool:
    """Can a part be found of such a size: a sheet of any thickness that there is, another part not far off its drawing?"""
    if bench.build.pieces[link.piece].part.kind in CHANGED:
        return THINNEST_MM <= value_mm <= THICKEST_MM
    most = max(MOST_OFF_MM, MOST_OFF * abs(link.value_mm))
    return value_mm >= THINNEST_MM and abs(value_mm - link.value_mm) <= most


def _list_other_sized(bench: Bench, measured: MeasuredClearance) -> Sequence[Sequence[Link]]:
    """List the dimensions that are found of another size: first of shims, then of gaskets, then of what is made here.

    A bearing is of its standard's size.
    """
    kinds = {link.piece: bench.build.pieces[link.piece].part.kind for link in measured.chain}
    made = [link for link in measured.chain if kinds[link.piece] not in {*CHANGED, *STANDARD}]
    return (*([link for link in measured.chain if kinds[link.piece] == one] for one in CHANGED), made)  # fmt: skip


def _give(measured: MeasuredClearance, values: Mapping[Term, float]) -> tuple[Given, ...]:
    """Give each dimension of a chain as it was measured, and what changes the clearance beyond geometry."""
    given = [_give_link(link, values[link.piece, link.dimension]) for link in measured.chain]
    for effect in measured.effects:
        if abs(effect.value_mm) >= half_digit(FINE_DIGITS):
            amount = Amount(effect.value_mm, digits=FINE_DIGITS)
            said = say("ask.gap-effect", effect=say(f"effect.{effect.name}"), value=amount)
            given.append(Given(said, effect.value_mm, 1.0, FINE_DIGITS))
    return tuple(given)


def _find_digits(given: Sequence[Given]) -> int:
    """Find how finely a gap is told: as its coarsest contributor was measured."""
    return FINE_DIGITS if all(one.digits == FINE_DIGITS for one in given) else GAP_DIGITS


def _give_link(link: Link, value_mm: float) -> Given:
    digits = FINE_DIGITS if link.upper_mm - link.lower_mm < FINE_MM else GAP_DIGITS
    said = say(
        "ask.gap-link",
        piece=name_piece(link.piece),
        dimension=link.dimension.replace("-", " "),
        value=Amount(value_mm, digits=digits),
    )
    return Given(said, value_mm, link.sensitivity, digits)


def _tell_between(build: Build, clearance: Clearance) -> Said:
    """Tell between which faces a clearance lies: what it is the difference of."""
    (low, low_face), (high, high_face) = clearance.low, clearance.high
    return say(
        f"ask.gap-{'across' if clearance.kind is ClearanceKind.DIAMETRAL else 'between'}",
        low=name_part(build.piece_at(low).place.name),
        low_face=low_face.replace("-", " "),
        high=name_part(build.piece_at(high).place.name),
        high_face=high_face.replace("-", " "),
    )


def _tell_limits(measured: MeasuredClearance) -> Said:
    low, high = measured.required_mm
    return say("ask.gap-limits", low=Amount(low), high=Amount(high), aim=Amount(measured.aim_mm))


def _tell_sum(given: Sequence[Given], value: float, digits: int) -> Said:
    more = tuple(one.amount for one in given if one.sensitivity * one.value_mm >= 0.0)
    less = tuple(
        Amount(abs(one.value_mm), digits=one.digits)
        for one in given
        if one.sensitivity * one.value_mm < 0.0
    )
    return say("why.gap-sum", more=more, less=less, value=Amount(value, digits=digits))


def _find_mistakes(given: Sequence[Given], value: float, off: float) -> tuple[Mistake, ...]:
    """Find where the usual slips lead: one dimension with the wrong sign, or one left out; never into the right band."""
    slips = [
        (value - factor * one.sensitivity * one.value_mm, say(key, given=one.said))
        for key, factor in (("why.gap-wrong-sign", 2.0), ("why.gap-left-out", 1.0))
        for one in given
    ]
    return make_mistakes(value, off, slips)


def _judge(measured: MeasuredClearance, value: float, off: float, digits: int) -> OneOf | None:
    """Ask whether a clearance is inside its limits; None where rounding alone could decide it."""
    low, high = measured.required_mm
    if min(abs(value - low), abs(value - high)) <= off:
        return None
    verdict = SMALL if value < low else LARGE if value > high else INSIDE
    why = say(
        f"why.gap-{verdict}",
        value=Amount(value, digits=digits),
        low=Amount(low),
        high=Amount(high),
    )
    shown = GapShown(measured.name)
    choices = tuple(Choice(name, say(f"choice.gap-{name}"), why, shown) for name in VERDICTS)
    return OneOf(choices, frozenset({verdict}))


# ------------------------------------------------------------------ turned by screws
def _draw_turns(draw: Draw) -> Item:
    bench, chance = draw.bench, draw.chance
    measured = bench.clearance(draw.subject.removesuffix(TURNS))
    clearance = bench.build.clearance(measured.name)
    low, high = measured.required_mm
    width = high - low
    felt_mm = measured.aim_mm
    while abs(felt_mm - measured.aim_mm) < 10.0**-FELT_DIGITS:
        felt_mm = round(chance.uniform(max(low - width, 0.0), high + width), FELT_DIGITS)
    turning = find_turning(bench.build, clearance, measured, felt_mm)
    assert turning is not None
    fields = (_ask_flats(turning, felt_mm, measured), _ask_direction(turning, measured, felt_mm))
    pitch = abs(turning.per_turn_mm)
    stem = (
        *ask(draw, "ask.turns", clearance=name_clearance(measured.name)),
        say("ask.turns-felt", value=Amount(felt_mm, digits=FELT_DIGITS), aim=Amount(measured.aim_mm)),
        say("ask.turns-pitch", screw=name_part(turning.place), pitch=Amount(pitch), flats=FLATS),
    )  # fmt: skip
    return _make_item(draw, measured, stem, fields)


def _ask_flats(turning: Turning, felt_mm: float, measured: MeasuredClearance) -> Field:
    flats = abs(turning.flats_to_aim)
    off = half_digit(FELT_DIGITS) / abs(turning.per_flat_mm) + half_digit(FLAT_DIGITS)
    why = say(
        "why.turns",
        change=Amount(abs(measured.aim_mm - felt_mm), digits=FELT_DIGITS),
        per_flat=Amount(abs(turning.per_flat_mm), digits=FINE_DIGITS),
        flats=Amount(flats, Quantity.FLAT, FLAT_DIGITS),
    )
    turns = flats / FLATS
    slips = make_mistakes(flats, off, [(turns, say("why.turns-not-flats"))])
    number = Number(
        flats, max(flats - off, 0.0), flats + off, why, Quantity.FLAT, FLAT_DIGITS, slips
    )
    return Field("flats", say("ask.turns-field"), number)


def _ask_direction(turning: Turning, measured: MeasuredClearance, felt_mm: float) -> Field:
    right = "wider" if felt_mm < measured.aim_mm else "narrower"
    moves = Amount(abs(turning.per_turn_mm))
    why = say(f"why.turns-{right}", felt=Amount(felt_mm), aim=Amount(measured.aim_mm), turn=moves)
    shown = GapShown(measured.name)
    choices = tuple(
        Choice(name, say(f"choice.turns-{name}"), why, shown) for name in ("wider", "narrower")
    )
    return Field(
        "direction", say("ask.turns-direction"), OneOf(choices, frozenset({right})), weight=0.5
    )


def _make_item(
    draw: Draw, measured: MeasuredClearance, stem: tuple[Said, ...], fields: tuple[Field, ...]
) -> Item:
    build = draw.bench.build
    clearance = build.clearance(measured.name)
    lit = tuple(dict.fromkeys((clearance.low[0], clearance.high[0])))
    show = Show(build.name, build.options, lit=lit, cutaway=True, camera=Camera.SIDE)
    basis = Basis(say("basis.chain", source=measured.required_by))
    return Item(
        QuestionKind.READ_GAP, draw.subject, build.name, build.options, stem, fields, basis, show
    )


READ_GAP = Kind("clearance", _list_clearances, _draw_read_gap)
