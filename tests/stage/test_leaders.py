"""Leaders: from the seat to the part, one centre line for all that lies on it."""

from __future__ import annotations

import numpy as np

from models.spec.assembly import Assembly, AssemblyPiece
from models.spec.mesh import Mesh
from trainer.stage.leaders import find_leaders

NONE = np.zeros((0, 3), np.float32), np.zeros((0, 2), np.int32)


def make_box(name: str, low: tuple[float, ...], high: tuple[float, ...]) -> AssemblyPiece:
    points = np.array([low, high], np.float32)
    mesh = Mesh(points, points, np.zeros((0, 3), np.int32), *NONE)
    return AssemblyPiece(name, name, "box", "carbon-steel", "", mesh)


BODY = make_box("body", (0, -50, -50), (10, 50, 50))
RING = make_box("ring", (10, -20, -20), (12, 20, 20))
CAP = make_box("cap", (12, -40, -30), (20, 40, 42))
PIN = make_box("pin", (12, 28, -2), (30, 32, 2))
ALL = Assembly("made-up", (BODY, RING, CAP, PIN))


def along(x: float) -> np.ndarray:
    return np.array([x, 0.0, 0.0])


def test_a_leader_runs_from_where_the_seat_stands_now() -> None:
    leaders = find_leaders(ALL, {"pin": along(100)}, {"pin": along(40)})
    assert len(leaders) == 1
    start, end = leaders[0]
    assert np.allclose(start, (61, 30, 0))
    assert np.allclose(end, (121, 30, 0))


def test_what_lies_on_a_common_axis_has_one_line() -> None:
    """The cap's middle lies beside the axis, but the cap sits on it."""
    leaders = find_leaders(ALL, {"ring": along(50), "cap": along(100)}, {"cap": along(30)})
    assert len(leaders) == 1
    assert np.allclose(leaders[0][0], (11, 0, 0), atol=0.06)
    assert np.allclose(leaders[0][1], (116, 0, 0), atol=0.06)


def test_a_piece_at_its_seat_has_no_leader() -> None:
    offsets = {"ring": along(50), "cap": along(50)}
    assert len(find_leaders(ALL, offsets, {"cap": along(50)})) == 1
    assert find_leaders(ALL, {}, {}) == []
