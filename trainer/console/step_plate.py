"""Draw somebody's assembly: together, apart, and as a numbered plate to hand out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from models.spec.errors import RefusalError
from trainer.session.step_bench import StepBench

if TYPE_CHECKING:
    from PIL import Image

SOFTER = 0.5
"""How much grey the colours of a file are mixed with: pure red and blue are kept for what is marked."""
GREY = (158, 156, 150)
PLATE_PX = (1600, 2262)
"""An upright sheet of A proportions."""
PAD_PX = 60
MOST_LABELS = 26


def draw_step(
    bench: StepBench,
    apart: float,
    *,
    size: tuple[int, int] = (1280, 720),
    labels: Mapping[str, str] | None = None,
    title: str = "",
    caption: str = "",
) -> Image.Image:
    """Draw the assembly, `apart` from 0 (together) to 1, in softened colours of its file."""
    from trainer.stage.look import Look, mix
    from trainer.stage.picture import draw_picture

    tones = {name: mix(tone, GREY, SOFTER) for name, tone in bench.tones.items()}
    return draw_picture(
        bench.assembly,
        size=size,
        offsets=bench.layout.offsets_at(apart) if apart else None,
        labels=labels,
        title=title,
        caption=caption,
        look=Look(tones=tones),
    )


def draw_numbered(
    bench: StepBench, numbers: Mapping[str, int], size: tuple[int, int]
) -> Image.Image:
    """Draw the exploded view with a number at every piece, or at the first of each number where that is too many."""
    labels = {name: str(number) for name, number in numbers.items()}
    if len(labels) > MOST_LABELS:
        first: dict[str, str] = {}
        for name, number in labels.items():
            if number not in first.values():
                first[name] = number
        labels = first
    try:
        return draw_step(bench, 1.0, size=size, labels=labels)
    except RefusalError:  # no room for all: a number at the first of each, told by the list
        first = {}
        for name, number in labels.items():
            if number not in first.values():
                first[name] = number
        return draw_step(bench, 1.0, size=size, labels=first)


def draw_plate(
    bench: StepBench, numbers: Mapping[str, int], title: str, lead: str, lines: list[str]
) -> Image.Image:
    """Draw a sheet to hand out: the assembly together, apart with numbers, and the list below."""
    from PIL import Image, ImageDraw

    from trainer.stage.lettering import wrap
    from trainer.stage.look import Look, make_letters

    look = Look()
    width, height = PLATE_PX
    sheet = Image.new("RGB", PLATE_PX, look.ground)
    draw = ImageDraw.Draw(sheet)
    large, small = make_letters(look.heavy_letters, 40), make_letters(look.letters, 26)
    top = PAD_PX
    for font, text in ((large, title), (small, lead)):
        for line in wrap(text, font, width - 2 * PAD_PX):
            draw.text((PAD_PX, top), line, fill=look.ink, font=font)
            top += round(font.size * 1.3)
        top += 12
    rows = -(-len(lines) // 2)
    list_px = rows * 36 + 30
    room = height - top - list_px - PAD_PX
    upper = round(room * 0.34)
    sheet.paste(draw_step(bench, 0.0, size=(width, upper)), (0, top))
    sheet.paste(draw_numbered(bench, numbers, (width, room - upper)), (0, top + upper))
    for i, line in enumerate(lines):
        left = PAD_PX + (i // rows) * (width // 2)
        at = (left, height - PAD_PX - list_px + 30 + (i % rows) * 36)
        draw.text(at, line, fill=look.ink, font=small)
    return sheet
