"""Builder processes make what generators make, stay, tell whose solid failed, and come back when killed."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from models.builds import make_named_build
from models.solids.builders import Builders, StoppedError
from models.solids.shape import make_shape
from models.solids.tessellate import make_mesh
from models.spec.build import Build, PlacedPiece
from models.spec.part import Numbers, Solid

pytestmark = pytest.mark.xdist_group("builders")  # they are started once


@pytest.fixture(scope="module")
def pump() -> Build:
    return make_named_build("end-suction/100-250")


@pytest.fixture(scope="module")
def builders() -> Iterator[Builders]:
    with Builders(1) as found:
        yield found


def find_processes(builders: Builders) -> set[int]:
    found = {worker.process.pid for worker in builders._idle}
    return {pid for pid in found if pid is not None}


def test_builders_make_the_mesh_that_the_generator_makes_and_stay(
    pump: Build, builders: Builders
) -> None:
    builders.warm_up()
    wanted = [pump.pieces["wear-ring"], pump.pieces["shim-1"]]
    made = {one.piece.name: one.mesh for one in builders.make(wanted)}
    before = find_processes(builders)
    assert set(made) == {"wear-ring", "shim-1"}
    for piece in wanted:
        mesh = make_mesh(make_shape(piece))
        assert np.array_equal(made[piece.name].points, mesh.points)
    assert [one.piece.name for one in builders.make([pump.pieces["seal-seat"]])] == ["seal-seat"]
    assert find_processes(builders) == before


def fail(_at: Numbers, _row: Numbers) -> Solid:
    raise ValueError("no such solid")


def break_part(
    piece: PlacedPiece, shape: Callable[[Numbers, Numbers], Solid] = fail
) -> PlacedPiece:
    part = replace(piece.part, shape=shape)
    return replace(piece, place=replace(piece.place, part=part))


def test_a_generator_that_fails_names_the_piece_and_the_builders_go_on(
    pump: Build, builders: Builders
) -> None:
    broken = break_part(pump.pieces["wear-ring"])
    with pytest.raises(
        RuntimeError, match=r"the solid of wear-ring could not be made: no such solid"
    ):
        list(builders.make([broken]))
    assert len(list(builders.make([pump.pieces["wear-ring"]]))) == 1


def test_a_process_that_was_killed_meanwhile_is_replaced(pump: Build, builders: Builders) -> None:
    list(builders.make([pump.pieces["wear-ring"]]))
    for process in find_processes(builders):
        os.kill(process, signal.SIGKILL)
    assert len(list(builders.make([pump.pieces["wear-ring"]]))) == 1


def kill_own_process(_at: Numbers, _row: Numbers) -> Solid:
    os.kill(os.getpid(), signal.SIGKILL)
    raise AssertionError("it is gone by then")


def test_a_process_that_ends_at_work_is_told_and_replaced(pump: Build, builders: Builders) -> None:
    with pytest.raises(RuntimeError, match="wear-ring could not be made: its process ended"):
        list(builders.make([break_part(pump.pieces["wear-ring"], kill_own_process)]))
    assert len(list(builders.make([pump.pieces["wear-ring"]]))) == 1


def never_end(_at: Numbers, _row: Numbers) -> Solid:
    threading.Event().wait()
    raise AssertionError("nobody waits for it")


def test_what_is_not_wanted_any_more_is_abandoned_in_the_midst_within_a_second(
    pump: Build, builders: Builders
) -> None:
    list(builders.make([pump.pieces["wear-ring"]]))
    before = find_processes(builders)
    asked = iter([True, True, False])
    endless = break_part(pump.pieces["wear-ring"], never_end)
    begun_s = time.monotonic()
    with pytest.raises(StoppedError):
        list(builders.make([endless], lambda: next(asked)))
    assert time.monotonic() - begun_s < 1.0
    after = find_processes(builders)
    assert len(after) == 1
    assert not after & before
    assert len(list(builders.make([pump.pieces["wear-ring"]]))) == 1


def test_each_solid_is_told_with_the_time_it_took(pump: Build, builders: Builders) -> None:
    (made,) = builders.make([pump.pieces["wear-ring"]])
    assert 0.0 < made.seconds < 60.0


ORPHAN = """
import sys, time
from models.solids.builders import Builders
if __name__ == "__main__":
    builders = Builders(1)
    builders.warm_up()
    print(*(worker.process.pid for worker in builders._idle), flush=True)
    time.sleep(60)
"""


def test_builders_end_with_a_window_that_is_killed(tmp_path: Path) -> None:
    script = tmp_path / "window.py"
    script.write_text(ORPHAN, encoding="utf-8")
    house = str(Path(__file__).resolve().parents[3])
    with subprocess.Popen(
        [sys.executable, str(script)],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        env=os.environ | {"PYTHONPATH": house},
    ) as window:
        assert window.stdout
        number = int(window.stdout.readline())
        assert Path(f"/proc/{number}").exists()
        window.kill()
    deadline = time.monotonic() + 30.0
    while _is_running(number):
        assert time.monotonic() < deadline, "a builder outlived its window"
        os.sched_yield()


def _is_running(number: int) -> bool:
    try:
        state = (
            Path(f"/proc/{number}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()[0]
        )
    except (FileNotFoundError, ProcessLookupError):
        return False
    return state != "Z"
