"""A chain as one picture: arrows as long as the parts they cross, under the section, with the gap close up."""

from __future__ import annotations

import numpy as np
import pytest

from models.spec.clearance import Clearance
from models.spec.errors import RefusalError
from models.spec.face import Axis
from trainer.session.bench import Bench, open_bench
from trainer.stage.chain_drawing import ChainDrawing, Row, draw_chain
from trainer.stage.look import Look
from trainer.stage.scene import Stage
from trainer.stage.told_chain import draw_told_chain, make_chain_drawing
from trainer.words import load_words

WORDS = load_words()
SIZE = (960, 600)
LOOK = Look()


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250")


def list_drawable(bench: Bench) -> list[Clearance]:
    return [one for one in bench.build.clearances if one.is_plain]


def count_near(picture: np.ndarray, colour: tuple[int, int, int]) -> int:
    return int((np.abs(picture - colour).max(axis=-1) < 40).sum())


@pytest.mark.parametrize("name", ["end-suction/100-250", "self-priming/100"])
def test_every_walk_of_a_pump_is_drawn_with_points_where_its_legs_end(name: str) -> None:
    bench = open_bench(name)
    for clearance in list_drawable(bench):
        chain = make_chain_drawing(WORDS, bench, clearance.name)
        number = list(Axis).index(chain.axis)
        gap = chain.gap[1][number] - chain.gap[0][number]
        halves = 2 if clearance.kind == "diametral" else 1
        assert halves * gap == pytest.approx(float(bench.build.read_chain(clearance)), abs=0.002)
        assert sum(row.share for row in chain.rows) == pytest.approx(1.0)


def test_a_drawing_shows_the_gap_in_the_accent_and_its_parts_in_ink(bench: Bench) -> None:
    picture = np.asarray(draw_told_chain(WORDS, bench, "back-vane", size=SIZE)).astype(int)
    assert count_near(picture, LOOK.accent) > 400
    floor = picture[round(0.62 * SIZE[1]) :]
    assert count_near(floor, LOOK.ink) > 400


def test_the_gap_is_drawn_close_up_with_its_own_arrows(bench: Bench) -> None:
    picture = np.asarray(draw_told_chain(WORDS, bench, "front-gap", size=SIZE)).astype(int)
    corner = picture[: round(0.5 * SIZE[1]), round(0.76 * SIZE[0]) :]
    assert count_near(corner, LOOK.accent) > 150


def test_an_arrow_twice_as_long_crosses_a_part_twice_as_long(bench: Bench) -> None:
    """Two legs of one length each way, then half that: measured on the picture by the ink of their rows."""
    points = [np.array([x, 0.0, 60.0]) for x in (0.0, 400.0, 200.0)]
    rows = [
        Row("", start, end, 0.5, "")
        for start, end in ((points[0], points[1]), (points[1], points[2]))
    ]
    chain = ChainDrawing(Axis.X, rows, "", (points[0], points[2]), points[2])
    stage = Stage(bench.assembly)
    picture = np.asarray(draw_chain(bench.assembly, chain, size=SIZE, stage=stage)).astype(int)
    floor = picture[round(0.81 * SIZE[1]) :, : round(0.74 * SIZE[0])]
    ink = (np.abs(floor - LOOK.ink).max(axis=-1) < 60).sum(axis=1)
    longest = int(ink.max())
    halved = [int(run) for run in ink if run < 0.75 * longest]
    assert longest > 200
    assert max(halved) == pytest.approx(longest / 2, rel=0.12)


def test_an_unknown_clearance_is_refused_with_those_near(bench: Bench) -> None:
    with pytest.raises(RefusalError, match="back-vane"):
        draw_told_chain(WORDS, bench, "back-vain", size=SIZE)


def test_what_is_computed_is_drawn_with_its_dimensions_named_at_their_parts(bench: Bench) -> None:
    computed = [one.name for one in bench.build.clearances if not one.is_plain]
    assert computed
    for name in computed[:2]:
        picture = np.asarray(draw_told_chain(WORDS, bench, name, size=SIZE)).astype(int)
        assert count_near(picture, LOOK.ink) > 2000, name
