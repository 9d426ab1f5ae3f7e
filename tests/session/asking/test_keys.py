"""The key of each question by a second way: replayed in plain sets, built anew with what was measured, read by hand.

Nothing here asks what drew the question, so the two can only agree by both being right.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping
from functools import lru_cache

import pytest

from models.builds import make_named_build
from models.spec.build import Build
from models.spec.length import Term
from models.spec.making import find_fault, make_faulty
from models.spec.rule import check_rules
from tests.bench.plain_replay import Replay, Rules
from trainer.core.measure.chain import MeasuredClearance, measure_clearance
from trainer.core.order.reach import Reached, find_reach, is_sane
from trainer.core.order.state import State, TakenOff
from trainer.lesson.item import Item, MoveShown, Number, OneOf, SomeOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.said import Amount, Name, Said
from trainer.lesson.wanted import Wanted
from trainer.session.asking import Benches, draw_item, list_subjects
from trainer.session.asking.states import find_first
from trainer.session.bench import Bench
from trainer.session.consequences import READERS
from trainer.session.service import ServiceBench
from trainer.session.typed import make_pack

PUMP, PRIMING, SMALL = "end-suction/100-250", "self-priming/100", "impellers/100-250"
BENCHES = Benches()


def draw(name: str, kind: QuestionKind, seed: int, **given: str) -> Item:
    return draw_item(BENCHES.open(name), BENCHES, Wanted(kind, given=given), str(seed))


def choices(item: Item, field: int = 0) -> OneOf | SomeOf:
    form = item.fields[field].form
    assert isinstance(form, OneOf | SomeOf)
    return form


@lru_cache(maxsize=4)
def rules(name: str) -> Rules:
    bench = BENCHES.open(name)
    return Rules.of(bench.assembly, bench.blocking)


def replay(name: str, taken: Iterable[str]) -> Replay:
    """Take pieces off by the plain rules; each has to come."""
    state = Replay(rules(name))
    for piece in taken:
        assert state.take(piece), piece
    return state


def comes(state: Replay, piece: str) -> bool:
    """Does a piece come off now? Asked of a copy."""
    return Replay(state.rules, [set(lot) for lot in state.lots], set(state.freed)).take(piece)


# ------------------------------------------------------------------ the order
@pytest.mark.parametrize("name", [PUMP, PRIMING, SMALL, "packing/38"])
def test_what_comes_off_next_does_and_nothing_else_that_is_offered(name: str) -> None:
    for seed in range(6):
        item = draw(name, QuestionKind.NEXT_OFF, seed)
        assert item.show is not None
        state, off = replay(name, item.show.taken), set(item.show.taken)
        for choice in choices(item).choices:
            left = [one for one in BENCHES.open(name).build.places[choice.id] if one not in off]
            free = [piece for piece in left if comes(state, piece)]
            assert bool(free) == (choice.id == item.subject), (item.key, choice.id)


EXHIBITS = (SMALL, "balance/100-250", "rolling-bearings/bore-50", "packing/38")


@pytest.mark.parametrize("name", EXHIBITS)
def test_what_has_to_come_off_first_is_found_by_looking_for_a_way_without_it(name: str) -> None:
    """The search by fewest steps, forbidden to touch a part, finds a way just where the key says that it need not."""
    seen = 0
    for seed in range(3):
        item = draw(name, QuestionKind.REACH, seed)
        for choice in choices(item).choices:
            way = find_way_without(BENCHES.open(name), item.subject, choice.id)
            assert (way is None) == (choice.id in choices(item).right), (item.key, choice.id)
            seen += 1
    assert seen > 8


@pytest.mark.parametrize("name", [PUMP, PRIMING])
def test_of_a_pump_what_need_not_come_off_is_left_on_by_a_way_and_what_must_is_not(
    name: str,
) -> None:
    item = draw(name, QuestionKind.REACH, 1)
    form = choices(item)
    for choice in form.choices:
        if choice.id in form.right:
            assert waits(name, item.subject, choice.id), (item.key, choice.id)
    need_not = next(one for one in form.choices if one.id not in form.right)
    assert find_way_without(BENCHES.open(name), item.subject, need_not.id) is not None


@pytest.mark.long
@pytest.mark.parametrize("name", [PUMP, PRIMING])
def test_no_way_is_found_past_what_has_to_come_off(name: str) -> None:
    bench, chance = BENCHES.open(name), random.Random(5)
    pairs = [
        (first, part) for part, firsts in find_first(bench).items() for first in sorted(firsts)
    ]
    for first, part in chance.sample(pairs, 40):
        assert find_way_without(bench, part, first) is None, (first, part)


def find_way_without(bench: Bench, part: str, kept: str) -> Reached | None:
    pieces = set(bench.build.places[kept])

    def is_allowed(state: State, taken: TakenOff) -> bool:
        return taken.piece not in pieces and is_sane(state, taken)

    target = bench.build.places[part][0]
    return find_reach(bench.assembly, bench.blocking, target, allowed=is_allowed)


def waits(name: str, later: str, first: str) -> bool:
    """Does nothing of a part come off while all of another stays on, whatever else comes off by the plain rules?"""
    build, state = BENCHES.open(name).build, Replay(rules(name))
    kept, wanted = set(build.places[first]), set(build.places[later])
    left = [piece for piece in build.pieces if piece not in kept]
    while came := [piece for piece in left if state.take(piece)]:
        if wanted & set(came):
            return False
        left = [piece for piece in left if piece not in came]
    return True


def test_a_move_that_is_shown_is_refused_before_what_must_come_off_and_made_before_what_need_not() -> (
    None
):
    for seed in range(4):
        item = draw(PUMP, QuestionKind.REACH, seed)
        form = choices(item)
        for choice in form.choices:
            if isinstance(choice.shown, MoveShown):
                came = comes(replay(PUMP, choice.shown.taken), choice.shown.piece)
                assert came == (choice.id not in form.right)
                assert not set(choice.shown.taken) & set(BENCHES.open(PUMP).build.places[choice.id])


# ------------------------------------------------------------------ clearances
def measured_values(item: Item, build: Build) -> dict[Term, float]:
    """Read what was measured out of what is said of it."""
    keys = {(piece.name, key.replace("-", " ")): key for piece in build.pieces.values() for key in piece.row}  # fmt: skip
    found = {}
    for said in item.stem:
        given = said.fields.get("given")
        if isinstance(given, Said) and "piece" in given.fields:
            piece, dimension, value = (given.fields[k] for k in ("piece", "dimension", "value"))
            assert isinstance(piece, Name)
            assert isinstance(value, Amount)
            found[piece.name, keys[piece.name, str(dimension)]] = value.value
    return found


def list_effects(item: Item) -> list[Amount]:
    given = [said.fields.get("given") for said in item.stem]
    effects = [one.fields["value"] for one in given if isinstance(one, Said) and "effect" in one.fields]  # fmt: skip
    return [one for one in effects if isinstance(one, Amount)]


def measure(name: str, clearance: str, measured: Mapping[Term, float]) -> MeasuredClearance:
    build = make_named_build(name, measured=measured)
    return measure_clearance(build, build.clearance(clearance))


@pytest.mark.parametrize("name", [PUMP, PRIMING, "radial-shaft-seals/45"])
def test_a_gap_is_what_the_pump_built_with_those_parts_has(name: str) -> None:
    bench = BENCHES.open(name)
    subjects = [one for one in list_subjects(bench, QuestionKind.READ_GAP) if ".turns" not in one]
    for seed, subject in enumerate(subjects):
        item = draw(name, QuestionKind.READ_GAP, seed, clearance=subject)
        form = item.fields[0].form
        assert isinstance(form, Number)
        effects = sum(one.value for one in list_effects(item))
        built = measure(name, subject, measured_values(item, bench.build))
        assert built.value_mm + effects == pytest.approx(form.aim, abs=1e-9)


@pytest.mark.parametrize("name", [PUMP, PRIMING])
def test_whoever_adds_up_the_numbers_as_told_is_right(name: str) -> None:
    """Rounding of what is given and of what is answered is all that the band allows for, and it allows for all of it."""
    bench = BENCHES.open(name)
    subjects = [one for one in list_subjects(bench, QuestionKind.READ_GAP) if ".turns" not in one]
    for seed, subject in enumerate(subjects):
        item = draw(name, QuestionKind.READ_GAP, 10 + seed, clearance=subject)
        form = item.fields[0].form
        assert isinstance(form, Number)
        told = {term: round(value, 2) for term, value in measured_values(item, bench.build).items()}
        plain = measure_clearance(bench.build, bench.build.clearance(subject))
        digits = {one.digits for said in item.stem for one in _amounts(said)}
        if digits == {2}:
            changes = sum(
                link.sensitivity * (told[link.piece, link.dimension] - link.value_mm)
                for link in plain.chain
            )
            answer = round(plain.value_mm + changes, form.digits)
            assert form.low <= answer <= form.high, item.key
        width = form.high - form.low
        parts = sum(10.0**-one.digits for said in item.stem for one in _amounts(said))
        assert width == pytest.approx(parts + 10.0**-form.digits)


def _amounts(said: Said) -> list[Amount]:
    given = said.fields.get("given")
    return [given.fields["value"]] if isinstance(given, Said) else []  # type: ignore[list-item]  # what is given has a value


def test_screws_turned_by_so_many_flats_bring_the_gap_to_its_aim() -> None:
    bench = BENCHES.open(PRIMING)
    plain = bench.clearance("wear-plate")
    screws = bench.build.places["adjusting-screw"]
    row = bench.build.numbers_at("adjusting-screw")
    for seed in range(5):
        item = draw(PRIMING, QuestionKind.READ_GAP, seed, clearance="wear-plate.turns")
        flats, way = item.fields[0].form, choices(item, 1)
        assert isinstance(flats, Number)
        sign = 1.0 if way.right == {"wider"} else -1.0
        out_mm = row["stand-off"] + sign * flats.aim / 6.0 * row["pitch"]
        turned = measure(PRIMING, "wear-plate", {(one, "stand-off"): out_mm for one in screws})
        felt = item.stem[1].fields["value"]
        assert isinstance(felt, Amount)
        moved = turned.value_mm - plain.value_mm
        assert felt.value + moved == pytest.approx(plain.aim_mm, abs=1e-9)


@pytest.mark.parametrize("name", [PUMP, PRIMING])
def test_the_pack_that_is_asked_for_moves_the_gap_by_what_is_missing(name: str) -> None:
    bench = BENCHES.open(name)
    for seed, subject in enumerate(list_subjects(bench, QuestionKind.SHIM_THICKNESS)):
        item = draw(name, QuestionKind.SHIM_THICKNESS, seed, clearance=subject)
        form, said = item.fields[0].form, item.stem[1].fields
        assert isinstance(form, Number)
        gap, aim, pack = said["gap"], said["aim"], said["pack"]
        assert isinstance(gap, Amount)
        assert isinstance(aim, Amount)
        assert isinstance(pack, tuple)
        was = tuple(one.value for one in pack if isinstance(one, Amount))
        before, after = (
            measure_clearance(build, build.clearance(subject)).value_mm
            for build in (make_named_build(name, pack=make_pack(one)) for one in (was, (form.aim,)))
        )
        assert after - before == pytest.approx(aim.value - gap.value, abs=1e-9)


# ------------------------------------------------------------------ effects
def test_an_effect_is_what_the_pump_built_with_that_gap_has() -> None:
    """The gap behind the impeller is set by shims that are built in, not by saying that it is otherwise."""
    build = BENCHES.open(PUMP).build
    plain = measure_clearance(build, build.clearance("back-vane"))
    was_mm = sum(shim.nominal for shim in build.pack)
    for seed in range(4):
        item = draw(PUMP, QuestionKind.WHAT_IF, seed, clearance="back-vane.thrust")
        told = item.stem[0].fields
        amounts = []
        for key in ("was", "will"):
            gap = told[key]
            assert isinstance(gap, Amount)
            pack = make_pack((was_mm + gap.value - plain.in_service_mm,))
            service = ServiceBench(make_named_build(PUMP, pack=pack)).look()
            assert service.gap("back-vane").value_mm == pytest.approx(gap.value, abs=1e-9)
            amounts.append(READERS["thrust_n"](service))
        right = "more" if amounts[1] > amounts[0] else "less"
        assert choices(item).right == {right}
        sizes = {one.id: one.said.fields["value"] for one in choices(item, 1).choices}
        size = sizes["right"]
        assert isinstance(size, Amount)
        assert size.value == pytest.approx(amounts[1], rel=5e-3)
        others = [one.value for key, one in sizes.items() if key != "right" and isinstance(one, Amount)]  # fmt: skip
        assert all(max(one / size.value, size.value / one) >= 1.19 for one in others)


# ------------------------------------------------------------------ mistakes and components
@pytest.mark.parametrize("name", [PUMP, PRIMING, "flanges/100"])
def test_the_mistake_is_the_only_one_and_none_of_the_others_offered_is_made(name: str) -> None:
    build = BENCHES.open(name).build
    assert check_rules(build, build.family.rules) == ()
    for seed in range(3):
        item = draw(name, QuestionKind.FIND_FAULT, seed)
        broken = {
            choice.id: check_rules(
                make_faulty(build, find_fault(build.family, choice.id)), build.family.rules
            )
            for choice in choices(item).choices
        }
        (own,) = broken.pop(item.subject)
        assert own.number == find_fault(build.family, item.subject).rule
        for others in broken.values():
            assert others != (own,)


# ------------------------------------------------------------------ statements
@pytest.mark.parametrize("name", ["packing/38", SMALL])
def test_a_statement_about_order_is_judged_as_the_plain_rules_judge_it(name: str) -> None:
    for seed in range(6):
        item = draw(name, QuestionKind.TRUE_OR_FALSE, seed, about="order")
        claim = item.stem[1].fields["claim"]
        assert isinstance(claim, Said)
        first, later = claim.fields["first"], claim.fields["later"]
        assert isinstance(first, Name)
        assert isinstance(later, Name)
        (relation,) = choices(item, 1).right
        assert choices(item).right == {"true" if relation == "first" else "false"}
        if relation == "first":
            assert waits(name, later.name, first.name)
        elif relation == "second":
            assert waits(name, first.name, later.name)
        else:
            bench = BENCHES.open(name)
            assert find_way_without(bench, later.name, first.name)
            assert find_way_without(bench, first.name, later.name)


@pytest.mark.parametrize("name", [PUMP, PRIMING])
def test_a_statement_about_a_chain_is_judged_by_building_with_a_larger_part(name: str) -> None:
    build = BENCHES.open(name).build
    keys = {key.replace("-", " "): key for piece in build.pieces.values() for key in piece.row}
    for seed in range(6):
        item = draw(name, QuestionKind.TRUE_OR_FALSE, seed, about="chain")
        claim = item.stem[1].fields["claim"]
        assert isinstance(claim, Said)
        piece, clearance = claim.fields["piece"], claim.fields["clearance"]
        assert isinstance(piece, Name)
        assert isinstance(clearance, Name)
        dimension = keys[str(claim.fields["dimension"])]
        value = float(build.pieces[piece.name].row[dimension])
        moved = (
            measure(name, clearance.name, {(piece.name, dimension): value + 0.01}).in_service_mm
            - measure(name, clearance.name, {(piece.name, dimension): value}).in_service_mm
        )
        right = "neither" if abs(moved) < 1e-9 else "opens" if moved > 0.0 else "closes"
        assert choices(item, 1).right == {right}, item.stem
        assert choices(item).right == {"true" if claim.key == f"claim.chain-{right}" else "false"}


TOUCHES_MM = 0.02


@pytest.mark.parametrize("name", [PUMP, "rolling-bearings/bore-50"])
def test_what_a_part_stands_against_its_solid_touches(name: str) -> None:
    bench = BENCHES.open(name)
    number = {piece: i for i, piece in enumerate(bench.blocking.names)}
    for seed in range(6):
        item = draw(name, QuestionKind.TRUE_OR_FALSE, seed, about="seat")
        claim = item.stem[1].fields["claim"]
        assert isinstance(claim, Said)
        part = claim.fields["part"]
        assert isinstance(part, Name)
        rows = [number[one] for one in bench.build.places[part.name]]
        for choice in choices(item, 1).choices:
            columns = [number[one] for one in bench.build.places[choice.id]]
            travel = bench.blocking.travel_mm[:, rows][:, :, columns].min()
            assert (travel <= TOUCHES_MM) or choice.id not in choices(item, 1).right, item.stem


@pytest.mark.parametrize("name", [PUMP, PRIMING])
def test_whether_a_gap_is_inside_is_no_foregone_conclusion(name: str) -> None:
    """Parts of another size than drawn are found too: who always answers that it is inside is often wrong."""
    bench = BENCHES.open(name)
    told = set()
    for seed in range(60):
        item = draw(name, QuestionKind.READ_GAP, seed, clearance="back-vane")
        if len(item.fields) > 1:
            (verdict,) = choices(item, 1).right
            told.add(verdict)
        thickness = {
            term: value
            for term, value in measured_values(item, bench.build).items()
            if term[0].startswith("shim-")
        }
        assert all(0.05 <= value <= 1.5 for value in thickness.values()), item.key
    assert told == {"small", "inside", "large"}
