"""Let the eye go after what matters: calmly, by the time that has passed, and not where a hand has framed the picture."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from trainer.desktop.picture.moving import Moving
from trainer.desktop.picture.view import PumpView
from trainer.stage.camera import Camera, is_framed_alike

Vector = npt.NDArray[np.float64]
SETTLE_S = 0.8
"""The eye has gone most of its way after about this time, however far that is."""
RIM_SHARE = 0.1
"""What matters is brought inside the picture less such a rim."""
KEPT_SHARE = 0.035
"""It may come as near to the picture's edge as this before the eye goes after it."""
SMALL_SHARE = 0.58
"""It is gone closer to only when it fills less than this of the picture."""
THERE_PX = 0.4


class Following(Moving):
    """Go after points in a picture. A hand that has moved or scaled the picture has framed it: then it stays until told to fit.

    A hand that turns the pump frames nothing: the eye goes on from the new side.
    """

    def __init__(self, view: PumpView, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__(view, clock)
        self._timer.timeout.connect(self.go_on)
        self._own: Camera | None = None
        self._target: Camera | None = None
        self._points = np.zeros((0, 3))
        self._speed = np.zeros(4)

    @property
    def is_framed_by_hand(self) -> bool:
        """Has a hand moved or scaled the picture since it was last fitted or followed?"""
        camera = self._view.camera
        return not any(
            known is not None and is_framed_alike(camera, known)
            for known in (self._own, self._view.fitted)
        )

    def stop(self) -> None:
        """Stay where it is."""
        self._timer.stop()
        self._speed = np.zeros(4)
        self._target = None

    def look_after(
        self,
        points_mm: npt.NDArray[np.floating],
        closest_mm: float,
        *,
        at_once: bool = False,
        anew: bool = False,
    ) -> None:
        """Keep points (n, 3) mm in the picture.

        Args:
            points_mm: what is to be seen.
            closest_mm: the picture shows at least so much from edge to edge.
            at_once: go there in one frame, where all else jumps too.
            anew: frame them as well as can be, even where they are well enough seen already.
        """
        if not len(points_mm) or self._view.is_close_up or self.is_framed_by_hand:
            self.stop()
            return
        self._points = np.asarray(points_mm, dtype=np.float64)
        base = self._view.camera
        known = self._target if self._target is not None and self.is_under_way else base
        known = replace(known, towards=base.towards, up=base.up)
        stays = not anew and self._is_well_seen(known)
        self._target = known if stays else self._frame(base, closest_mm)
        if at_once:
            there = self._target
            self.stop()
            self._set(there)
        elif not self.is_under_way and not _is_there(base, self._target):
            self._begin()

    def go_on(self) -> None:
        """Go nearer by the time that has passed, as a damped spring does: no jerk at either end."""
        target, camera = self._target, self._view.camera
        if target is None or self.is_framed_by_hand or self._view.is_close_up:
            self.stop()
            return
        now_s = self._clock()
        past_s, self._since_s = now_s - self._since_s, now_s
        goal = np.append(target.focus_mm, math.log(target.mm_per_px))
        here = np.append(camera.focus_mm, math.log(camera.mm_per_px))
        pull = 2.0 / (SETTLE_S / 2.0)
        away, fade = here - goal, math.exp(-pull * past_s)
        push = (self._speed + pull * away) * past_s
        there = goal + (away + push) * fade
        self._speed = (self._speed - pull * push) * fade
        nearer = replace(camera, focus_mm=there[:3], mm_per_px=math.exp(there[3]))
        if _is_there(nearer, target):
            self.stop()
            nearer = replace(camera, focus_mm=target.focus_mm, mm_per_px=target.mm_per_px)
        self._set(nearer)

    def _set(self, camera: Camera) -> None:
        self._own = self._view.camera = camera
        self._view.redraw()

    def _is_well_seen(self, camera: Camera) -> bool:
        """Say whether all points are inside the picture and fill enough of it, so that the eye can stay."""
        width, height = self._view.size_px
        flat = camera.project(self._points, (width, height))[:, :2]
        low, high = flat.min(axis=0), flat.max(axis=0)
        rims = np.maximum(KEPT_SHARE * min(width, height), self._view.kept_px)
        room = np.array([width, height]) - rims
        inside = bool((low >= rims).all() and (high <= room).all())
        fills = max((high - low) / (room - rims))
        return inside and bool(fills >= SMALL_SHARE)

    def _frame(self, camera: Camera, closest_mm: float) -> Camera:
        size = self._view.size_px
        framed = camera.fitted(self._points, size, self._view.find_room(RIM_SHARE))
        least = closest_mm / size[0]
        return framed if framed.mm_per_px >= least else replace(framed, mm_per_px=least)


def _is_there(camera: Camera, target: Camera) -> bool:
    away = float(np.abs(camera.focus_mm - target.focus_mm).max())
    return (
        away < THERE_PX * target.mm_per_px and abs(camera.mm_per_px / target.mm_per_px - 1.0) < 1e-3
    )
