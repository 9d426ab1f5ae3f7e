"""What is put on the bench is made in the background: told, counted, to be left, and the old pump stays usable."""

from __future__ import annotations

import itertools
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property
from pathlib import Path

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from models.builds import list_builds, make_named_build
from models.solids.assemble import find_missing, make_assembly
from models.solids.builders import Builders, Made, StoppedError
from models.solids.cache import MeshCache
from models.solids.keys import make_key
from models.solids.times import MakingTimes
from models.spec.build import Build, PlacedPiece
from models.spec.choosing import find_clashes, find_nearest
from models.spec.mesh import Mesh
from tests.desktop.conftest import BUILD, LONGEST_S
from trainer.core.order.blocking import Blocking
from trainer.desktop import bench_work
from trainer.desktop.time_left import TimeLeft, tell_duration
from trainer.desktop.window import PumpWindow
from trainer.session.bench import Bench, Progress, Watch
from trainer.session.choosing import find_usual
from trainer.session.relations import find_relations, read_relations
from trainer.words import load_words

LONGEST_MS = int(LONGEST_S * 1000)
LOOK_S = 0.02
EACH_S = 2.0
FACE = Mesh(
    np.eye(3, dtype=np.float32),
    np.eye(3, dtype=np.float32),
    np.array([[0, 1, 2]], np.int32),
    np.zeros((0, 3), np.float32),
    np.zeros((0, 2), np.int32),
)
"""Stands for any mesh where only their number counts."""


class Gate(Builders):
    """Builders that give a mesh only when they are let, out of the cache that the other tests fill."""

    def __init__(self) -> None:
        super().__init__(1)
        self.let = threading.Semaphore(0)
        self.fault = ""
        self.asked: list[str] = []

    def make(
        self, pieces: Iterable[PlacedPiece], is_wanted: Callable[[], bool] = lambda: True
    ) -> Iterator[Made]:
        kept = MeshCache()
        for piece in pieces:
            self.asked.append(piece.name)
            while not self.let.acquire(timeout=LOOK_S):
                if not is_wanted():
                    raise StoppedError
            if self.fault:
                raise RuntimeError(self.fault)
            yield Made(piece, kept.read(make_key(piece)) or FACE, EACH_S)


@pytest.fixture
def gate(window: PumpWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Gate]:
    """Let nothing lie ready, and every solid wait; whatever is asked for is left at the end."""
    gate = Gate()
    empty = MeshCache(tmp_path / "meshes")

    class SlowBench(Bench):
        def __init__(
            self,
            build: Build,
            progress: Progress | None = None,
            builders: Builders | None = None,
            watch: Watch | None = None,
        ) -> None:
            del builders
            super().__init__(build, progress, empty, gate, watch)

        @property
        def has_relations(self) -> bool:
            return read_relations(self.build, MeshCache()) is not None

        @cached_property
        def blocking(self) -> Blocking:
            return find_relations(self.build, self.assembly, MeshCache())

    monkeypatch.setattr(bench_work, "Bench", SlowBench)
    monkeypatch.setattr(bench_work, "find_missing", lambda build: find_missing(build, empty))
    monkeypatch.setattr(bench_work, "MakingTimes", lambda: MakingTimes(tmp_path))
    monkeypatch.setattr(window.changing, "_builders", gate)
    window.show_pane("build")
    yield gate
    window.changing.leave()
    window.builds.choose_pump(BUILD)
    window.builds.note.tell("")
    window.motion.set_apart(0.0)
    window.show_pane("lesson")


def ask_for(window: PumpWindow, option: str, value: str) -> int:
    """Ask for a pump with another value; gives how many solids that are."""
    window.builds.choose(option, value)
    solids = find_missing(make_named_build(BUILD, window.builds.wanted)).solids
    window.builds.go.click()
    return solids


@pytest.mark.window
@pytest.mark.xdist_group("window")
def test_a_pump_in_the_making_is_told_and_left_and_the_old_one_stays_usable(
    window: PumpWindow, gate: Gate, qtbot: QtBot
) -> None:
    old, ordered, strip = window.standing, window.ordered, window.changing.strip
    size = window.view.size()
    solids = ask_for(window, "lubrication", "grease")
    assert strip.is_on
    assert strip.isHidden(), "what is made within a moment needs no strip"
    qtbot.waitUntil(lambda: f"0 of {solids}" in strip.how_far.text(), timeout=LONGEST_MS)
    for _ in range(3):
        gate.let.release()
    qtbot.waitUntil(lambda: f"3 of {solids}" in strip.how_far.text(), timeout=LONGEST_MS)
    qtbot.waitUntil(strip.isVisible, timeout=LONGEST_MS)
    assert window.view.size() == size, "the picture does not jump"
    assert window.view.rect().contains(strip.geometry())
    assert (strip.bar.value(), strip.bar.maximum()) == (3, solids)
    assert "more." in strip.how_far.text()  # from how long the three took
    assert strip.bar.accessibleDescription() == strip.how_far.text()
    # the old pump comes apart, and answers
    window.motion.set_apart(0.5)
    assert any(np.any(offset) for offset in window.view.offsets.values())
    window.part.show_piece("sight-glass")
    assert window.part.piece == "sight-glass"
    assert window.standing is old
    strip.cancel.click()
    assert strip.isHidden()
    assert not window.changing.is_busy
    assert window.standing is old
    assert window.ordered is ordered
    assert window.changing.wanted is window.changing.stands
    assert window.motion.apart == pytest.approx(0.5, abs=0.01)
    assert window.builds.options["lubrication"].name == "grease"  # what was typed is not lost
    assert window.builds.go.isEnabled()
    qtbot.waitUntil(
        lambda: not any(work.isRunning() for work in window.changing._old), timeout=LONGEST_MS
    )
    assert len(gate.asked) == 4  # none after the one that was left


@pytest.mark.window
@pytest.mark.xdist_group("window")
def test_a_second_choice_takes_the_place_of_one_in_the_making(
    window: PumpWindow, gate: Gate, qtbot: QtBot
) -> None:
    ask_for(window, "lubrication", "grease")
    first = window.changing._work
    assert first is not None
    qtbot.waitUntil(lambda: len(gate.asked) == 1, timeout=LONGEST_MS)
    window.builds.usual.click()
    option = next(
        o for o in window.builds.family.options if len(o.values) > 1 and o.name != "lubrication"
    )
    had = window.builds.options[option.name]
    other = next(v for v in option.values if v != had.name and v not in had.reasons)
    ask_for(window, option.name, other)
    # Nothing was let through: it can only have ended because it was asked to, which it may have done by now.
    assert first.isInterruptionRequested() or first.isFinished()
    qtbot.waitUntil(lambda: not first.isRunning(), timeout=LONGEST_MS)
    assert window.changing.is_busy
    assert isinstance(window.changing.wanted, bench_work.BenchChoice)
    assert window.changing.wanted.options[option.name] == other
    assert window.changing.wanted.options["lubrication"] == "oil"


@pytest.mark.window
@pytest.mark.xdist_group("window")
def test_what_cannot_be_made_is_told_and_nothing_is_lost(
    window: PumpWindow, gate: Gate, qtbot: QtBot
) -> None:
    old = window.standing
    gate.fault = "the solid of volute could not be made: too thin"
    ask_for(window, "lubrication", "grease")
    gate.let.release()
    qtbot.waitUntil(lambda: not window.changing.is_busy, timeout=LONGEST_MS)
    assert "too thin" in window.builds.note.text.text()
    assert "as it was" in window.builds.note.text.text()
    assert window.standing is old
    assert window.builds.options["lubrication"].name == "grease"
    assert window.builds.go.isEnabled()


def read_numbers(build: Build) -> dict[str, tuple[object, ...]]:
    """Read what a generator is given for each piece."""
    return {
        name: (
            piece.part.shape,
            sorted((face, round(float(at.at), 9)) for face, at in piece.faces.items()),
            sorted((key, round(float(value), 9)) for key, value in piece.row.items()),
        )
        for name, piece in build.pieces.items()
    }


@pytest.mark.parametrize("change", [{"lubrication": "grease"}, {"bearings": "back-to-back"}])
def test_only_parts_that_changed_are_made_again(tmp_path: Path, change: Mapping[str, str]) -> None:
    family = list_builds()[BUILD]
    option, value = next(iter(change.items()))
    if value not in family.option_values()[option]:
        value = family.option_values()[option][1]
    cache = MeshCache(tmp_path)
    before = make_named_build(BUILD)
    for key in find_missing(before, cache).missing:
        cache.write(key, FACE)
    nearest = find_nearest(family, find_usual(family), option, value)
    after = make_named_build(BUILD, nearest)
    known = list(read_numbers(before).values())
    changed = {name for name, numbers in read_numbers(after).items() if numbers not in known}
    gate = Gate()
    for _ in changed:
        gate.let.release()
    make_assembly(after, cache, builders=gate)
    assert 0 < len(gate.asked) < len(after.pieces) / 2
    assert set(gate.asked) <= changed
    shapes = {str(numbers) for name, numbers in read_numbers(after).items() if name in changed}
    assert len(gate.asked) == len(shapes)  # of equal pieces one is made
    assert not find_missing(after, cache).missing


def test_the_offered_choice_changes_nothing_that_need_not_change() -> None:
    for family in {one.name: one for one in list_builds().values()}.values():
        usual = find_usual(family)
        for option in family.options:
            for value in option.values:
                found = find_nearest(family, usual, option.name, value)
                assert found is not None
                assert found[option.name] == value
                assert next(find_clashes(family, found), None) is None
                for name, to in found.items():
                    if name != option.name and to != usual[name]:
                        back = {**found, name: usual[name]}
                        assert next(find_clashes(family, back), None) is not None


# ------------------------------------------------------------------ time left
def test_time_left_counts_down_and_does_not_jump_with_every_estimate() -> None:
    now_s = [0.0]
    left = TimeLeft(lambda: now_s[0])
    assert left.find_s() is None
    left.note(40.0)
    told = []
    for second in range(30):
        now_s[0] = float(second)
        left.note((40.0 - second) * (1.2 if second % 2 else 0.8))  # estimates that waver by a fifth
        told.append(left.find_s())
    steps = [b - a for a, b in itertools.pairwise(told) if a is not None and b is not None]
    assert len(steps) == 29
    assert all(-5.0 <= step <= 5.0 for step in steps)
    assert told[-1] is not None
    assert told[-1] <= 20.0


def test_an_estimate_that_was_far_off_is_owned_up_to() -> None:
    left = TimeLeft(lambda: 0.0)
    left.note(10.0)
    left.note(60.0)
    assert left.find_s() == 60.0
    left.note(None)
    assert left.find_s() == 60.0


def test_times_are_said_as_people_say_them() -> None:
    words = load_words()
    assert tell_duration(words, 2.0) == "A few seconds more."
    assert tell_duration(words, 20.0) == "About 20 s more."
    assert tell_duration(words, 240.0) == "About 4 minutes more."


def test_making_times_are_kept_and_share_the_work_among_processes(tmp_path: Path) -> None:
    times = MakingTimes(tmp_path)
    assert times.find_left_s(["volute"], 2) is None
    times.learn("volute", 8.0)
    times.learn("nut", 1.0)
    times.save()
    again = MakingTimes(tmp_path)
    assert again.find_left_s(["volute", "nut", "nut"], 2) == pytest.approx(8.0)  # the longest rules
    assert again.find_left_s(["nut"] * 8, 2) == pytest.approx(4.0)
    assert again.find_left_s(["unknown"], 2) is None
    assert again.find_left_s(["nut", "unknown"], 1) == pytest.approx(2.0)
    (tmp_path / "making-times.json").write_text("[1]", encoding="utf-8")
    assert MakingTimes(tmp_path).find_left_s(["nut"], 1) is None
