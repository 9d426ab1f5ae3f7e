"""What a stage is fitted with before anything stands on it: renderers, lights, and how a camera is aimed."""

from __future__ import annotations

import numpy as np
from vtkmodules.vtkRenderingCore import vtkLight, vtkRenderer, vtkRenderWindow

from trainer.stage.camera import Camera, Vector
from trainer.stage.look import Colour

SHADE_MM, SHADE_PX = 14.0, 40.0
"""How far soft shade reaches from a corner: so many mm, and in a close-up no more than so many pixels."""


def make_renderer(window: vtkRenderWindow, ground: Colour) -> vtkRenderer:
    """Make a renderer of a window, without any light."""
    renderer = vtkRenderer()
    renderer.SetBackground(*(channel / 255.0 for channel in ground))
    renderer.SetAutomaticLightCreation(False)
    renderer.SetSSAOBias(0.5)
    renderer.SetSSAOKernelSize(32)
    renderer.SSAOBlurOn()
    window.AddRenderer(renderer)
    return renderer


def add_lights(renderer: vtkRenderer) -> None:
    """Light what a renderer draws: one strong light over the left shoulder and a soft one from the eye.

    They go with the camera, so that every view is lit alike.
    """
    for position, strength in (((-0.6, 1.1, 1.0), 0.60), ((0.35, -0.1, 1.0), 0.52)):
        light = vtkLight()
        light.SetLightTypeToCameraLight()
        light.SetPosition(*position)
        light.SetFocalPoint(0.0, 0.0, 0.0)
        light.SetIntensity(strength)
        renderer.AddLight(light)


def set_shade(renderer: vtkRenderer, camera: Camera, *, is_on: bool) -> None:
    """Let a renderer lay soft shade into corners, or not, as a camera sees them."""
    renderer.SetUseSSAO(is_on)
    # It must not take the steps of the depth itself for hollows; they grow with the pixels.
    renderer.SetSSAOBias(max(0.5, 1.6 * camera.mm_per_px))
    renderer.SetSSAORadius(min(SHADE_MM, SHADE_PX * camera.mm_per_px))


def aim(
    renderer: vtkRenderer, camera: Camera, depths_mm: tuple[float, float], height: float
) -> None:
    """Point a renderer's camera as ours stands, for a picture `height` pixels high.

    depths_mm: farthest and nearest of what is shown, from the focus towards the eye; there is room for both.
    """
    farthest, nearest = depths_mm
    # Before the nearest and looking at the farthest: the focus itself may lie behind what is shown.
    eye = renderer.GetActiveCamera()
    eye.ParallelProjectionOn()
    eye.SetFocalPoint(*(camera.focus_mm + farthest * camera.towards))
    eye.SetPosition(*(camera.focus_mm + (nearest + 100.0) * camera.towards))
    eye.SetViewUp(*camera.up)
    eye.SetParallelScale(camera.mm_per_px * height / 2.0)
    eye.SetClippingRange(50.0, nearest - farthest + 150.0)


def find_reach(boxes_mm: Vector, towards: Vector) -> tuple[float, float]:
    """Find how far boxes (n, 2, 3), lowest and highest corner, reach along a unit vector (3,): farthest back and forth, in mm."""
    middles = boxes_mm.mean(axis=1) @ towards
    halves = (boxes_mm[:, 1] - boxes_mm[:, 0]) @ np.abs(towards) / 2.0
    return float((middles - halves).min()), float((middles + halves).max())
