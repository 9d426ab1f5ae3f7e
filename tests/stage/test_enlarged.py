"""A gap shown larger: it alone, by its factor; what rests on each other goes on touching, and no other gap closes."""

from __future__ import annotations

import numpy as np
import pytest

from models.builds import make_named_build
from models.spec.assembly import Assembly
from models.spec.build import Build
from models.spec.clearance import ClearanceKind
from models.spec.face import Axis
from trainer.core.measure.legs import find_stop
from trainer.session.bench import open_bench
from trainer.stage.enlarged import STILL, Enlarged, enlarge

PUMPS = ("end-suction/80-200", "end-suction/100-250", "end-suction/125-315", "self-priming/100")
NOTHING = Assembly("nothing", ())
"""Along the shaft no mesh is asked."""


@pytest.fixture(scope="module", params=PUMPS)
def build(request: pytest.FixtureRequest) -> Build:
    return make_named_build(str(request.param), {})


def measure_mm(build: Build, enlarged: Enlarged, name: str) -> float:
    """Measure a clearance along the shaft as it is shown."""
    clearance = build.clearance(name)
    low, high = (
        float(build.position(*end))
        + float(enlarged.draws.get(build.piece_at(end[0]).name, STILL).at(float(build.position(*end))))
        for end in (clearance.low, clearance.high)
    )  # fmt: skip
    return high - low


def list_axial(build: Build) -> list[str]:
    return [
        one.name
        for one in build.clearances
        if one.kind is ClearanceKind.AXIAL and one.is_plain and float(build.read_chain(one)) > 0.0
    ]


@pytest.mark.parametrize("factor", [5.0, 25.0])
def test_the_gap_alone_is_larger_by_its_factor(build: Build, factor: float) -> None:
    clearance = build.clearance("back-vane")
    enlarged = enlarge(build, NOTHING, clearance, factor)
    assert enlarged is not None
    gap = float(build.read_chain(clearance))
    assert measure_mm(build, enlarged, "back-vane") == pytest.approx(factor * gap, abs=1e-9)
    for name in list_axial(build):
        if name != "back-vane":
            was = float(build.read_chain(build.clearance(name)))
            assert measure_mm(build, enlarged, name) > 0.2 * was, f"{name} closes"


@pytest.mark.parametrize("factor", [5.0, 25.0])
def test_what_rests_on_each_other_goes_on_touching(build: Build, factor: float) -> None:
    enlarged = enlarge(build, NOTHING, build.clearance("back-vane"), factor)
    assert enlarged is not None
    assert enlarged.draws != {}
    for piece in build.pieces.values():
        stop = find_stop(build, piece, Axis.X)
        if stop is None:
            continue
        mine = enlarged.draws.get(piece.name, STILL).at(float(stop.here))
        its = enlarged.draws.get(stop.other.name, STILL).at(float(stop.there))
        assert float(mine) == pytest.approx(float(its), abs=1e-9), piece.name


def test_nothing_is_drawn_out_beyond_what_it_can_bear(build: Build) -> None:
    clearance = build.clearance("back-vane")
    assert enlarge(build, NOTHING, clearance, 1.0) is not None
    assert enlarge(build, NOTHING, clearance, 2000.0) is None, "no shaft is a metre longer"


def test_a_seal_length_is_no_gap_to_be_shown_larger(build: Build) -> None:
    assert enlarge(build, NOTHING, build.clearance("seal-length"), 5.0) is None


def test_of_a_bore_the_wall_is_drawn_thinner_and_the_outside_stays() -> None:
    bench = open_bench("end-suction/100-250")
    build, assembly = bench.build, bench.assembly
    clearance = build.clearance("wear-ring")
    enlarged = enlarge(build, assembly, clearance, 10.0)
    assert enlarged is not None
    ring = "wear-ring"
    before, after = (
        np.hypot(*one.by_name[ring].mesh.points[:, 1:].T)
        for one in (assembly, enlarged.draw_out(assembly))
    )
    bore = float(build.diameter("wear-ring", "bore")) / 2.0
    gap = float(build.read_chain(clearance)) / 2.0
    at_bore = np.abs(before - bore) < 1e-2
    assert after[at_bore] == pytest.approx(before[at_bore] + 9.0 * gap, abs=1e-2)
    assert after.max() == pytest.approx(before.max(), abs=1e-3)
    others = [p.name for p in assembly.pieces if p.name != ring]
    shown = enlarged.draw_out(assembly).by_name
    assert all(shown[name].mesh is assembly.by_name[name].mesh for name in others)
