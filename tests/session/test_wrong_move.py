"""A tried move says what moves, how far it gets, and what stops it, as the pump stands then."""

from __future__ import annotations

import numpy as np
import pytest

from models.spec.errors import RefusalError
from trainer.core.order.directions import Direction
from trainer.session.bench import Bench, open_bench
from trainer.session.wrong_move import try_piece, try_shown


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250")


def test_a_cap_moves_to_the_key_and_takes_its_lip_seal_along(bench: Bench) -> None:
    tried = try_piece(bench, "bearing-cap", ["cap-screw"])
    assert not tried.is_free
    assert not tried.is_held
    assert not tried.is_touching
    assert tried.hindrance == {"coupling-key"}
    assert tried.direction is Direction.DRIVE
    assert {"bearing-cap", "oil-seal-drive"} <= tried.moving
    assert tried.gone == {"cap-screw-1", "cap-screw-2", "cap-screw-3", "cap-screw-4"}
    # The same distance read off the two meshes: the key begins where the cap's bore meets it.
    key, seal = (
        bench.assembly.by_name[name].mesh.bounds for name in ("coupling-key", "oil-seal-drive")
    )
    cap = bench.assembly.by_name["bearing-cap"].mesh.bounds
    ahead_mm = float(key[0][0] - max(seal[1][0], cap[1][0]))
    assert tried.travel_mm == pytest.approx(ahead_mm, abs=3.0), (
        "the key's rounded end is met a little later"
    )
    assert np.allclose(tried.shift_mm, (tried.travel_mm, 0, 0))


def test_a_cover_that_is_bolted_does_not_move_and_shows_its_nuts(bench: Bench) -> None:
    tried = try_piece(bench, "suction-cover")
    assert tried.is_held
    assert tried.hindrance == {f"cover-nut-{n}" for n in range(1, 9)}
    assert tried.travel_mm == 0.0
    assert np.allclose(tried.shift_mm, 0.0)


def test_what_holds_a_piece_is_not_said_to_move_with_it(bench: Bench) -> None:
    tried = try_piece(bench, "shaft")
    assert tried.hindrance
    assert not tried.moving & tried.hindrance


def test_a_piece_that_bears_on_another_touches_it_from_the_start(bench: Bench) -> None:
    tried = try_piece(bench, "seal-spring")
    assert tried.is_touching
    assert tried.hindrance == {"seal-retainer"}


def test_a_free_piece_is_shown_drawn_clear(bench: Bench) -> None:
    tried = try_piece(bench, "coupling-key")
    low, high = bench.assembly.by_name["coupling-key"].mesh.bounds
    assert tried.is_free
    assert tried.hindrance == frozenset()
    assert tried.travel_mm > high[2] - low[2]


def test_only_what_lies_with_the_piece_is_still_there(bench: Bench) -> None:
    tried = try_piece(bench, "wear-ring", ["cover-nut", "suction-cover"])
    there = set(bench.assembly.by_name) - tried.gone
    assert there == {"suction-cover", "wear-ring", "cover-o-ring"}


@pytest.mark.parametrize(
    ("piece", "after", "told"),
    [
        ("impelller", [], "impeller"),
        ("impeller", ["no-such"], "no-such"),
        ("impeller", ["suction-cover"], "suction-cover"),
        ("cap-screw", ["cap-screw"], "off already"),
    ],
)
def test_what_cannot_be_tried_is_refused(
    bench: Bench, piece: str, after: list[str], told: str
) -> None:
    with pytest.raises(RefusalError, match=told):
        try_piece(bench, piece, after)


def test_a_move_that_feedback_shows_is_tried_after_what_came_off(bench: Bench) -> None:
    nuts = bench.find_pieces("cover-nut")
    tried = try_shown(bench, "impeller", [*nuts, "suction-cover"])
    assert {"suction-cover", "wear-ring", *nuts} <= tried.gone
    assert tried.hindrance == {"impeller-screw"}
    assert tried.piece == "impeller"


def test_what_cannot_come_off_stays_on_in_what_feedback_shows(bench: Bench) -> None:
    tried = try_shown(bench, "impeller", ["suction-cover"])
    assert "suction-cover" not in tried.gone
