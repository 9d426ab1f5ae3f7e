"""Torque and preload: both ways round, bands, and refusals."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.spec.errors import RefusalError
from trainer.core.running.preload import (
    Bolt,
    find_preload,
    find_proof_load_n,
    find_torque_by_factor_nm,
    find_usual_torque_nm,
)

M12 = Bolt(12.0, 16.56)


@pytest.mark.parametrize(
    ("thread_mm", "torque_nm"), [(8.0, 25.5), (10.0, 50.5), (12.0, 88.0), (16.0, 218.1), (20.0, 440.6)]
)  # fmt: skip
def test_torque_by_one_factor(thread_mm: float, torque_nm: float) -> None:
    """BOLT-2: K 0.2, three quarters of the proof load, class 8.8."""
    preload = 0.75 * find_proof_load_n(Bolt(thread_mm, 1.4 * thread_mm))
    assert find_torque_by_factor_nm(preload, thread_mm) == pytest.approx(torque_nm, abs=0.06)


@given(st.floats(0.3, 0.9), st.floats(0.05, 0.3))
def test_usual_torque_gives_the_share_it_was_made_for(share: float, friction: float) -> None:
    torque = find_usual_torque_nm(M12, share, friction)
    assert find_preload(M12, torque, friction).share == pytest.approx(share)


@given(st.floats(1.0, 200.0))
def test_oil_makes_the_same_torque_pull_harder(torque_nm: float) -> None:
    found = find_preload(M12, torque_nm)
    assert found.least_n < found.preload_n < found.most_n
    assert find_preload(M12, torque_nm, 0.2).preload_n < find_preload(M12, torque_nm, 0.1).preload_n


def test_twist_adds_to_pull() -> None:
    found = find_preload(M12, find_usual_torque_nm(M12))
    assert found.yield_share > found.preload_n / find_proof_load_n(M12) * 580 / 640


@pytest.mark.parametrize(
    ("bolt", "named"),
    [(Bolt(11.0, 16.0), "thread_mm is 11; coarse threads known: M6"), (Bolt(12.0, 16.0, "8.9"), "8.9.*did you mean 8.8")],
)  # fmt: skip
def test_unknown_thread_or_class_is_refused(bolt: Bolt, named: str) -> None:
    with pytest.raises(RefusalError, match=named):
        find_preload(bolt, 50.0)


@pytest.mark.parametrize(
    ("torque_nm", "friction", "named"),
    [(-1.0, 0.12, "torque_nm is -1 N m"), (50.0, 0.01, "thread_friction is 0.01"), (float("nan"), 0.12, "torque_nm is nan")],
)  # fmt: skip
def test_torque_and_friction_out_of_reach_are_refused(
    torque_nm: float, friction: float, named: str
) -> None:
    with pytest.raises(RefusalError, match=named):
        find_preload(M12, torque_nm, friction)
