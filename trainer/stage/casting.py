"""Bring pieces on the stage: what the graphics library draws of each is made and handed to it in steps, before it is seen."""

from __future__ import annotations

from collections.abc import Generator, Mapping, Sequence

import numpy as np
from vtkmodules.vtkRenderingCore import vtkRenderer, vtkRenderWindow

from models.spec.assembly import Assembly, AssemblyPiece
from trainer.stage.actor import PieceActor
from trainer.stage.batches import part_out
from trainer.stage.camera import Region, ViewName, make_camera
from trainer.stage.cut import HALF_SECTION, Cut
from trainer.stage.fittings import aim, find_reach
from trainer.stage.look import Look

MOST_PIECES = 16
"""Pieces that are made in one go."""
UNSEEN_PX = (64, 64)
"""Size of what is drawn where nobody sees it, if nothing has been drawn yet."""
Actors = Mapping[str, PieceActor]


class Casting:
    """Make the actors of a stage; those that are ready wait unseen until they are called."""

    def __init__(
        self, window: vtkRenderWindow, painting: vtkRenderer, numbering: vtkRenderer
    ) -> None:
        self._window, self._renderers = window, (painting, numbering)
        self._ready: dict[str, PieceActor] = {}
        self._next_number = 1
        self._can_cut = False
        self._gone: list[PieceActor] = []

    def cast(
        self, assembly: Assembly, before: Actors, look: Look, cut: Cut | None
    ) -> dict[str, PieceActor]:
        """Give each piece its actor: its own of `before`, one that is ready, or a new one; all others leave.

        A piece of the same name stays where it has been moved to.
        """
        self.clear_away()
        cast: dict[str, PieceActor] = {}
        for piece in assembly.pieces:
            actor = _find_own(piece, before)
            if actor is None:
                actor = _find_own(piece, self._ready) or self._make(piece, look)
                actor.set_look(look)
                actor.set_cut(cut)
                if piece.name in before:
                    actor.set_offset(before[piece.name].offset_mm)
            cast[piece.name] = actor
        self._let_go([*before.values(), *self._ready.values()], cast)
        self._ready = {}
        return cast

    def prepare_in_steps(
        self,
        assembly: Assembly,
        before: Actors,
        look: Look,
        cut: Cut | None,
        *,
        is_seen: bool = False,
    ) -> Generator[None, None, None]:
        """Make the actors that `cast` will need, and let the graphics library take them in.

        is_seen: whatever is drawn comes on the screen, so nothing must be.
        """
        self._let_go(list(self._ready.values()), {})
        self._ready = {}
        missing = [piece for piece in assembly.pieces if _find_own(piece, before) is None]
        for batch in part_out(missing, lambda piece: len(piece.mesh.triangles), MOST_PIECES):
            actors = [self._make(piece, look) for piece in batch]
            self._ready |= {actor.piece.name: actor for actor in actors}
            for actor in actors:
                actor.set_cut(cut)
            yield
            if actors and not is_seen:
                yield from self._take_in(actors, before)

    def prepare_cut_in_steps(self, actors: Actors, cut: Cut | None) -> Generator[None, None, None]:
        """Let the graphics library write, in steps and unseen, the programs by which it draws what is cut.

        That takes as long as several frames, and would hold up whoever cuts for the first time.
        """
        if self._can_cut or cut is not None:
            return
        there = [*actors.values(), *self._ready.values()]
        largest_first = sorted(there, key=lambda one: -len(one.piece.mesh.triangles))
        for actor in largest_first:
            actor.set_cut(HALF_SECTION)
            is_hatched = actor.surface.hatched
            actor.set_cut(None)
            yield
            if is_hatched:
                break
        else:
            return
        for renderer in self._renderers:
            # Between two steps somebody may draw: then it is whole.
            actor.set_cut(HALF_SECTION)
            self._draw_unseen([actor], there, renderer)
            actor.set_cut(None)
            yield
        self._can_cut = True

    def _make(self, piece: AssemblyPiece, look: Look) -> PieceActor:
        actor = PieceActor(piece, self._next_number, look)
        self._next_number += 1
        actor.paint(shown=False)
        actor.count(shown=False)
        actor.enter(*self._renderers)
        return actor

    def _let_go(self, actors: Sequence[PieceActor], kept: Actors) -> None:
        stay = {id(actor) for actor in kept.values()}
        for actor in actors:
            if id(actor) not in stay:
                actor.paint(shown=False)
                actor.count(shown=False)
                self._gone.append(actor)

    def clear_away(self, most: int | None = None) -> bool:
        """Give back what the graphics library holds of so many actors that have left, or of all; tell whether any are left."""
        for _ in range(min(len(self._gone), most or len(self._gone))):
            self._gone.pop().leave(*self._renderers)
        return bool(self._gone)

    def _take_in(self, actors: Sequence[PieceActor], before: Actors) -> Generator[None, None, None]:
        """Let the graphics library take in actors: sending it meshes takes most of a first picture's time."""
        for renderer in self._renderers:
            self._draw_unseen(actors, [*before.values(), *self._ready.values()], renderer)
            for actor in actors:
                actor.paint(shown=False)
                actor.count(shown=False)
            yield

    def _draw_unseen(
        self, actors: Sequence[PieceActor], of: Sequence[PieceActor], renderer: vtkRenderer
    ) -> None:
        """Draw some actors of all by one renderer, where nobody sees it."""
        for other in of:
            other.paint(shown=other in actors)
            other.count(shown=other in actors)
        if self._window.GetNeverRendered():
            self._window.SetSize(*UNSEEN_PX)
        size = self._window.GetSize()
        boxes = np.array([actor.bounds_mm for actor in actors])
        camera = make_camera(ViewName.ISO).fitted(
            boxes.reshape(-1, 3),
            (size[0], size[1]),
            Region(0.0, 0.0, float(size[0]), float(size[1])),
        )
        aim(renderer, camera, find_reach(boxes - camera.focus_mm, camera.towards), size[1])
        renderer.SetUseSSAO(False)
        for each in self._renderers:
            each.SetDraw(each is renderer)
        self._window.Render()
        self._window.WaitForCompletion()


def _find_own(piece: AssemblyPiece, actors: Actors) -> PieceActor | None:
    """Find the actor of a piece whose mesh is the very same object, of the same material."""
    actor = actors.get(piece.name)
    if actor is None or actor.piece.mesh is not piece.mesh:
        return None
    return actor if actor.piece.material == piece.material else None
