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
from trainer.stage.picture import draw_picture, find_spot
from trainer.stage.scene import Finish, Stage

WHERE_SHARE = 0.26
"""Share of the page's width that the whole pump and the words below it get."""
WHERE_HIGH = 0.75
"""Height of the picture of the whole pump, as a share of its width."""
FRAME_PX, LEAST_FRAME_PX = 3.5, 30.0
"""On the whole pump, the width of the frame round what the close-ups show, and its least size, on a page 720 pixels high."""
AROUND = 1.7
"""How much is shown around what the picture is about, as a multiple of its own size."""
THIN_AROUND = 40.0
"""Of something long and thin no more is shown than this multiple of its thickness, or it would be a hair."""
CLOSEST_SHARE = 0.035
"""A close-up shows at least this share of all there is, from end to end."""
NEAR_SHARE = 0.025
"""Where a face is looked at and not a piece, this share of all there is is shown."""
NEAR_LEAST_MM = 8.0
"""How far round a point one looks at least, so that in a small exhibit its surroundings are still seen."""
OUTSIDE_SHARE = 0.6
"""A piece of which this much is seen from a corner lies outside, and needs no section."""
UPPER = 0.05
"""How far down the upper edge of what is looked at goes, as a share of its height."""
CORNERS = (ViewName.ISO, ViewName.ISO_DRIVE, ViewName.ISO_RIGHT)


@dataclass(frozen=True, slots=True)
class Headings:
    """What is written: the mistake as title, a heading over each picture, and what it leads to."""

    title: str
    where: str
    right: str
    wrong: str
    caption: str


@dataclass(frozen=True, slots=True, eq=False)
class Amiss:
    """What a picture is about.

    missing: pieces that ought to be there. wrong: pieces that are there, but not as they should.
    shown: those of them to look at, of which the first decides how. near_mm: the point (3,) to look at
    in section instead. right_labels and wrong_labels: by piece, a short text on a leader.
    """

    missing: tuple[str, ...]
    wrong: tuple[str, ...]
    shown: tuple[str, ...]
    right_labels: Mapping[str, str]
    wrong_labels: Mapping[str, str]
    near_mm: Vector | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Outlook:
    """How a mistake is best seen.

    view and section: from where. ghosted: what turns to glass. around: points (n, 3) mm to fit in.
    spot: the point (3,) mm of which is spoken, where that is not left to the pieces.
    """

    view: ViewName
    section: bool
    ghosted: frozenset[str]
    around: Vector
    spot: Vector | None = None


def draw_amiss(
    sound: Assembly,
    faulty: Assembly,
    amiss: Amiss,
    headings: Headings,
    *,
    size: tuple[int, int] = (1280, 720),
    finish: Finish = Finish.PRINT,
) -> Image.Image:
    """Draw a mistake.

    Args:
        sound: the pieces as they should be.
        faulty: as they were built.
        amiss: what is missing or wrong, and its labels.
        headings: title, headings and caption.
        size: width and height in pixels.
        finish: PRINT, or REST for half the time.

    Raises:
        SurroundingsError: where this machine cannot draw.
    """
    look = Look(striped=0.0, dashed=False)  # dashes say that something is missing
    letters = Lettering(look, size[1])
    page = Image.new("RGB", size, look.ground)
    top = letters.draw_title(page, headings.title)
    head, left = round(1.3 * letters.row_px), round(WHERE_SHARE * size[0])
    wide, tall = (size[0] - left) // 2, size[1] - top - head
    missing, wrong = frozenset(amiss.missing), frozenset(amiss.wrong)
    # A close-up is less high than the page: its letters must not shrink with it.
    large = replace(look, label_px=round(look.label_px * size[1] / tall))
    texts = (*amiss.right_labels.values(), *amiss.wrong_labels.values())
    large = _fit_labels(large, texts, (wide, tall))
    stages = Stage(sound, large), Stage(_join(sound, faulty, missing), large)
    outlook = find_outlook(stages, amiss.shown, amiss.near_mm)
    column = left - letters.pad_px
    where = _draw_where(
        stages[0], outlook, (column, round(column * WHERE_HIGH)), letters.scale, finish
    )
    page.paste(where, (letters.pad_px, top + head))
    _write(page, letters, look, headings.where, (letters.pad_px, top))
    _write_below(page, letters, look, headings.caption, top + head + where.height, column)
    halves = (
        (headings.right, Marks(lit=missing | wrong), amiss.right_labels),
        (headings.wrong, Marks(in_the_way=wrong, missing=missing), amiss.wrong_labels),
    )
    for stage, (heading, marks, told) in zip(stages, halves, strict=True):
        half = draw_picture(
            stage.assembly,
            size=(wide, tall),
            camera=outlook.view,
            section=outlook.section,
            lit=marks.lit,
            in_the_way=marks.in_the_way,
            missing=marks.missing,
            ghosted=outlook.ghosted & frozenset(stage.assembly.by_name),
            labels=told,
            spots={
                # where a piece is missing it would be where it is when all is right
                name: find_label_spot(stages[0] if name in missing else stage, outlook, name)
                for name in told
            },
            fit_to=outlook.around,
            stage=stage,
            finish=finish,
        )
        page.paste(half, (left, top + head))
        _write(page, letters, look, heading, (left + letters.pad_px, top))
        left += wide
    return page


def _fit_labels(look: Look, texts: tuple[str, ...], size: tuple[int, int]) -> Look:
    """Make the labels as much smaller as the longest needs to find room in a picture of `size` pixels."""
    letters = Lettering(look, size[1])
    room = size[0] - 2 * letters.pad_px
    share = min([1.0, *(room / letters.measure_label(text, marked=True) for text in texts)])
    return replace(look, label_px=int(look.label_px * share))


def _join(sound: Assembly, faulty: Assembly, missing: frozenset[str]) -> Assembly:
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
    width = round(FRAME_PX * scale)
    inside = np.array(size) - 1 - width
    low, high = np.maximum(middle - half, width), np.minimum(middle + half, inside)
    corners = [float(edge) for edge in (*low, *high)]
    ImageDraw.Draw(picture).rectangle(corners, outline=stage.look.accent, width=width)
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


def find_outlook(
    stages: tuple[Stage, Stage], names: tuple[str, ...], near_mm: Vector | None = None
) -> Outlook:
    """Find how pieces, the first of them above all, are best seen on both stages; or a point (3,) mm in section."""
    stage = stages[0]
    if near_mm is not None:
        reach = NEAR_SHARE * float(np.ptp(stage.find_points(), axis=0).max()) / 2.0
        reach = max(reach, NEAR_LEAST_MM)
        sides = np.array([[x, 0.0, z] for x in (-reach, reach) for z in (-reach, reach)])
        return Outlook(ViewName.SIDE, True, frozenset(), near_mm + sides, near_mm)
    view, section, seen = _find_view(stage, names[0])
    for each in stages:
        each.set_section(section)
        each.look_from(view)
    points = np.concatenate(
        [_find_focus(each, name, section=section) for each in stages for name in names]
    )
    glass: frozenset[str] = frozenset()
    if seen < SEEN_SHARE and not section:
        _look_at(stage, points)
        glass = find_in_front(stage, frozenset(names), frozenset())
        stage.set_marks(Marks())
    return Outlook(view, section, glass, _widen(stage, points))


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


def _find_focus(stage: Stage, name: str, *, section: bool) -> Vector:
    """Find the points (n, 3) mm of a piece to look at: its cut face, of a ring one side of it; all where nothing is cut."""
    patches = stage.find_cut_patches(name) if section else []
    if not patches:
        return stage.find_points_by_piece()[name]
    for axis in (2, 0):
        ends = np.array([[patch[:, axis].min(), patch[:, axis].max()] for patch in patches])
        middle = (ends.min() + ends.max()) / 2.0
        if not ((ends[:, 0] <= middle) & (middle <= ends[:, 1])).any():
            patches = [
                patch for patch, low in zip(patches, ends[:, 0], strict=True) if low > middle
            ]
            break
    return np.concatenate(patches)


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


def find_label_spot(stage: Stage, outlook: Outlook, name: str) -> Vector:
    """Find the point (3,) mm of a piece to which its leader leads.

    In section that is the upper edge of its cut face, so that the leader crosses nothing of it; else a
    point well inside what is seen of it.
    """
    if outlook.spot is not None:
        return outlook.spot
    stage.set_section(outlook.section)
    stage.look_from(outlook.view)
    if not outlook.section:
        stage.set_marks(Marks(ghosted=outlook.ghosted))
        _look_at(stage, outlook.around)
        return find_spot(stage, name, stage.frame_of_numbers(*LOOK_PX))
    points = _find_focus(stage, name, section=True)
    height = points @ stage.camera.up
    upper = points[height >= height.max() - UPPER * float(np.ptp(height))].mean(axis=0)
    edges = outlook.around @ stage.camera.up
    beyond = float(upper @ stage.camera.up - edges.max() + UPPER * np.ptp(edges))
    return np.asarray(upper - max(beyond, 0.0) * stage.camera.up)
