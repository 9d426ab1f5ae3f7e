"""A mistake as one picture: the same close-up of the pump as it should be and as it was built, where on it that is, and what follows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from PIL import Image, ImageDraw

from models.spec.assembly import Assembly
from trainer.stage.camera import Region, Vector, ViewName
from trainer.stage.in_front import LOOK_PX, SEEN_SHARE, find_in_front
from trainer.stage.lettering import Lettering, wrap
from trainer.stage.look import Look
from trainer.stage.marks import Marks
from trainer.stage.picture import draw_picture
from trainer.stage.scene import Finish, Stage

WHERE_SHARE = 0.26
"""Share of the page's width that the whole pump and the words below it get."""
WHERE_HIGH = 0.75
"""Height of the picture of the whole pump, as a share of its width."""
FRAME_PX, LEAST_FRAME_PX = 3.5, 30.0
"""On the whole pump, the width of the frame round what the close-ups show, and its least size, on a page 720 pixels high."""
AROUND = 2.2
"""How much is shown around what the picture is about, as a multiple of its own size."""
THIN_AROUND = 40.0
"""Of something long and thin no more is shown than this multiple of its thickness, or it would be a hair."""
CLOSEST_SHARE = 0.035
"""A close-up shows at least this share of all there is, from end to end."""
OPEN_SHARE = 0.12
"""Where the cut face leaves this share of its height open in the middle, it is that of a ring, and one side of it is enough."""
OUTSIDE_SHARE = 0.6
"""A piece of which this much is seen from a corner lies outside, and needs no section."""
UPPER = 0.05
"""How far down the upper edge of what is looked at goes, as a share of its height."""
CORNERS = (ViewName.ISO, ViewName.ISO_DRIVE)


@dataclass(frozen=True, slots=True)
class Headings:
    """What is written: the mistake as title, a heading over each picture, and what it leads to."""

    title: str
    where: str
    right: str
    wrong: str
    caption: str


@dataclass(frozen=True, slots=True, eq=False)
class Outlook:
    """How a mistake is best seen.

    view and section: from where. ghosted: what turns to glass. around: points (n, 3) mm to fit in.
    spot: the point (3,) mm of which is spoken.
    """

    view: ViewName
    section: bool
    ghosted: frozenset[str]
    around: Vector
    spot: Vector


def draw_amiss(
    sound: Assembly,
    faulty: Assembly,
    headings: Headings,
    *,
    labels: tuple[Mapping[str, str], Mapping[str, str]],
    missing: tuple[str, ...],
    wrong: tuple[str, ...],
    size: tuple[int, int] = (1280, 720),
    finish: Finish = Finish.PRINT,
) -> Image.Image:
    """Draw a mistake.

    Args:
        sound: the pieces as they should be.
        faulty: as they were built.
        headings: title, headings and caption.
        labels: by piece, a short text on a leader: in the right close-up and in the wrong one.
        missing: pieces of `sound` that ought to be there, the most interesting first.
        wrong: pieces that are there, but not as they should.
        size: width and height in pixels.
        finish: PRINT, or REST for half the time.

    Raises:
        SurroundingsError: where this machine cannot draw.
    """
    look = Look(striped=0.0)
    letters = Lettering(look, size[1])
    page = Image.new("RGB", size, look.ground)
    top = letters.draw_title(page, headings.title)
    head, left = round(1.3 * letters.row_px), round(WHERE_SHARE * size[0])
    wide, tall = (size[0] - left) // 2, size[1] - top - head
    marked = frozenset(missing) | frozenset(wrong)
    stage = Stage(sound, look)
    outlook = find_outlook(stage, (*missing, *wrong)[0])
    column = left - letters.pad_px
    where = _draw_where(stage, outlook, (column, round(column * WHERE_HIGH)), letters.scale, finish)
    page.paste(where, (letters.pad_px, top + head))
    _write(page, letters, look, headings.where, (letters.pad_px, top))
    _write_below(page, letters, look, headings.caption, top + head + where.height, column)
    # A close-up is less high than the page: its letters must not shrink with it.
    large = replace(look, label_px=round(look.label_px * size[1] / tall))
    halves = (
        (headings.right, sound, Marks(lit=marked), labels[0]),
        (
            headings.wrong,
            _join(sound, faulty, missing),
            Marks(in_the_way=frozenset(wrong), missing=frozenset(missing)),
            labels[1],
        ),
    )
    for heading, assembly, marks, told in halves:
        half = draw_picture(
            assembly,
            size=(wide, tall),
            camera=outlook.view,
            section=outlook.section,
            lit=marks.lit,
            in_the_way=marks.in_the_way,
            missing=marks.missing,
            ghosted=outlook.ghosted & frozenset(assembly.by_name),
            labels=told,
            spots=dict.fromkeys(told, outlook.spot),
            fit_to=outlook.around,
            stage=Stage(assembly, large),
            finish=finish,
        )
        page.paste(half, (left, top + head))
        _write(page, letters, look, heading, (left + letters.pad_px, top))
        left += wide
    return page


def _join(sound: Assembly, faulty: Assembly, missing: tuple[str, ...]) -> Assembly:
    """Put the missing pieces among the others where they stood in the row, so that all are hatched as before."""
    before = {
        piece.name: piece if piece.name in missing else faulty.by_name.get(piece.name)
        for piece in sound.pieces
    }
    kept = tuple(piece for piece in before.values() if piece is not None)
    new = tuple(piece for piece in faulty.pieces if piece.name not in before)
    return replace(faulty, pieces=(*kept, *new))


def _draw_where(
    stage: Stage, outlook: Outlook, size: tuple[int, int], scale: float, finish: Finish
) -> Image.Image:
    """Draw the whole pump with a frame round what the close-ups show."""
    picture = draw_picture(
        stage.assembly,
        size=size,
        camera=outlook.view,
        section=outlook.section,
        stage=stage,
        finish=finish,
    )
    spots = stage.camera.project(outlook.around, size)[:, :2]
    middle, half = (spots.max(axis=0) + spots.min(axis=0)) / 2.0, np.ptp(spots, axis=0) / 2.0
    half = np.maximum(half, LEAST_FRAME_PX * scale / 2.0)
    corners = [float(edge) for edge in (*(middle - half), *(middle + half))]
    ImageDraw.Draw(picture).rectangle(
        corners, outline=stage.look.accent, width=round(FRAME_PX * scale)
    )
    return picture


def _write(
    page: Image.Image, letters: Lettering, look: Look, text: str, corner: tuple[int, int]
) -> None:
    ImageDraw.Draw(page).text(corner, text, fill=look.ink, font=letters.marked_label)


def _write_below(
    page: Image.Image, letters: Lettering, look: Look, text: str, top: int, width: int
) -> None:
    """Write what the mistake leads to as a column below the whole pump."""
    lines = wrap(text, letters.caption, width)
    step = round(look.caption_px * letters.scale * 1.3)
    for index, line in enumerate(lines):
        corner = (letters.pad_px, top + index * step)
        ImageDraw.Draw(page).text(corner, line, fill=look.ink, font=letters.caption)


def find_outlook(stage: Stage, name: str) -> Outlook:
    """Find how a piece, and what is wrong with it, is best seen."""
    view, section, seen = _find_view(stage, name)
    stage.set_section(section)
    stage.look_from(view)
    points = _find_focus(stage, name) if section else stage.find_points_by_piece()[name]
    glass: frozenset[str] = frozenset()
    if seen < SEEN_SHARE and not section:
        _look_at(stage, points)
        glass = find_in_front(stage, frozenset({name}), frozenset())
        stage.set_marks(Marks())
    return Outlook(view, section, glass, _widen(stage, points), _find_spot(stage, points))


def _find_view(stage: Stage, name: str) -> tuple[ViewName, bool, float]:
    """Find the view that shows most of a piece: from a corner where it lies outside, else the half section, if that cuts it."""
    seen = {view: _measure_seen(stage, name, view) for view in CORNERS}
    best = max(CORNERS, key=lambda view: seen[view])
    low, high = stage.assembly.by_name[name].mesh.bounds
    if seen[best] < OUTSIDE_SHARE and low[1] < 0.0 < high[1]:
        return ViewName.SIDE, True, 1.0
    return best, False, seen[best]


def _measure_seen(stage: Stage, name: str, view: ViewName) -> float:
    """Measure which share of a whole piece is not behind others."""
    stage.set_section(section=False)
    stage.look_from(view)
    _look_at(stage, stage.find_points_by_piece()[name])
    number = stage.find_numbers()[name]
    alone = (stage.frame_of_piece(name, *LOOK_PX) == number).sum()
    return float((stage.frame_of_numbers(*LOOK_PX) == number).sum()) / max(float(alone), 1.0)


def _look_at(stage: Stage, points: Vector) -> None:
    stage.camera = stage.camera.fitted(points, LOOK_PX, Region(0.0, 0.0, *LOOK_PX))


def _find_focus(stage: Stage, name: str) -> Vector:
    """Find the points (n, 3) mm of a piece in section to look at: its cut face, of a ring the upper one."""
    points = stage.find_cut_points(name)
    height = points[:, 2]
    middle = (height.min() + height.max()) / 2.0
    upper = points[height > middle]
    open_mm = 2.0 * (upper[:, 2].min() - middle)
    return upper if open_mm > OPEN_SHARE * float(np.ptp(height)) else points


def _widen(stage: Stage, points: Vector) -> Vector:
    """Show some way around, never so little that nobody knows where it is, nor so much that nobody sees it."""
    flat = np.stack([stage.camera.right, stage.camera.up], axis=1)
    own = np.ptp(points @ flat, axis=0)
    everything = float(np.ptp(stage.find_points() @ flat, axis=0).max())
    wide = min(AROUND * float(own.max()), THIN_AROUND * float(own.min()))
    reach = max(wide, CLOSEST_SHARE * everything) / 2.0
    middle = (points.min(axis=0) + points.max(axis=0)) / 2.0
    corners = np.array([[across, up] for across in (-reach, reach) for up in (-reach, reach)])
    return np.asarray(middle + corners @ flat.T)


def _find_spot(stage: Stage, points: Vector) -> Vector:
    """Find the point (3,) mm at the upper edge of what is looked at, so that its leader crosses nothing of it."""
    height = points @ stage.camera.up
    upper = points[height > height.max() - UPPER * float(np.ptp(height))]
    return np.asarray(upper.mean(axis=0))
