"""Letters on a finished frame: title, caption, labels with their leaders, arrows."""

from __future__ import annotations

import math
from collections.abc import Mapping

from PIL import Image, ImageDraw, ImageFont

from trainer.stage.labels import Flag
from trainer.stage.look import Colour, Look, make_letters

_OVERSAMPLE = 3


class Lettering:
    """Measure and draw text at the sizes that the look gives for a picture of some height."""

    def __init__(self, look: Look, height_px: int) -> None:
        self._look = look
        self.scale = height_px / 720.0
        self.title = make_letters(look.heavy_letters, self._size(look.title_px))
        self.caption = make_letters(look.letters, self._size(look.caption_px))
        self.label = make_letters(look.letters, self._size(look.label_px))
        self.marked_label = make_letters(look.heavy_letters, self._size(look.label_px))

    @property
    def pad_px(self) -> int:
        """Free space along the rim of a picture."""
        return self._size(26)

    @property
    def row_px(self) -> int:
        """Height of a row of labels."""
        return round(self._look.label_px * self.scale * 1.42)

    def measure_label(self, text: str, *, marked: bool) -> float:
        """Measure a label's width in pixels."""
        return (self.marked_label if marked else self.label).getlength(text)

    def draw_title(self, picture: Image.Image, title: str) -> int:
        """Draw the title at the top left over a rule; return how many pixels it took."""
        if not title:
            return self.pad_px
        draw = ImageDraw.Draw(picture)
        lines = wrap(title, self.title, picture.width - 2 * self.pad_px)
        step = round(self._look.title_px * self.scale * 1.22)
        top = self.pad_px
        for line in lines:
            draw.text((self.pad_px, top), line, fill=self._look.ink, font=self.title)
            top += step
        top += round(6 * self.scale)
        rule = max(1, round(1.5 * self.scale))
        draw.rectangle(
            (self.pad_px, top, picture.width - self.pad_px, top + rule - 1), fill=self._look.ink
        )
        return top + round(14 * self.scale)

    def draw_caption(self, picture: Image.Image, caption: str) -> int:
        """Draw the caption at the bottom left; return how many pixels it took."""
        if not caption:
            return self.pad_px
        draw = ImageDraw.Draw(picture)
        step = round(self._look.caption_px * self.scale * 1.3)
        lines = wrap(caption, self.caption, picture.width - 2 * self.pad_px)
        top = picture.height - self.pad_px - step * len(lines)
        for index, line in enumerate(lines):
            draw.text(
                (self.pad_px, top + index * step), line, fill=self._look.ink, font=self.caption
            )
        return picture.height - top + round(10 * self.scale)

    def draw_flags(
        self,
        picture: Image.Image,
        flags: Mapping[str, Flag],
        texts: Mapping[str, str],
        band: tuple[float, float],
        colours: Mapping[str, Colour],
    ) -> None:
        """Draw labels with their leaders.

        Args:
            picture: drawn on.
            flags: where each label stands.
            texts: what each label says, by the same names.
            band: lower edge of row 0 above the drawing, upper edge of row 0 below it, in pixels.
            colours: of marked labels; the others are in ink.
        """
        overlay = Fine(picture)
        draw = ImageDraw.Draw(picture)
        letters = []
        for name, flag in flags.items():
            colour = colours.get(name, self._look.ink)
            if flag.above:
                text_top = band[0] - (flag.row + 1) * self.row_px
                end = text_top + self.row_px
            else:
                text_top = band[1] + flag.row * self.row_px
                end = text_top
            knee = band[0] if flag.above else band[1]
            route = [(flag.spot_x_px, flag.spot_y_px), (flag.x_px, knee), (flag.x_px, end)]
            overlay.line(route, self._look.ground, 4.0 * self.scale)
            overlay.line(route, colour, (2.2 if name in colours else 1.3) * self.scale)
            overlay.dot(
                (flag.spot_x_px, flag.spot_y_px), colour, self._look.ground, 3.4 * self.scale
            )
            letters.append((flag.left_px, text_top, texts[name], colour, name in colours))
        overlay.lay_on()
        for x_px, top, text, colour, marked in letters:
            font = self.marked_label if marked else self.label
            draw.text((x_px, top + self.row_px / 2), text, fill=colour, font=font, anchor="lm")

    def draw_arrow(
        self,
        picture: Image.Image,
        start: tuple[float, float],
        end: tuple[float, float],
        colour: Colour,
    ) -> None:
        """Draw a stout arrow with a light rim."""
        overlay = Fine(picture)
        overlay.arrow(start, end, (colour, self._look.ground), 8.0 * self.scale, 2.5 * self.scale)
        overlay.lay_on()

    def draw_bar(
        self,
        picture: Image.Image,
        start: tuple[float, float],
        end: tuple[float, float],
        colour: Colour,
    ) -> None:
        """Draw a stout bar with a light rim: here something stops."""
        overlay = Fine(picture)
        overlay.line([start, end], self._look.ground, 12.0 * self.scale)
        overlay.line([start, end], colour, 7.0 * self.scale)
        overlay.lay_on()

    def draw_load(
        self,
        picture: Image.Image,
        way: tuple[tuple[float, float], tuple[float, float]],
        width_px: float,
        text: str,
        *,
        is_carried: bool,
    ) -> None:
        """Draw a load from tail to tip with its word at the tail or above; one not carried is pale and struck out."""
        tail, tip = way
        look = self._look
        overlay = Fine(picture)
        colour = look.accent if is_carried else look.faint_ink
        overlay.arrow(tail, tip, (colour, look.ground), width_px, 2.5 * self.scale)
        middle = ((tail[0] + tip[0]) / 2, (tail[1] + tip[1]) / 2)
        if not is_carried:
            reach = 1.8 * width_px
            stroke = [
                (middle[0] - reach, middle[1] + reach),
                (middle[0] + reach, middle[1] - reach),
            ]
            overlay.line(stroke, look.ground, 9.0 * self.scale)
            overlay.line(stroke, look.in_the_way, 5.0 * self.scale)
        overlay.lay_on()
        is_upright = abs(tip[1] - tail[1]) > abs(tip[0] - tail[0])
        at = tail if is_upright else (middle[0], middle[1] - 1.9 * width_px)
        ImageDraw.Draw(picture).multiline_text(
            (at[0], at[1] - 4.0 * self.scale), text.replace(" ", "\n"), fill=colour if is_carried else look.ink,
            font=self.marked_label, anchor="md", align="center", spacing=0,
        )  # fmt: skip

    def _size(self, px: float) -> int:
        return max(8, round(px * self.scale))


def wrap(text: str, font: ImageFont.FreeTypeFont, width_px: float) -> list[str]:
    """Break a text into lines no wider than `width_px`; a single longer word stands alone."""
    lines: list[str] = []
    for word in text.split():
        if lines and font.getlength(f"{lines[-1]} {word}") <= width_px:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


class Fine:
    """Draw lines at three times the size and lay them on smoothly; the plain library's are jagged."""

    def __init__(self, picture: Image.Image) -> None:
        self._picture = picture
        size = (picture.width * _OVERSAMPLE, picture.height * _OVERSAMPLE)
        self._layer = Image.new("RGBA", size, (0, 0, 0, 0))
        self._draw = ImageDraw.Draw(self._layer)

    def line(self, points: list[tuple[float, float]], colour: Colour, width_px: float) -> None:
        """Draw a line through points, in pixels."""
        fine = [(x * _OVERSAMPLE, y * _OVERSAMPLE) for x, y in points]
        self._draw.line(
            fine, fill=(*colour, 255), width=max(1, round(width_px * _OVERSAMPLE)), joint="curve"
        )

    def dot(
        self, centre: tuple[float, float], colour: Colour, rim: Colour, radius_px: float
    ) -> None:
        """Draw a dot with a rim."""
        for fill, radius in ((rim, radius_px * 1.45), (colour, radius_px)):
            x, y, r = centre[0] * _OVERSAMPLE, centre[1] * _OVERSAMPLE, radius * _OVERSAMPLE
            self._draw.ellipse((x - r, y - r, x + r, y + r), fill=(*fill, 255))

    def arrow(
        self,
        start: tuple[float, float],
        end: tuple[float, float],
        colours: tuple[Colour, Colour],
        width_px: float,
        rim_px: float,
    ) -> None:
        """Draw a stout arrow in (colour, colour of the rim)."""
        length = math.dist(start, end)
        if length < 1.0:
            return
        x, y = (end[0] - start[0]) / length, (end[1] - start[1]) / length
        neck = length - 2.6 * width_px
        shape = [
            (0.0, 0.5),
            (neck, 0.5),
            (neck, 1.5),
            (length, 0.0),
            (neck, -1.5),
            (neck, -0.5),
            (0.0, -0.5),
        ]
        corners = [
            (
                (start[0] + along * x - side * width_px * y),
                (start[1] + along * y + side * width_px * x),
            )
            for along, side in shape
        ]
        self.line([*corners, *corners[:2]], colours[1], 2 * rim_px)
        fine = [(px * _OVERSAMPLE, py * _OVERSAMPLE) for px, py in corners]
        self._draw.polygon(fine, fill=(*colours[0], 255))

    def lay_on(self) -> None:
        """Lay all that was drawn on the picture."""
        small = self._layer.resize(self._picture.size, Image.Resampling.BOX)
        self._picture.paste(
            Image.alpha_composite(self._picture.convert("RGBA"), small).convert("RGB")
        )
