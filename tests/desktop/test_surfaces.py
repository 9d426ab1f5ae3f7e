"""Two surfaces, one picture: a graphics card is told from a program, and both show the same pump."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from tests.desktop.test_lighten import make_assembly, make_ball
from trainer.desktop.picture import switching
from trainer.desktop.picture.hands import PumpHands
from trainer.desktop.picture.probe import VARIABLE, choose_surface, has_graphics_card, is_hardware
from trainer.desktop.picture.surface import SurfaceName

HOUSE = Path(__file__).parents[2]


@pytest.mark.parametrize(
    ("renderer", "card"),
    [
        ("llvmpipe (LLVM 15.0.6, 256 bits)", False),
        ("softpipe", False),
        ("GDI Generic", False),
        ("", False),
        ("Some Graphics 4600 (XYZ GT2)", True),
    ],
)
def test_a_renderer_that_is_a_program_is_no_card(renderer: str, card: bool) -> None:
    assert is_hardware(renderer) is card


def test_a_machine_without_a_card_is_told_without_asking_opengl(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("trainer.desktop.picture.probe.find_renderer", pytest.fail)
    assert not has_graphics_card(tmp_path)


@pytest.mark.parametrize("wanted", list(SurfaceName))
def test_the_surroundings_may_say_which_surface(wanted: SurfaceName) -> None:
    assert choose_surface({VARIABLE: wanted.value}) is wanted


@pytest.mark.window
@pytest.mark.xdist_group("window")
def test_both_surfaces_show_the_same_pump_and_pick_the_same_part() -> None:
    child = [sys.executable, "-W", "error", "-m", "tests.desktop.live_child"]
    done = subprocess.run(child, cwd=HOUSE, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "QRhi" not in done.stderr
    told = json.loads(done.stdout)
    assert told["changed"] == ["live", "frames"]
    assert told["moving"] == [True, True, True]
    assert told["picked"] == ["ball-0"] * 3
    assert min(told["covered"]) > 0.3
    assert max(told["unlike_at_rest"]) < 0.005
    assert max(told["unlike_in_motion"]) < 0.05


@pytest.mark.window
@pytest.mark.xdist_group("window")
def test_where_live_drawing_cannot_be_had_frames_stay_and_the_reason_is_told(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    view = PumpHands()
    qtbot.addWidget(view)
    view.show_assembly(make_assembly(make_ball(50.0)))
    monkeypatch.setattr(switching, "LIVE_LIBRARY", "no_such_library_of_pictures")
    with qtbot.waitSignal(view.surface_failed, timeout=20_000) as failed:
        view.use_surface("live")
    assert "no_such_library_of_pictures" in failed.args[0]
    assert view.surface.name is SurfaceName.FRAMES
    assert view.find_seen()
    view.give_back()
