"""Ink over a rendered frame: outlines, marks and glass, from the numbers and depths of its pixels."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from PIL import Image

from trainer.stage.look import Colour, Look

Pixels = npt.NDArray[np.uint8]
Numbers = npt.NDArray[np.int32]
Depths = npt.NDArray[np.float32]
Mask = npt.NDArray[np.bool_]


def find_outlines(depths_mm: Depths, numbers: Numbers | None, mm_per_px: float) -> Mask:
    """Find the pixels where a drawing would have an outline.

    Args:
        depths_mm: (h, w) distance from the eye; a parallel view, so that planes change evenly.
        numbers: (h, w) what each pixel shows, or None where that was not drawn.
        mm_per_px: size of a pixel.
    """
    found = np.zeros(depths_mm.shape, dtype=np.bool_)
    # On a plane the second difference is nought; it jumps where one thing stands before another.
    leap = 9.0 * mm_per_px
    found[:, 1:-1] |= _leaps(depths_mm[:, :-2], depths_mm[:, 1:-1], depths_mm[:, 2:], leap)
    found[1:-1] |= _leaps(depths_mm[:-2], depths_mm[1:-1], depths_mm[2:], leap)
    if numbers is not None:
        found[:, :-1] |= numbers[:, :-1] != numbers[:, 1:]
        found[:-1] |= numbers[:-1] != numbers[1:]
    return found


def _leaps(before: Depths, here: Depths, after: Depths, leap_mm: float) -> Mask:
    bend = before + after
    bend -= here
    bend -= here
    np.abs(bend, out=bend)
    return np.asarray(bend > leap_mm)


def grow(mask: Mask, by_px: int) -> Mask:
    """Widen a mask by whole pixels to all sides, its corners rounded."""
    grown = mask.copy()
    for step in range(by_px):
        last = grown
        grown = last.copy()
        grown[1:] |= last[:-1]
        grown[:-1] |= last[1:]
        grown[:, 1:] |= last[:, :-1]
        grown[:, :-1] |= last[:, 1:]
        if step % 2:
            grown[1:, 1:] |= last[:-1, :-1]
            grown[:-1, :-1] |= last[1:, 1:]
            grown[1:, :-1] |= last[:-1, 1:]
            grown[:-1, 1:] |= last[1:, :-1]
    return grown


def find_box(mask: Mask, pad_px: int) -> tuple[slice, slice]:
    """Find the rows and columns that hold all of a mask, with some pixels around: work stays inside them."""
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    if not len(rows):
        return slice(0, 0), slice(0, 0)
    return (
        slice(max(int(rows[0]) - pad_px, 0), int(rows[-1]) + pad_px + 1),
        slice(max(int(columns[0]) - pad_px, 0), int(columns[-1]) + pad_px + 1),
    )


def paint(picture: Pixels, mask: Mask, colour: Colour, share: float = 1.0) -> None:
    """Lay a colour over the masked pixels of `picture` (h, w, 3), in place."""
    if share >= 1.0:
        picture[mask] = colour
        return
    # Of each channel there are only so many values: each is mixed once, and then looked up.
    there = np.divmod(np.flatnonzero(mask), mask.shape[1])
    under = np.arange(256, dtype=np.float32)[:, None]
    mixed = (under + (np.array(colour, dtype=np.float32) - under) * share).astype(np.uint8)
    picture[there] = mixed[picture[there], (0, 1, 2)]


def read_numbers(picture: Pixels) -> Numbers:
    """Read the numbers (h, w) that the colours of a picture (h, w, 3) stand for."""
    # In place: of a poster each array is a hundred megabytes.
    numbers = picture[..., 0].astype(np.int32)
    for channel in (1, 2):
        numbers <<= 8
        numbers |= picture[..., channel]
    return numbers


def paint_glass(
    picture: Pixels,
    glass: Pixels,
    numbers: Numbers,
    depths: Depths,
    glass_depths: Depths,
    look: Look,
    scale: int,
    mm_per_px: float,
) -> None:
    """Lay pieces over a picture as glass, where they stand before what is there, with a faint outline, in place."""
    blend(picture, glass, (numbers > 0) & (glass_depths < depths), look.ghost_share)
    outlines = grow(find_outlines(glass_depths, numbers, mm_per_px), scale - 1)
    paint(picture, outlines & (glass_depths <= depths + 0.5), look.faint_ink, 0.6)


def paint_mark(
    picture: Pixels, covered: Mask, seen: Mask, look: Look, scale: int, *, is_barred: bool
) -> None:
    """Draw a mark's rim round what it covers, stripes over what is barred, in place.

    The rim of what lies behind others is broken, as hidden lines are in drawings.
    """
    colour = look.in_the_way if is_barred else look.accent
    width = round(look.mark_px * scale / 2)
    if is_barred:
        paint(picture, seen & make_stripes(covered.shape, 9.0 * scale), look.stripe, look.striped)
    rim = grow(covered, width) & ~covered
    near = grow(seen, width + 1)
    paint(picture, rim & near, colour)
    if look.dashed:
        paint(picture, rim & ~near & make_dashes(covered.shape, 7.0 * scale), colour)


def paint_missing(picture: Pixels, covered: Mask, look: Look, scale: int, *, is_cut: bool) -> None:
    """Show where something ought to stand: stripes within a broken rim, over whatever is there, in place.

    A cut face covers what lies there; through a whole piece what it would hide is seen.
    """
    width = round(look.mark_px * scale / 2)
    box = find_box(covered, width + 2)
    picture, covered = picture[box], covered[box]
    if is_cut:
        paint(picture, covered, look.ground, 0.45)
    pitch_px = (9.0 if is_cut else 18.0) * scale
    paint(picture, covered & make_stripes(covered.shape, pitch_px), look.in_the_way, 0.35)
    rim = grow(covered, width) & ~covered
    paint(picture, rim & make_dashes(covered.shape, 7.0 * scale), look.in_the_way)


def blend(picture: Pixels, over: Pixels, mask: Mask, share: float) -> None:
    """Lay another picture over the masked pixels as glass, in place."""
    under = picture[mask].astype(np.float32)
    picture[mask] = (under + (over[mask].astype(np.float32) - under) * share).astype(np.uint8)


def make_stripes(shape: tuple[int, int], pitch_px: float) -> Mask:
    """Make slanting stripes, a third of the pitch wide."""
    rows, columns = np.indices(shape, dtype=np.float32)
    return np.asarray(np.mod(rows + columns, pitch_px * 1.414) < pitch_px * 0.47)


def make_dashes(shape: tuple[int, int], pitch_px: float) -> Mask:
    """Make a pattern that breaks any outline into dashes: stripes crossed both ways."""
    rows, columns = np.indices(shape, dtype=np.float32)
    return np.asarray(np.mod(rows + 1.9 * columns, pitch_px * 2.1) < pitch_px * 1.25)


def shrink(picture: Pixels, factor: int) -> Pixels:
    """Average `factor` × `factor` pixels into one."""
    return np.array(Image.fromarray(picture).reduce(factor))  # one that may be drawn on
