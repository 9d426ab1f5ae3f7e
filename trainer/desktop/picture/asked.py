"""What can be asked of the picture: what lies under a spot, what is seen, what stands in front, how to come closer."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPoint, QPointF

from trainer.desktop.picture.overlay import find_inner_spot
from trainer.desktop.picture.view import PumpView
from trainer.stage.camera import Camera, Region
from trainer.stage.in_front import LOOK_PX, find_in_front
from trainer.stage.scene import Stage

CLOSE_RIM_SHARE = 0.25
"""How much of each side of the picture shows what is round a part that the eye has come close to."""


class AskedView(PumpView):
    """A picture that answers."""

    @property
    def is_settled(self) -> bool:
        """Does the picture stand still, so that what is under a spot can be told at once?"""
        return self.surface.is_settled

    def find_close_camera(self, pieces: frozenset[str]) -> Camera | None:
        """Find the camera that brings pieces large into the picture from where it looks; None where none is shown."""
        stage = self.surface.front
        if stage is None:
            return None
        self.set_state(stage)
        shown = stage.find_points_by_piece()
        points = [shown[name] for name in pieces & shown.keys()]
        if not points:
            return None
        width, height = self.size_px
        across, down = CLOSE_RIM_SHARE * width, CLOSE_RIM_SHARE * height
        region = Region(across, down, width - across, height - down)
        return self.camera.fitted(np.concatenate(points), self.size_px, region)

    def find_in_front(self, wanted: frozenset[str], hidden: frozenset[str]) -> frozenset[str]:
        """Find the pieces that must turn to glass so that the wanted ones are seen; `hidden` are not shown at all."""
        stage = self.surface.front
        if stage is None:
            return frozenset()
        self._interrupt(stage)
        stage.camera = self.camera.zoomed(LOOK_PX[0] / self.size_px[0])
        return find_in_front(stage, wanted, hidden)

    def pick(self, spot: QPointF) -> str | None:
        """Find the piece under a spot of the picture; None over bare ground. Nothing is drawn anew for it once all is still."""
        stage = self.surface.full
        if stage is None:
            return None
        if not self.is_settled:
            self._interrupt(stage)
        return stage.pick(spot.x(), spot.y(), self.size_px)

    def find_seen(self) -> dict[str, QPoint]:
        """Find the pieces that can be pointed at, with a pixel in the middle of each, from left to right."""
        stage = self.surface.full
        if stage is None:
            return {}
        self._interrupt(stage)
        numbers = stage.frame_of_numbers(*self.size_px)
        names = {number: name for name, number in stage.find_numbers().items()}
        found = {}
        for number in np.unique(numbers[numbers > 0]):
            spot = find_inner_spot(numbers == number)
            if spot is not None:
                found[names[int(number)]] = QPoint(*spot)
        return dict(sorted(found.items(), key=lambda item: (item[1].x(), item[1].y())))

    def _interrupt(self, stage: Stage) -> None:
        """Use a stage for something else than drawing; what was half drawn is begun anew once this is over."""
        self.surface.drop()
        self.set_state(stage)
