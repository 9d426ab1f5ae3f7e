"""The picture is saved as large as is wanted, with what stands over it; the window goes on meanwhile."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from pytestqt.qtbot import QtBot

from trainer.desktop.doing.saving import SIZES
from trainer.desktop.picture.saving import paint_over, read_pixels
from trainer.desktop.window import PumpWindow
from trainer.stage.pose import find_scale

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LARGE = (1280, 720)


def write(window: PumpWindow, qtbot: QtBot, path: Path) -> str:
    """Save into a file and give what was told of it."""
    window.noticing.clear()
    saving = window.showing.saving
    saving.ask = lambda _proposed: str(path)
    saving.save(LARGE)
    assert not saving.button.isEnabled()
    qtbot.waitUntil(saving.button.isEnabled, timeout=120_000)
    told = window.noticing.text.text()
    window.noticing.clear()
    return told


def test_a_saved_picture_has_its_size_the_pump_and_what_stands_over_it(
    window: PumpWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    with qtbot.waitSignal(window.view.drawn, timeout=60_000):
        window.speak_of({"volute"})  # once all is still, its name stays where it is
    over = read_pixels(paint_over(window.view, LARGE))
    told = write(window, qtbot, tmp_path / "volute")
    path = tmp_path / "volute.png"
    assert str(path) in told
    assert [each.name for each in tmp_path.iterdir()] == ["volute.png"]
    picture = np.asarray(Image.open(path).convert("RGB")).astype(int)
    assert picture.shape == (*LARGE[::-1], 3)
    ground, ink = np.array(window.view.look.ground), np.array(window.view.look.ink)
    assert (np.abs(picture[3, 3] - ground) <= 1).all()
    assert 0.05 < (np.abs(picture - ground).max(axis=-1) > 24).mean() < 0.6
    # The name is there too: its letters are ink on a field that no pump has.
    letters = (over[..., 3] == 255) & (np.abs(over[..., :3].astype(int) - ink).max(axis=-1) < 8)
    assert letters.sum() > 100
    assert (np.abs(picture - ink).max(axis=-1)[letters] < 12).mean() > 0.98


def test_what_stands_over_the_picture_grows_with_it_and_stays_over_its_part(
    window: PumpWindow,
) -> None:
    window.speak_of({"volute"})
    width, height = window.view.size_px
    once, twice = (read_pixels(paint_over(window.view, (k * width, k * height))) for k in (1, 2))
    covered = [int((image[..., 3] > 0).sum()) for image in (once, twice)]
    assert covered[1] == pytest.approx(4 * covered[0], rel=0.1)
    rows = [np.flatnonzero(image[..., 3].any(axis=1)) for image in (once, twice)]
    assert rows[1][0] == pytest.approx(2 * rows[0][0], abs=4)


def test_a_folder_that_cannot_be_written_is_told_and_nothing_is_lost(
    window: PumpWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    told = write(window, qtbot, tmp_path / "nowhere" / "pump.png")
    assert "could not be saved" in told
    assert "choose another folder" in told


def test_the_largest_size_is_that_of_a_poster_and_a_picture_is_never_cropped() -> None:
    assert max(SIZES) == (3840, 2160)
    assert find_scale((880, 459), (3840, 2160)) == pytest.approx(3840 / 880)
    assert find_scale((500, 900), (3840, 2160)) == pytest.approx(2160 / 900)


def test_the_sizes_are_offered_as_it_is_seen_first(window: PumpWindow) -> None:
    saving = window.showing.saving
    saving.show_sizes()
    texts = [action.text() for action in saving.menu.actions()]
    saving.menu.hide()
    width, height = window.view.size_px
    assert f"{width} × {height}" in texts[0]
    assert [text[-11:] for text in texts[1:]] == ["1920 × 1080", "3840 × 2160"]
