"""What the solids themselves say: the gap of a chain, and two pieces that a motion brings together."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import platformdirs
import pytest

from models.builds import make_named_build
from models.solids.exact import (
    can_be_measured,
    find_known,
    make_gap_key,
    make_pair_key,
    measure_gap,
    measure_pair,
)
from models.spec.build import Build


@pytest.fixture(scope="module")
def build() -> Build:
    return make_named_build("end-suction/100-250", {})


@pytest.fixture
def _fresh_memory(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(platformdirs, "user_cache_path", lambda _name: tmp_path)


@pytest.mark.usefixtures("_fresh_memory")
def test_gap_of_the_solids_is_that_of_the_chain_and_is_remembered(build: Build) -> None:
    clearance = build.clearance("washer-clamp")
    key = make_gap_key(build, clearance)
    assert find_known(key) is None
    (gap,) = measure_gap(build, clearance)
    assert gap == pytest.approx(float(build.read_chain(clearance)), abs=1e-6)
    assert find_known(key) == (gap,)


@pytest.mark.usefixtures("_fresh_memory")
def test_what_moves_until_contact_touches_there(build: Build) -> None:
    """The washer's rim stands off the shaft's end by the gap of their chain; moved by it, they touch."""
    names = ("centring-washer", "shaft")
    gap = float(build.read_chain(build.clearance("washer-clamp")))
    there, moved = measure_pair(build, names, np.array([gap, 0.0, 0.0]))
    assert there <= gap + 1e-6
    assert moved == pytest.approx(0.0, abs=1e-6)


def test_what_is_pressed_or_computed_has_no_gap_to_measure(build: Build) -> None:
    assert can_be_measured(build, build.clearance("back-vane"))
    assert not can_be_measured(build, build.clearance("end-float"))
    assert not can_be_measured(build, build.clearance("cover-o-ring.squeeze"))


def test_other_values_have_another_key(build: Build) -> None:
    thicker = make_named_build("end-suction/100-250", {}, measured={("shaft", "overhang"): 330.02})
    clearance = build.clearance("washer-clamp")
    assert make_gap_key(build, clearance) != make_gap_key(thicker, clearance)
    names = ("centring-washer", "shaft")
    keys = {make_pair_key(build, names, np.array([x, 0.0, 0.0])) for x in (0.0, 0.5)}
    assert len(keys) == 2
