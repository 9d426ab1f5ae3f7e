"""Many pictures on one sheet, each with its number and its caption."""

from __future__ import annotations

from collections.abc import Sequence

from PIL import Image, ImageDraw

from trainer.stage.lettering import wrap
from trainer.stage.look import Look, make_letters

_PAD_PX = 28
_CAPTION_PX = 20
_TITLE_PX = 36


def draw_contact_sheet(
    pictures: Sequence[tuple[Image.Image, str]],
    *,
    columns: int = 3,
    title: str = "",
    cell_px: int = 396,
    look: Look | None = None,
) -> Image.Image:
    """Draw pictures in rows, numbered from 1 in reading order.

    Args:
        pictures: each with its caption; all of one shape look best.
        columns: pictures in a row; three at the usual cell width make a sheet 1280 pixels wide.
        title: a sentence at the head.
        cell_px: width of a picture on the sheet.
        look: colours and letters.

    Returns:
        A sheet as wide as the columns need and as tall as the captions need.

    Raises:
        ValueError: where there is no picture or no column.
    """
    if not pictures or columns < 1:
        raise ValueError("a contact sheet needs at least one picture and one column")
    look = look or Look()
    caption_font = make_letters(look.letters, _CAPTION_PX)
    number_font = make_letters(look.heavy_letters, _CAPTION_PX)
    title_font = make_letters(look.heavy_letters, _TITLE_PX)
    step = round(_CAPTION_PX * 1.3)
    columns = min(columns, len(pictures))
    width = columns * cell_px + (columns + 1) * _PAD_PX
    digits_px = number_font.getlength("0" * len(str(len(pictures)))) + 10
    lines = [wrap(caption, caption_font, cell_px - digits_px) for _, caption in pictures]
    thumbs = [_shrink(picture, cell_px) for picture, _ in pictures]
    rows = range(0, len(pictures), columns)
    heights = [
        max(
            thumbs[i].height + 8 + step * max(1, len(lines[i]))
            for i in range(first, min(first + columns, len(pictures)))
        )
        for first in rows
    ]
    title_lines = wrap(title, title_font, width - 2 * _PAD_PX)
    head = _PAD_PX + (round(len(title_lines) * _TITLE_PX * 1.25) + 18 if title_lines else 0)
    sheet = Image.new("RGB", (width, head + sum(heights) + _PAD_PX * len(heights)), look.ground)
    draw = ImageDraw.Draw(sheet)
    for index, line in enumerate(title_lines):
        draw.text(
            (_PAD_PX, _PAD_PX + index * _TITLE_PX * 1.25), line, fill=look.ink, font=title_font
        )
    top = head
    for first, height in zip(rows, heights, strict=True):
        for index in range(first, min(first + columns, len(pictures))):
            left = _PAD_PX + (index - first) * (cell_px + _PAD_PX)
            sheet.paste(thumbs[index], (left, top))
            frame = (left, top, left + cell_px - 1, top + thumbs[index].height - 1)
            draw.rectangle(frame, outline=look.faint_ink, width=1)
            text_top = top + thumbs[index].height + 8
            draw.text((left, text_top), str(index + 1), fill=look.accent, font=number_font)
            for row, line in enumerate(lines[index]):
                draw.text(
                    (left + digits_px, text_top + row * step),
                    line,
                    fill=look.ink,
                    font=caption_font,
                )
        top += height + _PAD_PX
    return sheet


def _shrink(picture: Image.Image, width_px: int) -> Image.Image:
    height_px = round(picture.height * width_px / picture.width)
    return picture.resize((width_px, height_px), Image.Resampling.LANCZOS)
