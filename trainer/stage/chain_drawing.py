"""Draw a dimension chain: the half section above, below it one arrow for each part crossed, and the gap close up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from models.spec.assembly import Assembly
from models.spec.face import Axis
from trainer.stage.camera import Camera, Region, Vector
from trainer.stage.lettering import Fine, Lettering
from trainer.stage.look import Colour, Look, make_letters, mix
from trainer.stage.scene import Finish, Stage

SIZE = (1920, 1200)
BESIDE_SHARE = 0.25
"""Share of the width for the close-up and the bars beside the drawing."""
MOST_ROWS_SHARE = 0.42
"""Share of the height that the rows of arrows may take; beyond it they draw together."""
MARGIN_SHARE = 0.06
BELOW_AXIS_SHARE = 0.2
"""How far below the shaft's axis the section is still shown, as a share of what is shown above it."""
LEAST_CLOSE_MM, CLOSE_WIDTHS = 14.0, 5.0
"""How wide to look at the gap: so many mm at least, and so many times the gap."""
LOWERED = 0.34
"""By what share of its row an arrow is lowered when its text stands above it."""
NARROW_PX = 22.0
"""An arrow shorter than this, at 720 pixels of height, is drawn from outside."""

# From the scene towards the eye and up, so that the axis runs to the right.
_EYES = {
    Axis.X: ((0.0, -1.0, 0.0), (0.0, 0.0, 1.0)),
    Axis.Y: ((0.0, 0.0, 1.0), (-1.0, 0.0, 0.0)),
    Axis.Z: ((0.0, -1.0, 0.0), (-1.0, 0.0, 0.0)),
}


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """One part crossed: what is written at its arrow, the points (3,) mm from and to which it goes, its share.

    share: of the spread, 0 to 1, with what is written at its bar. pieces: whose dimensions these are.
    """

    text: str
    start: Vector
    end: Vector
    share: float
    share_text: str
    pieces: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class ChainDrawing:
    """All that is drawn of a chain.

    axis: the pump's axis that it runs along; drawn to the right. rows: in the order of the walk. gap_text:
    what is written at the clearance itself, which lies from one point (3,) mm of `gap` to the other.
    close_up: the point (3,) mm to look at it closely. title, caption, shares: what is written above,
    below, and over the bars.
    """

    axis: Axis
    rows: Sequence[Row]
    gap_text: str
    gap: tuple[Vector, Vector]
    close_up: Vector
    title: str = ""
    caption: str = ""
    shares: str = ""


def draw_chain(
    assembly: Assembly,
    chain: ChainDrawing,
    *,
    size: tuple[int, int] = SIZE,
    look: Look | None = None,
    stage: Stage | None = None,
) -> Image.Image:
    """Draw a chain as a finished picture, or on a stage that is there already; it is left as the picture needs it.

    Raises:
        SurroundingsError: where this machine cannot draw.
    """
    stage = stage or Stage(assembly, look)
    picture = Image.new("RGB", size, stage.look.ground)
    letters = Lettering(stage.look, size[1])
    top = letters.draw_title(picture, chain.title)
    bottom = size[1] - letters.draw_caption(picture, chain.caption)
    _Drawing(picture, stage, letters, chain, (top, bottom)).draw()
    return picture


class _Drawing:
    """One picture in the making."""

    def __init__(
        self,
        picture: Image.Image,
        stage: Stage,
        letters: Lettering,
        chain: ChainDrawing,
        band: tuple[float, float],
    ) -> None:
        """Lay out what stands between the top and the bottom of `band`, in pixels."""
        self._picture, self._stage, self._letters, self._chain = picture, stage, letters, chain
        self._look, self._scale = stage.look, letters.scale
        rows = len(chain.rows) + 1
        self._row_px = min(letters.row_px, MOST_ROWS_SHARE * picture.height / (rows + 1))
        left, right = letters.pad_px, picture.width - letters.pad_px
        beside = BESIDE_SHARE * picture.width
        floor = band[1] - (rows + 1) * self._row_px
        self._section = Region(left, band[0], right - beside, floor)
        self._close = Region(right - beside + letters.pad_px, band[0], right, floor)
        font_px = round(0.70 * self._row_px)
        self._font = make_letters(self._look.letters, font_px)
        self._heavy = make_letters(self._look.heavy_letters, font_px)
        self._eye, self._up = (np.array(vector) for vector in _EYES[chain.axis])
        self._along = np.cross(self._up, self._eye)
        self._lowered: set[int] = set()  # rows whose arrow lies below its text
        self._gaps: dict[int, tuple[float, float]] = {}  # where text stands in an arrow, by row

    def draw(self) -> None:
        """Draw section, arrows, bars and the gap close up."""
        self._camera = self._show(self._find_shown(), self._section)
        overlay = Fine(self._picture)
        self._draw_extensions(overlay)
        overlay.lay_on()
        self._draw_bars()
        rows, last = self._chain.rows, len(self._chain.rows)
        for number, row in enumerate(rows):
            self._write(number, row.text, (row.start, row.end), self._look.ink, self._font)
        self._write(last, self._chain.gap_text, self._chain.gap, self._look.accent, self._heavy)
        overlay = Fine(self._picture)
        for number, row in enumerate(rows):
            self._draw_arrow(overlay, number, (row.start, row.end), self._look.ink)
        self._draw_arrow(overlay, last, self._chain.gap, self._look.accent)
        overlay.lay_on()
        self._draw_close()

    # ------------------------------------------------------------------ where things lie
    def _find_shown(self) -> Vector:
        """Find the corners (n, 3) mm of what the section must show; what else stands above it fills the rest."""
        places = np.array([end for row in self._chain.rows for end in (row.start, row.end)])
        along, up = places @ self._along, places @ self._up
        margin = max(MARGIN_SHARE * float(np.ptp(along)), LEAST_CLOSE_MM)
        low, high = float(up.min()), float(up.max()) + margin
        low = min(low, -BELOW_AXIS_SHARE * high) if self._chain.axis is Axis.X else low - margin
        region = self._section
        width = float(np.ptp(along)) + 2 * margin
        high = max(
            high, low + width * region.height / region.width
        )  # as wide as it goes: more room above
        reach = np.array([[a, b] for a in (along.min() - margin, along.max() + margin) for b in (low, high)])  # fmt: skip
        return np.asarray(reach[:, :1] * self._along + reach[:, 1:] * self._up)

    def _show(self, points: Vector, region: Region) -> Camera:
        """Show the half section in a region, fitted to points; give the camera, whose picture is that region."""
        size = round(region.width), round(region.height)
        self._stage.camera = Camera(np.zeros(3), self._eye, self._up).fitted(
            points, size, Region(0, 0, *size)
        )
        self._stage.set_section(True)
        drawn = Image.fromarray(self._stage.frame(*size, Finish.PRINT))
        self._picture.paste(drawn, (round(region.left), round(region.top)))
        return self._stage.camera

    def _find_px(self, point: Vector, camera: Camera, region: Region) -> tuple[float, float]:
        size = round(region.width), round(region.height)
        x, y, _ = camera.project(point[None], size)[0]
        return float(x) + round(region.left), float(y) + round(region.top)

    def _find_x_px(self, point: Vector) -> float:
        return self._find_px(point, self._camera, self._section)[0]

    def _find_y_px(self, number: int) -> float:
        return self._section.bottom + (number + 0.75) * self._row_px

    # ------------------------------------------------------------------ drawing
    def _draw_extensions(self, overlay: Fine) -> None:
        """Draw from each face down to where its arrow ends or begins."""
        pale = mix(self._look.ink, self._look.ground, 0.45)
        feet = [(end, number, False) for number, row in enumerate(self._chain.rows) for end in (row.start, row.end)]  # fmt: skip
        feet += [(end, len(self._chain.rows), True) for end in self._chain.gap]
        for point, number, is_gap in feet:
            spot = self._find_px(point, self._camera, self._section)
            foot = self._find_y_px(number)
            colour = self._look.accent if is_gap else pale
            overlay.line([spot, (spot[0], foot)], colour, (1.8 if is_gap else 1.0) * self._scale)
            overlay.dot(spot, colour if is_gap else self._look.ink, self._look.ground, 2.6 * self._scale)  # fmt: skip

    def _draw_arrow(
        self, overlay: Fine, number: int, ends: tuple[Vector, Vector], colour: Colour
    ) -> None:
        """Draw an arrow in a row; where it is too short for one, its head comes from outside."""
        start, end = (self._find_x_px(at) for at in ends)
        y, sense = self._find_y_px(number), 1.0 if end >= start else -1.0
        y += LOWERED * self._row_px if number in self._lowered else 0.0
        if abs(end - start) < NARROW_PX * self._scale:
            tail = start - sense * NARROW_PX * self._scale
            overlay.arrow((tail, y), (start, y), (colour, self._look.ground), 3.4 * self._scale, 0)
            return
        if number in self._gaps:
            near, far = self._gaps[number] if sense > 0 else reversed(self._gaps[number])
            overlay.line([(start, y), (near, y)], colour, 3.4 * self._scale)
            start = far
        overlay.arrow((start, y), (end, y), (colour, self._look.ground), 3.4 * self._scale, 0)

    def _write(
        self,
        number: int,
        text: str,
        ends: tuple[Vector, Vector],
        colour: Colour,
        font: ImageFont.FreeTypeFont,
    ) -> None:
        """Write in the arrow where it is long enough, else beside it, else above it."""
        low, high = sorted(self._find_x_px(at) for at in ends)
        width, room = font.getlength(text), 10 * self._scale
        y, half, aside = self._find_y_px(number), 0.42 * self._row_px, 3 * room
        draw = ImageDraw.Draw(self._picture)
        if high - low > width + 6 * room:
            x = (low + high - width) / 2
            self._gaps[number] = (x - room / 2, x + width + room / 2)
        elif high + aside + width < self._close.left - aside:
            x = high + aside
        elif low - aside - width > self._section.left:
            x = low - aside - width
        else:
            self._lowered.add(number)
            x = min(max((low + high - width) / 2, self._section.left), self._close.left - aside - width)  # fmt: skip
            y -= 0.12 * self._row_px
        draw.rectangle((x - room / 2, y - half, x + width + room / 2, y + half), fill=self._look.ground)  # fmt: skip
        draw.text((x, y), text, fill=colour, font=font, anchor="lm")

    def _draw_bars(self) -> None:
        """Draw each part's share of the spread as a bar with its percentage."""
        draw = ImageDraw.Draw(self._picture)
        left, half = self._close.left, 0.26 * self._row_px
        room = self._heavy.getlength("100 %") + 8 * self._scale
        draw.text((left, self._find_y_px(-1)), self._chain.shares, fill=self._look.ink, font=self._heavy, anchor="lm")  # fmt: skip
        for number, row in enumerate(self._chain.rows):
            y = self._find_y_px(number)
            draw.text((left, y), row.share_text, fill=self._look.ink, font=self._font, anchor="lm")
            length = row.share * (self._close.right - left - room)
            draw.rectangle((left + room, y - half, left + room + max(length, 1), y + half), fill=self._look.faint_ink)  # fmt: skip

    def _draw_close(self) -> None:
        """Draw the gap close up, with its own dimension."""
        low, high = (float(end @ self._along) for end in self._chain.gap)
        middle = self._chain.close_up
        half = max(LEAST_CLOSE_MM, CLOSE_WIDTHS * abs(high - low)) / 2
        corners = middle + np.array([[a * half, b * half] for a in (-1, 1) for b in (-1, 1)]) @ np.array([self._along, self._up])  # fmt: skip
        region = Region(self._close.left, self._close.top, self._close.right, self._close.bottom - 1.6 * self._row_px)  # fmt: skip
        camera = self._show(corners, region)
        draw = ImageDraw.Draw(self._picture)
        rule = max(1, round(1.5 * self._scale))
        draw.rectangle((round(region.left), round(region.top), round(region.right), round(region.bottom)), outline=self._look.ink, width=rule)  # fmt: skip
        overlay = Fine(self._picture)
        at = [
            self._find_px(middle + (end - middle @ self._along) * self._along, camera, region)
            for end in (low, high)
        ]
        y = at[0][1]
        left, right = sorted(x for x, _ in at)
        reach = 2.2 * NARROW_PX * self._scale
        for x in (left, right):
            overlay.line([(x, y - reach), (x, y + reach)], self._look.ground, 4.0 * self._scale)
            overlay.line([(x, y - reach), (x, y + reach)], self._look.accent, 2.0 * self._scale)
        colours = (self._look.accent, self._look.ground)
        if right - left > 3 * NARROW_PX * self._scale:
            for a, b in ((left, right), (right, left)):
                overlay.arrow(((a + b) / 2, y), (b, y), colours, 5.0 * self._scale, 1.5)
        else:
            overlay.arrow((left - reach, y), (left, y), colours, 5.0 * self._scale, 1.5)
            overlay.arrow((right + reach, y), (right, y), colours, 5.0 * self._scale, 1.5)
        overlay.lay_on()
