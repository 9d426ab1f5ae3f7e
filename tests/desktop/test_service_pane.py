"""The service pane in the real window: what is dragged moves every number at once, by hand and by keys."""

from __future__ import annotations

import time
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from models.builds import make_named_build
from trainer.desktop.panes.gap_scale import GAP, LEAST, MOST
from trainer.desktop.panes.service_pane import ServicePane
from trainer.desktop.window import PumpWindow
from trainer.words import load_words

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LONGEST_MS = 60_000


@pytest.fixture
def pane(window: PumpWindow, qtbot: QtBot) -> Iterator[ServicePane]:
    window.show_pane("service")
    qtbot.waitUntil(lambda: window.service._bench is not None, timeout=LONGEST_MS)
    window.service.reset()
    yield window.service
    window.service.reset()


def tell(pane: ServicePane, group: str, amount: str) -> str:
    return pane.groups[group].charts[amount].told


def test_the_pane_opens_with_the_pump_as_built(pane: ServicePane) -> None:
    scale = pane.groups["back-vane"].scale
    assert scale.gap_mm == pytest.approx(0.5)
    assert scale.limits_mm == pytest.approx((0.4, 0.8))
    assert "92.5 %" in scale.accessibleName()
    assert "pack 1.00 mm" in scale.accessibleName()
    assert tell(pane, "wear-ring", "leakage_m3_per_h").endswith("m³/h")
    assert pane.groups["hub-ring"].isHidden()


def test_a_dragged_gap_changes_thrust_life_chance_and_what_else_the_shims_set(
    pane: ServicePane,
) -> None:
    before = tell(pane, "back-vane", "thrust_n"), tell(pane, "back-vane", "life_h")
    scale = pane.groups["back-vane"].scale
    y = scale.height() // 2
    QTest.mousePress(scale, Qt.MouseButton.LeftButton, pos=QPoint(round(scale._x(GAP)), y))
    QTest.mouseMove(scale, QPoint(round(scale._x(MOST)) + 12, y))
    QTest.mouseRelease(scale, Qt.MouseButton.LeftButton)
    assert scale.gap_mm > 0.8
    assert (tell(pane, "back-vane", "thrust_n"), tell(pane, "back-vane", "life_h")) != before
    assert "OUTSIDE" in scale.accessibleName()
    assert "washer clamp gap" in pane.moved.text()


def test_a_dragged_limit_changes_the_chance_alone(pane: ServicePane) -> None:
    before, scale = tell(pane, "back-vane", "thrust_n"), pane.groups["back-vane"].scale
    scale.move_handle(MOST, 0.55)
    assert scale.limits_mm[1] == pytest.approx(0.55)
    assert "92.5 %" not in scale.accessibleName()
    assert tell(pane, "back-vane", "thrust_n") == before


def test_keys_choose_a_handle_and_move_it(pane: ServicePane) -> None:
    scale = pane.groups["wear-ring"].scale
    scale.setFocus()
    start = scale.gap_mm
    QTest.keyClick(scale, Qt.Key.Key_Right)
    assert scale.gap_mm == pytest.approx(round(start + 0.01, 2), abs=0.0051)
    QTest.keyClick(scale, Qt.Key.Key_Down)
    assert scale.handle == LEAST
    low = scale.limits_mm[0]
    QTest.keyClick(scale, Qt.Key.Key_Left)
    assert scale.limits_mm[0] == pytest.approx(low - 0.01)
    QTest.keyClick(scale, Qt.Key.Key_Up)
    assert scale.handle == GAP


def test_limits_do_not_pass_each_other(pane: ServicePane) -> None:
    scale = pane.groups["back-vane"].scale
    scale.move_handle(LEAST, 5.0)
    low, high = scale.limits_mm
    assert low < high


def test_every_number_follows_within_fifty_milliseconds(pane: ServicePane) -> None:
    scale = pane.groups["back-vane"].scale
    took = []
    for step in range(30):
        start = time.perf_counter()
        scale.move_handle(GAP, 0.3 + 0.02 * step)
        took.append(time.perf_counter() - start)
    assert sorted(took)[len(took) // 2] < 0.05


def test_as_built_goes_back(pane: ServicePane) -> None:
    pane.groups["back-vane"].scale.move_handle(GAP, 0.7)
    pane.as_built.click()
    assert pane.groups["back-vane"].scale.gap_mm == pytest.approx(0.5)


def test_assumptions_are_one_click_away(pane: ServicePane) -> None:
    assert pane.told.isHidden()
    pane.why.click()
    assert not pane.told.isHidden()
    assert "Stepanoff" in pane.told.text.text()
    assert "no tool for design" in pane.told.text.text()
    pane.why.click()
    assert pane.told.isHidden()


def test_an_exhibit_is_refused_with_its_reason(qtbot: QtBot) -> None:
    lone = ServicePane(load_words())
    qtbot.addWidget(lone)
    lone.show()
    lone.show_build(make_named_build("packing/38"))
    qtbot.waitUntil(lambda: "choose a whole pump" in lone.note.text.text(), timeout=LONGEST_MS)
    lone.wait()


def test_a_pump_with_a_hub_ring_shows_it(qtbot: QtBot) -> None:
    lone = ServicePane(load_words())
    qtbot.addWidget(lone)
    lone.show()
    lone.show_build(make_named_build("end-suction/80-200", {"hub-ring": "balance-holes"}))
    qtbot.waitUntil(lambda: lone._bench is not None, timeout=LONGEST_MS)
    assert not lone.groups["hub-ring"].isHidden()
    before = tell(lone, "back-vane", "life_h")
    lone.groups["hub-ring"].scale.move_handle(GAP, 0.8)
    assert tell(lone, "hub-ring", "hub_leakage_m3_per_h") != ""
    assert tell(lone, "back-vane", "life_h") != before or ">" in before
    lone.wait()
