"""One piece on the stage: its surface, edges and cap, moved together."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from vtkmodules.vtkCommonDataModel import vtkPlane, vtkPolyData
from vtkmodules.vtkCommonMath import vtkMatrix4x4
from vtkmodules.vtkRenderingCore import vtkActor, vtkPolyDataMapper, vtkRenderer, vtkTexture

from models.spec.assembly import AssemblyPiece
from trainer.stage.cut import Cut
from trainer.stage.look import Colour, Look, mix
from trainer.stage.surface import NOTHING, Surface, Whole, is_whole_in_section, make_hatch_image

# Press fits overlap in the plane of the cut and would flicker there; each cap stands this much nearer
# to the viewer than the one before it, so that one of the two always wins.
_CAP_STEP_MM = 0.004
_EMPTY = vtkPolyData()


class PieceActor:
    """Hold what the graphics library draws of one piece, made once and then only moved and coloured.

    number: from 1, unique on the stage; pixels of the skin carry 2 × number, of the cap 2 × number + 1.
    """

    def __init__(self, piece: AssemblyPiece, number: int, look: Look) -> None:
        self.piece = piece
        self.number = number
        self.triangles = len(piece.mesh.triangles)
        self._look = look
        self._matrix = vtkMatrix4x4()
        # Kept: a mesh works out its bounds anew each time it is asked.
        self.bounds_mm = np.array(piece.mesh.bounds, dtype=np.float64).reshape(2, 3)
        diagonal_mm = np.linalg.norm(self.bounds_mm[1] - self.bounds_mm[0])
        hatch_mm = float(np.clip(diagonal_mm / 45.0, 2.6, 6.0))
        # Neighbours on the shaft come one after the other, so leaning by turns tells them apart.
        self._whole = Whole(piece.mesh, hatch_mm, 1 if number % 2 else -1)
        self.surface: Surface = self._whole.surface
        self._cut: Cut | None = None
        self._plane = vtkPlane()
        self.offset_mm: npt.NDArray[np.float64] = np.zeros(3)
        self._there = [0.0, 0.0, 0.0]
        self._ink_px = 1.0
        self._tint: Colour | None = None
        self._is_painted = self._is_counted = True
        self._is_clipped = self._is_hatched = False
        self._skin = self._make_actor()
        self._skin.GetProperty().SetAmbient(0.40)
        self._skin.GetProperty().SetDiffuse(0.85)
        self._skin.GetProperty().SetSpecular(0.06)
        self._skin.GetProperty().SetSpecularPower(12.0)
        self._cap = self._make_actor()
        # Flat, but not "unlit": soft shade reads normals, and unlit surfaces hand it none.
        self._cap.GetProperty().SetAmbient(1.0)
        self._cap.GetProperty().SetDiffuse(0.0)
        self._ink = self._make_actor(is_lit=False)
        self._cut_edge = self._make_actor(is_lit=False)
        self._skin_number = self._make_actor(is_lit=False)
        self._cap_number = self._make_actor(is_lit=False)
        for actor, code in ((self._skin_number, 2 * number), (self._cap_number, 2 * number + 1)):
            actor.GetProperty().SetColor(*_shares(_encode(code)))
        for actor in (self._skin, self._skin_number):
            # Solids are closed and cuts are capped, so the far side of a skin is never seen.
            actor.GetProperty().BackfaceCullingOn()
        self.set_look(look)
        self._shown_skin: vtkPolyData | None = None
        self._cap_data, self._edge_data = vtkPolyData(), vtkPolyData()
        for actor, data in (
            (self._cap, self._cap_data),
            (self._cap_number, self._cap_data),
            (self._cut_edge, self._edge_data),
        ):
            _set_input(actor, data)
        self._show_surface()

    @property
    def whole_points(self) -> npt.NDArray[np.float64]:
        """The few points (n, 3) mm at home that say how far the piece reaches, whatever is cut off."""
        return self._whole.surface.outer_points

    def set_cut(self, cut: Cut | None) -> None:
        """Show what a cut leaves of the piece, or the whole piece."""
        if cut == self._cut:
            return
        self._cut = cut
        if cut is None or is_whole_in_section(self.piece, cut):
            self.surface = self._whole.surface
        else:
            self.surface = self._whole.cut(cut)
        self._show_surface()

    def set_offset(self, offset_mm: npt.NDArray[np.floating]) -> None:
        """Move the piece away from home by (3,) mm."""
        if offset_mm is self.offset_mm:
            return
        self.offset_mm = np.asarray(offset_mm, dtype=np.float64)
        there = self.offset_mm.tolist()
        for row, value in enumerate(there):  # mostly it moves along one axis
            if value != self._there[row]:
                self._matrix.SetElement(row, 3, value)
        self._there = there
        if self.surface.cut is not None:
            self._place_plane()

    def set_tint(self, tint: Colour | None) -> None:
        """Colour the piece with a mark, or give it back its material's tone."""
        if tint == self._tint:
            return  # all are set whenever one is marked
        self._tint = tint
        tone = self._look.find_tone(self.piece.material)
        cut_tone = self._look.find_cut_tone(self.piece.material)
        if tint is not None:
            # Paler than the mark itself, so that ink still shows on it and the outline stands out.
            pale = mix(tint, self._look.ground, 0.22)
            tone, cut_tone = mix(tone, pale, 0.85), mix(cut_tone, pale, 0.6)
        self._skin.GetProperty().SetColor(*_shares(tone))
        self._cap.GetProperty().SetColor(*_shares(cut_tone))

    def set_look(self, look: Look) -> None:
        """Take the colours of another look; a mark on the piece has to be set again."""
        self._look = look
        for actor in (self._ink, self._cut_edge):
            actor.GetProperty().SetColor(*_shares(look.edge))
        self._tint = look.ground  # no mark's colour, so that it is set anew
        self.set_tint(None)

    def set_glass(self, share: float) -> None:
        """Let through what lies behind; `share` is how much of the piece itself is seen, 1 for all."""
        for actor in (self._skin, self._cap):
            actor.GetProperty().SetOpacity(share)
        for actor in (self._ink, self._cut_edge):
            actor.GetProperty().SetOpacity(min(1.0, 2.5 * share))

    def set_ink_width(self, width_px: float) -> None:
        """Set the width of the drawn edges; the outline of a cut face is half as wide again."""
        if width_px == self._ink_px:
            return
        self._ink_px = width_px
        self._ink.GetProperty().SetLineWidth(width_px)
        self._cut_edge.GetProperty().SetLineWidth(1.5 * width_px)

    def enter(self, painting: vtkRenderer, numbering: vtkRenderer) -> None:
        """Put the piece on the stage."""
        for actor in (self._skin, self._cap, self._ink, self._cut_edge):
            painting.AddActor(actor)
        for actor in (self._skin_number, self._cap_number):
            numbering.AddActor(actor)

    def leave(self, painting: vtkRenderer, numbering: vtkRenderer) -> None:
        """Take the piece off the stage."""
        for actor in (self._skin, self._cap, self._ink, self._cut_edge):
            painting.RemoveActor(actor)
        for actor in (self._skin_number, self._cap_number):
            numbering.RemoveActor(actor)

    def paint(self, *, shown: bool) -> None:
        """Show or hide the surface and its edges in what is painted."""
        if shown is not self._is_painted:  # asked for before every frame
            self._is_painted = shown
            self._show_parts()

    def count(self, *, shown: bool) -> None:
        """Show or hide the surface in what is numbered."""
        if shown is not self._is_counted:
            self._is_counted = shown
            self._show_parts()

    def _show_parts(self) -> None:
        is_left = self.surface is not NOTHING
        painted, counted = self._is_painted and is_left, self._is_counted and is_left
        is_cut = self.surface.cap is not None
        for actor, shown in (
            (self._skin, painted),
            (self._ink, painted),
            (self._cap, painted and is_cut),
            (self._cut_edge, painted and self.surface.cut_edge is not None),
            (self._skin_number, counted),
            (self._cap_number, counted and is_cut),
        ):
            actor.SetVisibility(shown)

    def _make_actor(self, *, is_lit: bool = True) -> vtkActor:
        mapper = vtkPolyDataMapper()
        mapper.StaticOn()
        actor = vtkActor()
        actor.SetMapper(mapper)
        actor.SetUserMatrix(self._matrix)
        actor.GetProperty().SetLighting(is_lit)
        actor.GetProperty().SetInterpolationToPhong()
        return actor

    def _show_surface(self) -> None:
        surface = self.surface
        # Of most cuts only the cap is another; where all is taken away the skin stays and is not shown.
        if surface.skin is not self._shown_skin and surface is not NOTHING:
            self._shown_skin = surface.skin
            for actor, data in (
                (self._skin, surface.skin),
                (self._skin_number, surface.skin),
                (self._ink, surface.ink),
            ):
                _set_input(actor, data)
        # Of these the mappers keep their input, and see by its age that something else is in it.
        self._cap_data.ShallowCopy(surface.cap or _EMPTY)
        self._edge_data.ShallowCopy(surface.cut_edge or _EMPTY)
        self._place_plane()
        self._show_parts()
        self._clip(surface)
        if self._cut is not None:
            for actor in (self._cap, self._cap_number, self._cut_edge):
                actor.SetPosition(*(-_CAP_STEP_MM * self.number * self._cut.normal))

    def _clip(self, surface: Surface) -> None:
        """Let what is drawn end at the plane, and hatch the cut face, where that is another than before."""
        if (surface.cut is not None) is not self._is_clipped:
            self._is_clipped = surface.cut is not None
            for actor in (self._skin, self._skin_number, self._ink):
                mapper = actor.GetMapper()
                mapper.RemoveAllClippingPlanes()
                if self._is_clipped:
                    mapper.AddClippingPlane(self._plane)
        if surface.hatched is not self._is_hatched:
            self._is_hatched = surface.hatched
            self._cap.SetTexture(_make_hatch() if surface.hatched else None)  # type: ignore[arg-type]  # None takes it off

    def _place_plane(self) -> None:
        """Let the plane of the cut go along with the piece: what is drawn is cut where the piece stands."""
        cut = self.surface.cut
        if cut is not None:
            self._plane.SetOrigin(*(cut.plane_mm * np.abs(cut.normal) + self.offset_mm))
            self._plane.SetNormal(*cut.normal)


def _set_input(actor: vtkActor, data: vtkPolyData) -> None:
    """Let an actor draw something else: a static mapper looks at its input once, and must be told of another."""
    mapper = actor.GetMapper()
    assert isinstance(mapper, vtkPolyDataMapper)
    mapper.StaticOff()
    mapper.SetInputData(data)
    mapper.Update()
    mapper.StaticOn()


def _make_hatch() -> vtkTexture:
    texture = vtkTexture()
    texture.SetInputData(make_hatch_image())
    texture.RepeatOn()
    texture.InterpolateOn()
    texture.MipmapOn()
    return texture


def _encode(number: int) -> Colour:
    return number >> 16 & 255, number >> 8 & 255, number & 255


def _shares(colour: Colour) -> tuple[float, float, float]:
    return colour[0] / 255.0, colour[1] / 255.0, colour[2] / 255.0
