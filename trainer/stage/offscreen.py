"""A drawing surface that needs no display: the same on a desk, over a remote line, and in a test."""

from __future__ import annotations

import ctypes
import sys

from vtkmodules.vtkRenderingCore import vtkMapper, vtkRenderWindow

from models.spec.errors import SurroundingsError


def make_window() -> vtkRenderWindow:
    """Make a hidden drawing surface.

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
        from vtkmodules.vtkRenderingOpenGL2 import vtkEGLRenderWindow

        window = vtkEGLRenderWindow()
    window.SetMultiSamples(0)
    window.SetOffScreenRendering(True)
    # Surfaces step back a hair, so that the ink on their edges is not half swallowed.
    vtkMapper.SetResolveCoincidentTopologyToPolygonOffset()
    vtkMapper.SetResolveCoincidentTopologyPolygonOffsetParameters(1.0, 1.0)
    vtkMapper.SetResolveCoincidentTopologyLineOffsetParameters(-1.0, -2.0)
    return window
