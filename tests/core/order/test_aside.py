"""Ways out by two moves, on solids whose answer is known by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from models.spec.mesh import Mesh
from trainer.core.order.blocking import find_blocking
from trainer.core.order.directions import Direction
from trainer.core.order.state import Refused, State, TakenOff

if TYPE_CHECKING:
    from tests.core.order.conftest import Shop


def make_state(shop: Shop, **meshes: Mesh) -> State:
    assembly = shop.assemble(meshes)
    return State(assembly, find_blocking(assembly))


def make_box_without_lid(shop: Shop, floor: float, inside: float) -> Mesh:
    """A box of 100 mm outside, 10 mm walls, open at the top: floor from -10 to `floor`."""
    return shop.join(
        shop.box((-50, -50, floor - 10), (50, 50, floor)),
        shop.box((-50, -50, floor), (-40, 50, inside)),
        shop.box((40, -50, floor), (50, 50, inside)),
        shop.box((-40, -50, floor), (40, -40, inside)),
        shop.box((-40, 40, floor), (40, 50, inside)),
    )


def test_screw_backed_out_of_its_hole_is_lifted_past_the_wall_behind(shop: Shop) -> None:
    state = make_state(
        shop,
        screw=shop.tube(0, 20, 8),
        block=shop.turned((4, 0), (30, 0), (30, 20), (4, 20)),
        floor=shop.box((-40, -30, -30), (-30, 30, 30)),
        wall=shop.box((50, -40, -40), (60, 40, 40)),
    )
    found = state.look("screw")
    assert isinstance(found, TakenOff)
    assert found.direction in (Direction.DRIVE, Direction.SUCTION)
    assert found.aside is not None
    assert not found.aside.is_along_shaft


def test_screw_longer_than_the_room_before_the_wall_is_kept(shop: Shop) -> None:
    state = make_state(
        shop,
        screw=shop.tube(0, 20, 8),
        block=shop.turned((4, 0), (30, 0), (30, 20), (4, 20)),
        floor=shop.box((-10, -30, -30), (-2, 30, 30)),
        wall=shop.box((35, -40, -40), (60, 40, 40)),
    )
    found = state.look("screw")
    assert isinstance(found, Refused)
    assert found.until in (("wall",), ("floor",))


def test_ball_in_a_closed_box_is_not_free_however_much_room_it_has(shop: Shop) -> None:
    """It can be drawn far clear of the floor, yet no second move leads out: only the lid's going frees it."""
    meshes = {
        "ball": shop.box((-5, -5, 0), (5, 5, 10)),
        "tub": make_box_without_lid(shop, 0.0, 90.0),
        "lid": shop.box((-50, -50, 90), (50, 50, 100)),
    }
    state = make_state(shop, **meshes)
    found = state.look("ball")
    assert isinstance(found, Refused)
    assert found.until == ("lid",)
    assert isinstance(state.take("lid"), TakenOff)
    assert isinstance(state.take("ball"), TakenOff)


@pytest.mark.parametrize(("gap_mm", "is_free"), [(4.0, True), (1.5, False)])
def test_key_lifted_out_of_its_keyway_slides_out_under_the_casing(
    shop: Shop, gap_mm: float, *, is_free: bool
) -> None:
    """A key 8 mm high, sunk 5 mm: it needs 5 mm and some air above before it can leave endways."""
    state = make_state(
        shop,
        key=shop.box((0, -3, 15), (20, 3, 23)),
        shaft=shop.join(
            shop.box((-30, -20, -20), (50, 20, 15)),
            shop.box((-30, -20, 15), (50, -3, 20)),
            shop.box((-30, 3, 15), (50, 20, 20)),
            shop.box((-30, -3, 15), (0, 3, 20)),
            shop.box((20, -3, 15), (50, 3, 20)),
        ),
        casing=shop.box((-30, -40, 23 + 3 + gap_mm), (50, 40, 60)),
    )
    found = state.look("key")
    assert isinstance(found, TakenOff if is_free else Refused)
    if isinstance(found, TakenOff):
        assert (found.direction, found.aside is not None) == (Direction.UP, True)


def test_stud_in_a_clearance_hole_is_drawn_by_its_own_length_before_it_goes_aside(
    shop: Shop,
) -> None:
    """Its hole never touches it, yet it walls it in until the whole stud is out of it."""
    state = make_state(
        shop,
        stud=shop.tube(0, 40, 12),
        flange=shop.turned((6.75, 10), (60, 10), (60, 35), (6.75, 35)),
        casing=shop.turned((6, 0), (60, 0), (60, 10), (6, 10)),
        back=shop.box((-30, -60, -60), (-1, 60, 60)),
        foot=shop.box((100, -60, -60), (110, 60, 60)),
    )
    found = state.look("stud")
    assert isinstance(found, TakenOff)
    assert found.direction is Direction.DRIVE
    assert found.aside is not None
