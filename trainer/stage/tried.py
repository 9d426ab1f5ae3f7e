"""A move that was tried as one picture: the start as glass, the end at the contact, what stops it, and why.

The eye goes where both the piece and what stops it are seen: from a corner, else into the half
section, else through those in front, which turn to glass.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from PIL import Image

from models.spec.assembly import Assembly
from trainer.session.wrong_move import TriedMove
from trainer.stage.camera import Region, Vector, ViewName
from trainer.stage.in_front import LOOK_PX, SEEN_SHARE, find_in_front
from trainer.stage.lettering import Lettering
from trainer.stage.marks import Marks
from trainer.stage.picture import draw_picture
from trainer.stage.scene import Finish, Stage

START = "{name}, at the start"
AROUND_SHARE = 0.3
"""How much is shown around the piece and what stops it, as a share of their own size."""
CLOSEST_SHARE = 0.35
"""A close-up shows at least this share of all there is, from end to end."""
RIM_SHARE = 0.1
ARROW_PX = 70.0
"""Length of an arrow at least."""
BESIDE_PX, BAR_PX = 24.0, 20.0
"""How far beside the piece the arrow runs, and half the length of the bar at which it ends."""


@dataclass(frozen=True, slots=True)
class Outlook:
    """How a tried move is best seen: the view, whether in half section, and what turns to glass."""

    view: ViewName
    section: bool
    ghosted: frozenset[str]


def draw_tried(
    assembly: Assembly,
    tried: TriedMove,
    *,
    labels: Mapping[str, str],
    title: str = "",
    caption: str = "",
    size: tuple[int, int] = (1280, 720),
    finish: Finish = Finish.PRINT,
) -> Image.Image:
    """Draw a tried move.

    Args:
        assembly: the pieces.
        tried: what moved, how far, and what stopped it.
        labels: by piece, a short text on a leader.
        title: a sentence above.
        caption: the reason, below.
        size: width and height in pixels.
        finish: PRINT, or REST for half the time.

    Raises:
        SurroundingsError: where this machine cannot draw.
    """
    moved = tried.travel_mm > 0.0
    starts = {name: START.format(name=name) for name in tried.moving} if moved else {}
    twins = tuple(replace(assembly.by_name[name], name=start) for name, start in starts.items())
    shown = replace(assembly, pieces=(*assembly.pieces, *twins))
    offsets = dict.fromkeys(tried.moving, tried.shift_mm)
    stage = Stage(shown)
    stage.set_offsets(offsets)
    outlook = find_outlook(stage, tried, frozenset(starts.values()))
    picture = draw_picture(
        shown,
        size=size,
        camera=outlook.view,
        section=outlook.section,
        offsets=offsets,
        seats=offsets,
        lit=tried.moving | frozenset(starts.values()),
        in_the_way=tried.hindrance,
        ghosted=outlook.ghosted | frozenset(starts.values()),
        hidden=tried.gone,
        labels=labels,
        fit_to=_find_around(stage, tried, size),
        title=title,
        caption=caption,
        stage=stage,
        finish=finish,
    )
    _draw_way(stage, picture, tried)
    return picture


def find_outlook(stage: Stage, tried: TriedMove, starts: frozenset[str]) -> Outlook:
    """Find the view in which the piece and what stops it are seen best; the stage is left in it."""
    tries = [(ViewName.ISO, False), (ViewName.ISO_DRIVE, False)]
    if tried.direction is None or abs(tried.direction.vector[1]) < 0.1:
        tries.append((ViewName.SIDE, True))
    found = []
    for view, section in tries:
        seen = _measure_seen(stage, tried, Marks(hidden=tried.gone | starts), view, section)
        if seen >= SEEN_SHARE:
            return Outlook(view, section, frozenset())
        found.append((seen, view, section))
    _, view, section = max(found, key=lambda one: one[0] - 0.2 * one[2])
    wanted = frozenset({tried.piece}) | _choose_nearest(stage, tried)
    _look(stage, wanted, Marks(hidden=tried.gone | starts), view, section)
    glass = find_in_front(stage, wanted, tried.gone | starts)
    return Outlook(view, section, glass)


def _choose_nearest(stage: Stage, tried: TriedMove) -> frozenset[str]:
    """Of eight nuts that hold it, one seen is enough; it is the one nearest to the eye."""
    nearest = max(
        tried.hindrance,
        key=lambda name: float(stage.find_centre(name) @ stage.camera.towards),
        default=None,
    )
    return frozenset() if nearest is None else frozenset({nearest})


def _measure_seen(
    stage: Stage,
    tried: TriedMove,
    marks: Marks,
    view: ViewName,
    section: bool,  # noqa: FBT001 - half of a pair with the view
) -> float:
    """Measure which share of the piece is not behind others, or of what stops it, if that is less seen."""
    wanted = tried.hindrance | {tried.piece}
    _look(stage, wanted, marks, view, section)
    together = stage.frame_of_numbers(*LOOK_PX)
    alone = _count_alone(stage, wanted, marks)
    numbers = stage.find_numbers()
    shares = {
        name: float((together == numbers[name]).sum()) / max(alone[name], 1) for name in wanted
    }
    return min(shares[tried.piece], max((shares[name] for name in tried.hindrance), default=1.0))


def _look(
    stage: Stage,
    wanted: frozenset[str],
    marks: Marks,
    view: ViewName,
    section: bool,  # noqa: FBT001 - half of a pair with the view
) -> None:
    stage.set_section(section)
    stage.look_from(view)
    stage.set_marks(replace(marks, hidden=frozenset(stage.find_numbers()) - wanted))
    stage.fit(LOOK_PX, margin=0.12)
    stage.set_marks(marks)


def _count_alone(stage: Stage, wanted: frozenset[str], marks: Marks) -> dict[str, int]:
    numbers = stage.find_numbers()
    counts = {}
    for name in wanted:
        stage.set_marks(replace(marks, hidden=frozenset(numbers) - {name}))
        counts[name] = int((stage.frame_of_numbers(*LOOK_PX) == numbers[name]).sum())
    stage.set_marks(marks)
    return counts


def _find_around(stage: Stage, tried: TriedMove, size: tuple[int, int]) -> Vector:
    """Find the points (n, 3) mm that the view is fitted to: the piece, its way, what stops it, and some way around.

    Where that is nearly all there is, it is all there is.
    """
    known = stage.find_points_by_piece()
    about = [known[name] for name in tried.moving | tried.hindrance if name in known]
    points = np.concatenate([*about, known[tried.piece] - tried.shift_mm])
    middle = (points.min(axis=0) + points.max(axis=0)) / 2.0
    everything = stage.find_points()
    page = Region(0.0, 0.0, *size)
    far = stage.camera.fitted(everything, size, page).mm_per_px
    close = stage.camera.fitted(points, size, page).mm_per_px
    # Of a key alone nobody would know where on the pump it is.
    wider = max(1.0 + AROUND_SHARE, CLOSEST_SHARE * far / close)
    return everything if far < 1.1 * wider * close else middle + (points - middle) * wider


def _draw_way(stage: Stage, picture: Image.Image, tried: TriedMove) -> None:
    """Draw the way as an arrow beside the piece, and where it ends at a hindrance a bar across it."""
    if tried.direction is None:
        return
    way = tried.direction.vector
    letters = Lettering(stage.look, picture.height)
    points = stage.find_points_by_piece()[tried.piece]
    flat = stage.camera.project(points, picture.size)[:, :2]
    moved = stage.camera.project(np.stack([points[0], points[0] + way]), picture.size)[:, :2]
    px_per_mm = float(np.linalg.norm(moved[1] - moved[0]))
    if px_per_mm < 1e-9:
        return
    along = (moved[1] - moved[0]) / px_per_mm
    # Over the upper rim of the piece, so that neither it nor the contact is covered.
    beside = np.array([along[1], -along[0]]) * (1.0 if along[0] >= 0.0 else -1.0)
    height = flat @ beside
    rim = flat[height > height.max() - RIM_SHARE * float(np.ptp(height))]
    out_px = float(height.max()) + BESIDE_PX * letters.scale
    end = beside * out_px + along * float((rim @ along).max())
    length_px = max(px_per_mm * tried.travel_mm, ARROW_PX * letters.scale)
    letters.draw_arrow(picture, _pair(end - along * length_px), _pair(end), stage.look.accent)
    if not tried.is_free:
        bar = beside * BAR_PX * letters.scale
        letters.draw_bar(picture, _pair(end - bar), _pair(end + bar), stage.look.in_the_way)


def _pair(spot: npt.NDArray[np.float64]) -> tuple[float, float]:
    return float(spot[0]), float(spot[1])
