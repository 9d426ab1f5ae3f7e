"""Another pump is chosen in the window: what does not go together is told, what does comes onto the bench."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from models.builds import list_builds, make_named_build
from models.solids.assemble import find_missing
from models.spec.choosing import find_clashes
from tests.desktop.conftest import BUILD, LONGEST_S
from tests.desktop.driving import is_settled
from trainer.desktop.bench_work import BenchChoice
from trainer.desktop.window import PumpWindow
from trainer.session.choosing import find_usual
from trainer.stage.camera import ViewName


def wait(done: Callable[[], bool]) -> None:
    deadline = time.monotonic() + LONGEST_S
    while not done():
        assert time.monotonic() < deadline
        QTest.qWait(20)


@pytest.fixture
def pane(window: PumpWindow) -> Iterator[PumpWindow]:
    """Open the pane; whatever a test puts on the bench, the usual pump is there again after it."""
    window.show_pane("build")
    yield window
    window.builds.usual.click()
    if window.changing.wanted != BenchChoice(BUILD):
        window.changing.change(BenchChoice(BUILD))
    wait(lambda: is_settled(window) and window.lesson.next.isEnabled())
    window.show_pane("lesson")


def test_the_pane_lists_family_size_and_every_option_with_the_value_it_has(
    pane: PumpWindow,
) -> None:
    assert pane.bench is not None
    build, builds = pane.bench.build, pane.builds
    offers = list_builds()
    assert builds.families.names == list(dict.fromkeys(one.name for one in offers.values()))
    known = [name for name, one in offers.items() if one.name == build.family.name]
    assert sorted(builds.sizes.names) == sorted(known)
    assert builds.sizes.names[0] == "end-suction/80-200", "sizes stand by their numbers"
    assert builds.wanted == build.options
    for option in build.family.options:
        assert builds.options[option.name].names == list(option.values)
    assert not builds.go.isEnabled()  # it stands there already


def test_what_cannot_be_had_is_barred_with_its_reason_before_it_is_chosen(pane: PumpWindow) -> None:
    seal = pane.builds.options["shaft-seal"]
    assert "packing drips" in seal.reasons["packed"]
    row = seal.names.index("packed")
    assert "packing drips" in seal.itemData(row, Qt.ItemDataRole.AccessibleTextRole)
    flags = seal.model().flags(seal.model().index(row, 0))
    assert flags & Qt.ItemFlag.ItemIsEnabled  # a screen reader comes to it
    # independent of the pane: what the family's own rows say of every value
    wanted = pane.builds.wanted
    for option in pane.builds.family.options:
        for value in option.values:
            clash = next(find_clashes(pane.builds.family, {**wanted, option.name: value}), None)
            assert (value in pane.builds.options[option.name].reasons) == (clash is not None)


def test_a_barred_value_is_not_taken_but_offered_with_what_it_needs(pane: PumpWindow) -> None:
    builds, before = pane.builds, pane.builds.wanted
    builds.choose("shaft-seal", "packed")
    assert builds.wanted == before
    assert not builds.go.isEnabled()
    text = builds.note.text.text()
    assert "open, with gland and reservoir" in text
    assert "packing drips" in text
    assert "open, with gland and reservoir" in builds.needs.text()
    builds.with_needs.click()
    assert builds.wanted["shaft-seal"] == "packed"
    assert builds.wanted["bracket"] == "open"
    assert next(find_clashes(builds.family, builds.wanted), None) is None
    assert builds.note.isHidden()
    assert builds.go.isEnabled()


def test_arrow_keys_pass_over_barred_values(pane: PumpWindow) -> None:
    seal = pane.builds.options["shaft-seal"]
    had = [name for name in seal.names if name not in seal.reasons]
    for _ in seal.names:
        QTest.keyClick(seal, Qt.Key.Key_Down)
        assert seal.name in had
    for _ in seal.names:
        QTest.keyClick(seal, Qt.Key.Key_Up)
        assert seal.name in had
    assert seal.name == had[0]


def test_what_would_be_new_is_counted_before_it_is_asked_for(pane: PumpWindow) -> None:
    pane.builds.choose("lubrication", "grease")
    wait(lambda: bool(pane.builds.news.text()))
    build = make_named_build("end-suction/100-250", pane.builds.wanted)
    found = find_missing(build)
    text = pane.builds.news.text()
    if found.missing:
        assert text.startswith(f"{len(found.missing)} of {found.solids} ")
    else:
        assert text == pane.words.say("choosing.none-new")


def test_another_pump_comes_onto_the_bench_and_the_walk_waits_for_its_own(pane: PumpWindow) -> None:
    assert pane.bench is not None
    page = pane.lesson.number
    pane.builds.choose("lubrication", "grease")
    pane.builds.go.click()
    assert pane.changing.is_busy
    wait(lambda: pane.bench is not None and pane.bench.build.options["lubrication"] == "grease")
    assert "grease" in pane.build.text()
    assert not pane.builds.go.isEnabled()
    assert not pane.lesson.next.isEnabled()
    assert pane.lesson.control is None
    wait(lambda: pane.ordered is not None)
    assert pane.motion.slider.isEnabled()
    assert pane.ordered is pane.bench
    steps = {name for step in pane.ordered.order.steps for name in step.pieces}
    assert "grease-nipple-inboard" in steps
    assert "sight-glass" not in pane.view.offsets
    pane.builds.usual.click()
    assert pane.builds.wanted == find_usual(pane.bench.build.family)
    pane.builds.go.click()
    wait(lambda: pane.ordered is not None and pane.lesson.next.isEnabled())
    assert pane.lesson.number == page
    assert pane.bench.build.options == find_usual(pane.bench.build.family)


def put_on_bench(window: PumpWindow, name: str) -> None:
    window.builds.choose_pump(name)
    window.builds.go.click()
    wait(lambda: window.bench is not None and window.bench.build.name == name)


def test_an_exhibit_is_looked_at_as_its_view_says_and_a_pump_from_the_corner_again(
    pane: PumpWindow,
) -> None:
    put_on_bench(pane, "rolling-bearings/bore-50")
    assert pane.section.isChecked()
    assert pane.view.camera.towards.tolist() == [0.0, -1.0, 0.0]
    wait(lambda: pane.ordered is not None)
    put_on_bench(pane, "end-suction/100-250")
    assert not pane.section.isChecked()
    assert pane.views[ViewName.ISO].isChecked()
