"""Draw somebody's assembly: together, apart, and as a numbered plate to hand out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from models.spec.errors import RefusalError
from trainer.session.step_bench import StepBench

if TYPE_CHECKING:
    from PIL import Image, ImageFont

    from trainer.stage.scene import Stage

PLATE_PX = (1600, 2262)
"""An upright sheet of A proportions."""
PAD_PX = 60
ROW_PX = 36
LEAST_ROOM_PX = 700
MOST_LABELS = 26


@dataclass(frozen=True, slots=True)
class Sheet:
    """What stands on a plate: title, what to do, the numbered list, room for the answer, the caution."""

    title: str
    lead: str
    lines: tuple[str, ...]
    answer: str
    caution: str


def make_stage(bench: StepBench) -> Stage:
    """Make a stage for the assembly, in softened colours of its file."""
    from trainer.stage.scene import Stage

    return Stage(bench.assembly)


def draw_step(
    bench: StepBench,
    *,
    apart: bool,
    size: tuple[int, int] = (1280, 720),
    title: str = "",
    caption: str = "",
    stage: Stage | None = None,
) -> Image.Image:
    """Draw the assembly together, or apart from where nothing hides anything."""
    from trainer.stage.exploded import draw_exploded
    from trainer.stage.picture import draw_picture

    stage = stage or make_stage(bench)
    if apart:
        return draw_exploded(
            bench.assembly, bench.layout, size=size, title=title, caption=caption, stage=stage
        )
    return draw_picture(bench.assembly, size=size, title=title, caption=caption, stage=stage)


def draw_numbered(
    bench: StepBench, numbers: Mapping[str, int], size: tuple[int, int], stage: Stage
) -> Image.Image:
    """Draw the assembly apart with a number at every piece, or at the first of each number where that is too many.

    Raises:
        RefusalError: where not even those find room.
    """
    first: dict[int, str] = {}
    for name, number in numbers.items():
        first.setdefault(number, name)
    few = {name: str(number) for number, name in first.items()}
    all_ = {name: str(number) for name, number in numbers.items()}
    for labels in ([all_] if len(all_) <= MOST_LABELS else []) + [few]:
        picture = _draw_labelled(bench, labels, size, stage)
        if picture is not None:
            return picture
    raise RefusalError(
        f"{len(few)} numbers find no place on a sheet; leave parts of no interest out"
    )


def _draw_labelled(
    bench: StepBench, labels: Mapping[str, str], size: tuple[int, int], stage: Stage
) -> Image.Image | None:
    """Draw the exploded view and set the labels around it; None where they find no room."""
    from PIL import Image

    from trainer.stage.camera import Region
    from trainer.stage.exploded import lay_out_page
    from trainer.stage.labels import Spot, count_rows, lay_out_flags
    from trainer.stage.lettering import Lettering
    from trainer.stage.scene import Finish

    stage.set_offsets(bench.layout.offsets_at(1.0), bench.layout.seats_at(1.0))
    stage.trails = True
    letters = Lettering(stage.look, size[1])
    rows = 2 * letters.row_px + 14 * letters.scale
    side = letters.pad_px
    inner = Region(side, rows, size[0] - side, size[1] - rows)
    page = Image.new("RGB", size, stage.look.ground)
    spots: dict[str, Spot] = {}
    for cell in lay_out_page(stage, bench.layout, inner, 40 * letters.scale):
        stage.camera = cell.camera
        drawn, seen = stage.frame_with_numbers(cell.width, cell.height, Finish.PRINT)
        page.paste(Image.fromarray(drawn), (cell.left, cell.top))
        for name, (x, y) in _find_spots(stage, labels, seen).items():
            width = letters.measure_label(labels[name], marked=False)
            spots[name] = Spot(cell.left + x, cell.top + y, width)
    edges = (inner.top, inner.bottom)
    flags = lay_out_flags(spots, side, size[0] - side, 14 * letters.scale, edges)
    if flags is None or max(count_rows(flags, above=above) for above in (True, False)) > 2:
        return None
    band = (inner.top - 8 * letters.scale, inner.bottom + 8 * letters.scale)
    letters.draw_flags(page, flags, labels, band, {})
    return page


def _find_spots(
    stage: Stage, names: Iterable[str], seen: npt.NDArray[np.int32] | None
) -> dict[str, tuple[float, float]]:
    """Find for each piece that is seen the pixel (x, y) deepest inside what is seen of it."""
    from scipy.ndimage import distance_transform_edt, find_objects

    assert seen is not None
    boxes = find_objects(seen)
    spots = {}
    for name in names:
        number = stage.find_numbers()[name]
        box = boxes[number - 1] if number <= len(boxes) else None
        if box is None:
            continue
        rows, columns = (slice(max(part.start - 1, 0), part.stop + 1) for part in box)
        inside = distance_transform_edt(np.pad(seen[rows, columns] == number, 1))
        y, x = np.unravel_index(int(np.argmax(inside)), inside.shape)
        spots[name] = (float(columns.start + x - 1), float(rows.start + y - 1))
    return spots


def draw_plate(bench: StepBench, numbers: Mapping[str, int], sheet_text: Sheet) -> Image.Image:
    """Draw a sheet to hand out: the assembly together, apart with numbers, and the list below."""
    from PIL import Image, ImageDraw

    from trainer.stage.lettering import wrap
    from trainer.stage.look import Look, make_letters

    look = Look()
    width, height = PLATE_PX
    sheet = Image.new("RGB", PLATE_PX, look.ground)
    draw = ImageDraw.Draw(sheet)
    large, plain, small = (
        make_letters(name, size)
        for name, size in ((look.heavy_letters, 40), (look.letters, 26), (look.letters, 20))
    )

    def write(text: str, font: ImageFont.FreeTypeFont, top: float) -> float:
        for line in wrap(text, font, width - 2 * PAD_PX):
            draw.text((PAD_PX, top), line, fill=look.ink, font=font)
            top += font.size * 1.3
        return top + 12

    top = round(write(sheet_text.lead, plain, write(sheet_text.title, large, PAD_PX)))
    rows = -(-len(sheet_text.lines) // 2)
    foot = height - PAD_PX - 150
    listed = foot - rows * ROW_PX
    for i, line in enumerate(sheet_text.lines):
        left = PAD_PX + (i // rows) * (width // 2)
        draw.text((left, listed + (i % rows) * ROW_PX), line, fill=look.ink, font=plain)
    write(sheet_text.caution, small, write(sheet_text.answer, plain, foot + 20))
    room = listed - 20 - top
    if room < LEAST_ROOM_PX:
        raise RefusalError(
            f"{len(sheet_text.lines)} numbers leave no room for a picture; leave parts of no interest out"
        )
    upper = round(room * 0.34)
    stage = make_stage(bench)
    sheet.paste(draw_step(bench, apart=False, size=(width, upper), stage=stage), (0, top))
    sheet.paste(draw_numbered(bench, numbers, (width, room - upper), stage), (0, top + upper))
    return sheet
