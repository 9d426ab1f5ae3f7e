"""Numbers laid over the picture: one for each part that is seen, on a leader to a spot of it, with its name if wished.

The spots are points of the parts themselves, so that they go along when a part or the eye moves; where parts
are seen is looked up anew whenever the picture is still, and now and then while it moves.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter

from trainer.desktop.picture.number_painting import (
    BETWEEN_PX,
    EDGE_PX,
    Label,
    make_letters,
    paint_hovered,
    paint_labels,
    paint_note,
)
from trainer.desktop.picture.tracing import Tracing
from trainer.session.numbering import Numbering
from trainer.stage.camera import Region
from trainer.stage.lanes import Lane, Lanes, Placed, lay_out_lanes
from trainer.stage.seen_spots import LOOK_PX, find_seen_parts

if TYPE_CHECKING:
    from models.spec.assembly import Assembly
    from trainer.desktop.picture.view import PumpView

Vector = npt.NDArray[np.float64]
MOST_NUMBERS = 40
"""More numbers than this in one picture are not read."""
KEPT_WORTH = 1.6
"""A part that has its number keeps it against one that is seen as much larger as this."""
RING_SHARE = 1.55
"""Width of a ring, in heights of the window's letters."""
WITHIN_PX = 0.3
"""Where in a pixel it is looked: careful pictures are drawn twice as large, and the upper left of four is kept."""
NAME_SHARE = 0.24
"""How much of the picture's width names may take at either side."""
PAD_SHARE = 1.1
MOST_PADS = 5
"""Lanes stand this many widths of a ring away from the pump, or up to so many times that where labels are many."""


class Lettered(Enum):
    """What stands at the leaders."""

    NOTHING = "nothing"
    NUMBERS = "numbers"
    NAMES = "names"


@dataclass(frozen=True, slots=True, eq=False)
class _Spot:
    """Where a part is pointed at: a point (3,) mm of a piece of it, from home, and how many pixels show the part."""

    piece: str
    point_mm: Vector
    area_px: int


@dataclass(slots=True)
class _Said:
    """What is numbered: the number and name of each part, and the part of each piece."""

    numbers: Mapping[str, int] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)
    parts: Mapping[str, str] = field(default_factory=dict)


class NumberTracing(Tracing):
    """Number the parts of the picture. `labels` is what was painted last."""

    def __init__(
        self, chosen: Callable[[str], object], tell_left_out: Callable[[int], str]
    ) -> None:
        """Make it; a label that is clicked tells its piece to `chosen`."""
        self.lettered = Lettered.NOTHING
        self.keeps_names: Callable[[], bool] = lambda: False
        """Would a name give an answer away just now? Then numbers stand alone."""
        self.labels: Sequence[Label] = ()
        self.left_out = 0
        self.hovered = ""
        self._chosen, self._tell_left_out = chosen, tell_left_out
        self._said = _Said()
        self._spots: dict[str, _Spot] = {}
        self._placed: dict[str, Placed] = {}
        self._held = ""
        self._laid = b""
        self._corners: dict[str, Vector] = {}

    # ------------------------------------------------------------------ what is numbered
    def show_parts(
        self, assembly: Assembly, numbering: Numbering, names: Mapping[str, str]
    ) -> None:
        """Number the parts of what lies on the bench; `names` are by part."""
        parts = {piece.name: piece.part for piece in assembly.pieces}
        self._said = _Said(numbering.numbers, names, parts)
        which = np.array(list(np.ndindex(2, 2, 2)))
        self._corners = {
            piece.name: np.array(piece.mesh.bounds, np.float64)[which, np.arange(3)]
            for piece in assembly.pieces
        }
        self._spots = {
            part: spot for part, spot in self._spots.items() if parts.get(spot.piece) == part
        }
        self._laid = b""

    def set_lettered(self, lettered: Lettered, view: PumpView) -> None:
        """Choose what stands at the leaders, and keep the room for it free."""
        self.lettered, self._placed, self._laid = lettered, {}, b""
        self.labels, self.hovered = (), ""
        if lettered is not Lettered.NOTHING:
            self.find_spots(view)
        self.fit_room(view)

    def fit_room(self, view: PumpView) -> None:
        """Keep the rim free that the labels take; asked again when the window or its type has another size."""
        if self.lettered is Lettered.NOTHING:
            room = (0.0, 0.0)
        else:
            frame = self._find_rim(view).frame
            ring = self._measure_ring(view)
            across = frame.left + ring / 2 + EDGE_PX
            down = 0.0 if self.lettered is Lettered.NAMES else frame.top + ring / 2 + EDGE_PX
            room = (across, down)
        if room != view.kept_px:
            view.keep_rim(*room)
        view.update()

    def find_spots(self, view: PumpView, numbers: npt.NDArray[np.int32] | None = None) -> None:
        """Find where each part is seen now; a part that still is seen where it was pointed at keeps its spot.

        numbers: which piece each pixel (h, w) of the view shows, where that is known; else a quick, smaller
        picture is asked.
        """
        surface = view.surface
        stage = surface.full if numbers is not None else surface.front
        if stage is None or not self._said.parts:
            return
        if stage is surface.full and surface.is_drawing:
            surface.drop()
        view.set_state(stage)
        size = view.size_px
        share = 1.0 if numbers is not None else min(LOOK_PX / max(size), 1.0)
        small = max(round(size[0] * share), 1), max(round(size[1] * share), 1)
        stage.camera = view.camera.zoomed(small[0] / size[0])
        if numbers is None:
            numbers = stage.frame_of_numbers(*small)
        pieces = {
            number: (name, self._said.parts[name])
            for name, number in stage.find_numbers().items()
            if name in self._said.parts
        }
        pixels = stage.camera.project(self._place(self._spots, view), small)
        kept = {part: (int(x), int(y)) for part, (x, y, _) in zip(self._spots, pixels, strict=True)}
        inner = self._find_inner(view)
        region = Region(
            *(value * share for value in (inner.left, inner.top, inner.right, inner.bottom))
        )
        found: dict[str, _Spot] = {}
        for part, seen in find_seen_parts(numbers, pieces, region, kept).items():
            old = self._spots.get(part)
            if old is not None and old.piece == seen.piece and kept[part] == (seen.x_px, seen.y_px):
                found[part] = replace(old, area_px=seen.area_px)
                continue
            over_mm = stage.camera.find_ray(seen.x_px + WITHIN_PX, seen.y_px + WITHIN_PX, small)
            # A ray may just miss what its pixel shows; then the spot is right as long as the eye does not turn.
            point = stage.find_point(seen.piece, over_mm)
            home = (over_mm if point is None else point) - view.offsets.get(seen.piece, np.zeros(3))
            found[part] = _Spot(seen.piece, home, seen.area_px)
        self._spots = self._choose(found, view)
        self._laid = b""
        view.update()

    def _choose(self, found: Mapping[str, _Spot], view: PumpView) -> dict[str, _Spot]:
        """Choose the parts that get a number: what is spoken of first, then what is seen largest."""
        spoken = view.marks.lit | view.marks.in_the_way

        def tell_worth(part: str) -> tuple[bool, float]:
            kept = KEPT_WORTH if part in self._placed else 1.0
            return found[part].piece in spoken, kept * found[part].area_px

        most = min(MOST_NUMBERS, self._find_rim(view).room)
        chosen = sorted(found, key=tell_worth, reverse=True)[:most]
        self.left_out = len(found) - len(chosen)
        return {part: found[part] for part in chosen}

    def _place(self, spots: Mapping[str, _Spot], view: PumpView) -> Vector:
        """Find where the spots are now, (n, 3) mm."""
        home = np.zeros(3)
        points = [spot.point_mm + view.offsets.get(spot.piece, home) for spot in spots.values()]
        return np.array(points).reshape(-1, 3)

    # ------------------------------------------------------------------ where all stands
    def _measure_ring(self, view: PumpView) -> float:
        return float(round(RING_SHARE * QFontMetricsF(view.font()).height() * 0.86))

    def _measure_names(self, view: PumpView) -> float:
        """Measure the room for names at either side: as wide as the widest, within reason."""
        letters = QFontMetricsF(make_letters(view.font()))
        widest = max(
            (letters.horizontalAdvance(name) for name in self._said.names.values()), default=0.0
        )
        return min(widest, NAME_SHARE * view.width())

    def _find_rim(self, view: PumpView) -> Lanes:
        """Find the lanes at the rim of the picture, beyond which no label goes."""
        width, height = view.size_px
        ring = self._measure_ring(view)
        rim = EDGE_PX + ring / 2
        if self.lettered is Lettered.NAMES:
            aside = rim + self._measure_names(view) + BETWEEN_PX
            frame = Region(aside, rim, width - aside, height - rim)
            return Lanes(frame, ring + 2.0, (Lane.LEFT, Lane.RIGHT))
        return Lanes(Region(rim, rim, width - rim, height - rim), ring + BETWEEN_PX)

    def _find_lanes(self, view: PumpView, count: int) -> Lanes:
        """Find lanes that take so many labels, beside the pump where there is room, else at the rim."""
        rim, ring = self._find_rim(view), self._measure_ring(view)
        low, high = self._find_box(view)
        if not np.all(low < high):
            return rim
        # A cut has its frame and its grip close around the pump.
        for pads in range(1 if view.cut is None else 2, MOST_PADS + 1):
            pad = pads * PAD_SHARE * ring
            frame = Region(
                max(rim.frame.left, float(low[0]) - pad),
                max(rim.frame.top, float(low[1]) - pad),
                min(rim.frame.right, float(high[0]) + pad),
                min(rim.frame.bottom, float(high[1]) + pad),
            )
            if self.lettered is Lettered.NAMES:
                frame = replace(frame, top=rim.frame.top, bottom=rim.frame.bottom)
            lanes = replace(rim, frame=frame)
            if min(frame.width, frame.height) > 4.0 * ring and lanes.room >= count:
                return lanes
        return rim

    def _find_box(self, view: PumpView) -> tuple[Vector, Vector]:
        """Find what of the picture the pump takes: its lower and upper corner (2,) in pixels."""
        hidden, home = view.shown_marks.hidden, np.zeros(3)
        shown = np.array([name not in hidden for name in self._corners], bool)
        if not shown.any():
            return np.zeros(2), np.zeros(2)
        offsets = np.array([view.offsets.get(name, home) for name in self._corners])
        corners = np.array(list(self._corners.values())) + offsets[:, None]
        at = view.camera.project(corners[shown].reshape(-1, 3), view.size_px)[:, :2]
        return at.min(axis=0), at.max(axis=0)

    def _find_inner(self, view: PumpView) -> Region:
        """Find the part of the picture between the lanes: only what is seen there gets a number."""
        frame = self._find_rim(view).frame
        pad = self._measure_ring(view) / 2 + EDGE_PX
        if self.lettered is Lettered.NAMES:
            return Region(frame.left + pad, 0.0, frame.right - pad, float(view.size_px[1]))
        return Region(frame.left + pad, frame.top + pad, frame.right - pad, frame.bottom - pad)

    def lay_out(self, view: PumpView) -> Sequence[Label]:
        """Lay the labels out as the view stands; nothing is worked out twice."""
        shown = view.shown_marks
        withheld = shown.hidden | shown.ghosted
        spots = {part: one for part, one in self._spots.items() if one.piece not in withheld}
        if not spots or self.lettered is Lettered.NOTHING:
            self.labels, self._laid = (), b""
            return self.labels
        at = view.camera.project(self._place(spots, view), view.size_px)[:, :2]
        lanes = self._find_lanes(view, len(spots))
        others = self._find_others(view)
        key = at.tobytes() + repr((lanes, view.size_px, list(spots), others)).encode()
        if key == self._laid:
            return self.labels
        inner = self._find_inner(view)
        inside = {
            part: (float(x), float(y))
            for part, (x, y) in zip(spots, at, strict=True)
            if inner.left <= x <= inner.right and inner.top <= y <= inner.bottom
        }
        most = dict(list(inside.items())[: lanes.room])
        self._placed = lay_out_lanes(most, lanes, self._placed)
        ring = self._measure_ring(view)
        named = self._measure_names(view) if self.lettered is Lettered.NAMES else 0.0
        letters = QFontMetricsF(make_letters(view.font()))
        labels = [
            self._make_label(part, spots[part].piece, most[part], placed, ring, named, letters)
            for part, placed in self._placed.items()
        ]
        # What is taken hold of in the picture is not to be covered.
        self.labels = tuple(
            label for label in labels if not any(label.frame.intersects(one) for one in others)
        )
        self._laid = key
        return self.labels

    def _make_label(
        self,
        part: str,
        piece: str,
        spot: tuple[float, float],
        placed: Placed,
        ring_px: float,
        named_px: float,
        letters: QFontMetricsF,
    ) -> Label:
        half = ring_px / 2
        ring = QRectF(placed.x_px - half, placed.y_px - half, ring_px, ring_px)
        frame, name = QRectF(ring), self._said.names[part]
        if named_px:
            name = letters.elidedText(name, Qt.TextElideMode.ElideRight, named_px)
            wide = min(letters.horizontalAdvance(name) + BETWEEN_PX, named_px + BETWEEN_PX)
            frame.adjust(*((-wide, 0, 0, 0) if placed.lane is Lane.LEFT else (0, 0, wide, 0)))
        number = str(self._said.numbers[part])
        return Label(part, piece, number, name, QPointF(*spot), ring, frame, placed.lane)

    # ------------------------------------------------------------------ what is painted
    def paint(self, painter: QPainter, view: PumpView) -> None:
        """Paint leaders, rings with numbers, and names; and how many parts in view have none."""
        if self.lettered is Lettered.NOTHING:
            return
        labels = self.lay_out(view)
        keeps_names = self.keeps_names()
        is_named = self.lettered is Lettered.NAMES and not keeps_names
        painter.setFont(make_letters(view.font()))
        paint_labels(painter, labels, view.marks, self.hovered, is_named=is_named)
        hovered = next((label for label in labels if label.part == self.hovered), None)
        if hovered is not None and not keeps_names:
            name = self._said.names[hovered.part]
            if not is_named or hovered.name != name:
                paint_hovered(painter, hovered, name, view.width())
        if self.left_out:
            taken = [*(label.frame for label in labels), *self._find_others(view)]
            paint_note(painter, self._tell_left_out(self.left_out), view.rect().toRectF(), taken)

    def _find_others(self, view: PumpView) -> list[QRectF]:
        """Find the rooms of what else is painted over the picture."""
        others = [one for one in view.tracings if one is not self]
        return [rect for tracing in others for rect in tracing.find_taken(view)]

    # ------------------------------------------------------------------ taken hold of
    def find_taken(self, view: PumpView) -> list[QRectF]:
        """Find the rooms of all labels."""
        return [label.frame for label in self.lay_out(view)]

    def find_label(self, at: QPointF) -> str:
        """Find the part whose label lies under a spot; "" for none."""
        return next((label.part for label in self.labels if label.frame.contains(at)), "")

    def find_cursor(self, at: QPointF, view: PumpView) -> Qt.CursorShape | None:
        """Be a hand over a label, and show which one it is."""
        part = self.find_label(at)
        if part != self.hovered:
            self.hovered = part
            view.update()
        return Qt.CursorShape.PointingHandCursor if part else None

    def take_hold(self, at: QPointF, view: PumpView) -> bool:
        """Take hold of a label, to choose its part when it is let go on it."""
        del view
        self._held = self.find_label(at)
        return bool(self._held)

    def let_go(self, at: QPointF, view: PumpView) -> None:
        """Choose the part of the label that was pressed."""
        del view
        held, self._held = self._held, ""
        label = next((one for one in self.labels if one.part == held), None)
        if label is not None and label.frame.contains(at):
            self._chosen(label.piece)
