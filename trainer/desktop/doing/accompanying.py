"""Keep what matters of a motion in view: the part that moves, where it came from, and what it leaves behind."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QRectF

from trainer.desktop.picture.following import Following

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow

Vector = npt.NDArray[np.float64]
LOOK_S = 0.6
"""Time that the eye takes to where something else begins."""
CLOSEST_SHARE = 0.75
"""The picture shows at least this share of the whole pump's length: of a ring alone nobody would know where it is."""


class Accompanying:
    """Frame the window's picture by what moves; what has long been off may leave it."""

    def __init__(self, window: PumpWindow) -> None:
        self._window = window
        self.following = Following(window.view)
        self._ends = np.zeros(3), np.zeros(3)
        self._known: object = None
        window.motion.find_look_s = self.find_look_s

    def follow(self, apart: float) -> None:
        """Go after the step that the slider is in, or has just done; after everything at either end.

        On the way to a page of the lesson all is kept in view: what a page speaks of may lie anywhere.
        """
        window, motion = self._window, self._window.motion
        hand = window.dragging.hand
        if hand is None:
            return
        # Within one step nothing new matters; this is asked at every frame.
        asked = (hand.find_step(apart), apart >= 1.0, motion.goal if motion.is_gliding else None)
        known = (*asked, hand, hand.moves, self._tell_view())
        if known == self._known and motion.is_playing:
            return
        self._known = known
        moves_by_itself = motion.is_playing or motion.is_gliding or motion.slider.isSliderDown()
        steps = len(hand.order.steps)
        if motion.is_gliding and not motion.is_stepping:
            ends = window.find_places(motion.goal)
            self._look_after((ends,), ends, at_once=False, anew=True)
            return
        number = hand.find_step(apart)
        if number is None or apart >= 1.0:
            ends = window.find_places(apart)
            self._look_after((ends,), ends, at_once=not moves_by_itself)
            return
        moving, left = hand.find_concerned(number)
        before, after = (window.find_places((number + add) / steps) for add in (0, 1))
        self._look_after((before, after), moving, (after,), left, at_once=not moves_by_itself)

    def find_look_s(self) -> float:
        """Find how long what begins to move must wait for the eye, in seconds: 0 where it is seen already."""
        hand, window = self._window.dragging.hand, self._window
        number = hand.find_step(window.motion.apart) if hand is not None else None
        if hand is None or number is None or not self.following.is_under_way:
            return 0.0
        seen = QRectF(window.view.rect())
        pieces = hand.order.steps[number].pieces
        is_seen = all(seen.contains(window.view.find_middle(piece)) for piece in pieces)
        return 0.0 if is_seen else LOOK_S

    def _tell_view(self) -> tuple[object, ...]:
        """Tell what else the framing depends on."""
        view = self._window.view
        camera = view.camera
        by_hand = self.following.is_framed_by_hand
        return view.size_px, view.cut, view.shown_marks.hidden, camera.towards.tobytes(), by_hand

    def show(self, pieces: Iterable[str]) -> None:
        """Keep pieces that the hand moved in the picture, with all that still stands together."""
        window, hand = self._window, self._window.dragging.hand
        if hand is not None:
            places = window.find_places(window.motion.apart)
            self._look_after((places,), {*pieces, *hand.find_left()}, at_once=False)

    def _look_after(
        self,
        places: tuple[Mapping[str, Vector], ...],
        pieces: Iterable[str],
        other_places: tuple[Mapping[str, Vector], ...] = (),
        others: Iterable[str] = (),
        *,
        at_once: bool,
        anew: bool = False,
    ) -> None:
        outer = self._find_outer()
        home = np.zeros(3)
        points = [
            outer[name] + where.get(name, home)
            for stand, names in ((places, list(pieces)), (other_places, list(others)))
            for where in stand
            for name in names
            if name in outer
        ]
        if points:
            low, high = self._ends
            closest_mm = CLOSEST_SHARE * float(np.linalg.norm(high - low))
            self.following.look_after(
                np.concatenate(points), closest_mm, at_once=at_once, anew=anew
            )

    def _find_outer(self) -> Mapping[str, Vector]:
        """Find the outermost points (n, 3) mm of each piece at home, once for what stands on the bench."""
        outer = self._window.view.find_outer_points()
        shown = self._window.view.shown_marks.hidden
        everything = np.concatenate([*outer.values(), np.zeros((1, 3))])
        self._ends = everything.min(axis=0), everything.max(axis=0)
        return {name: points for name, points in outer.items() if name not in shown}
