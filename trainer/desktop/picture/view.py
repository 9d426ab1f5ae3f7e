"""The picture: what is shown of a pump, and what is painted over it; it turns, comes closer, and is pointed at.

How it gets on the screen is the matter of its surface (`surface.py`): frames drawn off screen, or live drawing
by the graphics card.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QWidget

from trainer.desktop.picture.overlay import (
    NameTag,
    find_inner_spot,
    paint_tags,
)
from trainer.desktop.picture.surface import Steps, Surface, SurfaceName
from trainer.desktop.picture.switching import Switching, make_surface
from trainer.desktop.picture.tracing import Tracing
from trainer.desktop.theme import PALETTE
from trainer.stage.camera import Camera, Region, ViewName, is_framed_alike, make_camera
from trainer.stage.cut import HALF_SECTION, Cut
from trainer.stage.look import Look
from trainer.stage.marks import NO_MARKS, Marks
from trainer.stage.scene import Finish, Stage

if TYPE_CHECKING:
    from models.spec.assembly import Assembly

Offsets = Mapping[str, npt.NDArray[np.float64]]
RIM_SHARE = 0.07
SAME_SIZE_SHARE = 0.12
"""A picture that grows or shrinks by less than this stays framed as it is."""


class PumpView(QWidget):
    """Show a pump. What it shows is set by methods; hands are in `PumpHands`."""

    drawn = Signal()
    surface_changed = Signal(str)
    surface_failed = Signal(str)
    cut_changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(480, 280)
        self.camera: Camera = make_camera(ViewName.ISO)
        self.fitted = self.camera  # as it was when everything was last brought into the picture
        self._fitted_px = (1, 1)
        self.marks = NO_MARKS
        self.cut: Cut | None = None
        self.hidden: frozenset[str] = frozenset()
        self.ghosted: frozenset[str] = frozenset()
        self.tracings: list[Tracing] = []
        self.kept_px = (0.0, 0.0)
        self.numbers: npt.NDArray[np.int32] | None = None
        self.offsets: Offsets = {}
        self.look = Look()
        self.finishing: list[Callable[[], None]] = []
        """Called before anything is given back, to let what still uses the picture end."""
        self.was_live = False
        """Whether this window has ever drawn live: from then on all that draws must come by the screen's own door."""
        self.surface: Surface = make_surface(SurfaceName.FRAMES, self)
        self._switching = Switching(self)
        self._assembly: Assembly | None = None
        self._light: Assembly | None = None
        self._tags: dict[str, NameTag] = {}
        self._spots: dict[str, npt.NDArray[np.float64]] = {}
        self._spots_from = self.camera.towards
        self._waiting = ""
        self._close_up = False

    # ------------------------------------------------------------------ what is shown
    def prepare_assembly(self, full: Assembly) -> Steps:
        """Make ready what `show_assembly` will need, in steps; the first one is shown as soon as it is."""
        yield from self.surface.prepare_full(full)
        if not self.has_pump:
            # It is only looked at: no hand reaches for it before its owner calls `show_assembly`.
            self.surface.show_assembly(full)
            self.fit()
            yield from self.surface.draw_first()
            self.repaint()  # before anything else that waits for its turn

    def show_assembly(self, full: Assembly) -> None:
        """Show an assembly; until its light stand-ins come, it moves with whole meshes."""
        is_first, self._assembly = self._assembly is None, full
        self._light = None
        self.surface.show_assembly(full)
        self.redraw()
        if is_first:
            self.fit()

    def prepare_light(self, light: Assembly) -> Steps:
        """Make ready what `show_light` will need, in steps."""
        yield from self.surface.prepare_light(light)

    def prepare_cut(self) -> Steps:
        """Make ready what the first cut will need beside the meshes, in steps."""
        yield from self.surface.prepare_cut()

    def show_light(self, light: Assembly) -> None:
        """Take the light stand-ins of what is shown, for motion."""
        self._light = light
        self.surface.show_light(light)

    def use_surface(self, name: SurfaceName | str) -> None:
        """Change, while running, how the picture gets on the screen; what is shown stays.

        `surface_changed` tells the name of the new one, at once or when its libraries are loaded; where live drawing
        is not to be had the frames stay and `surface_failed` tells why.

        Args:
            name: "frames", drawn off screen, for every machine; "live", drawn in the window by a graphics card.
        """
        self._switching.use(SurfaceName(name))

    def put_surface(self, name: SurfaceName) -> None:
        """Put a surface in the place of one that is closed. Raises SurroundingsError where the machine cannot have it."""
        self.was_live = self.was_live or name is SurfaceName.LIVE
        self.surface = make_surface(name, self)
        if self._assembly is not None:
            self.surface.show_assembly(self._assembly)
            if self._light is not None:
                self.surface.show_light(self._light)
            self.surface.draw_moving()
            self.redraw()

    def set_look(self, look: Look) -> None:
        """Colour the picture anew."""
        self.look = look
        self.surface.set_look(look)
        self.redraw()
        self.update()

    def give_back(self) -> None:
        """Give back what the graphics library holds, and let what is being loaded for another surface end."""
        for finish in self.finishing:
            finish()
        self._switching.wait()
        self.surface.close()

    def wait_for(self, text: str) -> None:
        """Say in the empty picture what is awaited."""
        self._waiting = text
        self.update()

    @property
    def has_pump(self) -> bool:
        """Is there anything to see yet?"""
        return self._assembly is not None and self.surface.full is not None

    def set_offsets(self, offsets: Offsets, *, follow: bool = False) -> None:
        """Move pieces away from home by (3,) mm; `follow` keeps everything in the picture, but not in a close-up."""
        self.offsets = offsets
        if follow and not self._close_up:
            self.fit()
        self.redraw()

    def set_section(self, section: bool) -> None:  # noqa: FBT001 - a state, and the only argument
        """Show the half section or the whole."""
        self.set_cut(HALF_SECTION if section else None)

    def set_cut(self, cut: Cut | None) -> None:
        """Show what a plane leaves of the pump, or the whole."""
        is_other, self.cut = cut != self.cut, cut
        self.redraw()
        if is_other:
            self.cut_changed.emit()

    def set_withheld(self, hidden: frozenset[str], ghosted: frozenset[str]) -> None:
        """Keep pieces out of sight, and show some as glass, whatever the marks say; what is spoken of is seen."""
        self.hidden, self.ghosted = hidden, ghosted
        self.redraw()

    @property
    def shown_marks(self) -> Marks:
        """The marks, with what is withheld by hand."""
        spoken = self.marks.lit | self.marks.in_the_way
        return replace(
            self.marks,
            hidden=self.marks.hidden | (self.hidden - spoken),
            ghosted=self.marks.ghosted | (self.ghosted - spoken),
        )

    def set_marks(self, marks: Marks, tags: Mapping[str, NameTag] | None = None) -> None:
        """Light, bar, ghost and hide pieces, and put names on some."""
        self.marks, self._tags = marks, dict(tags or {})
        self.redraw()

    @property
    def tags(self) -> Mapping[str, NameTag]:
        """The names that stand on leaders, by piece."""
        return self._tags

    def look_from(self, view: ViewName | str) -> None:
        """Go to a standing view with everything in it."""
        there = make_camera(view)
        self.camera = Camera(self.camera.focus_mm, there.towards, there.up, self.camera.mm_per_px)
        self.fit()

    def stay_at(self, camera: Camera) -> None:
        """Look from a camera, and stay there whatever moves until told to fit."""
        self.camera = camera
        self._close_up = True
        self.redraw()

    def fit(self) -> None:
        """Bring everything into the picture."""
        self._close_up = False
        stage = self.surface.front
        if stage is None:
            return
        self.set_state(stage)
        points_mm, room = stage.find_points(uncut=True), self.find_room(RIM_SHARE)
        self.camera = self.fitted = self.camera.fitted(points_mm, self.size_px, room)
        self._fitted_px = self.size_px
        self.redraw()

    def find_room(self, rim_share: float) -> Region:
        """Find the part of the picture inside a rim (a share of its shorter side), clear of what is written there."""
        width, height = self.size_px
        rim = rim_share * min(width, height)
        across, down = (max(rim, kept + rim / 3) for kept in self.kept_px)
        return Region(across, down, width - across, height - down)

    def keep_rim(self, across_px: float, down_px: float) -> None:
        """Keep so much of the picture free at left and right, and above and below, for what is written there."""
        was_fitted = is_framed_alike(self.camera, self.fitted)
        self.kept_px = (across_px, down_px)
        if was_fitted:
            self.fit()
        self.update()

    def find_outer_points(self) -> dict[str, npt.NDArray[np.float64]]:
        """Find the outermost points (n, 3) mm of each piece that is shown, as it stands at home."""
        stage = self.surface.front
        if stage is None:
            return {}
        offsets, there = stage.offsets, stage.find_points_by_piece(uncut=True)
        return {name: points - offsets[name] for name, points in there.items()}

    def release_close_up(self) -> None:
        """Follow what moves again."""
        if self._close_up:
            self._close_up, self.fitted = False, self.camera

    @property
    def is_close_up(self) -> bool:
        """Does it stay with one spot whatever moves?"""
        return self._close_up

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height of the picture."""
        return max(self.width(), 64), max(self.height(), 64)

    def set_state(self, stage: Stage) -> None:
        """Set on a stage what is shown."""
        stage.set_offsets(self.offsets)
        stage.set_cut(self.cut)
        marks = self.shown_marks
        if stage.marks != marks:
            stage.set_marks(marks)
        stage.camera = self.camera

    @property
    def finish(self) -> Finish:
        """How much care the picture on the screen got."""
        return self.surface.finish

    # ------------------------------------------------------------------ drawing
    def redraw(self) -> None:
        """Draw soon, quickly; and with care once nothing has changed for a while."""
        self.surface.draw_soon()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the last frame, what stands over it, and a rim when the picture has the keyboard."""
        del event
        painter = QPainter(self)
        self.paint_picture(painter)
        painter.end()

    def paint_picture(self, painter: QPainter) -> None:
        """Paint what the surface has, what stands over it, and a rim when the picture has the keyboard."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self.surface.paint(painter):
            self.paint_over(painter)
        else:
            painter.setPen(PALETTE.quiet_ink)
            wrapped = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(self.rect().adjusted(40, 40, -40, -40), wrapped, self._waiting)
        if self.hasFocus():
            painter.setPen(QPen(PALETTE.in_the_way, 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(self.rect().adjusted(1, 1, -2, -2))

    def paint_over(self, painter: QPainter, *, with_handles: bool = True) -> None:
        """Paint what stands over the pump: names and tracings, without those that are only handles if so wished."""
        self._paint_tracings(painter, is_above=False, with_handles=with_handles)
        spots = {name: self.find_middle(name) for name in self._tags}
        across, down = (max(6.0, kept) for kept in self.kept_px)
        area = QRectF(self.rect()).adjusted(across, down, -across, -down)
        seen = {name: spot for name, spot in spots.items() if area.contains(spot)}
        kept = [rect for tracing in self.tracings for rect in tracing.find_taken(self)]
        paint_tags(painter, seen, self._tags, area, kept)
        self._paint_tracings(painter, is_above=True, with_handles=with_handles)

    def _paint_tracings(self, painter: QPainter, *, is_above: bool, with_handles: bool) -> None:
        for tracing in self.tracings:
            is_wanted = with_handles or not tracing.is_handle
            if is_wanted and tracing.is_above_names is is_above:
                painter.save()
                tracing.paint(painter, self)
                painter.restore()

    def take_numbers(self, numbers: npt.NDArray[np.int32] | None) -> None:
        """Remember of each piece with a name a point (3,) mm over which it is seen, from home.

        numbers: which piece each pixel (h, w) of the careful picture shows.
        """
        stage, self.numbers = self.surface.full, numbers
        if stage is None or numbers is None:
            return
        known = stage.find_numbers()
        self._spots_from = self.camera.towards
        self._spots = {}
        for name in self._tags:
            spot = find_inner_spot(numbers == known[name])
            if spot is not None:
                over_mm = self.camera.find_ray(spot[0] + 0.5, spot[1] + 0.5, self.size_px)
                self._spots[name] = over_mm - self.offsets.get(name, np.zeros(3))

    def find_middle(self, name: str) -> QPointF:
        """Find where in the picture a piece is seen; before that is known, where its middle is."""
        stage = self.surface.full
        assert stage is not None
        offset_mm = self.offsets.get(name, np.zeros(3))
        if name in self._spots and np.array_equal(self._spots_from, self.camera.towards):
            return self.project((self._spots[name] + offset_mm)[None])[0]
        centre = stage.find_home_centre(name) + offset_mm
        return self.project(centre[None])[0]

    def project(self, points_mm: npt.NDArray[np.floating]) -> list[QPointF]:
        """Tell where points (n, 3) mm lie in the picture, in pixels."""
        at = self.camera.project(points_mm, self.size_px)
        return [QPointF(float(x), float(y)) for x, y, _ in at]

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the pump to the new size; what somebody has turned to or come close to stays in the middle."""
        super().resizeEvent(event)
        self.surface.fit_size()
        if self.updatesEnabled():
            self.fit_to_size()
        self.redraw()

    def fit_to_size(self) -> None:
        """Fit the pump to the size of now, once all around the picture has its own."""
        # A line more in the strip below is no reason to look at the pump anew.
        is_other = any(
            abs(now / before - 1.0) > SAME_SIZE_SHARE
            for now, before in zip(self.size_px, self._fitted_px, strict=True)
        )
        if is_other and is_framed_alike(self.camera, self.fitted) and not self._close_up:
            self.fit()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the rim."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take the rim away."""
        super().focusOutEvent(event)
        self.update()
