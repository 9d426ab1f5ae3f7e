"""A drawing surface that needs no display: the same on a desk, over a remote line, and in a test."""

from __future__ import annotations

import ctypes
import sys

import numpy as np
import numpy.typing as npt
from vtkmodules.util.numpy_support import vtk_to_numpy
from vtkmodules.vtkCommonCore import vtkFloatArray, vtkUnsignedCharArray
from vtkmodules.vtkRenderingCore import vtkMapper, vtkRenderWindow

from models.spec.errors import SurroundingsError


def make_window(*, beside_live: bool = False) -> vtkRenderWindow:
    """Make a hidden drawing surface.

    Args:
        beside_live: whether a window of this process draws live: then both must come to the graphics card by the
            same door, the screen's own. (Two doors in one process end in "eglMakeCurrent" errors.)

    Raises:
        SurroundingsError: where the machine has no OpenGL library; drawing would end the program there.
    """
    if sys.platform != "linux":
        window = vtkRenderWindow()
        window.SetShowWindow(False)
        window.SetUseOffScreenBuffers(True)
    else:
        for library in ("libEGL.so.1", "libGL.so.1"):
            try:
                ctypes.CDLL(library)
            except OSError as error:
                raise SurroundingsError(
                    f"the system library {library} is missing: no picture can be drawn without it"
                ) from error
        from vtkmodules.vtkRenderingOpenGL2 import vtkEGLRenderWindow, vtkXOpenGLRenderWindow

        window = vtkXOpenGLRenderWindow() if beside_live else vtkEGLRenderWindow()
        window.SetShowWindow(False)
    window.SetMultiSamples(0)
    window.SetOffScreenRendering(True)
    lift_ink()
    return window


def lift_ink() -> None:
    """Let surfaces step back a hair, so that the ink on their edges is not half swallowed."""
    vtkMapper.SetResolveCoincidentTopologyToPolygonOffset()
    vtkMapper.SetResolveCoincidentTopologyPolygonOffsetParameters(1.0, 1.0)
    vtkMapper.SetResolveCoincidentTopologyLineOffsetParameters(-1.0, -2.0)


def read_picture(window: vtkRenderWindow) -> npt.NDArray[np.uint8]:
    """Read what was drawn last: (h, w, 3) from the upper left corner."""
    width, height = window.GetSize()
    read = vtkUnsignedCharArray()
    window.GetPixelData(0, 0, width - 1, height - 1, 0, read, 0)
    return np.ascontiguousarray(vtk_to_numpy(read).reshape(height, width, 3)[::-1])


def read_depths(
    window: vtkRenderWindow, clipping_mm: tuple[float, float]
) -> npt.NDArray[np.float32]:
    """Read how far from the eye each pixel (h, w) of what was drawn last lies, in mm.

    clipping_mm: where the nearest and the farthest that is drawn would lie.
    """
    width, height = window.GetSize()
    read = vtkFloatArray()
    window.GetZbufferData(0, 0, width - 1, height - 1, read)
    near, far = clipping_mm
    depths: npt.NDArray[np.float32] = vtk_to_numpy(read).reshape(height, width)[::-1] * np.float32(
        far - near
    )
    depths += np.float32(near)
    return np.ascontiguousarray(depths)
