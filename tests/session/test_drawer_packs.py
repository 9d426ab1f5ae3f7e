"""The packs that a drawer can fill, by thickness: checked against all sums of a small drawer, listed by hand."""

from __future__ import annotations

import pytest

from trainer.core.measure.packs import StockShim
from trainer.session.drawer_packs import DrawerPacks

DRAWER = (StockShim(0.5, 0.02, 2), StockShim(0.3, 0.015, 1))
# One or two of these: 0.3, 0.5, 0.8, 1.0; three: 1.3.


@pytest.fixture
def packs() -> DrawerPacks:
    return DrawerPacks(DRAWER)


@pytest.mark.parametrize(
    ("dragged_mm", "found"),
    [
        (0.1, (0.3,)),
        (0.41, (0.5,)),
        (0.78, (0.5, 0.3)),
        (0.95, (0.5, 0.5)),
        (9.0, (0.5, 0.5, 0.3)),
    ],
)
def test_nearest_pack(packs: DrawerPacks, dragged_mm: float, found: tuple[float, ...]) -> None:
    assert packs.find_nearest(dragged_mm) == pytest.approx(found)


def test_next_packs_go_through_the_drawer_and_stop_at_its_ends(packs: DrawerPacks) -> None:
    up = [0.3]
    for _ in range(5):
        up.append(sum(packs.find_next(up[-1], +1)))
    assert up == pytest.approx([0.3, 0.5, 0.8, 1.0, 1.3, 1.3])
    down = [1.3]
    for _ in range(5):
        down.append(sum(packs.find_next(down[-1], -1)))
    assert down == pytest.approx([1.3, 1.0, 0.8, 0.5, 0.3, 0.3])


def test_a_step_is_no_finer_than_the_thinnest_shim() -> None:
    packs = DrawerPacks(
        (StockShim(0.5, 0.02, 1), StockShim(0.51, 0.02, 1), StockShim(0.56, 0.02, 1)), 1
    )
    assert packs.find_next(0.5, +1) == pytest.approx((0.56,)), "a hundredth more is no step"
    assert packs.find_next(0.56, -1) == pytest.approx((0.51,))


def test_of_equal_thickness_the_pack_with_fewest_shims_is_taken() -> None:
    packs = DrawerPacks((StockShim(0.2, 0.01, 4), StockShim(0.4, 0.015, 1)))
    assert packs.find_nearest(0.4) == pytest.approx((0.4,))
