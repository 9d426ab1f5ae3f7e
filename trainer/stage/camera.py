"""Where the eye stands: frozen values and plain sums, no graphics library.

All views are parallel projections, as in drawings: lengths keep their proportion, a part that leaves
along a line is seen to, and fitting is exact. World axes: x along the shaft towards the drive end,
z up, y to the right as seen from the driver. Pixels count from the upper left corner.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from trainer.core.order.sight import SIGHTS, Sight

Vector = npt.NDArray[np.float64]


class ViewName(StrEnum):
    """Names of the standing views."""

    ISO = "iso"
    ISO_DRIVE = "iso-drive"
    ISO_RIGHT = "iso-right"
    SIDE = "side"
    FAR_SIDE = "far-side"
    SUCTION = "suction"
    DRIVE = "drive"
    TOP = "top"
    BELOW = "below"
    EXPLODED = "exploded"


# From the scene towards the eye, and which way is up in the picture. ISO and SIDE look from the side
# on which the half section takes its half away, with the suction end at the left.
_VIEWS: dict[ViewName, tuple[tuple[float, float, float], tuple[float, float, float]]] = {
    ViewName.ISO: ((-0.62, -0.78, 0.46), (0.0, 0.0, 1.0)),
    ViewName.ISO_DRIVE: ((0.62, -0.78, 0.46), (0.0, 0.0, 1.0)),
    ViewName.ISO_RIGHT: ((-0.62, 0.78, 0.46), (0.0, 0.0, 1.0)),
    ViewName.SIDE: ((0.0, -1.0, 0.0), (0.0, 0.0, 1.0)),
    ViewName.FAR_SIDE: ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    ViewName.SUCTION: ((-1.0, 0.0, 0.0), (0.0, 0.0, 1.0)),
    ViewName.DRIVE: ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0)),
    ViewName.TOP: ((0.0, 0.0, 1.0), (0.0, 1.0, 0.0)),
    ViewName.BELOW: ((0.0, 0.0, -1.0), (0.0, -1.0, 0.0)),
    ViewName.EXPLODED: (SIGHTS[0], (0.0, 0.0, 1.0)),
}


@dataclass(frozen=True, slots=True)
class Region:
    """A rectangle of a picture in pixels: left, top, right, bottom."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Width in pixels."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height in pixels."""
        return self.bottom - self.top


@dataclass(frozen=True, slots=True, eq=False)
class Camera:
    """A parallel view.

    focus_mm: the point in the middle of the picture. towards: unit vector from the scene to the eye.
    up: unit vector, square to `towards`. mm_per_px: size of one pixel.
    """

    focus_mm: Vector
    towards: Vector
    up: Vector
    mm_per_px: float = 1.0

    @property
    def right(self) -> Vector:
        """Unit vector towards the right of the picture."""
        # Written out: asked for many times a frame, and the library's own takes ten times as long for three numbers.
        (a, b, c), (d, e, f) = self.up.tolist(), self.towards.tolist()
        return np.array([b * f - c * e, c * d - a * f, a * e - b * d])

    def project(self, points_mm: npt.NDArray[np.floating], size: tuple[int, int]) -> Vector:
        """Project points (n, 3) into a picture of `size` pixels.

        Returns:
            (n, 3): pixels from the left, pixels from the top, and mm towards the eye from the focus.
        """
        relative = np.asarray(points_mm, dtype=np.float64).reshape(-1, 3) - self.focus_mm
        across = relative @ np.stack([self.right, self.up, self.towards], axis=1)
        width, height = size
        return np.stack(
            [
                width / 2 + across[:, 0] / self.mm_per_px,
                height / 2 - across[:, 1] / self.mm_per_px,
                across[:, 2],
            ],
            axis=1,
        )

    def find_ray(self, x_px: float, y_px: float, size: tuple[int, int]) -> Vector:
        """Find the point in the plane of the focus that lies under a pixel; the ray runs along -towards."""
        width, height = size
        right_mm = (x_px - width / 2) * self.mm_per_px
        up_mm = (height / 2 - y_px) * self.mm_per_px
        return np.asarray(self.focus_mm + right_mm * self.right + up_mm * self.up)

    def fitted(
        self, points_mm: npt.NDArray[np.floating], size: tuple[int, int], region: Region
    ) -> Camera:
        """Return this view with all points inside `region` of a picture of `size` pixels, as large as they go."""
        relative = np.asarray(points_mm, dtype=np.float64).reshape(-1, 3)
        flat = relative @ np.stack([self.right, self.up], axis=1)
        low, high = flat.min(axis=0), flat.max(axis=0)
        span_mm = np.maximum(high - low, 1e-6)
        mm_per_px = float(max(span_mm[0] / region.width, span_mm[1] / region.height))
        centre = (low + high) / 2
        # The region's middle, not the picture's, must show the points' middle.
        right_mm = centre[0] - ((region.left + region.right) / 2 - size[0] / 2) * mm_per_px
        up_mm = centre[1] + ((region.top + region.bottom) / 2 - size[1] / 2) * mm_per_px
        depth_mm = float((relative @ self.towards).mean())
        focus = right_mm * self.right + up_mm * self.up + depth_mm * self.towards
        return replace(self, focus_mm=focus, mm_per_px=mm_per_px)

    @property
    def bearing_deg(self) -> float:
        """From which side the eye looks: the angle round z from x; from straight above, what is below in the picture."""
        flat = self.towards
        if abs(self.towards[2]) > 0.999:
            flat = -self.up * np.sign(self.towards[2])
        return math.degrees(math.atan2(flat[1], flat[0]))

    @property
    def height_deg(self) -> float:
        """How high the eye stands: 90 looks from straight above."""
        return math.degrees(math.asin(max(-1.0, min(1.0, float(self.towards[2])))))

    def turned_to(self, bearing_deg: float, height_deg: float) -> Camera:
        """Look at the focus from a bearing and a height, z upwards; at 90 and -90 what lies at the bearing is nearest the picture's edge."""
        bearing, height = math.radians(bearing_deg), math.radians(height_deg)
        flat = np.array([math.cos(bearing), math.sin(bearing), 0.0])
        rise = np.array([0.0, 0.0, 1.0])
        towards = math.cos(height) * flat + math.sin(height) * rise
        up = math.cos(height) * rise - math.sin(height) * flat
        return replace(self, towards=towards, up=up)

    def orbited(self, right_deg: float, up_deg: float) -> Camera:
        """Walk round the focus: to the right, and upwards; stop short of the poles so that z stays up."""
        height_deg = max(-89.0, min(89.0, self.height_deg + up_deg))
        return self.turned_to(self.bearing_deg + right_deg, height_deg)

    def panned(self, right_px: float, down_px: float) -> Camera:
        """Move the picture's content by pixels."""
        shift = -right_px * self.mm_per_px * self.right + down_px * self.mm_per_px * self.up
        return replace(self, focus_mm=self.focus_mm + shift)

    def zoomed(
        self,
        factor: float,
        at_px: tuple[float, float] | None = None,
        size: tuple[int, int] = (1, 1),
    ) -> Camera:
        """Come closer by `factor` (above 1), keeping the point under the pixel `at_px` where it is."""
        if factor <= 0.0:
            raise ValueError("factor must be above 0")
        nearer = replace(self, mm_per_px=self.mm_per_px / factor)
        if at_px is None:
            return nearer
        kept = self.find_ray(*at_px, size) - nearer.find_ray(*at_px, size)
        return replace(nearer, focus_mm=nearer.focus_mm + kept)


def make_camera(view: ViewName | str) -> Camera:
    """Make the camera of a standing view, not yet fitted to anything."""
    towards, up = _VIEWS[ViewName(view)]
    eye = np.array(towards, dtype=np.float64)
    eye /= np.linalg.norm(eye)
    return Camera(np.zeros(3), eye, _find_up(eye, np.array(up, dtype=np.float64)))


def is_framed_alike(one: Camera, other: Camera) -> bool:
    """Say whether two cameras look at the same spot at the same scale, from whatever side."""
    return one.mm_per_px == other.mm_per_px and np.array_equal(one.focus_mm, other.focus_mm)


def make_sighted_camera(sight: Sight) -> Camera:
    """Make the camera from which a layout was laid out, not yet fitted to anything."""
    return Camera(np.zeros(3), sight.towards, sight.up)


AT_ONCE = 1024
"""So many points are asked at once that what comes of it stays near the processor."""


def find_outer_points(points: npt.NDArray[np.floating]) -> Vector:
    """Find a few points (at most 200, 3) that reach as far as all (n, 3) do, to within two parts in a hundred.

    The farthest point in each of many directions spread evenly over a ball; fitting a view to these
    costs a hundredth of fitting it to all.
    """
    steps = np.arange(200) + 0.5
    height = 1.0 - 2.0 * steps / 200
    turn = math.pi * (1.0 + math.sqrt(5.0)) * steps
    around = np.sqrt(1.0 - height**2)
    directions = np.stack(
        [around * np.cos(turn), around * np.sin(turn), height], axis=1, dtype=np.float32
    )
    held = np.asarray(points, dtype=np.float32)
    farthest = np.arange(len(held))
    while len(farthest) > AT_ONCE:
        lots = [farthest[at : at + AT_ONCE] for at in range(0, len(farthest), AT_ONCE)]
        farthest = np.concatenate([lot[_find_farthest(held[lot], directions)] for lot in lots])
    farthest = farthest[_find_farthest(held[farthest], directions)]
    return np.asarray(points[farthest], dtype=np.float64)


def _find_farthest(
    points: npt.NDArray[np.float32], directions: npt.NDArray[np.float32]
) -> npt.NDArray[np.int64]:
    # One direction a row, so that the search for its farthest point runs along the memory.
    return np.unique((directions @ points.T).argmax(axis=1))


def _find_up(towards: Vector, wished: Vector) -> Vector:
    up = wished - (wished @ towards) * towards
    return np.asarray(up / np.linalg.norm(up))
