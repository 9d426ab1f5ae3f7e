"""The exploded view as a page: a long string of parts in strips, continued from one to the next at marks."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw

from models.spec.assembly import Assembly
from trainer.core.order.layout import Layout
from trainer.stage.camera import Camera, Region, make_sighted_camera
from trainer.stage.leaders import find_leaders
from trainer.stage.lettering import Lettering
from trainer.stage.look import make_letters
from trainer.stage.scene import Finish, Stage
from trainer.stage.strips import Strip, find_strips

_MARK_PX = 15.0
_BETWEEN_PX = 16.0


@dataclass(frozen=True, slots=True, eq=False)
class Cell:
    """A strip's place on the page: its camera, and its frame in whole pixels."""

    camera: Camera
    left: int
    top: int
    width: int
    height: int


def draw_exploded(
    assembly: Assembly,
    layout: Layout,
    *,
    apart: float = 1.0,
    size: tuple[int, int] = (1280, 720),
    title: str = "",
    caption: str = "",
    stage: Stage | None = None,
    finish: Finish = Finish.PRINT,
) -> Image.Image:
    """Draw an assembly taken apart, from where its layout keeps every part in sight.

    Args:
        assembly: what to draw.
        layout: where the parts go; made with the assembly, so that it knows their outlines.
        apart: from 0 (together) to 1 (all steps done).
        size: width and height in pixels.
        title: a sentence above.
        caption: a sentence below.
        stage: a stage to draw on again.
        finish: PRINT, or REST for small pictures.

    Raises:
        SurroundingsError: where this machine cannot draw.
    """
    if stage is None:
        stage = Stage(assembly)
    elif stage.assembly is not assembly:
        stage.replace_assembly(assembly)
    stage.set_offsets(layout.offsets_at(apart), layout.seats_at(apart))
    letters = Lettering(stage.look, size[1])
    page = Image.new("RGB", size, stage.look.ground)
    top = letters.draw_title(page, title)
    bottom = size[1] - letters.draw_caption(page, caption)
    side = letters.pad_px + 2.0 * _MARK_PX * letters.scale
    region = Region(side, top, size[0] - side, bottom)
    cells = lay_out_page(stage, layout, region, _BETWEEN_PX * letters.scale)
    stage.trails = True
    for cell in cells:
        stage.camera = cell.camera
        drawn, _ = stage.frame_with_numbers(cell.width, cell.height, finish)
        page.paste(Image.fromarray(drawn), (cell.left, cell.top))
    draw_marks(page, stage, layout, apart, cells, letters.scale)
    return page


def lay_out_page(
    stage: Stage, layout: Layout, region: Region, between_px: float, wished: int | None = None
) -> tuple[Cell, ...]:
    """Lay the pieces, where they stand on the stage now, out in strips inside a region of the page.

    wished: how many strips; as many as are worth it if None.
    """
    camera = make_sighted_camera(layout.sight)
    boxes = find_boxes(stage, camera)
    strips, mm_per_px = find_strips(boxes, (region.width, region.height), between_px, wished)
    tall = [strip.height_mm / mm_per_px for strip in strips]
    free = region.height - sum(tall) - between_px * (len(strips) - 1)
    # What is left over goes between the strips and around them alike.
    extra = max(free, 0.0) / (len(strips) + 1)
    cells = []
    at = region.top + extra
    for strip, height in zip(strips, tall, strict=True):
        wide = strip.width_mm / mm_per_px
        left = (region.left + region.right - wide) / 2.0
        cells.append(_make_cell(camera, strip, mm_per_px, (left, at)))
        at += height + between_px + extra
    return tuple(cells)


def _make_cell(camera: Camera, strip: Strip, mm_per_px: float, corner: tuple[float, float]) -> Cell:
    rim = 2  # ink is drawn beside what it outlines
    width = int(np.ceil(strip.width_mm / mm_per_px)) + 2 * rim
    height = int(np.ceil(strip.height_mm / mm_per_px)) + 2 * rim
    middle = (strip.left_mm + strip.right_mm) / 2.0, (strip.low_mm + strip.high_mm) / 2.0
    focus = camera.right * middle[0] + camera.up * middle[1]
    looking = replace(camera, focus_mm=focus, mm_per_px=mm_per_px)
    return Cell(looking, round(corner[0]) - rim, round(corner[1]) - rim, width, height)


def find_boxes(stage: Stage, camera: Camera) -> npt.NDArray[np.float64]:
    """Find each shown piece's left, right, low and high in the picture plane to the last point, (n, 4) mm."""
    plane = np.stack([camera.right, camera.up], axis=1)
    offsets = stage.offsets
    boxes = []
    for piece in stage.assembly.pieces:
        if piece.name not in stage.marks.hidden:
            flat = piece.mesh.points @ plane + offsets[piece.name] @ plane
            low, high = flat.min(axis=0), flat.max(axis=0)
            boxes.append((low[0], high[0], low[1], high[1]))
    return np.array(boxes)


def draw_marks(
    page: Image.Image,
    stage: Stage,
    layout: Layout,
    apart: float,
    cells: tuple[Cell, ...],
    scale: float,
) -> None:
    """Draw the same letter where a strip ends and where the next one goes on."""
    leaders = find_leaders(stage.assembly, layout.offsets_at(apart), layout.seats_at(apart))
    draw = ImageDraw.Draw(page)
    font = make_letters(stage.look.heavy_letters, round(0.95 * _MARK_PX * scale))
    for number, (cell, after) in enumerate(itertools.pairwise(cells)):
        letter = "ABCDEFGH"[number]
        for one, is_end in ((cell, True), (after, False)):
            x_px, y_px = _find_crossing(leaders, one, is_end=is_end)
            way = 1 if is_end else -1
            middle = (one.left + x_px + way * 1.1 * _MARK_PX * scale, one.top + y_px)
            radius = 0.72 * _MARK_PX * scale
            box = [middle[0] - radius, middle[1] - radius, middle[0] + radius, middle[1] + radius]
            draw.ellipse(box, outline=stage.look.ink, width=max(1, round(1.5 * scale)))
            draw.text(middle, letter, fill=stage.look.ink, font=font, anchor="mm")


def _find_crossing(
    leaders: list[tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]],
    cell: Cell,
    *,
    is_end: bool,
) -> tuple[float, float]:
    """Find where the longest leader that runs on passes the end (or the beginning) of a strip, in its pixels."""
    size = cell.width, cell.height
    edge = float(cell.width if is_end else 0)
    best, longest = (edge, cell.height / 2.0), 0.0
    for start, end in leaders:
        (x0, y0, _), (x1, y1, _) = cell.camera.project(np.stack([start, end]), size)
        if min(x0, x1) < edge < max(x0, x1) and abs(x1 - x0) > longest:
            best, longest = (edge, y0 + (y1 - y0) * (edge - x0) / (x1 - x0)), abs(x1 - x0)
    return best
