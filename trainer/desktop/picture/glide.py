"""Let the eye glide from where it stands to another view, so that nobody loses sight of what is where."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace

from trainer.desktop.picture.moving import Moving, ease
from trainer.desktop.picture.view import PumpView
from trainer.stage.camera import Camera

GLIDE_S = 0.25


class Glide(Moving):
    """Move a picture's camera; whoever sets the camera meanwhile ends the glide where it is."""

    def __init__(self, view: PumpView, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__(view, clock)
        self._timer.timeout.connect(self.go_on)
        self._from = self._to = self._set = view.camera

    def go(self, start: Camera, end: Camera) -> None:
        """Glide from one camera to another, by the time that passes."""
        self._from, self._to = start, end
        self._put(start)
        self._begin()

    def _put(self, camera: Camera) -> None:
        self._view.camera = self._set = camera
        self._view.redraw()

    def go_on(self) -> None:
        """Go nearer by the time that has passed, unless somebody else has set the camera."""
        if self._view.camera is not self._set:
            self._timer.stop()
            return
        share = (self._clock() - self._since_s) / GLIDE_S
        if share < 1.0:
            self._put(find_between(self._from, self._to, ease(share)))
        else:
            self._timer.stop()
            self._put(self._to)


def find_between(start: Camera, end: Camera, share: float) -> Camera:
    """Find the camera at a share (0 to 1) of the way: round the pump by the shorter side, never rolled."""
    around = (end.bearing_deg - start.bearing_deg + 180.0) % 360.0 - 180.0
    turned = start.turned_to(
        start.bearing_deg + share * around,
        start.height_deg + share * (end.height_deg - start.height_deg),
    )
    return replace(
        turned,
        focus_mm=(1.0 - share) * start.focus_mm + share * end.focus_mm,
        mm_per_px=start.mm_per_px ** (1.0 - share) * end.mm_per_px**share,
    )
