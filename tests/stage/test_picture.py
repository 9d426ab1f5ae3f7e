from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from models.spec.assembly import Assembly
from models.spec.errors import RefusalError, SurroundingsError
from models.spec.part import Material
from trainer.stage.look import Look, find_letters_file
from trainer.stage.picture import draw_picture
from trainer.stage.scene import Finish, Stage
from trainer.stage.sheet import draw_contact_sheet

SMALL = (640, 400)


def _dark(picture: Image.Image) -> np.ndarray:
    return np.asarray(picture.convert("L")) < 110


def test_a_picture_has_its_size_title_and_caption_and_a_clean_rim(bench_pump: Assembly) -> None:
    picture = draw_picture(
        bench_pump, size=SMALL, title="Bench pump", caption="Assembled.", finish=Finish.REST
    )
    dark = _dark(picture)
    assert picture.size == SMALL
    assert dark[14:40, :200].any()
    assert dark[-40:-10, :150].any()
    assert not np.concatenate(
        [dark[:8].ravel(), dark[-8:].ravel(), dark[:, :8].ravel(), dark[:, -8:].ravel()]
    ).any()


@pytest.mark.parametrize("camera", ["iso", "side", "suction", "drive", "top"])
def test_labels_leave_the_picture_whole_in_every_view(bench_pump: Assembly, camera: str) -> None:
    names = ("volute", "impeller", "shaft", "bracket", "bearing-cap", "back-plate", "seal-seat")
    labels = {name: name.replace("-", " ") for name in names}
    picture = draw_picture(
        bench_pump, size=SMALL, camera=camera, section=True, labels=labels, finish=Finish.REST
    )
    dark = _dark(picture)
    assert not np.concatenate(
        [dark[:8].ravel(), dark[-8:].ravel(), dark[:, :8].ravel(), dark[:, -8:].ravel()]
    ).any()


def test_a_label_points_into_its_own_piece(bench_pump: Assembly) -> None:
    stage = Stage(bench_pump)
    picture = draw_picture(
        bench_pump,
        size=SMALL,
        camera="side",
        section=True,
        labels={"impeller": "impeller"},
        stage=stage,
        finish=Finish.REST,
    )
    _, numbers = stage.frame_with_numbers(*SMALL, Finish.REST)
    assert numbers is not None
    bare = draw_picture(
        bench_pump, size=SMALL, camera="side", section=True, stage=stage, finish=Finish.REST
    )
    assert bare.size == picture.size
    impeller = numbers == stage.find_numbers()["impeller"]
    # The dot's dark middle lies on the impeller, whose cut face is pale.
    assert (_dark(picture) & impeller).any()


def test_an_unknown_piece_is_refused_with_its_near_match(bench_pump: Assembly) -> None:
    with pytest.raises(RefusalError, match=r"impeler.*did you mean impeller"):
        draw_picture(bench_pump, size=SMALL, lit=frozenset({"impeler"}))


def test_too_many_labels_are_refused_not_dropped(bench_pump: Assembly) -> None:
    labels = {piece.name: f"the piece that is called {piece.name}" for piece in bench_pump.pieces}
    with pytest.raises(RefusalError, match="label fewer"):
        draw_picture(bench_pump, size=SMALL, labels=labels)


def test_a_series_on_one_stage_equals_single_pictures(bench_pump: Assembly) -> None:
    stage = Stage(bench_pump)
    draw_picture(
        bench_pump,
        size=SMALL,
        section=True,
        stage=stage,
        lit=frozenset({"shaft"}),
        finish=Finish.REST,
    )
    again = draw_picture(bench_pump, size=SMALL, stage=stage, finish=Finish.REST)
    alone = draw_picture(bench_pump, size=SMALL, finish=Finish.REST)
    assert np.abs(np.asarray(again).astype(int) - np.asarray(alone).astype(int)).max() <= 2


def test_an_arrow_points_the_way_a_piece_leaves(bench_pump: Assembly) -> None:
    plain = draw_picture(bench_pump, size=SMALL, camera="side", finish=Finish.REST)
    arrow = draw_picture(
        bench_pump,
        size=SMALL,
        camera="side",
        arrows={"bracket": np.array([1.0, 0.0, 0.0])},
        finish=Finish.REST,
    )
    changed = np.nonzero((np.asarray(plain) != np.asarray(arrow)).any(axis=-1))
    assert 200 < len(changed[0]) < 5000
    # The head, at the right, is wider than the shaft of the arrow.
    left, right = changed[1].min(), changed[1].max()
    heights = [len(np.unique(changed[0][changed[1] == x])) for x in range(left, right + 1)]
    assert int(np.argmax(heights)) > 0.5 * len(heights)


def test_a_sheet_holds_every_picture_and_whole_captions() -> None:
    cell = Image.new("RGB", (800, 500), (10, 120, 30))
    sheet = draw_contact_sheet(
        [(cell, "A caption long enough to need two lines " * 2)] * 7, title="Seven"
    )
    green = (np.asarray(sheet) == (10, 120, 30)).all(axis=-1)
    assert sheet.width <= 1300
    assert green.sum() == pytest.approx(7 * 396 * 247, rel=0.02)
    assert not _dark(sheet)[-12:].any()


def test_a_sheet_without_pictures_is_an_error() -> None:
    with pytest.raises(ValueError, match="at least one"):
        draw_contact_sheet([])


def test_every_material_has_a_tone() -> None:
    look = Look()
    assert set(Material) <= set(look.tones)
    tones = [look.find_tone(material) for material in Material]
    assert len(set(tones)) == len(tones)


def _luminance(colour: tuple[int, int, int]) -> float:
    # Relative luminance as web accessibility guidance defines it (WCAG 2, from memory).
    shares = [c / 255 / 12.92 if c <= 10 else ((c / 255 + 0.055) / 1.055) ** 2.4 for c in colour]
    return 0.2126 * shares[0] + 0.7152 * shares[1] + 0.0722 * shares[2]


@pytest.mark.parametrize("name", ["ink", "accent", "in_the_way"])
def test_letters_stand_out_from_the_ground(name: str) -> None:
    look = Look()
    high, low = _luminance(look.ground), _luminance(getattr(look, name))
    assert (high + 0.05) / (low + 0.05) >= 4.5


def test_a_missing_typeface_is_told() -> None:
    with pytest.raises(SurroundingsError, match=r"NoSuch\.ttf"):
        find_letters_file("NoSuch.ttf")
