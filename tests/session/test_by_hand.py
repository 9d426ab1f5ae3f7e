"""Parts taken off by hand: what stays possible, where they lie, and that all of it can be undone."""

from __future__ import annotations

import random

import numpy as np
import pytest

from trainer.session.bench import Bench, open_bench
from trainer.session.by_hand import ByHand


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250")


@pytest.fixture
def hand(bench: Bench) -> ByHand:
    return ByHand(bench.assembly, bench.blocking, bench.order)


def take(hand: ByHand, *pieces: str) -> None:
    for piece in pieces:
        hand.take(hand.find_pulls(piece)[:1])


def take_all(hand: ByHand, piece: str) -> None:
    hand.take(hand.find_alike(hand.find_pulls(piece)[0]))


def test_a_hand_that_follows_the_order_lays_every_part_where_the_order_does(
    bench: Bench, hand: ByHand
) -> None:
    steps = bench.order.steps
    # What is stripped at the bench afterwards makes way across lines too; by hand it stays nearer.
    until = [step.part for step in steps].index("seal-seat")
    assert until > len(steps) / 2
    for number, step in enumerate(steps[:until]):
        hand.take(tuple(hand.find_alike(hand.find_pulls(step.pieces[0])[0])))
        take(hand, *(piece for piece in step.pieces if not hand.is_off(piece)))
        places = hand.find_places(bench.layout, 0.0)
        for name, there in bench.layout.offsets_at((number + 1) / len(steps)).items():
            assert np.allclose(places[name], there, atol=1e-6), (step.part, name)


def test_what_does_not_come_off_is_not_taken(hand: ByHand) -> None:
    take(hand, "suction-cover")
    assert hand.moves == ()
    assert not hand.is_off("suction-cover")


def test_all_of_a_kind_come_off_together(hand: ByHand) -> None:
    take_all(hand, "cover-nut-4")
    assert hand.off == {f"cover-nut-{number}" for number in range(1, 9)}
    assert hand.moves[0].piece == "cover-nut-4"
    assert hand.is_step_done(0)


def test_a_piece_put_back_takes_along_what_could_not_have_come_off_before_it(hand: ByHand) -> None:
    take_all(hand, "cover-nut-1")
    take(hand, "suction-cover", "oil-fill-plug")
    assert hand.put_back("cover-nut-3") == {"cover-nut-3", "suction-cover"}
    assert "oil-fill-plug" in hand.off
    assert hand.undo()
    assert {"cover-nut-3", "suction-cover"} <= hand.off


def test_every_change_can_be_undone_and_done_again(hand: ByHand) -> None:
    seen = [hand.off]
    take_all(hand, "cover-nut-1")
    seen.append(hand.off)
    take(hand, "suction-cover")
    seen.append(hand.off)
    hand.put_all_back()
    seen.append(hand.off)
    for wanted in reversed(seen[:-1]):
        assert hand.undo()
        assert hand.off == wanted
    assert not hand.undo()
    for wanted in seen[1:]:
        assert hand.redo()
        assert hand.off == wanted
    assert not hand.redo()
    hand.undo()
    take(hand, "oil-fill-plug")
    assert not hand.can_redo, "what is done anew leaves nothing to do again"


def test_what_the_slider_has_done_is_the_sliders(hand: ByHand) -> None:
    take_all(hand, "cover-nut-1")
    take(hand, "oil-fill-plug")
    assert hand.stand(1)
    assert hand.off == {"oil-fill-plug"}
    hand.stand(0)
    assert not hand.is_off("cover-nut-1"), "the slider has put them back"


def test_back_before_what_a_move_needed_puts_that_move_back(bench: Bench, hand: ByHand) -> None:
    parts = [step.part for step in bench.order.steps]
    hand.stand(parts.index("impeller"))
    take(hand, "impeller")
    assert hand.off == {"impeller"}
    hand.stand(0)
    assert hand.off == frozenset()


def test_the_slider_goes_on_from_what_the_hand_did(bench: Bench, hand: ByHand) -> None:
    take(hand, "oil-fill-plug")
    before = hand.find_places(bench.layout, 0.0)
    steps = len(bench.order.steps)
    plug = before["oil-fill-plug"]
    assert np.linalg.norm(plug) > 10.0
    for apart in np.linspace(0.0, 10 / steps, 23):
        hand.stand(int(apart * steps + 1e-6))
        places = hand.find_places(bench.layout, float(apart))
        assert np.linalg.norm(places["oil-fill-plug"]) > 10.0
    book = bench.layout.offsets_at(10 / steps)
    assert all(
        np.allclose(places[name], there) for name, there in book.items() if name != "oil-fill-plug"
    )


def test_nothing_jumps_while_the_slider_passes_what_the_hand_took_off(
    bench: Bench, hand: ByHand
) -> None:
    take_all(hand, "cover-nut-1")
    take(hand, "suction-cover", "oil-fill-plug")
    steps, before = len(bench.order.steps), None
    for at in np.arange(0.0, 30.0, 0.05):
        hand.stand(int(at + 1e-6))
        places = hand.find_places(bench.layout, float(at / steps))
        if before is not None:
            far = max(float(np.abs(places[name] - before[name]).max()) for name in places)
            assert far < 60.0, at
        before = places


def test_any_hand_at_all_ends_with_every_head_clear_of_home(bench: Bench) -> None:
    for seed in range(2):
        hand, chance = ByHand(bench.assembly, bench.blocking, bench.order), random.Random(seed)
        for _ in range(25):
            free = [
                pulls[0]
                for name in bench.assembly.by_name
                if (pulls := hand.find_pulls(name)) and pulls[0].comes_off
            ]
            small = [pull for pull in free if len(pull.moving) < 20]
            hand.take((chance.choice(sorted(small, key=lambda pull: pull.piece)),))
        places = hand.find_places(bench.layout, 0.0)
        for move in hand.moves:
            gone = float(places[move.piece] @ move.direction.vector)
            carried = any(
                move.piece in other.moving for other in hand.moves if other.piece != move.piece
            )
            assert carried or gone >= min(move.off_mm, 400.0) - 1.5, move.piece


def test_a_part_that_leaves_another_way_than_the_orders_lies_before_all_else(
    bench: Bench, hand: ByHand
) -> None:
    ways = {one.piece: one.direction for step in bench.order.steps for one in step.taken}
    hand.stand(2)
    other = next(
        pull
        for name in bench.assembly.by_name
        for pull in hand.find_pulls(name)
        if pull.comes_off and pull.direction != ways[name]
    )
    hand.take((other,))
    assert hand.moves[0].direction == other.direction
    there = hand.find_places(bench.layout, 2 / len(bench.order.steps))[other.piece]
    way = other.direction.vector
    table = bench.blocking
    mine = table.names.index(other.piece)
    rest = [i for i, name in enumerate(table.names) if name not in other.moving]
    front = np.maximum(table.low[rest] * way, table.high[rest] * way).sum(axis=1).max()
    back = np.minimum(table.low[mine] * way, table.high[mine] * way).sum() + there @ way
    assert back > front


def test_another_pack_keeps_what_the_hand_took_off(bench: Bench, hand: ByHand) -> None:
    take_all(hand, "cover-nut-1")
    again = ByHand(bench.assembly, bench.blocking, bench.order)
    again.take_over(hand)
    assert again.off == hand.off


def test_what_was_left_off_by_hand_is_taken_off_again_as_far_as_it_goes(
    bench: Bench, hand: ByHand
) -> None:
    take_all(hand, "cover-nut-1")
    take(hand, "suction-cover", "coupling-key")
    again = ByHand(bench.assembly, bench.blocking, bench.order)
    again.retake(hand.ways)
    assert again.moves == hand.moves
    assert not again.can_undo
    held = ("suction-cover", (-1.0, 0.0, 0.0))
    again.retake([held, ("no-such-part", (0.0, 0.0, 1.0)), *hand.ways[-1:]])
    assert again.off == {"coupling-key"}, "what cannot come off now, or is no more, is left on"
