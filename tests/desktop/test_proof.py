"""The proof card in the real window: from a clearance, a refusal and a mark, in one click, down to the row of the table."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QPushButton
from pytestqt.qtbot import QtBot

from tests.desktop.driving import find_control, go_to_question, put_drawn_pack, wait_for_mark
from trainer.desktop.asking.number_form import NumberForm
from trainer.desktop.asking.order_form import OrderForm
from trainer.desktop.doing.proof_texts import tell_contact
from trainer.desktop.doing.proving import Proving
from trainer.desktop.window import PumpWindow
from trainer.session.bench import Bench

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LEFT = Qt.MouseButton.LeftButton
LONGEST_MS = 120_000
HOUSE = Path(__file__).resolve().parents[2]


@pytest.fixture
def proving(window: PumpWindow) -> Iterator[Proving]:
    window.show_pane("shim")
    window.motion.set_apart(0.0)
    yield window.proving
    window.trying.stop()
    window.proving.close()
    window.fit_view()
    window.motion.set_apart(0.0)


def find_bench(window: PumpWindow) -> Bench:
    assert window.bench is not None
    return window.bench


def copy_places(proving: Proving) -> list[str]:
    """Press each link of the card, and read what lies on the clipboard then."""
    places = []
    for link in proving.pane.links:
        assert isinstance(link, QPushButton)
        QTest.mouseClick(link, LEFT)
        places.append(QGuiApplication.clipboard().text())
    return places


def read_line(place: str) -> str:
    file, _, line = place.rpartition(":")
    return (HOUSE / file).read_text(encoding="utf-8").splitlines()[int(line) - 1]


def test_one_click_on_a_gauge_opens_the_chain_with_the_row_behind_each_number(
    window: PumpWindow, proving: Proving
) -> None:
    QTest.mouseClick(window.shims.gauges["back-vane"].proof, LEFT)
    assert window.pane == "proof"
    assert window.measuring.name == "back-vane"
    assert proving.pane.title.text() == "Back-vane gap"
    assert "0.500 mm, inside its limits" in proving.pane.claim.text.text()
    one = find_bench(window).clearance("back-vane")
    places = copy_places(proving)
    assert len(places) == len(one.chain) + 1, "each dimension, and who says what it must be"
    for link, place in zip(one.chain, places, strict=False):
        row = read_line(place)
        known = "pack." if link.piece.startswith("shim-") else link.dimension
        assert known in row, f"{place}: {row}"
        assert f"{link.nominal_mm:g}" in row.replace(".000", ""), f"{place}: {row}"
    assert read_line(places[-1]).startswith("back-vane")
    assert proving.pane.copied.text().endswith(places[-1])


def test_the_two_faces_are_lit_where_they_stand(window: PumpWindow, proving: Proving) -> None:
    proving.prove_clearance("wear-ring")
    window.measuring.strip.factors[1.0].click()
    build = find_bench(window).build
    radii = [float(build.diameter(*end)) / 2.0 for end in (("impeller", "nose"), ("wear-ring", "bore"))]  # fmt: skip
    for (lines, is_behind), radius in zip(window.measuring.tracing.faces, radii, strict=True):
        assert lines != []
        assert not is_behind
        for point in np.array(lines).reshape(-1, 3):
            assert float(np.hypot(point[1], point[2])) == pytest.approx(radius, abs=0.05), "facets"
    proving.prove_clearance("back-vane")
    window.measuring.strip.factors[1.0].click()
    (vanes, is_behind), (plate, _) = window.measuring.tracing.faces
    assert is_behind, "no vane stands in the plane of the section"
    assert np.array(vanes)[:, :, 0] == pytest.approx(87.0, abs=0.02)
    assert np.array(plate)[:, :, 0] == pytest.approx(87.5, abs=0.02)
    window.measuring.strip.factors[25.0].click()
    (vanes, _), (plate, _) = window.measuring.tracing.faces
    assert np.array(vanes)[:, :, 0] == pytest.approx(75.0, abs=0.02), "they go along"
    assert np.array(plate)[:, :, 0] == pytest.approx(87.5, abs=0.02)


def test_the_solids_say_what_the_chain_says(proving: Proving, qtbot: QtBot) -> None:
    proving.prove_clearance("washer-clamp")
    qtbot.waitUntil(proving.pane.progress.isHidden, timeout=LONGEST_MS)
    told = proving.pane.measured.text()
    assert told.startswith("1.500 mm between the two faces")
    assert "they differ by 0.000 mm" in told
    assert "✓" in told
    proving.prove_clearance("end-float")
    assert "not a plain distance" in proving.pane.measured.text()


def test_with_other_shims_the_solids_are_asked_of_those(
    window: PumpWindow, proving: Proving, qtbot: QtBot
) -> None:
    before = tuple(float(shim.middle) for shim in find_bench(window).build.pack)
    proving.prove_clearance("washer-clamp")
    told: list[bool] = []
    told_by = window.came.connect(
        lambda: told.append(window.changing.stands is window.changing.wanted)
    )
    for number, pack in enumerate(((*before, 0.05), before)):
        window.shims.change(pack)
        qtbot.waitUntil(lambda: len(told) > number, timeout=LONGEST_MS)  # noqa: B023 - at once
    window.came.disconnect(told_by)
    # What was measured before is remembered: that the right shims are asked is seen only as they come.
    assert told == [True, True]
    qtbot.waitUntil(proving.pane.progress.isHidden, timeout=LONGEST_MS)
    assert "they differ by 0.000 mm" in proving.pane.measured.text()
    put_drawn_pack(window, qtbot)


def test_of_every_clearance_there_is_a_card(window: PumpWindow, proving: Proving) -> None:
    names = [name for name in proving.pane.which.names if name]
    assert names == [one.name for one in find_bench(window).build.clearances]
    kinds = {name.rpartition(".")[2]: name for name in names}
    for name in kinds.values():
        proving.prove_clearance(name)
        assert proving.pane.which.name == name
        assert len(proving.pane.links) >= 2, name
        assert proving.pane.accessibleDescription() != ""


def read_passages(proving: Proving) -> str:
    return " ".join(label.text() for label in proving.pane.inside.findChildren(QLabel))


def test_a_refused_move_shows_both_parts_and_how_far_it_gets(
    window: PumpWindow, proving: Proving
) -> None:
    assert proving.why.isHidden()
    window.trying.try_now("cap-gasket")
    tried = window.trying.replay.tried
    assert tried is not None
    QTest.mouseClick(proving.why, LEFT)
    assert window.pane == "proof"
    assert "not yet" in proving.pane.title.text()
    assert window.naming.tell_piece(tried.piece) in proving.pane.accessibleDescription().lower()


def test_a_move_that_is_stopped_lights_the_facets_that_meet(
    window: PumpWindow, proving: Proving
) -> None:
    window.trying.try_now("shim-1")
    QTest.mouseClick(proving.why, LEFT)
    shown = {piece: len(facets) for piece, facets, _ in proving.patches.patches}
    assert set(shown) == {"shim-1", "shim-2"}
    assert min(shown.values()) > 0
    assert "bears on it" in read_passages(proving)
    # What the kernel says of it is held in tests/models/solids; here it would take long for little.
    tried = window.trying.replay.tried
    assert tried is not None
    told = tell_contact(window.words, window.naming, tried, (0.0, 0.0))
    assert "✓ They touch there" in told


def test_a_marked_line_of_an_order_opens_its_proof(window: PumpWindow, proving: Proving) -> None:
    form, control = go_to_question(window, OrderForm), find_control(window)
    names = form.list.read_names()
    form.list.setCurrentRow(names.index("impeller"))
    for _ in range(names.index("impeller")):
        form.list.shift(-1)
    assert control.proof.isHidden(), "nothing is marked yet"
    QTest.mouseClick(control.mark, LEFT)
    wait_for_mark(window)
    QTest.mouseClick(control.proof, LEFT)
    assert window.pane == "proof"
    assert proving.pane.title.text() == "Impeller: not yet"
    assert "impeller screw" in proving.pane.claim.text.text()


def test_a_marked_thickness_opens_the_proof_of_its_gap(
    window: PumpWindow, proving: Proving
) -> None:
    form, control = go_to_question(window, NumberForm), find_control(window)
    assert proving.why.isHidden()
    form.edit.setText("0.95")
    QTest.mouseClick(control.mark, LEFT)
    wait_for_mark(window)
    QTest.mouseClick(control.proof, LEFT)
    assert window.pane == "proof"
    assert window.measuring.name == "back-vane"


def test_another_motion_takes_the_offer_back(window: PumpWindow, proving: Proving) -> None:
    window.trying.try_now("shim-1")
    assert not proving.why.isHidden()
    window.motion.set_apart(0.2)
    assert proving.why.isHidden()


def test_closing_goes_back_to_the_pane_before(window: PumpWindow, proving: Proving) -> None:
    QTest.mouseClick(window.shims.gauges["front-gap"].proof, LEFT)
    assert window.pane == "proof"
    QTest.mouseClick(proving.pane.back, LEFT)
    assert window.pane == "shim"


def test_keys_open_the_list(window: PumpWindow, proving: Proving) -> None:
    QTest.mouseClick(proving.open_list, LEFT)
    assert window.pane == "proof"
    assert window.measuring.is_on
    assert proving.pane.which.isVisible()


def test_card_is_gone_with_the_pump(window: PumpWindow, proving: Proving) -> None:
    proving.prove_clearance("back-vane")
    window.came.emit()
    assert proving.pane.which.name == "back-vane", "the same pump: the same proof, anew"
    window.show_pane("shim")
    window.came.emit()
    assert proving.pane.links == []
    assert window.pane == "shim"
