"""The shims in the real window: the pack is changed, numbers follow at once, and the impeller in the picture."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tests.desktop.driving import put_drawn_pack
from trainer.desktop.window import PumpWindow
from trainer.session.bench import Bench
from trainer.words import LengthUnit

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LEFT = Qt.MouseButton.LeftButton
PACK = (0.5, 0.3, 0.2)
LONGEST_MS = 240_000


def find_bench(window: PumpWindow) -> Bench:
    assert window.bench is not None
    return window.bench


def find_front_mm(window: PumpWindow) -> float:
    return float(find_bench(window).assembly.by_name["impeller"].mesh.points[:, 0].min())


@pytest.fixture(autouse=True)
def _shims(window: PumpWindow, qtbot: QtBot) -> Iterator[None]:
    window.show_pane("shim")
    window.motion.set_apart(0.0)
    yield
    window.fit_view()
    window.shims.found.setText("")
    window.shims.offer.drop()
    put_drawn_pack(window, qtbot)


def wait_for_pack(window: PumpWindow, qtbot: QtBot, pack: tuple[float, ...]) -> None:
    """Wait until this pack is on the bench, with its order."""

    def is_there() -> bool:
        bench = find_bench(window)
        return window.ordered is bench and pack == pytest.approx(
            [shim.middle for shim in bench.build.pack]
        )

    qtbot.waitUntil(is_there, timeout=LONGEST_MS)


def test_another_shim_moves_the_impeller_and_its_gaps(window: PumpWindow, qtbot: QtBot) -> None:
    before = find_front_mm(window)
    assert window.shims.pack == pytest.approx(PACK)
    assert window.shims.gauges["back-vane"].value_text == "0.50 mm"
    place = next(n for n, shim in enumerate(window.shims._stock) if shim.thickness_mm == 0.1)
    window.shims.stock.choose(str(place))
    QTest.mouseClick(window.shims.add, LEFT)
    assert window.shims.gauges["back-vane"].value_text == "0.60 mm", (
        "numbers do not wait for solids"
    )
    assert window.shims.gauges["front-gap"].value_text == "2.90 mm"
    qtbot.waitUntil(lambda: len(find_bench(window).build.pack) == 4, timeout=LONGEST_MS)
    assert find_front_mm(window) == pytest.approx(before - 0.1, abs=1e-3)
    qtbot.waitUntil(lambda: window.ordered is find_bench(window), timeout=LONGEST_MS)
    assert "shim-4" in window.view.offsets


def test_a_shim_is_taken_out_by_its_own_button(window: PumpWindow) -> None:
    QTest.mouseClick(window.shims.shims[2], LEFT)
    assert window.shims.pack == pytest.approx((0.5, 0.3))
    assert window.shims.total.text() == "Pack 0.80 mm"
    assert window.shims.gauges["back-vane"].value_text == "0.30 mm"
    assert "OUTSIDE" in window.shims.gauges["back-vane"].accessibleName()


def test_drawer_holds_only_what_is_in_it(window: PumpWindow) -> None:
    by_thickness = {shim.thickness_mm: n for n, shim in enumerate(window.shims._stock)}
    row = window.shims.stock.names.index(str(by_thickness[0.5]))
    in_drawer = window.shims._stock[by_thickness[0.5]].in_drawer
    assert window.shims.stock.itemText(row) == f"0.50 mm, {in_drawer - 1} left"


def test_pressed_gauge_measures_its_gap_in_the_picture(window: PumpWindow, qtbot: QtBot) -> None:
    gauge = window.shims.gauges["back-vane"]
    QTest.mouseClick(gauge, LEFT)
    assert window.measuring.name == "back-vane"
    assert window.section.isChecked()
    assert find_gap_mm(window) == pytest.approx(0.5, abs=1e-6)
    assert window.measuring.tracing.texts[-1] == "back-vane gap 0.500 mm"
    window.shims.change((0.5, 0.3, 0.3))
    qtbot.waitUntil(lambda: abs(find_gap_mm(window) - 0.6) < 1e-6, timeout=LONGEST_MS)
    assert window.measuring.name == "back-vane"
    window.shims.gauges["back-vane"].click()
    assert not window.measuring.is_on
    assert window.shims.close_up == ""


def find_gap_mm(window: PumpWindow) -> float:
    drawing = window.measuring.tracing.drawing
    assert drawing is not None
    return float(drawing.gap[1][0] - drawing.gap[0][0])


@pytest.mark.parametrize("typed", ["1,700", "0.72/0.70/1,071/0.73"])
def test_a_comma_that_may_part_thousands_is_refused_with_the_remedy(
    window: PumpWindow, typed: str
) -> None:
    before = window.shims.pack
    window.shims.found.setText(typed)
    QTest.mouseClick(window.shims.best, LEFT)
    assert "Write one like 0.55mm" in window.shims.note.text.text()
    assert window.shims.pack == before


@pytest.mark.parametrize("typed", ["0.7", "0,7", "0.70 mm", "0.72/0,70/0.71/0.73"])
def test_best_pack_from_a_measured_gap(window: PumpWindow, typed: str) -> None:
    window.shims.found.setText(typed)
    QTest.mouseClick(window.shims.best, LEFT)
    # 1.00 mm gave 0.70, the aim is 0.50: 0.80 mm is wanted
    assert "= 0.80 mm" in window.shims.note.text.text()
    assert window.shims.pack == pytest.approx(PACK), "the drawn pump is not the measured one"


def test_a_found_pack_is_offered_no_more_once_what_told_of_it_is_gone(window: PumpWindow) -> None:
    shims = window.shims
    shims.found.setText("0.7")
    QTest.mouseClick(shims.best, LEFT)
    assert shims.offer.put.isVisible()
    window.desk.set_unit(LengthUnit.INCH)
    assert not shims.note.isVisible()
    assert not shims.offer.isVisible()
    window.desk.set_unit(LengthUnit.MM)


def test_pack_that_was_found_is_put_in_and_changed_back(window: PumpWindow, qtbot: QtBot) -> None:
    shims = window.shims
    assert not shims.offer.isVisible()
    shims.found.setText("0.7")
    QTest.mouseClick(shims.best, LEFT)
    assert shims.offer.put.isVisible()
    assert not shims.offer.back.isVisible()
    QTest.mouseClick(shims.offer.put, LEFT)
    assert sum(shims.pack) == pytest.approx(0.8)
    assert shims.total.text() == "Pack 0.80 mm"
    assert shims.found.text() == "", "what was felt counts with the pack that was in then"
    assert "= 0.80 mm" in shims.note.text.text(), "the answer stays to be read"
    assert shims.offer.back.text() == "Change back to 0.50 + 0.30 + 0.20"
    assert not shims.offer.put.isVisible()
    wait_for_pack(window, qtbot, shims.pack)
    QTest.mouseClick(shims.offer.back, LEFT)
    assert shims.pack == pytest.approx(PACK)
    assert shims.found.text() == "0.7"
    assert shims.offer.put.isVisible()
    wait_for_pack(window, qtbot, PACK)


def test_best_pack_of_the_drawing_can_be_changed_back(window: PumpWindow, qtbot: QtBot) -> None:
    shims = window.shims
    shims.best.click()
    assert shims.pack != pytest.approx(PACK)
    assert shims.offer.back.isVisible()
    shims.offer.back.click()
    assert shims.pack == pytest.approx(PACK)
    wait_for_pack(window, qtbot, PACK)


def test_measured_gap_that_is_no_number_is_said_so(window: PumpWindow) -> None:
    window.shims.found.setText("wide")
    QTest.mouseClick(window.shims.best, LEFT)
    assert "wide" in window.shims.note.text.text()


def test_readings_that_differ_too_much_mean_a_crooked_part(window: PumpWindow) -> None:
    window.shims.found.setText("0.86/0.60")
    QTest.mouseClick(window.shims.best, LEFT)
    assert "crooked" in window.shims.note.text.text()


def test_gap_that_the_pump_cannot_have_is_asked_back(window: PumpWindow) -> None:
    window.shims.found.setText("28")
    QTest.mouseClick(window.shims.best, LEFT)
    told = window.shims.note.text.text()
    assert "28 mm cannot be" in told
    assert "Then write 28 thou." in told


def test_last_shim_stays(window: PumpWindow) -> None:
    window.shims.change((0.5,))
    QTest.mouseClick(window.shims.shims[0], LEFT)
    assert window.shims.pack == (0.5,)
    assert "at least one shim" in window.shims.note.text.text()


def test_of_two_quick_changes_the_later_counts(window: PumpWindow, qtbot: QtBot) -> None:
    window.shims.change((0.5, 0.3, 0.1))
    window.shims.change((0.5, 0.3, 0.4))
    wait_for_pack(window, qtbot, (0.5, 0.3, 0.4))
    QTest.qWait(300)
    assert window.shims.pack == pytest.approx((0.5, 0.3, 0.4))
    assert window.shims.gauges["back-vane"].value_text == "0.70 mm"


def test_a_pack_that_is_given_up_before_it_comes_is_nowhere_told(window: PumpWindow) -> None:
    gap = window.shims.gauges["back-vane"].value_text
    window.shims.change((0.5, 0.3, 0.4))
    assert window.shims.gauges["back-vane"].value_text != gap
    assert window.changing.is_busy
    window.changing.leave()
    assert window.shims.pack == pytest.approx(PACK)
    assert window.shims.gauges["back-vane"].value_text == gap
