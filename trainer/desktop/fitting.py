"""Fit letters, and what stands around the picture, to the window: however large they are, the picture keeps its share."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trainer.desktop.band import MOST_PX
from trainer.desktop.theme import (
    LARGEST_SCALE,
    LETTER_PX,
    PALETTE,
    Sizes,
    choose_sizes,
)
from trainer.stage.look import LOOKS, LookName

if TYPE_CHECKING:
    from trainer.desktop.window_frame import WindowFrame

PANE_PX = 400
PERSON_PX = 210
BRAND_FROM_PX = 800
"""In a window that is narrower for its letters the pump's name needs the room of the program's."""
MOST_PANE_SHARE, MOST_PERSON_SHARE, MOST_TOOLS_SHARE = 0.46, 0.18, (0.28, 0.18)
"""However large the letters: what a pane and the field for the name may take of the window's width, the tools of its height,
which is less with letters that no window has by itself."""

MOST_ROWS_SHARE = 0.16
"""What large letters leave to the rows between tools and picture, of the window's height; they scroll beyond that."""
LEAST_BAND_PX = 36
"""A band that has no room is at least as high as one row in it, at the design's scale."""
PICTURE_LETTERS_SHARE = 0.034
"""Letters over the picture are no higher than this share of the window's height: larger ones would cover the pump."""
LEAST_PICTURE_SHARE = 0.28
LARGER = 1.2
"""Letters are large for a window when they are so many times what it gives them by itself."""


def fit_type(window: WindowFrame, before: Sizes | None, text_percent: int | None) -> Sizes:
    """Fit all to the window as it is now.

    Args:
        window: all that is seen.
        before: the sizes that it has; None styles it anew in any case.
        text_percent: how large letters are to be; None lets them grow with the window.
    """
    width, height = window.width(), window.height()
    sizes = choose_sizes(width, height, text_percent, PALETTE.look)
    window.side.setFixedWidth(min(sizes.px(PANE_PX), round(MOST_PANE_SHARE * width)))
    window.person.setFixedWidth(min(sizes.px(PERSON_PX), round(MOST_PERSON_SHARE * width)))
    window.brand.setVisible(width >= sizes.px(BRAND_FROM_PX))
    by_itself = choose_sizes(width, height, None, LOOKS[LookName.LIGHT]).scale
    window.is_large = is_large = sizes.scale > max(LARGEST_SCALE, LARGER * by_itself)
    least_px = sizes.px(LEAST_BAND_PX) if is_large else MOST_PX
    window.tool_band.set_most(round(MOST_TOOLS_SHARE[is_large] * height), least_px)
    window.row_band.set_most(round(MOST_ROWS_SHARE * height) if is_large else MOST_PX, least_px)
    window.noticing.band.set_most(
        round(MOST_ROWS_SHARE * height) if is_large else MOST_PX, least_px
    )
    window.view.setMinimumHeight(round(LEAST_PICTURE_SHARE * height))
    window.motion.fit(height, is_large=is_large, least_px=least_px)
    letters_px = min(sizes.px(LETTER_PX), round(PICTURE_LETTERS_SHARE * height))
    window.styling.style(sizes, letters_px, anew=sizes != before)
    return sizes
