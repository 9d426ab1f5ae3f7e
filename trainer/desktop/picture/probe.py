"""Ask whether a graphics card draws here, quickly and without loading any library of pictures."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path

from PySide6.QtGui import QGuiApplication, QOffscreenSurface, QOpenGLContext

from trainer.desktop.picture.surface import SurfaceName

VARIABLE = "PUMPWRIGHT_PICTURE"
"""Environment variable that says which surface is wanted, whatever the machine: frames or live."""
CARDS = ("dri/renderD*", "nvidia[0-9]*")
"""Where Linux shows a graphics card below /dev."""
SOFTWARE = ("llvmpipe", "softpipe", "swr", "software", "swiftshader", "gdi generic", "basic render")
"""What stands in the name of a renderer that is a program, not a card."""
GL_RENDERER = 0x1F01


def choose_surface(surroundings: Mapping[str, str] = os.environ) -> SurfaceName:
    """Choose the surface for this machine: what the environment asks for, else live where a graphics card draws."""
    wanted = surroundings.get(VARIABLE, "")
    if wanted in list(SurfaceName):
        return SurfaceName(wanted)
    return SurfaceName.LIVE if has_graphics_card() else SurfaceName.FRAMES


def has_graphics_card(devices: Path = Path("/dev")) -> bool:
    """Tell whether OpenGL in a window is drawn by a graphics card; a tenth of a second at most, mostly nothing."""
    if sys.platform == "linux":
        if QGuiApplication.platformName() != "xcb":
            return False  # the careful frames beside it need the screen's own door, and that is X
        if not any(any(devices.glob(card)) for card in CARDS):
            return False
    return is_hardware(find_renderer())


def is_hardware(renderer: str) -> bool:
    """Tell by its name whether a renderer is a graphics card; no name is none."""
    told = renderer.lower()
    return bool(told) and not any(name in told for name in SOFTWARE)


def find_renderer() -> str:
    """Find the name of what would draw OpenGL in a window; "" where nothing would."""
    context, surface = QOpenGLContext(), QOffscreenSurface()
    surface.create()
    if not context.create() or not surface.isValid() or not context.makeCurrent(surface):
        return ""
    try:
        return str(context.functions().glGetString(GL_RENDERER) or "")
    finally:
        context.doneCurrent()
