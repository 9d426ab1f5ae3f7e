from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from trainer.stage.labels import Flag, Spot, count_rows, lay_out_flags

LEFT, RIGHT = 26.0, 1254.0
EDGES = (150.0, 600.0)

spots = st.lists(
    st.builds(Spot, st.floats(LEFT, RIGHT), st.floats(*EDGES), st.floats(20.0, 190.0)), max_size=22
).map(lambda found: {f"piece-{index}": spot for index, spot in enumerate(found)})


def _text(flag: Flag, spot: Spot) -> tuple[float, float]:
    return flag.left_px, flag.left_px + spot.width_px


@given(spots)
def test_no_text_meets_another_text_or_a_leader(found: dict[str, Spot]) -> None:
    flags = lay_out_flags(found, LEFT, RIGHT, 14.0, EDGES)
    assert flags is not None
    assert set(flags) == set(found)
    for one, flag in flags.items():
        low, high = _text(flag, found[one])
        assert low >= LEFT - 1e-6
        assert high <= RIGHT + 1e-6
        assert low <= flag.x_px <= high
        for two, other in flags.items():
            if one == two or flag.above is not other.above:
                continue
            if flag.row == other.row:
                other_low, other_high = _text(other, found[two])
                assert high <= other_low + 1e-6 or other_high <= low + 1e-6
            elif other.row > flag.row:
                assert not low < other.x_px < high


def test_a_single_label_stands_straight_above_its_spot() -> None:
    flags = lay_out_flags({"shaft": Spot(500.0, 300.0, 80.0)}, LEFT, RIGHT, 14.0, EDGES)
    assert flags == {"shaft": Flag(500.0, 300.0, 500.0, 460.0, 0, above=True)}


def test_of_two_neighbours_the_higher_one_goes_up() -> None:
    found = {"low": Spot(500.0, 500.0, 80.0), "high": Spot(510.0, 200.0, 80.0)}
    flags = lay_out_flags(found, LEFT, RIGHT, 14.0, EDGES)
    assert flags is not None
    assert flags["high"].above
    assert not flags["low"].above
    assert count_rows(flags, above=True) == count_rows(flags, above=False) == 1


def test_labels_that_cannot_fit_are_refused() -> None:
    found = {f"piece-{index}": Spot(600.0, 300.0, 1100.0) for index in range(30)}
    assert lay_out_flags(found, LEFT, RIGHT, 14.0, EDGES) is None
