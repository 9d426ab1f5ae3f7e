"""Relations on disk are found again for the same build only."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from models.builds import make_named_build
from models.spec.build import Build
from models.spec.face import Axis
from models.spec.turning import Pose
from trainer.session.relations import _key

PUMP, PIECE = "end-suction/100-250", "coupling-key"


def place_otherwise(build: Build, change: Callable[[Pose], Pose]) -> Build:
    piece = build.pieces[PIECE]
    return replace(build, pieces={**build.pieces, PIECE: replace(piece, pose=change(piece.pose))})


def test_same_build_made_again_has_the_same_key() -> None:
    assert _key(make_named_build(PUMP)) == _key(make_named_build(PUMP))


@pytest.mark.parametrize(
    "change",
    [
        lambda pose: replace(pose, turn_deg=pose.turn_deg + 1.0),
        lambda pose: replace(pose, sign=-pose.sign),
        lambda pose: replace(pose, axis=Axis.Y if pose.axis is not Axis.Y else Axis.Z),
        lambda pose: replace(pose, origin=(pose.origin[0] + 0.001, *pose.origin[1:])),
    ],
    ids=["turned", "turned-round", "laid-across", "shifted"],
)
def test_piece_that_stands_otherwise_has_other_relations(change: Callable[[Pose], Pose]) -> None:
    build = make_named_build(PUMP)
    assert _key(place_otherwise(build, change)) != _key(build)


def test_dimension_changed_has_other_relations() -> None:
    build = make_named_build(PUMP)
    measured = make_named_build(PUMP, measured={("wear-ring", "bore"): 140.9})
    assert _key(measured) != _key(build)
