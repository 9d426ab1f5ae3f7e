"""One still picture of an assembly, lettered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt
from PIL import Image

from models.spec.assembly import Assembly
from models.spec.errors import RefusalError, say_near
from trainer.stage.camera import Region, Vector, ViewName
from trainer.stage.labels import Flag, Spot, count_rows, lay_out_flags
from trainer.stage.lettering import Lettering
from trainer.stage.load_arrows import LoadArrow, draw_load_arrows, find_room
from trainer.stage.look import Colour, Look
from trainer.stage.marks import Marks
from trainer.stage.scene import Finish, Stage

_NONE: frozenset[str] = frozenset()


def draw_picture(  # noqa: PLR0913 - a picture has many settings, all named
    assembly: Assembly,
    *,
    size: tuple[int, int] = (1280, 720),
    camera: ViewName | str = ViewName.ISO,
    offsets: Mapping[str, npt.NDArray[np.floating]] | None = None,
    seats: Mapping[str, npt.NDArray[np.floating]] | None = None,
    section: bool = False,
    lit: frozenset[str] = _NONE,
    in_the_way: frozenset[str] = _NONE,
    ghosted: frozenset[str] = _NONE,
    hidden: frozenset[str] = _NONE,
    missing: frozenset[str] = _NONE,
    labels: Mapping[str, str] | None = None,
    spots: Mapping[str, npt.NDArray[np.floating]] | None = None,
    arrows: Mapping[str, npt.NDArray[np.floating]] | None = None,
    loads: Sequence[LoadArrow] = (),
    fit_to: npt.NDArray[np.floating] | None = None,
    title: str = "",
    caption: str = "",
    look: Look | None = None,
    stage: Stage | None = None,
    finish: Finish = Finish.PRINT,
) -> Image.Image:
    """Draw an assembly as a finished picture.

    Args:
        assembly: what to draw.
        size: width and height in pixels; letters grow with the height.
        camera: name of the standing view.
        offsets: by piece, how far from home it stands, (3,) mm; chain lines show the way it came.
        seats: by piece, how far from home its seat stands, (3,) mm: chain lines begin there; at home if None.
        section: draw the half section.
        lit: the pieces we speak of.
        in_the_way: the pieces that block.
        ghosted: pieces shown as glass.
        hidden: pieces not shown.
        missing: pieces that ought to be there; the assembly has them, the picture shows where they would stand.
        labels: by piece, a short text on a leader.
        spots: by piece, the point (3,) mm to which its leader leads; one well inside what is seen of it if not named.
        arrows: by piece, the direction (3,) in which it leaves.
        loads: what bearings carry and do not; room is left for them.
        fit_to: points (n, 3) mm to fit the view to, for a close-up or so that a series stands still; what
            reaches beyond is cut off. The shown pieces if None.
        title: a sentence above.
        caption: a sentence below.
        look: colours and sizes; those of `stage` where that is given.
        stage: a stage to draw on again, which saves half the time of a series; it is left as the picture needs it.
        finish: PRINT, or REST for small pictures, in half the time without the soft shade in corners.

    Raises:
        RefusalError: for a piece that the assembly does not have.
        SurroundingsError: where this machine cannot draw.
    """
    offsets, labels, arrows = offsets or {}, labels or {}, arrows or {}
    marks = Marks(lit, in_the_way, ghosted, hidden, missing)
    marked = lit | in_the_way | ghosted | hidden | missing
    _check_names(assembly, marked | set(offsets) | set(labels) | set(arrows))
    if stage is None:
        stage = Stage(assembly, look)
    elif stage.assembly is not assembly:
        stage.replace_assembly(assembly)
    look = stage.look
    stage.look_from(camera)
    stage.trails = True
    stage.set_section(section)
    stage.set_marks(marks)
    stage.set_offsets(offsets, seats)
    letters = Lettering(look, size[1])
    blank = Image.new("RGB", size, look.ground)
    top = letters.draw_title(blank, title)
    bottom = size[1] - letters.draw_caption(blank, caption)
    region = Region(letters.pad_px, top, size[0] - letters.pad_px, bottom)
    points = stage.find_points() if fit_to is None else fit_to
    points = np.concatenate([points, find_room(loads)])
    colours = _find_colours(look, marks)
    spots_mm = _find_spots(stage, labels, spots or {}, points, size, region)
    widths = {name: letters.measure_label(labels[name], marked=name in colours) for name in labels}
    flags, inner = _set_flags(
        stage, points, size, region, spots_mm, widths, letters, only_below=bool(loads)
    )
    stage.camera = stage.camera.fitted(points, size, inner)
    drawn, _ = stage.frame_with_numbers(*size, finish)
    picture = Image.fromarray(drawn)
    if fit_to is not None:
        _blank_around(picture, inner, look.ground)
    letters.draw_title(picture, title)
    letters.draw_caption(picture, caption)
    if flags:
        band = (inner.top - 8 * letters.scale, inner.bottom + 8 * letters.scale)
        letters.draw_flags(picture, flags, labels, band, colours)
    draw_load_arrows(picture, stage.camera, letters, loads)
    for name, direction in arrows.items():
        _draw_arrow(
            stage,
            picture,
            letters,
            name,
            np.asarray(direction, dtype=np.float64),
            colours.get(name, look.accent),
        )
    return picture


def _blank_around(picture: Image.Image, region: Region, ground: Colour) -> None:
    """Keep what reaches beyond a close-up clear of the letters around it."""
    width, height = picture.size
    left, top, right, bottom = (
        round(edge) for edge in (region.left, region.top, region.right, region.bottom)
    )
    for box in (
        (0, 0, width, top),
        (0, bottom, width, height),
        (0, top, left, bottom),
        (right, top, width, bottom),
    ):
        picture.paste(ground, box)


def _check_names(assembly: Assembly, names: set[str] | frozenset[str]) -> None:
    unknown = sorted(names - set(assembly.by_name))
    if unknown:
        raise RefusalError(
            f"{assembly.name} has no piece {unknown[0]}; {say_near(unknown[0], assembly.by_name)}"
        )


def _find_colours(look: Look, marks: Marks) -> dict[str, Colour]:
    colours = dict.fromkeys(marks.lit, look.accent)
    colours.update(dict.fromkeys(marks.in_the_way | marks.missing, look.in_the_way))
    return colours


def _find_spots(
    stage: Stage,
    labels: Mapping[str, str],
    known: Mapping[str, npt.NDArray[np.floating]],
    points: npt.NDArray[np.floating],
    size: tuple[int, int],
    region: Region,
) -> dict[str, Vector]:
    """Find for each label the point (3,) mm to which its leader leads: the one that is asked for, else one well inside the piece."""
    names = [name for name in labels if name not in stage.marks.hidden]
    if not names:
        return {}
    stage.camera = stage.camera.fitted(points, size, region)
    numbers = _keep_region(stage.frame_of_numbers(*size), region)
    return {
        name: np.asarray(known[name]) if name in known else find_spot(stage, name, numbers)
        for name in names
    }


def _set_flags(
    stage: Stage,
    points: npt.NDArray[np.floating],
    size: tuple[int, int],
    region: Region,
    spots_mm: Mapping[str, Vector],
    widths: Mapping[str, float],
    letters: Lettering,
    *,
    only_below: bool,
) -> tuple[dict[str, Flag], Region]:
    """Set the labels and find what room they leave; each changes the other, so go round until both rest."""
    if not spots_mm:
        return {}, region
    rows = {True: 0, False: 0}
    for _ in range(12):
        room = 14 * letters.scale
        inner = Region(
            region.left,
            region.top + rows[True] * letters.row_px + (room if rows[True] else 0),
            region.right,
            region.bottom - rows[False] * letters.row_px - (room if rows[False] else 0),
        )
        where = np.stack(list(spots_mm.values()))
        at = stage.camera.fitted(points, size, inner).project(where, size)
        spots = {
            name: Spot(float(x), float(y), widths[name])
            for name, (x, y, _) in zip(spots_mm, at, strict=True)
        }
        flags = lay_out_flags(
            spots, region.left, region.right, 14 * letters.scale, (inner.top, inner.bottom),
            only_below=only_below,
        )  # fmt: skip
        if flags is None or inner.height < 0.25 * size[1]:
            break
        needed = {side: max(rows[side], count_rows(flags, above=side)) for side in (True, False)}
        if needed == rows:
            return flags, inner
        rows = needed
    raise RefusalError(
        f"{len(spots_mm)} labels find no place in a picture of {size[0]} × {size[1]} pixels; label fewer pieces"
    )


def _keep_region(numbers: npt.NDArray[np.int32], region: Region) -> npt.NDArray[np.int32]:
    """Take away what lies outside the region, which a close-up leaves blank."""
    kept = np.zeros_like(numbers)
    inside = np.s_[
        round(region.top) : round(region.bottom), round(region.left) : round(region.right)
    ]
    kept[inside] = numbers[inside]
    return kept


def find_spot(stage: Stage, name: str, numbers: npt.NDArray[np.int32]) -> Vector:
    """Find a point (3,) that is seen well inside its piece; where nothing of it is seen, its middle.

    A view is parallel, so the point stays over the same spot of the piece however the view is fitted.
    """
    centre = stage.find_centre(name)
    seen = numbers == stage.find_numbers()[name]
    if not seen.any():
        return centre
    # Peel the visible patch until the next layer would be the last: what is left is its thickest spot.
    while True:
        inner = seen.copy()
        inner[1:] &= seen[:-1]
        inner[:-1] &= seen[1:]
        inner[:, 1:] &= seen[:, :-1]
        inner[:, :-1] &= seen[:, 1:]
        if not inner.any():
            break
        seen = inner
    size = (numbers.shape[1], numbers.shape[0])
    middle = stage.camera.project(centre[None], size)[0]
    rows, columns = np.nonzero(seen)
    nearest = int(np.argmin(np.abs(columns - middle[0]) + np.abs(rows - middle[1])))
    return stage.camera.find_ray(float(columns[nearest]) + 0.5, float(rows[nearest]) + 0.5, size)


def _draw_arrow(
    stage: Stage,
    picture: Image.Image,
    letters: Lettering,
    name: str,
    direction: npt.NDArray[np.float64],
    colour: Colour,
) -> None:
    centre = stage.find_centre(name)
    unit = direction / np.linalg.norm(direction)
    low, high = stage.assembly.by_name[name].mesh.bounds
    reach_mm = float(np.abs(unit) @ (high - low)) / 2.0
    start_mm = centre + unit * reach_mm
    ends = stage.camera.project(
        np.stack([start_mm, start_mm + unit * 96.0 * stage.camera.mm_per_px * letters.scale]),
        picture.size,
    )
    letters.draw_arrow(picture, (ends[0, 0], ends[0, 1]), (ends[1, 0], ends[1, 1]), colour)
