"""Write a build as a STEP assembly: one product a kind of solid, one instance a piece, named and coloured. Imports the kernel."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

import cadquery as cq
from OCP.IFSelect import IFSelect_RetDone
from OCP.Interface import Interface_Static
from OCP.Quantity import Quantity_Color, Quantity_TOC_sRGB
from OCP.STEPCAFControl import STEPCAFControl_Writer
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.XCAFDoc import XCAFDoc_ColorSurf, XCAFDoc_DocumentTool

from models.solids.keys import make_key
from models.solids.shape import make_shape, place
from models.spec.build import Build

Tones = Mapping[str, tuple[int, int, int]]
"""Red, green and blue, 0 to 255, by material."""
Progress = Callable[[int, int], None]


def make_step_text(
    build: Build,
    tones: Tones,
    names: frozenset[str] | None = None,
    progress: Progress | None = None,
) -> bytes:
    """Make the STEP text of a placed build, or of the pieces named, in millimetres.

    Raises:
        RuntimeError: the kernel cannot write it.
    """
    document = TDocStd_Document(TCollection_ExtendedString(build.name))
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    root = shapes.NewShape()
    _name(root, build.name)
    products: dict[str, tuple[TDF_Label, cq.Shape]] = {}
    pieces = [one for one in build.pieces.values() if names is None or one.name in names]
    for done, piece in enumerate(pieces, start=1):
        key = make_key(piece)
        if key not in products:
            shape = make_shape(piece)
            # the place a generator leaves on its solid goes with the piece: a product has none
            product = shapes.AddShape(shape.wrapped.Located(TopLoc_Location()), False)
            _name(product, piece.place.name)
            red, green, blue = (tone / 255.0 for tone in tones[piece.part.material])
            colour = Quantity_Color(red, green, blue, Quantity_TOC_sRGB)
            colours.SetColor(product, colour, XCAFDoc_ColorSurf)
            products[key] = product, shape
        product, shape = products[key]
        there = place(shape, piece.pose).wrapped.Location()
        _name(shapes.AddComponent(root, product, there), piece.name)
        if progress:
            progress(done, len(pieces))
    shapes.UpdateAssemblies()
    return _write(document)


def _name(label: TDF_Label, text: str) -> None:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(text, True))


def _write(document: TDocStd_Document) -> bytes:
    Interface_Static.SetCVal_s("write.step.unit", "MM")
    writer = STEPCAFControl_Writer()
    writer.SetNameMode(True)
    writer.SetColorMode(True)
    if not writer.Transfer(document):
        raise RuntimeError("the kernel does not turn this build into STEP")
    with tempfile.TemporaryDirectory(prefix="pumpwright-step-") as folder:
        path = Path(folder) / "build.step"
        if writer.Write(str(path)) != IFSelect_RetDone:
            raise RuntimeError("the kernel does not write this build as STEP")
        return path.read_bytes()
