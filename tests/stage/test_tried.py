"""A tried move as one picture: both ends, the contact, and what stops it, seen and signed."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from trainer.session.bench import Bench, open_bench
from trainer.session.wrong_move import TriedMove, try_piece
from trainer.stage.camera import ViewName
from trainer.stage.in_front import LOOK_PX, SEEN_SHARE, find_in_front
from trainer.stage.look import Look
from trainer.stage.marks import Marks
from trainer.stage.scene import Finish, Stage
from trainer.stage.tried import draw_tried, find_outlook

SMALL = (800, 450)
NONE: frozenset[str] = frozenset()


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250")


@pytest.fixture(scope="module")
def cap(bench: Bench) -> TriedMove:
    return try_piece(bench, "bearing-cap", ["cap-screw"])


def draw(bench: Bench, tried: TriedMove, **more: str) -> np.ndarray:
    labels = {name: name for name in sorted({tried.piece, *sorted(tried.hindrance)[:1]})}
    picture = draw_tried(
        bench.assembly, tried, labels=labels, size=SMALL, finish=Finish.REST, **more
    )
    assert isinstance(picture, Image.Image)
    return np.asarray(picture.convert("RGB")).astype(int)


def count_near(picture: np.ndarray, colour: tuple[int, int, int]) -> int:
    return int((np.abs(picture - colour).max(axis=-1) < 40).sum())


def test_the_picture_shows_the_piece_the_hindrance_and_the_sentence(
    bench: Bench, cap: TriedMove
) -> None:
    look = Look()
    bare, told = draw(bench, cap), draw(bench, cap, title="Bearing cap: not yet", caption="Why.")
    assert count_near(bare, look.accent) > 300
    assert count_near(bare, look.in_the_way) > 150
    head, foot = told[20:50, 20:300], told[-50:-20, 20:200]
    assert (head.sum(axis=-1) < 200).any()
    assert (foot.sum(axis=-1) < 200).any()


def test_without_colour_the_hindrance_is_still_told_by_its_stripes(
    bench: Bench, cap: TriedMove
) -> None:
    """Drawn in grey, the coupling key has a pattern of light and dark that the bare key has not."""
    stage = Stage(bench.assembly)
    stage.look_from(ViewName.ISO_DRIVE)
    stage.set_marks(Marks(hidden=frozenset(bench.assembly.by_name) - cap.hindrance))
    stage.fit(SMALL)
    spread = []
    for marked in (NONE, cap.hindrance):
        stage.set_marks(Marks(in_the_way=marked, hidden=stage.marks.hidden))
        frame, numbers = stage.frame_with_numbers(*SMALL, Finish.REST)
        assert numbers is not None
        grey = frame.astype(float).mean(axis=-1)[numbers > 0]
        spread.append(np.abs(np.diff(grey)).mean())
    assert spread[1] > 1.5 * spread[0]


def test_the_start_is_drawn_as_glass_where_the_piece_has_moved(
    bench: Bench, cap: TriedMove
) -> None:
    still = TriedMove(cap.found, cap.moving, cap.gone, cap.hindrance, cap.direction, 0.0)
    assert (draw(bench, cap) != draw(bench, still)).any(axis=-1).mean() > 0.01


@pytest.mark.parametrize(
    "piece", ["impeller", "seal-spring", "wear-ring", "lock-nut", "back-plate"]
)
def test_piece_and_hindrance_are_seen_however_deep_they_lie(bench: Bench, piece: str) -> None:
    tried = try_piece(bench, piece)
    stage = Stage(bench.assembly)
    stage.set_offsets(dict.fromkeys(tried.moving, tried.shift_mm))
    outlook = find_outlook(stage, tried, NONE)
    stage.set_section(outlook.section)
    stage.set_marks(Marks(hidden=tried.gone, ghosted=outlook.ghosted))
    numbers = stage.frame_of_numbers(*LOOK_PX)
    known = stage.find_numbers()
    assert (numbers == known[piece]).sum() > 40
    assert max((numbers == known[name]).sum() for name in tried.hindrance) > 20


def test_a_piece_in_the_open_turns_nothing_to_glass(bench: Bench, cap: TriedMove) -> None:
    outlook = find_outlook(Stage(bench.assembly), cap, NONE)
    assert outlook.ghosted == NONE
    assert not outlook.section


def test_only_what_stands_in_front_turns_to_glass(bench: Bench) -> None:
    stage = Stage(bench.assembly)
    stage.fit(LOOK_PX)
    wanted = frozenset({"impeller"})
    glass = find_in_front(stage, wanted, NONE)
    assert {"suction-cover", "volute"} & glass
    assert not {"coupling-key", "cap-screw-1", "drain-plug", "impeller"} & glass
    stage.set_marks(Marks(hidden=frozenset(bench.assembly.by_name) - wanted))
    alone = stage.frame_of_numbers(*LOOK_PX) > 0
    stage.set_marks(Marks(ghosted=glass))
    seen = stage.frame_of_numbers(*LOOK_PX) == stage.find_numbers()["impeller"]
    assert (seen & alone).sum() >= SEEN_SHARE * alone.sum()
