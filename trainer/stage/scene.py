"""The stage itself: pieces that stay, move and are lit, seen by one camera, drawn without a window."""

from __future__ import annotations

from collections.abc import Callable, Generator, Mapping
from dataclasses import replace
from enum import Enum
from typing import TypeAlias

import numpy as np
import numpy.typing as npt
from vtkmodules.vtkRenderingCore import vtkRenderer, vtkRenderWindow

from models.spec.assembly import Assembly
from trainer.stage import ink
from trainer.stage.actor import PieceActor
from trainer.stage.bands import draw_in_bands, is_large
from trainer.stage.batches import draw_in_batches, finish_steps
from trainer.stage.camera import Camera, Region, Vector, ViewName, make_camera
from trainer.stage.casting import Casting
from trainer.stage.cut import HALF_SECTION, Cut
from trainer.stage.fittings import add_lights, aim, find_reach, make_renderer, set_shade
from trainer.stage.leaders import find_leaders, make_trail, set_trail
from trainer.stage.look import Look
from trainer.stage.marks import NO_MARKS, Marks
from trainer.stage.offscreen import make_window, read_depths, read_picture
from trainer.stage.pick import find_hit, find_surface_point
from trainer.stage.surface import find_patches

Drawn: TypeAlias = tuple[npt.NDArray[np.uint8], npt.NDArray[np.int32] | None]
"""A frame (h, w, 3), and the number of the piece that each pixel shows (h, w)."""

HOME_MM = np.zeros(3)
CUT_PIECES = 24
"""Pieces that are cut in one go."""


class Finish(Enum):
    """How much care a frame gets: MOVING for motion, REST for a still window, PRINT for a picture."""

    MOVING = "moving"
    REST = "rest"
    PRINT = "print"


class Stage:
    """Hold an assembly on a stage: set its state, then ask for frames.

    State is set by the `set_` methods and read back from `camera`, `marks` and `offsets`; nothing is
    drawn until `frame`. All of it must be used from one thread.
    """

    def __init__(
        self,
        assembly: Assembly,
        look: Look | None = None,
        view: ViewName | str = ViewName.ISO,
        window: vtkRenderWindow | None = None,
    ) -> None:
        """Set the stage; it is drawn in `window`, or in a hidden drawing surface of its own."""
        self.look = look or Look()
        self.camera = make_camera(view)
        self.marks = NO_MARKS
        self.cut: Cut | None = None
        self.trails = False
        self.assembly = assembly
        self._actors: dict[str, PieceActor] = {}
        self._offsets: Mapping[str, npt.NDArray[np.floating]] | None = None
        self._seats: dict[str, npt.NDArray[np.floating]] = {}
        self._is_cutting = self.is_painting = False
        self._size, self._per_px = (1, 1), 1
        self._depths = np.zeros((1, 1), np.float32)
        self._window = window or make_window()
        self._painting = make_renderer(self._window, self.look.ground)
        self._numbering = make_renderer(self._window, (0, 0, 0))
        add_lights(self._painting)
        self._trail = make_trail(self.look.faint_ink)
        self._painting.AddActor(self._trail)
        self.casting = Casting(self._window, self._painting, self._numbering)
        self.replace_assembly(assembly)

    # ------------------------------------------------------------------ state
    def replace_assembly(self, assembly: Assembly) -> None:
        """Show another build; pieces whose mesh is the very same object keep their actors.

        A piece of the same name stays where it has been moved to.
        """
        self._actors = self.casting.cast(assembly, self._actors, self.look, self.cut)
        self._offsets = None
        self.assembly = assembly
        self.set_marks(self.marks)

    def prepare_in_steps(
        self, assembly: Assembly, *, is_seen: bool = False
    ) -> Generator[None, None, None]:
        """Make ready what `replace_assembly` will need, in steps short enough for a window; what is shown stays as it is.

        is_seen: whatever is drawn on this stage comes on the screen at once.
        """
        yield from self.casting.prepare_in_steps(
            assembly, self._actors, self.look, self.cut, is_seen=is_seen
        )

    def prepare_cut_in_steps(self) -> Generator[None, None, None]:
        """Make ready, in steps, what the first cut of this stage will need beside the meshes."""
        return self.casting.prepare_cut_in_steps(self._actors, self.cut)

    def set_offsets(
        self,
        offsets: Mapping[str, npt.NDArray[np.floating]],
        seats: Mapping[str, npt.NDArray[np.floating]] | None = None,
    ) -> None:
        """Move pieces away from home by (3,) mm each; pieces not named go home.

        seats: where the seat of each piece stands, (3,) mm from home: trails begin there; at home if None.
        """
        self._seats = dict(seats or {})
        if offsets is self._offsets:
            return  # set before every frame
        self._offsets = offsets
        for name, actor in self._actors.items():
            actor.set_offset(offsets.get(name, HOME_MM))

    @property
    def offsets(self) -> dict[str, Vector]:
        """Where each piece stands from home, (3,) mm."""
        return {name: actor.offset_mm for name, actor in self._actors.items()}

    def set_section(self, section: bool) -> None:  # noqa: FBT001 - a state, and the only argument
        """Show the half section, or whole pieces."""
        self.set_cut(HALF_SECTION if section else None)

    def set_cut(self, cut: Cut | None) -> None:
        """Show what a plane leaves of the pieces, or whole pieces."""
        finish_steps(self.set_cut_in_steps(cut))

    def set_cut_in_steps(self, cut: Cut | None) -> Generator[None, None, None]:
        """Do the same a few pieces at a time; what is left half done the next cut completes."""
        if cut == self.cut and not self._is_cutting:
            return  # asked for before every frame in motion
        self.cut, self._is_cutting = cut, True
        for number, actor in enumerate(list(self._actors.values()), 1):
            actor.set_cut(cut)
            if number % CUT_PIECES == 0:
                yield
        self._is_cutting = False

    def set_marks(self, marks: Marks) -> None:
        """Light, bar, ghost and hide pieces; names that are not on the stage are passed over."""
        self.marks = marks
        for name, actor in self._actors.items():
            if name in marks.in_the_way:
                actor.set_tint(self.look.in_the_way)
            elif name in marks.lit:
                actor.set_tint(self.look.accent)
            else:
                actor.set_tint(None)

    def set_look(self, look: Look) -> None:
        """Colour everything anew; nothing is built for it."""
        self.look = look
        self._painting.SetBackground(*(channel / 255.0 for channel in look.ground))
        self._trail.GetProperty().SetColor(*(channel / 255.0 for channel in look.faint_ink))
        for actor in self._actors.values():
            actor.set_look(look)
        self.set_marks(self.marks)

    # ----------------------------------------------------------------- camera
    def look_from(self, view: ViewName | str) -> None:
        """Go to a standing view, without fitting."""
        there = make_camera(view)
        self.camera = replace(self.camera, towards=there.towards, up=there.up)

    def fit(
        self, size: tuple[int, int], region: Region | None = None, margin: float = 0.05
    ) -> None:
        """Bring all shown pieces into `region` (the whole picture less a margin, if None), where they stand now."""
        width, height = size
        pad = margin * min(width, height)
        box = region or Region(pad, pad, width - pad, height - pad)
        self.camera = self.camera.fitted(self.find_points(), size, box)

    def find_points(self, *, uncut: bool = False) -> Vector:
        """Find the outermost points (n, 3) mm of all pieces that are not hidden; `uncut` with what a cut takes away."""
        points = list(self.find_points_by_piece(uncut=uncut).values())
        return np.concatenate(points) if points else np.zeros((1, 3))

    def find_points_by_piece(self, *, uncut: bool = False) -> dict[str, Vector]:
        """Find the outermost points (n, 3) mm of each piece that is not hidden, where it stands now."""
        shown = {n: a for n, a in self._actors.items() if n not in self.marks.hidden}
        found = {n: a.whole_points if uncut else a.surface.outer_points for n, a in shown.items()}
        return {n: points + shown[n].offset_mm for n, points in found.items() if len(points)}

    def find_centre(self, name: str) -> Vector:
        """Find the middle of a piece's bounding box where it stands now, (3,) mm."""
        return self.find_home_centre(name) + self._actors[name].offset_mm

    def find_home_centre(self, name: str) -> Vector:
        """Find the middle of a piece's bounding box at home, (3,) mm."""
        return np.asarray(self._actors[name].bounds_mm.mean(axis=0))

    def find_cut_patches(self, name: str) -> list[Vector]:
        """Find the points (n, 3) mm of each patch of a piece's cut face where it stands now; none where nothing is cut."""
        actor = self._actors[name]
        cap = actor.surface.cap
        return [] if cap is None else [patch + actor.offset_mm for patch in find_patches(cap)]

    def pick(self, x_px: float, y_px: float, size: tuple[int, int]) -> str | None:
        """Find the piece under a pixel of a frame of `size`, ghosted pieces last; None over bare ground."""
        start = self.camera.find_ray(x_px, y_px, size)
        solid = {
            n: a for n, a in self._actors.items() if n not in self.marks.hidden | self.marks.ghosted
        }
        glass = {
            n: a for n, a in self._actors.items() if n in self.marks.ghosted - self.marks.hidden
        }
        return find_hit(solid, start, self.camera.towards) or find_hit(
            glass, start, self.camera.towards
        )

    # ---------------------------------------------------------------- drawing
    def frame(self, width: int, height: int, finish: Finish = Finish.REST) -> npt.NDArray[np.uint8]:
        """Draw what is on the stage.

        Returns:
            (height, width, 4) uint8, red green blue alpha, from the upper left corner.
        """
        opaque = np.full((height, width, 4), 255, dtype=np.uint8)
        opaque[..., :3], _ = self.frame_with_numbers(width, height, finish)
        return opaque

    def frame_with_numbers(self, width: int, height: int, finish: Finish) -> Drawn:
        """Draw a frame (h, w, 3), and tell which piece's number each pixel shows (None in motion)."""
        return finish_steps(self.frame_in_steps(width, height, finish))

    def frame_in_steps(
        self, width: int, height: int, finish: Finish
    ) -> Generator[None, None, Drawn]:
        """Draw a frame pass by pass, so that a window can look after its user in between.

        Nothing may be set or drawn on this stage between two steps; a drawing that is no longer
        wanted is simply dropped. Returns (as the generator's value) what `frame_with_numbers` does.
        """
        scale = 1 if finish is Finish.MOVING else 2
        self._begin(width, height, scale)
        set_shade(self._painting, self.camera, is_on=finish is Finish.PRINT)
        names = set(self._actors) - self.marks.hidden
        solid = names - self.marks.ghosted - self.marks.missing
        numbers: npt.NDArray[np.int32] | None = None
        self.is_painting = True
        picture = yield from self._paint(solid, scale)
        self.is_painting = False
        if finish is not Finish.MOVING:
            yield
            numbers = yield from self._number(solid)
            yield
        depths = self._read_depths()
        outlines = ink.find_outlines(depths, numbers, self.camera.mm_per_px / scale)
        if finish is not Finish.MOVING:
            yield
            outlines = ink.grow(outlines, round(self.look.outline_px * scale / 2 - 0.5))
        ink.paint(picture, outlines, self.look.outline, 0.55 if scale == 1 else 0.85)
        yield
        if names & self.marks.ghosted:
            yield from self._add_ghosts(picture, depths, names & self.marks.ghosted, scale)
            yield
        yield from self._add_marks(picture, depths, names, scale)
        if scale > 1:
            picture = ink.shrink(picture, scale)
            numbers = None if numbers is None else numbers[::scale, ::scale]
        return picture, None if numbers is None else numbers // 2

    def set_live(self, height: int) -> None:
        """Make ready what a window so many pixels high draws by itself, all in one pass."""
        shown = set(self._actors) - self.marks.hidden - self.marks.missing
        for name, actor in self._actors.items():
            actor.paint(shown=name in shown)
            actor.set_glass(self.look.ghost_share if name in self.marks.ghosted else 1.0)
            actor.set_ink_width(self.look.edge_px)
        self._set_trail(1)
        self._numbering.SetDraw(False)
        self._aim(self.camera, height)

    def frame_of_numbers(self, width: int, height: int) -> npt.NDArray[np.int32]:
        """Tell which solid piece's number each pixel (h, w) shows, without painting; 0 is bare ground."""
        self._begin(width, height, 1)
        unseen = self.marks.hidden | self.marks.ghosted | self.marks.missing
        return finish_steps(self._number(set(self._actors) - unseen)) // 2

    def frame_of_piece(self, name: str, width: int, height: int) -> npt.NDArray[np.int32]:
        """Tell where one piece would be seen if it stood alone: its number for each pixel (h, w), else 0."""
        self._begin(width, height, 1)
        return finish_steps(self._number({name})) // 2

    def find_point(self, name: str, over_mm: Vector) -> Vector | None:
        """Find the point (3,) mm of a piece that is seen where a point (3,) mm lies; None where it is not."""
        return find_surface_point(self._actors[name], over_mm, self.camera.towards)

    def find_numbers(self) -> dict[str, int]:
        """Find the number that stands for each piece in `frame_with_numbers`."""
        return {name: actor.number for name, actor in self._actors.items()}

    def _paint(self, names: set[str], scale: int) -> Generator[None, None, npt.NDArray[np.uint8]]:
        for actor in self._actors.values():
            actor.set_ink_width(self.look.edge_px * scale if scale > 1 else 1.0)
        self._set_trail(scale)
        return (yield from self._render(self._painting, names, PieceActor.paint))

    def _number(self, names: set[str]) -> Generator[None, None, npt.NDArray[np.int32]]:
        picture = yield from self._render(self._numbering, names, PieceActor.count)
        return ink.read_numbers(picture)

    def _add_ghosts(
        self, picture: ink.Pixels, depths: ink.Depths, names: set[str], scale: int
    ) -> Generator[None, None, None]:
        glass = yield from self._paint(names, scale)
        yield
        numbers = yield from self._number(names)
        yield
        box = ink.find_box(numbers > 0, scale)
        per_px, behind = self.camera.mm_per_px / scale, self._read_depths()[box]
        ink.paint_glass(
            picture[box], glass[box], numbers[box], depths[box], behind, self.look, scale, per_px
        )

    def _add_marks(
        self, picture: ink.Pixels, depths: ink.Depths, names: set[str], scale: int
    ) -> Generator[None, None, None]:
        for marked in (self.marks.lit - self.marks.in_the_way, self.marks.in_the_way):
            if names & marked:
                yield from self._add_mark(picture, depths, names & marked, scale)
                yield
        if names & self.marks.missing:
            numbers = yield from self._number(names & self.marks.missing)
            yield
            cut = numbers % 2 == 1  # of what is cut its cut face says where, and hides less
            covered = cut if cut.any() else numbers > 0
            ink.paint_missing(picture, covered, self.look, scale, is_cut=bool(cut.any()))
            yield

    def _add_mark(
        self, picture: ink.Pixels, depths: ink.Depths, names: set[str], scale: int
    ) -> Generator[None, None, None]:
        covered = (yield from self._number(names)) > 0
        yield
        box = ink.find_box(covered, round(self.look.mark_px * scale / 2) + 2)
        picture, covered = picture[box], covered[box]
        seen = covered & (self._read_depths()[box] <= depths[box] + 0.5)
        is_barred = names <= self.marks.in_the_way
        ink.paint_mark(picture, covered, seen, self.look, scale, is_barred=is_barred)

    def _begin(self, width: int, height: int, scale: int) -> None:
        """Take a size: `scale` times as many pixels are drawn either way."""
        self._size = width * scale, height * scale
        self._per_px = scale
        if not is_large(self._size):
            self._window.SetSize(*self._size)
            self._aim(self.camera, height)

    def _render(
        self, renderer: vtkRenderer, names: set[str], show: Callable[..., None]
    ) -> Generator[None, None, npt.NDArray[np.uint8]]:
        for each in (self._painting, self._numbering):
            each.SetDraw(each is renderer)
        if not is_large(self._size):
            yield from draw_in_batches(self._window, renderer, self._actors, names, show)
            return read_picture(self._window)
        for name, actor in self._actors.items():
            show(actor, shown=name in names)
        fine = self.camera.zoomed(self._per_px)
        picture, self._depths = draw_in_bands(self._window, fine, self._size, self._aim)
        return picture

    def _read_depths(self) -> npt.NDArray[np.float32]:
        """Read how far from the eye each pixel of the last pass lies, in mm."""
        if is_large(self._size):
            return self._depths
        return read_depths(self._window, self._painting.GetActiveCamera().GetClippingRange())

    def _aim(self, camera: Camera, height: float) -> tuple[float, float]:
        """Point the library's camera as ours stands, with room for everything in depth: nearest, farthest mm."""
        shown = [actor for name, actor in self._actors.items() if name not in self.marks.hidden]
        # Boxes reach a little farther than what is in them, and cost next to nothing.
        boxes = np.zeros((len(shown) + 1, 2, 3))  # one is the focus itself
        if shown:
            offsets = np.array([one.offset_mm for one in shown]) - camera.focus_mm
            boxes[1:] = np.array([one.bounds_mm for one in shown]) + offsets[:, None]
        depths_mm = find_reach(boxes, camera.towards)
        for renderer in (self._painting, self._numbering):
            aim(renderer, camera, depths_mm, height)
        near, far = self._painting.GetActiveCamera().GetClippingRange()
        return near, far

    def _set_trail(self, scale: int) -> None:
        if not self.trails:
            self._trail.SetVisibility(False)
            return
        shown = {n: a.offset_mm for n, a in self._actors.items() if n not in self.marks.hidden}
        leaders = find_leaders(self.assembly, shown, self._seats)
        set_trail(self._trail, leaders, 9.0 * self.camera.mm_per_px, 1.2 * scale)
