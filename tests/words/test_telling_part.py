"""Every way in which a joint of any pump can hold a part has its words."""

from __future__ import annotations

import pytest

from models.builds import FAMILIES, make_named_build
from models.spec.joint import JointKind
from trainer.core.order.leaving import Fixing, Role
from trainer.words import load_words
from trainer.words.telling_part import tell_fixing

BY_FASTENERS = {JointKind.BOLTED: Role.CLAMPED, JointKind.THREADED: Role.SCREWED}


def test_only_joints_whose_words_name_fasteners_have_any() -> None:
    for family in FAMILIES.values():
        for joint in family.every_joint():
            assert not joint.fasteners or joint.kind in BY_FASTENERS, joint.name


@pytest.mark.parametrize("role", Role)
def test_every_role_is_told_with_its_tool(role: Role) -> None:
    build = make_named_build("end-suction/100-250")
    told = tell_fixing(load_words(), build, Fixing("made-up", role, ("volute",), (), "ring-puller"))
    assert "volute" in told
    assert told.endswith("; it comes off with a ring puller")


@pytest.mark.parametrize("role", BY_FASTENERS.values())
def test_fasteners_are_told_as_a_set(role: Role) -> None:
    build = make_named_build("end-suction/100-250")
    told = tell_fixing(load_words(), build, Fixing("made-up", role, ("volute",), ("cover-nut",)))
    assert told.endswith("8 cover nuts")
