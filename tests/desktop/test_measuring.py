"""Measuring in the real window: the chain over the section, the gap shown larger, and all numbers that move together."""

from __future__ import annotations

import itertools
import time
from collections.abc import Iterator

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tests.desktop.driving import put_drawn_pack
from trainer.desktop.doing.measuring import Measuring
from trainer.desktop.panes.gap_scale import MOST
from trainer.desktop.picture.chain_layout import ChainLayout
from trainer.desktop.picture.chain_tracing import HEAD_PX
from trainer.desktop.window import PumpWindow
from trainer.session.bench import Bench

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LEFT = Qt.MouseButton.LeftButton
LONGEST_MS = 240_000
CHAIN = (2.0, 1.0, 330.0, 185.0, 82.0, 65.5)
"""What the walk behind the back vanes crosses, as the drawing has it: setback, pack, shaft, housing, bracket, plate."""
WAYS = (+1, +1, +1, -1, -1, -1)
"""Towards the drive end, and back: the walk out along the shaft, and home along what stands."""


@pytest.fixture
def measuring(window: PumpWindow, qtbot: QtBot) -> Iterator[Measuring]:
    window.motion.set_apart(0.0)
    window.measuring.show("back-vane")
    qtbot.waitUntil(lambda: window.service.built is not None, timeout=LONGEST_MS)
    window.service.reset()
    yield window.measuring
    window.service.reset()
    window.fit_view()
    put_drawn_pack(window, qtbot)


def find_bench(window: PumpWindow) -> Bench:
    assert window.bench is not None
    return window.bench


def lay_out(window: PumpWindow) -> ChainLayout:
    layout = window.measuring.tracing.lay_out(window.view, window.view.font())
    assert layout is not None
    return layout


def list_values(window: PumpWindow) -> list[str]:
    return [cell.value.text() for cell in window.measuring.strip.cells if not cell.isHidden()]


def test_arrows_end_on_the_faces_that_the_walk_crosses(
    window: PumpWindow, measuring: Measuring
) -> None:
    measuring.strip.factors[1.0].click()
    per_px = window.view.camera.mm_per_px
    rows = lay_out(window).rows
    lengths = [(row.end.x() - row.start.x()) * per_px for row in rows[:-1]]
    assert lengths == pytest.approx(
        [way * length for way, length in zip(WAYS, CHAIN, strict=True)], abs=1e-3
    )
    for before, after in itertools.pairwise(rows[:-1]):
        assert before.end.x() == pytest.approx(after.start.x(), abs=1e-3), "one leg after another"
    build = find_bench(window).build
    faces = [build.position("impeller", "back-vane-tip"), build.position("back-plate", "wet-face")]
    there = window.view.project(np.array([[float(face), 0.0, 0.0] for face in faces]))
    assert [rows[-1].start.x(), rows[-1].end.x()] == pytest.approx(
        [spot.x() for spot in there], abs=1e-3
    )


@pytest.mark.parametrize("name", ["back-vane", "cap-gap", "front-gap"])
def test_no_text_of_a_chain_hides_an_arrow(
    window: PumpWindow, measuring: Measuring, name: str
) -> None:
    measuring.show(name)
    rows = lay_out(window).rows
    for row in rows:
        low, high = sorted((row.start.x(), row.end.x()))
        covered = [
            min(high, other.text.right()) - max(low, other.text.left())
            for other in rows
            if other.text.top() < row.start.y() < other.text.bottom()
        ]
        # A long arrow is seen at either side of the text that stands in it.
        assert all(high - low - one > 2 * HEAD_PX or one <= 0 for one in covered), row
    measuring.show("back-vane")


def test_arrows_follow_the_hand(window: PumpWindow, measuring: Measuring) -> None:
    assert measuring.is_on
    before = lay_out(window).rows[2]
    window.view.camera = window.view.camera.zoomed(2.0).panned(30.0, 0.0)
    after = lay_out(window).rows[2]
    was, now = before.end.x() - before.start.x(), after.end.x() - after.start.x()
    assert now == pytest.approx(2.0 * was, rel=1e-6)
    window.view.camera = window.view.camera.orbited(90.0, 0.0)
    assert measuring.tracing.lay_out(window.view, window.view.font()) is None, "it runs to the eye"


def test_numbers_at_the_arrows_are_those_of_the_chain(
    window: PumpWindow, measuring: Measuring
) -> None:
    texts, one = measuring.tracing.texts, find_bench(window).clearance("back-vane")
    told = " ".join(texts)
    for link in one.chain:
        assert f"{link.value_mm:.3f}" in told, link
    assert texts[-1] == f"back-vane gap {one.value_mm:.3f} mm"
    assert measuring.tracing.drawing is not None
    shares = [row.share for row in measuring.tracing.drawing.rows]
    assert sum(shares) == pytest.approx(1.0)


@pytest.mark.parametrize("zoom", [0.6, 1.0, 3.0])
@pytest.mark.parametrize("name", ["back-vane", "ring-overlap", "wear-ring"])
def test_no_text_covers_another_and_all_lie_in_the_picture(
    window: PumpWindow, measuring: Measuring, name: str, zoom: float
) -> None:
    measuring.show(name)
    window.view.camera = window.view.camera.zoomed(zoom)
    layout, inside = lay_out(window), QRectF(window.view.rect())
    boxes = [row.text for row in layout.rows]
    for number, box in enumerate(boxes):
        assert inside.contains(box), layout.rows[number]
        assert not any(box.intersects(other) for other in boxes[:number])


def test_a_gap_is_shown_so_many_times_its_size_and_says_so(
    window: PumpWindow, measuring: Measuring
) -> None:
    measuring.strip.factors[25.0].click()
    assert measuring.tracing.factor_text == "gap drawn 25 × its size"
    per_px, last = window.view.camera.mm_per_px, lay_out(window).rows[-1]
    assert (last.end.x() - last.start.x()) * per_px == pytest.approx(12.5, abs=1e-3)
    front = window.view.offsets["impeller"]
    assert front == pytest.approx([-12.0, 0.0, 0.0])
    largest = measuring.enlarging.factors[-1]
    assert largest * 0.4 / per_px > 12.0, "0.4 mm are seen in a window of 1280 by 720"
    rows = lay_out(window).rows
    assert (rows[1].end.x() - rows[1].start.x()) * per_px == pytest.approx(1.0, abs=1e-3), (
        "the pack is shown as it is"
    )
    measuring.strip.factors[1.0].click()
    assert measuring.tracing.factor_text == ""
    assert window.view.offsets.get("impeller", np.zeros(3)) == pytest.approx(np.zeros(3))


def test_the_picture_itself_shows_the_gap_larger(
    window: PumpWindow, measuring: Measuring, qtbot: QtBot
) -> None:
    """Count the pixels between the two faces in the picture, not in our own sums."""
    measuring.strip.factors[25.0].click()
    qtbot.waitUntil(lambda: not measuring.enlarging.is_waiting)
    view, drawing = window.view, measuring.tracing.drawing
    assert drawing is not None
    stage = view.surface.full
    assert stage is not None
    stage.set_offsets(view.offsets)
    stage.set_cut(view.cut)
    stage.camera = view.camera
    numbers = stage.frame_of_numbers(*view.size_px)
    known = stage.find_numbers()
    spots = view.project(np.stack(measuring.tracing.ends[-1]))
    middle = (spots[0].x() + spots[1].x()) / 2.0
    # A row of pixels where vanes stand; the gap lies round the middle between both faces.
    widths = []
    for row in numbers[round(spots[1].y()) : round(spots[0].y())]:
        left = np.flatnonzero(row[: round(middle)] == known["impeller"])
        right = np.flatnonzero(row[round(middle) :] == known["back-plate"])
        if len(left) and len(right):
            widths.append(round(middle) + right[0] - left[-1] - 1)
    assert widths != []
    assert min(widths) * view.camera.mm_per_px == pytest.approx(12.5, abs=2.5 * view.camera.mm_per_px)  # fmt: skip


def test_dragging_the_pack_moves_all_numbers_together(
    window: PumpWindow, measuring: Measuring, qtbot: QtBot
) -> None:
    window.view.grab()  # the grip lies where it was painted last
    before, at = list_values(window), measuring.tracing.grip.toPoint()
    QTest.mousePress(window.view, LEFT, pos=at)
    QTest.mouseMove(window.view, at + QPoint(30, 0))
    after = list_values(window)
    assert measuring.tracing.texts[-1] == "back-vane gap 0.650 mm, if set so"
    assert after[-1] == "1.15 mm", "the pack that comes nearest in the drawer"
    changed = [was != now for was, now in zip(before, after, strict=True)]
    # What leaks through the wear ring changes too: the pack moves how far the ring reaches over the nose.
    assert changed == [True] * 5
    assert window.service.groups["back-vane"].scale.gap_mm == pytest.approx(0.65), "one state"
    steps = []
    for px in range(31, 61):
        started = time.perf_counter()
        measuring.tracing.drag(QPointF(at) + QPointF(px, 0), window.view)
        steps.append(time.perf_counter() - started)
    started = time.perf_counter()
    window.grab()
    painted = time.perf_counter() - started
    assert np.median(steps) < painted, "a step of the hand costs less than painting the window once"
    measuring.tracing.drag(QPointF(at) + QPointF(20, 0), window.view)
    QTest.mouseRelease(window.view, LEFT, pos=at + QPoint(20, 0))
    qtbot.waitUntil(
        lambda: (
            sum(float(shim.middle) for shim in find_bench(window).build.pack) == pytest.approx(1.1)
        ),
        timeout=LONGEST_MS,
    )
    assert measuring.is_on
    assert measuring.tracing.texts[-1] == "back-vane gap 0.600 mm", "the solids have followed"
    measuring.strip.thinner.click()
    assert sum(window.shims.pack) == pytest.approx(1.05), "the next thinner pack, by a button"


def test_with_shift_a_pack_that_no_drawer_has_is_tried_alone(
    window: PumpWindow, measuring: Measuring
) -> None:
    before = window.shims.pack
    measuring.repacking.pull(3.0, free=True)
    assert "no such pack in the drawer" in measuring.tracing.texts[measuring.tracing.pack_row]
    assert measuring.tracing.texts[-1] == "back-vane gap 0.515 mm, if set so"
    measuring.repacking.drop()
    assert window.shims.pack == before


def test_a_limit_moves_the_chance_here_and_in_the_service_pane(
    window: PumpWindow, measuring: Measuring
) -> None:
    before = list_values(window)
    measuring.strip.scale.move_handle(MOST, 0.7)
    after = list_values(window)
    assert before[0] == "92.5 %"
    assert after[0] != before[0]
    assert after[1:] == before[1:], "a limit changes no pump"
    assert window.service.groups["back-vane"].scale.limits_mm == pytest.approx((0.4, 0.7))
    measuring.strip.as_built.click()
    assert list_values(window) == before


def test_what_the_service_pane_drags_moves_here_too(
    window: PumpWindow, measuring: Measuring
) -> None:
    window.service.groups["back-vane"].scale.move_handle("gap", 0.6)
    assert measuring.strip.scale.gap_mm == pytest.approx(0.6)
    assert measuring.tracing.texts[-1] == "back-vane gap 0.600 mm, if set so"


def test_measuring_ends_when_the_pump_is_taken_apart(
    window: PumpWindow, measuring: Measuring
) -> None:
    assert not window.motion.isVisible()
    window.motion.set_apart(0.4)
    assert not measuring.is_on
    assert window.motion.isVisible()
    assert not measuring.strip.isVisible()
    window.motion.set_apart(0.0)


def test_a_key_goes_back_to_the_whole_pump(window: PumpWindow, measuring: Measuring) -> None:
    measuring.leave.activated.emit()
    assert not measuring.is_on
    assert not measuring.tracing.is_shown
    assert not window.view.is_close_up


@pytest.mark.parametrize("name", ["end-float", "cover-o-ring.squeeze", "wear-ring-radial"])
def test_what_is_no_walk_is_named_at_its_parts(
    window: PumpWindow, measuring: Measuring, name: str
) -> None:
    measuring.show(name)
    assert measuring.tracing.drawing is None
    assert measuring.tracing.named != {}
    assert measuring.strip.cells[0].value.text().endswith("%")
    assert measuring.tracing.factor_text == ""
    window.view.grab()
