"""A wall chart: one page with a build assembled, in half section and taken apart, its changed parts marked and named."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from PIL import Image, ImageDraw

from models.spec.assembly import Assembly
from models.spec.errors import RefusalError
from trainer.core.order.layout import Layout
from trainer.stage.camera import Region, Vector, ViewName, make_sighted_camera
from trainer.stage.exploded import Cell, draw_marks, lay_out_page
from trainer.stage.labels import Flag, Spot, count_rows, lay_out_flags
from trainer.stage.lettering import Lettering
from trainer.stage.picture import draw_picture, find_spot
from trainer.stage.scene import Finish, Stage
from trainer.stage.strips import MOST_STRIPS

VIEWS_SHARE = 0.3
"""Share of the width that the two views at the left get."""
TITLE_PX = 26
"""Size of the title on a page 720 pixels high: on A3 its capitals are 8 mm high."""
BETWEEN_PX = 16.0
GAP_PX = 14.0
"""Least free space beside a label, at a page 720 pixels high."""
LETTER_SHARES = (1.0, 0.85, 0.7, 0.6, 0.5)
"""Sizes of the labels that are tried, as shares of the usual one."""
LEAST_SHARE = 0.3
"""Share of the exploded view's room that the parts must keep beside the labels."""
BAND_SHARE = 0.5
"""Free space beside the rows of labels, as a share of a row."""
MOST_ROUNDS = 8


@dataclass(frozen=True, slots=True)
class Headings:
    """What is written on a page: its title, a heading for each view, and a caption."""

    title: str
    assembled: str
    section: str
    exploded: str
    caption: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class _Strip:
    """A strip of the exploded view with its labels."""

    cell: Cell
    flags: Mapping[str, Flag]


@dataclass(frozen=True, slots=True, eq=False)
class _Text:
    """A label: the point (3,) mm that it names, and its width in pixels."""

    spot_mm: Vector
    width_px: float


def draw_wall_chart(
    assembly: Assembly,
    layout: Layout,
    labels: Mapping[str, str],
    headings: Headings,
    *,
    lit: frozenset[str],
    size: tuple[int, int],
    finish: Finish = Finish.PRINT,
) -> Image.Image:
    """Draw a page of the wall chart.

    Args:
        assembly: what to draw.
        layout: where its parts go; made with the assembly.
        labels: by piece, the name to write beside it in the exploded view.
        headings: what else is written.
        lit: the pieces to mark.
        size: width and height in pixels; letters grow with the height.
        finish: PRINT, or REST for small pages.

    Raises:
        RefusalError: where the labels find no place, even in small letters.
        SurroundingsError: where this machine cannot draw.
    """
    stage = Stage(assembly)
    letters = Lettering(
        replace(stage.look, title_px=TITLE_PX, caption_px=stage.look.label_px), size[1]
    )
    page = Image.new("RGB", size, stage.look.ground)
    top = letters.draw_title(page, headings.title)
    bottom = size[1] - letters.draw_caption(page, headings.caption)
    head = round(1.2 * letters.row_px)
    wide, tall = round(VIEWS_SHARE * size[0]), (bottom - top) // 2
    views = ((headings.assembled, top, ViewName.ISO), (headings.section, top + tall, ViewName.SIDE))
    for heading, above, view in views:
        picture = draw_picture(
            assembly,
            size=(wide - letters.pad_px, tall - head),
            camera=view,
            section=view is ViewName.SIDE,
            lit=lit,
            stage=stage,
            finish=finish,
        )
        page.paste(picture, (letters.pad_px, above + head))
        _write(page, stage, letters, heading, (letters.pad_px, above))
    stage.set_section(section=False)
    left = wide + letters.pad_px
    _write(page, stage, letters, headings.exploded, (left, top))
    region = Region(left, top + head, size[0] - 2 * letters.pad_px, bottom)
    strips, used = _lay_out_strips(stage, layout, region, labels, size)
    for strip in strips:
        cell = strip.cell
        stage.camera = cell.camera
        drawn, _ = stage.frame_with_numbers(cell.width, cell.height, finish)
        page.paste(Image.fromarray(drawn), (cell.left, cell.top))
    draw_marks(page, stage, layout, 1.0, tuple(strip.cell for strip in strips), letters.scale)
    colours = dict.fromkeys(lit, stage.look.accent)
    for strip in strips:
        edges = float(strip.cell.top), float(strip.cell.top + strip.cell.height)
        used.draw_flags(page, strip.flags, labels, edges, colours)
    return page


def _write(
    page: Image.Image, stage: Stage, letters: Lettering, text: str, corner: tuple[int, int]
) -> None:
    ImageDraw.Draw(page).text(corner, text, fill=stage.look.ink, font=letters.marked_label)


def _lay_out_strips(
    stage: Stage, layout: Layout, region: Region, labels: Mapping[str, str], size: tuple[int, int]
) -> tuple[list[_Strip], Lettering]:
    """Lay out the strips with their labels: of all sizes of letters and numbers of strips, the best to read."""
    stage.set_offsets(layout.offsets_at(1.0), layout.seats_at(1.0))
    stage.trails = True
    look = stage.look
    spots_mm = _find_spots(stage, layout, labels, size)
    found: list[tuple[float, list[_Strip], Lettering]] = []
    for share in LETTER_SHARES:
        letters = Lettering(replace(look, label_px=round(look.label_px * share)), size[1])
        texts = {
            name: _Text(spot_mm, letters.measure_label(labels[name], marked=True))
            for name, spot_mm in spots_mm.items()
        }
        for count in range(1, MOST_STRIPS + 1):
            strips = _try_strips(stage, layout, region, texts, letters, count)
            if strips:
                # Large letters and large parts are worth the same.
                found.append((strips[0].cell.camera.mm_per_px / share, strips, letters))
    if found:
        _, best, letters = min(found, key=lambda one: one[0])
        return best, letters
    raise RefusalError(
        f"{len(labels)} labels find no place on a page of {size[0]} × {size[1]} pixels; name fewer parts"
    )


def _try_strips(
    stage: Stage,
    layout: Layout,
    region: Region,
    texts: Mapping[str, _Text],
    letters: Lettering,
    count: int,
) -> list[_Strip] | None:
    """Lay out so many strips and labels, which take room from each other, until both rest; None where they do not."""
    rows = np.zeros((count, 2), int)
    for _ in range(MOST_ROUNDS):
        bands_px = np.where(rows > 0, (rows + BAND_SHARE) * letters.row_px, 0.0)
        inner = replace(region, bottom=region.bottom - float(bands_px.sum()))
        if inner.height < LEAST_SHARE * region.height:
            return None
        cells = lay_out_page(stage, layout, inner, BETWEEN_PX * letters.scale, count)
        if len(cells) < count:
            return None
        strips = []
        for i, cell in enumerate(cells):
            down_px = float(bands_px[:i].sum() + bands_px[i, 0])
            placed = replace(cell, top=round(cell.top + down_px))
            flags = _set_flags(placed, region, texts, letters)
            if flags is None:
                return None
            strips.append(_Strip(placed, flags))
        needed = np.array(
            [[count_rows(strip.flags, above=side) for side in (True, False)] for strip in strips]
        )
        if (needed <= rows).all():
            return strips
        rows = np.maximum(rows, needed)
    return None


def _find_spots(
    stage: Stage, layout: Layout, labels: Mapping[str, str], size: tuple[int, int]
) -> dict[str, Vector]:
    """Find for each labelled piece a point (3,) mm that is seen well inside it, where it stands apart."""
    stage.camera = make_sighted_camera(layout.sight)
    stage.fit(size)
    numbers = stage.frame_of_numbers(*size)
    return {name: find_spot(stage, name, numbers) for name in labels}


def _set_flags(
    cell: Cell, region: Region, texts: Mapping[str, _Text], letters: Lettering
) -> dict[str, Flag] | None:
    """Set the labels of the pieces that stand in a strip; None where they find no place."""
    size = cell.width, cell.height
    spots = {}
    for name, text in texts.items():
        x_px, y_px, _ = (float(value) for value in cell.camera.project(text.spot_mm[None], size)[0])
        if 0.0 <= x_px <= cell.width:
            spots[name] = Spot(cell.left + x_px, cell.top + y_px, text.width_px)
    edges = float(cell.top), float(cell.top + cell.height)
    return lay_out_flags(spots, region.left, region.right, GAP_PX * letters.scale, edges)


def find_named(assembly: Assembly, lit: frozenset[str]) -> dict[str, str]:
    """Choose of each set of marked pieces, by part, the one to name: the first; the bulkiest part comes first."""
    named: dict[str, str] = {}
    for piece in assembly.pieces:
        if piece.name in lit:
            named.setdefault(piece.part, piece.name)
    bulk = {
        part: float(np.ptp(np.array(assembly.by_name[name].mesh.bounds), axis=0).prod())
        for part, name in named.items()
    }
    return {part: named[part] for part in sorted(named, key=lambda part: -bulk[part])}


def find_changed(assembly: Assembly, other: Assembly) -> tuple[frozenset[str], tuple[str, ...]]:
    """Find what a build has that another has not, or has in another shape, material or place; and what it lacks.

    Returns:
        Names of the pieces that are new or changed, and of those that are gone.
    """
    changed = frozenset(
        piece.name
        for piece in assembly.pieces
        if piece.name not in other.by_name
        or piece.material != other.by_name[piece.name].material
        or not np.array_equal(piece.mesh.points, other.by_name[piece.name].mesh.points)
    )
    gone = tuple(piece.name for piece in other.pieces if piece.name not in assembly.by_name)
    return changed, gone
