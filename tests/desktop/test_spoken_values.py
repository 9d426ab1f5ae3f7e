"""What a screen reader can ask of the scales that we paint: value, ends, step, words, and the button's press."""

from __future__ import annotations

import gc

import pytest
from PySide6.QtGui import QAccessible, QAccessibleInterface
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from trainer.core.measure.chain import MeasuredClearance
from trainer.desktop.panes.consequence_chart import ConsequenceChart
from trainer.desktop.panes.gap_scale import LEAST, GapScale
from trainer.desktop.panes.gauge import Gauge
from trainer.desktop.spoken_values import let_values_be_read
from trainer.session.bench import open_bench
from trainer.words import Words, load_words
from trainer.words.speech import LengthUnit

SMALL, LARGE = 15, 38
NARROW = 330


@pytest.fixture(scope="module")
def clearance() -> MeasuredClearance:
    return open_bench("end-suction/100-250").clearance("back-vane")


@pytest.fixture
def words() -> Words:
    return load_words("en")


def ask(widget: QWidget) -> QAccessibleInterface:
    let_values_be_read()
    found = QAccessible.queryAccessibleInterface(widget)
    assert found is not None
    return found


def test_gauge_is_read_with_its_value_and_pressed(
    qtbot: QtBot, words: Words, clearance: MeasuredClearance
) -> None:
    gauge = Gauge(words, "back-vane")
    qtbot.addWidget(gauge)
    gauge.show_clearance(clearance)
    asked = ask(gauge)
    value = asked.valueInterface()
    assert value.currentValue() == pytest.approx(clearance.in_service_mm)
    assert value.minimumValue() < clearance.required_mm[0] < clearance.required_mm[1]
    assert value.maximumValue() > clearance.required_mm[1]
    assert asked.text(QAccessible.Text.Value) == "0.50 mm"
    assert "back-vane gap" in asked.text(QAccessible.Text.Name)
    assert "0.40 to 0.80" in asked.text(QAccessible.Text.Name)
    words.lengths.unit = LengthUnit.INCH
    assert value.currentValue() == pytest.approx(clearance.in_service_mm / 25.4)
    words.lengths.unit = LengthUnit.MM
    assert not asked.state().checked
    with qtbot.waitSignal(gauge.clicked, timeout=1000):
        asked.actionInterface().doAction("Press")
    assert asked.state().checked


def test_scale_is_moved_by_an_assistive_program(qtbot: QtBot, words: Words) -> None:
    scale = GapScale(words, "back-vane")
    qtbot.addWidget(scale)
    scale.show_gap(0.5, (0.4, 0.8), (0.0, 1.5))
    asked = ask(scale)
    value = asked.valueInterface()
    assert asked.role() == QAccessible.Role.Slider
    assert (value.minimumValue(), value.currentValue(), value.maximumValue()) == (0.0, 0.5, 1.5)
    assert value.minimumStepSize() == pytest.approx(0.01)
    with qtbot.waitSignal(scale.moved, timeout=1000):
        value.setCurrentValue(0.62)
    assert scale.gap_mm == pytest.approx(0.62)
    scale.handle = LEAST
    assert value.currentValue() == pytest.approx(0.4)
    assert asked.text(QAccessible.Text.Value) == "least allowed 0.40 mm"
    words.lengths.unit = LengthUnit.INCH
    value.setCurrentValue(0.02)
    assert scale.limits_mm[0] == pytest.approx(0.51), "two hundredths of an inch, to a step"


def test_chart_is_read_and_not_moved(qtbot: QtBot) -> None:
    chart = ConsequenceChart("thrust")
    qtbot.addWidget(chart)
    chart.show_curve((0.0, 1.0, 2.0), (100.0, 200.0, 400.0))
    chart.show_mark(1.0, 200.0, (0.5, 1.5), "200 N")
    asked = ask(chart)
    value = asked.valueInterface()
    assert (value.minimumValue(), value.currentValue(), value.maximumValue()) == (0.0, 200.0, 400.0)
    assert asked.role() == QAccessible.Role.Indicator
    assert asked.text(QAccessible.Text.Value) == "200 N"
    value.setCurrentValue(300.0)
    assert value.currentValue() == 200.0


def test_widgets_that_are_gone_leave_nothing_to_be_asked(qtbot: QtBot, words: Words) -> None:
    for _ in range(40):
        scale = GapScale(words, "back-vane")
        scale.show_gap(0.5, (0.4, 0.8), (0.0, 1.5))
        assert ask(scale).valueInterface().currentValue() == 0.5
        scale.deleteLater()
        del scale
        qtbot.wait(0)
        gc.collect()


@pytest.mark.parametrize("letters_px", [SMALL, LARGE])
def test_long_names_wrap_and_nothing_is_cut(
    qtbot: QtBot, words: Words, clearance: MeasuredClearance, letters_px: int
) -> None:
    """Measured in the picture itself: with large letters the head grows, and both texts find room."""
    gauge, scale = Gauge(words, "back-vane"), GapScale(words, "back-vane")
    for widget in (gauge, scale):
        qtbot.addWidget(widget)
        font = widget.font()
        font.setPixelSize(letters_px)
        widget.setFont(font)
        widget.resize(NARROW, 200)
    gauge.show_clearance(clearance)
    scale.title = "Seal from its setting line, measured at the drive end"
    scale.show_gap(0.5, (0.4, 0.8), (0.0, 1.5))
    scale.tell("0.40 to 0.80 mm allowed; 92.5 % land inside", is_inside=True)
    lines = {SMALL: 2, LARGE: 4}[letters_px]
    assert scale._measure_head() >= lines * scale.fontMetrics().height()
    for widget in (gauge, scale):
        wanted = widget.sizeHint().height()
        parts = widget._measure_head() + widget._measure_below()
        assert wanted > parts + widget.fontMetrics().height(), "the scale has its own room"
