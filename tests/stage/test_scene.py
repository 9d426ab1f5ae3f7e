from __future__ import annotations

import ctypes
from dataclasses import replace

import numpy as np
import pytest

from models.spec.assembly import Assembly
from models.spec.errors import SurroundingsError
from models.spec.face import Axis
from trainer.stage.camera import ViewName
from trainer.stage.cut import Cut
from trainer.stage.marks import Marks
from trainer.stage.offscreen import make_window
from trainer.stage.scene import Finish, Stage

SIZE = (480, 300)
Frame = np.ndarray


@pytest.fixture(scope="module")
def shared_stage(bench_pump: Assembly) -> Stage:
    return Stage(bench_pump)


@pytest.fixture
def stage(shared_stage: Stage, bench_pump: Assembly) -> Stage:
    shared_stage.replace_assembly(bench_pump)
    shared_stage.set_marks(Marks())
    shared_stage.set_offsets({})
    shared_stage.set_section(section=False)
    shared_stage.trails = False
    shared_stage.look_from("iso")
    shared_stage.fit(SIZE)
    return shared_stage


def _is_drawn(frame: Frame, stage: Stage) -> Frame:
    ground = np.array(stage.look.ground)
    return np.asarray(np.abs(frame[..., :3].astype(int) - ground).max(axis=-1) > 24)


@pytest.mark.parametrize("view", list(ViewName))
def test_nothing_is_clipped_in_any_view(stage: Stage, view: ViewName) -> None:
    stage.look_from(view)
    stage.fit(SIZE)
    drawn = _is_drawn(stage.frame(*SIZE, Finish.REST), stage)
    assert drawn.mean() > 0.1
    rim = np.concatenate(
        [drawn[:6].ravel(), drawn[-6:].ravel(), drawn[:, :6].ravel(), drawn[:, -6:].ravel()]
    )
    assert not rim.any()


@pytest.mark.parametrize("finish", list(Finish))
def test_a_frame_is_opaque_and_the_same_twice(stage: Stage, finish: Finish) -> None:
    first = stage.frame(*SIZE, finish)
    assert first.shape == (300, 480, 4)
    assert first.dtype == np.uint8
    assert (first[..., 3] == 255).all()
    # Faces that fight for a pixel would differ from frame to frame or at least from turn to turn.
    assert (stage.frame(*SIZE, finish) == first).all()


def test_picking_agrees_with_what_is_drawn(stage: Stage) -> None:
    _, numbers = stage.frame_with_numbers(*SIZE, Finish.REST)
    assert numbers is not None
    by_number = {number: name for name, number in stage.find_numbers().items()}
    agreed = total = 0
    for y in range(10, SIZE[1], 15):
        for x in range(10, SIZE[0], 15):
            total += 1
            agreed += stage.pick(x + 0.5, y + 0.5, SIZE) == by_number.get(int(numbers[y, x]))
    # Pixels on an outline may fall to either side.
    assert agreed / total > 0.98


def test_picking_looks_into_the_section(stage: Stage) -> None:
    stage.look_from("side")
    stage.fit(SIZE)
    x_px, y_px, _ = stage.camera.project(np.array([[40.0, 0.0, 100.0]]), SIZE)[0]
    assert stage.pick(x_px, y_px, SIZE) == "volute"
    stage.set_section(section=True)
    assert stage.pick(x_px, y_px, SIZE) == "impeller"


def test_picking_sees_through_glass_only_where_something_stands_behind(stage: Stage) -> None:
    stage.look_from("side")
    stage.fit(SIZE)
    x_px, y_px, _ = stage.camera.project(np.array([[40.0, 0.0, 100.0]]), SIZE)[0]
    stage.set_marks(Marks(ghosted=frozenset({"volute"})))
    assert stage.pick(x_px, y_px, SIZE) == "impeller"
    x_px, y_px, _ = stage.camera.project(np.array([[4.0, 0.0, 159.0]]), SIZE)[0]
    stage.set_marks(Marks(ghosted=frozenset({"volute"}), hidden=frozenset({"discharge-pipe"})))
    assert stage.pick(x_px, y_px, SIZE) == "volute"


def test_picking_follows_a_moved_piece_and_finds_nothing_on_bare_ground(stage: Stage) -> None:
    stage.set_offsets({"suction-cover": np.array([-400.0, 0.0, 0.0])})
    stage.look_from("side")
    stage.fit(SIZE)
    x_px, y_px, _ = stage.camera.project(np.array([[-407.0, 0.0, 155.0]]), SIZE)[0]
    assert stage.pick(x_px, y_px, SIZE) == "suction-cover"
    assert stage.pick(3.0, 3.0, SIZE) is None


def test_marks_show_their_colours_and_differ_by_more_than_colour(stage: Stage) -> None:
    plain = stage.frame(*SIZE, Finish.REST)
    stage.set_marks(Marks(lit=frozenset({"suction-cover"})))
    lit = stage.frame(*SIZE, Finish.REST)
    stage.set_marks(Marks(in_the_way=frozenset({"suction-cover"})))
    barred = stage.frame(*SIZE, Finish.REST)
    cover = np.abs(lit.astype(int) - plain.astype(int)).max(axis=-1) > 40
    assert cover.mean() > 0.03
    assert lit[cover][:, 2].mean() > lit[cover][:, 0].mean() + 30
    assert barred[cover][:, 0].mean() > barred[cover][:, 2].mean() + 30
    # Stripes: in grey, the barred piece is far more uneven than the lit one.
    grey = [np.diff(frame[..., :3].mean(axis=-1), axis=1)[cover[:, 1:]] for frame in (lit, barred)]
    assert np.abs(grey[1]).mean() > 2.0 * np.abs(grey[0]).mean()


def test_a_lit_piece_behind_others_is_outlined_through_them(stage: Stage) -> None:
    plain = stage.frame(*SIZE, Finish.REST)
    stage.set_marks(Marks(lit=frozenset({"bearing-outboard-outer"})))
    outlined = (stage.frame(*SIZE, Finish.REST) != plain).any(axis=-1)
    assert 20 < outlined.sum() < 1500


def test_hidden_pieces_are_not_drawn_and_ghosts_let_the_inside_show(stage: Stage) -> None:
    shell = frozenset({"volute", "suction-cover", "discharge-pipe"})
    number = stage.find_numbers()["impeller"]
    _, whole = stage.frame_with_numbers(*SIZE, Finish.REST)
    stage.set_marks(Marks(ghosted=shell))
    ghosted, through = stage.frame_with_numbers(*SIZE, Finish.REST)
    stage.set_marks(Marks(hidden=shell))
    hidden, bare = stage.frame_with_numbers(*SIZE, Finish.REST)
    assert whole is not None
    assert through is not None
    assert bare is not None
    assert (through == number).sum() > 5 * (whole == number).sum()
    assert (through == bare).all()
    # The glass still shows faintly where nothing else stands.
    assert (np.abs(ghosted.astype(int) - hidden.astype(int)).max(axis=-1) > 4).mean() > 0.03


def test_the_section_opens_the_pump(stage: Stage) -> None:
    number = stage.find_numbers()["impeller"]
    stage.look_from("side")
    _, whole = stage.frame_with_numbers(*SIZE, Finish.REST)
    stage.set_section(section=True)
    _, cut = stage.frame_with_numbers(*SIZE, Finish.REST)
    assert whole is not None
    assert cut is not None
    assert (whole == number).sum() == 0
    assert (cut == number).sum() > 300


def test_replacing_the_assembly_keeps_what_did_not_change(
    stage: Stage, bench_pump: Assembly
) -> None:
    stage.set_offsets({"impeller": np.array([-50.0, 0.0, 0.0])})
    before = dict(stage._actors)
    numbers = stage.find_numbers()
    moved = tuple(
        replace(piece, mesh=piece.mesh.moved(np.eye(3), np.array([0.4, 0.0, 0.0])))
        if piece.name == "impeller"
        else piece
        for piece in bench_pump.pieces
        if piece.name != "shim-2"
    )
    stage.replace_assembly(Assembly("bench-pump", moved))
    assert set(stage._actors) == set(before) - {"shim-2"}
    for name, actor in stage._actors.items():
        assert (actor is before[name]) is (name != "impeller"), name
    assert numbers["impeller"] != stage.find_numbers()["impeller"]
    assert stage.find_centre("impeller")[0] == pytest.approx(23.4 - 50.0, abs=0.01)


def test_trails_show_the_way_a_piece_came(stage: Stage) -> None:
    stage.set_offsets({"coupling-key": np.array([0.0, 0.0, 150.0])})
    stage.fit(SIZE)
    without = stage.frame(*SIZE, Finish.REST)
    stage.trails = True
    with_trails = stage.frame(*SIZE, Finish.REST)
    assert 10 < (without != with_trails).any(axis=-1).sum() < 1000


def test_a_machine_without_the_library_is_told_so(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(name: str) -> ctypes.CDLL:
        raise OSError(name)

    monkeypatch.setattr(ctypes, "CDLL", refuse)
    with pytest.raises(SurroundingsError, match=r"libEGL\.so\.1"):
        make_window()


def test_fitting_the_section_leaves_out_what_is_taken_away(stage: Stage) -> None:
    stage.look_from("drive")
    whole = np.ptp(stage.find_points()[:, 1])
    stage.set_section(section=True)
    assert np.ptp(stage.find_points()[:, 1]) < 0.7 * whole


@pytest.mark.parametrize("cut", [Cut(Axis.X, 60.0), Cut(Axis.Y, 12.0, -1), Cut(Axis.Z, -8.0)])
def test_a_cut_goes_along_with_a_moved_piece_and_only_what_is_drawn_is_picked(
    bench_pump: Assembly, cut: Cut
) -> None:
    stage = Stage(bench_pump)
    stage.set_offsets({"suction-cover": np.array([-60.0, 0.0, 0.0])})
    stage.look_from(ViewName.ISO_DRIVE)
    stage.set_cut(cut)
    stage.fit(SIZE)
    numbers = stage.frame_of_numbers(*SIZE)
    by_number = {number: name for name, number in stage.find_numbers().items()}
    agreed = [
        stage.pick(x + 0.5, y + 0.5, SIZE) == by_number.get(int(numbers[y, x]))
        for x in range(20, SIZE[0], 12)
        for y in range(20, SIZE[1], 12)
    ]
    assert len(np.unique(numbers)) > 4
    assert np.mean(agreed) > 0.99  # a pixel on an edge may fall to either side


def test_a_cut_leaves_the_shade_of_what_it_keeps_alone(stage: Stage) -> None:
    """Seen from the side that stays, a pump cut on the far side looks as it did."""
    stage.look_from(ViewName.ISO_RIGHT)
    stage.fit(SIZE)
    whole = stage.frame(*SIZE, Finish.REST).astype(int)
    stage.set_section(section=True)
    cut = stage.frame(*SIZE, Finish.REST).astype(int)
    both = _is_drawn(whole, stage) & _is_drawn(cut, stage)
    changed = (np.abs(whole - cut).max(axis=-1) > 24) & both
    assert changed.sum() < 0.03 * both.sum()


@pytest.mark.parametrize("finish", [Finish.REST, Finish.PRINT])
def test_a_picture_drawn_in_bands_is_the_picture(
    stage: Stage, monkeypatch: pytest.MonkeyPatch, finish: Finish
) -> None:
    stage.set_marks(Marks(in_the_way=frozenset({"suction-cover"}), lit=frozenset({"impeller"})))
    whole, numbers = stage.frame_with_numbers(*SIZE, finish)
    monkeypatch.setattr("trainer.stage.bands.MOST_PX", 960 * 350)
    in_bands, again = stage.frame_with_numbers(*SIZE, finish)
    assert numbers is not None
    assert again is not None
    assert (numbers != again).mean() < 1e-3
    # Soft shade is made of noise laid over the window, which begins anew with each band.
    assert (np.abs(whole.astype(int) - in_bands.astype(int)).max(axis=-1) > 24).mean() < 2e-3
