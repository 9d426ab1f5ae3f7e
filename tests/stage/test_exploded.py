"""The exploded page of every build: nothing hidden, nothing cut, nothing lost off the page."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import numpy as np
import pytest
from PIL import Image

from tests.shown_builds import BUILDS, PUMP
from trainer.session.bench import Bench, open_bench
from trainer.stage.camera import Region, make_sighted_camera
from trainer.stage.exploded import draw_exploded, find_boxes, lay_out_page
from trainer.stage.marks import NO_MARKS, Marks
from trainer.stage.scene import Finish, Stage

pytestmark = pytest.mark.xdist_group("exploded")  # each pump is laid out once

LINE_MM_PER_PX = 1.2
"""All in one line, so large that the smallest parts still cover some dozens of pixels."""
PAGES = [(1280, 720), (1920, 1080), (1697, 1200)]
"""Two screens, and the shape of an A3 sheet."""


@pytest.fixture(
    scope="module", params=BUILDS, ids=lambda chosen: "-".join(chosen.values()) or "usual"
)
def bench(request: pytest.FixtureRequest) -> Bench:
    return open_bench(PUMP, request.param)


@pytest.fixture(scope="module")
def shared_stage(bench: Bench) -> Stage:
    return Stage(bench.assembly)


@pytest.fixture
def stage(shared_stage: Stage, bench: Bench) -> Iterator[Stage]:
    shared_stage.set_offsets(bench.layout.offsets_at(1.0), bench.layout.seats_at(1.0))
    shared_stage.trails = False
    yield shared_stage
    shared_stage.set_marks(NO_MARKS)


def count_hidden(stage: Stage, size: tuple[int, int]) -> dict[str, tuple[int, int]]:
    """Count by piece the pixels it covers alone, and how many of those others hide."""
    numbers = stage.find_numbers()
    together = np.bincount(
        stage.frame_of_numbers(*size).ravel(), minlength=max(numbers.values()) + 1
    )
    found = {}
    for name, number in numbers.items():
        stage.set_marks(Marks(hidden=frozenset(numbers) - {name}))
        alone = int((stage.frame_of_numbers(*size) == number).sum())
        found[name] = alone, alone - int(together[number])
    stage.set_marks(NO_MARKS)
    return found


def find_line_px(stage: Stage) -> tuple[int, int]:
    """Aim the camera at all in one line, and find the width and height in pixels that it takes."""
    boxes = find_boxes(stage, stage.camera)
    wide, tall = (np.ptp(boxes[:, pair]) / LINE_MM_PER_PX for pair in ((0, 1), (2, 3)))
    size = round(1.04 * wide), round(1.04 * tall)
    stage.fit(size, margin=0.01)
    return size


def test_no_pixel_of_any_part_is_hidden_by_another(stage: Stage, bench: Bench) -> None:
    stage.camera = make_sighted_camera(bench.layout.sight)
    counted = count_hidden(stage, find_line_px(stage))
    assert min(alone for alone, _ in counted.values()) > 24
    assert {name: hidden for name, (_, hidden) in counted.items() if hidden} == {}


def test_together_much_is_hidden_so_the_count_is_not_blind(stage: Stage, bench: Bench) -> None:
    stage.set_offsets({})
    stage.camera = make_sighted_camera(bench.layout.sight)
    counted = count_hidden(stage, find_line_px(stage))
    assert sum(hidden > 0.5 * alone for alone, hidden in counted.values()) > 20


@pytest.mark.parametrize("page", PAGES)
def test_every_piece_lies_whole_in_one_strip_on_the_page(
    stage: Stage, bench: Bench, page: tuple[int, int]
) -> None:
    region = Region(40, 60, page[0] - 40, page[1] - 60)
    cells = lay_out_page(stage, bench.layout, region, 12.0)
    for first, second in itertools.pairwise(cells):
        assert first.top + first.height <= second.top
    for cell in cells:
        assert cell.left >= 0
        assert cell.left + cell.width <= page[0]
        assert cell.top >= 0
        assert cell.top + cell.height <= page[1]
    for piece in bench.assembly.pieces:
        points = piece.mesh.points + stage.offsets[piece.name]
        seen = 0
        for cell in cells:
            x, y, _ = cell.camera.project(points, (cell.width, cell.height)).T
            seen += bool(
                x.min() >= 0 and x.max() <= cell.width and y.min() >= 0 and y.max() <= cell.height
            )
        assert seen == 1, piece.name


@pytest.mark.parametrize("page", PAGES)
def test_the_page_is_well_used(stage: Stage, bench: Bench, page: tuple[int, int]) -> None:
    """The strips fill the page one way and most of it the other way, and in one line nothing would be larger."""
    region = Region(40, 60, page[0] - 40, page[1] - 60)
    cells = lay_out_page(stage, bench.layout, region, 12.0)
    wide = max(cell.width for cell in cells) / region.width
    tall = (sum(cell.height for cell in cells) + 12.0 * (len(cells) - 1)) / region.height
    assert max(wide, tall) > 0.97
    assert min(wide, tall) > 0.6
    stage.camera = make_sighted_camera(bench.layout.sight)
    stage.fit(page, region)
    assert stage.camera.mm_per_px > (0.99 if len(cells) == 1 else 1.18) * cells[0].camera.mm_per_px


def test_a_page_has_a_clean_rim_and_marks_where_strips_go_on(stage: Stage, bench: Bench) -> None:
    picture = draw_exploded(
        bench.assembly, bench.layout, size=(960, 540), stage=stage, finish=Finish.REST
    )
    bare = draw_exploded(
        bench.assembly, bench.layout, apart=0.0, size=(960, 540), stage=stage, finish=Finish.REST
    )
    dark = np.asarray(picture.convert("L")) < 110
    rim = np.concatenate(
        [dark[:6].ravel(), dark[-6:].ravel(), dark[:, :6].ravel(), dark[:, -6:].ravel()]
    )
    assert not rim.any()
    assert isinstance(bare, Image.Image)
    assert (np.asarray(bare) != np.asarray(picture)).any()
