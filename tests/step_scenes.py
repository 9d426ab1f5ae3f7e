"""Small assemblies of our own, as solids and as STEP files, for the tests of what is read and guessed."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import cadquery as cq
import numpy as np
from OCP.IFSelect import IFSelect_RetDone
from OCP.Interface import Interface_Static
from OCP.Quantity import Quantity_Color, Quantity_TOC_sRGB
from OCP.STEPCAFControl import STEPCAFControl_Writer
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFDoc import XCAFDoc_ColorSurf, XCAFDoc_DocumentTool

from models.solids.step_reading import make_solid
from models.spec.step import StepPiece

Place = tuple[float, float, float]


@dataclass(frozen=True)
class Solid:
    """One part of a scene: drawn once, placed several times, in a sub-assembly or at the top."""

    shape: cq.Shape
    places: Sequence[Place] = ((0.0, 0.0, 0.0),)
    group: str = ""
    colour: tuple[int, int, int] | None = None


Scene = Mapping[str, Solid]


def write_scene(path: Path, scene: Scene, unit: str = "MM", depth: int = 1) -> Path:
    """Write a scene as a STEP file in MM or INCH; groups are nested `depth` deep."""
    document = TDocStd_Document(TCollection_ExtendedString("scene"))
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())

    def name(label: TDF_Label, text: str) -> None:
        TDataStd_Name.Set_s(label, TCollection_ExtendedString(text, True))

    root = shapes.NewShape()
    name(root, path.stem)
    groups: dict[str, TDF_Label] = {"": root}
    for title, solid in scene.items():
        if solid.group not in groups:
            above = root
            for level in range(depth):
                inner = shapes.NewShape()
                name(inner, solid.group if level == depth - 1 else f"{solid.group} {level}")
                name(shapes.AddComponent(above, inner, cq.Location().wrapped), solid.group)
                above = inner
            groups[solid.group] = above
        part = shapes.AddShape(without_place(solid.shape).wrapped, False)
        name(part, title)
        if solid.colour:
            red, green, blue = (x / 255.0 for x in solid.colour)
            colour = Quantity_Color(red, green, blue, Quantity_TOC_sRGB)
            colours.SetColor(part, colour, XCAFDoc_ColorSurf)
        for i, place in enumerate(solid.places, start=1):
            there = cq.Location(cq.Vector(*place)).wrapped
            name(shapes.AddComponent(groups[solid.group], part, there), f"{title}:{i}")
    shapes.UpdateAssemblies()
    Interface_Static.SetCVal_s("write.step.unit", unit)
    writer = STEPCAFControl_Writer()
    writer.SetNameMode(True)
    writer.SetColorMode(True)
    assert writer.Transfer(document)
    assert writer.Write(str(path)) == IFSelect_RetDone
    Interface_Static.SetCVal_s("write.step.unit", "MM")
    return path


def without_place(shape: cq.Shape) -> cq.Shape:
    """Take the place of a solid into its faces: else it would be written as an instance without a name."""
    if not shape.Solids():
        return shape
    with tempfile.TemporaryDirectory() as folder:
        shape.exportStep(f"{folder}/part.step")
        return read_solid(f"{folder}/part.step")


def read_solid(path: str) -> cq.Shape:
    (solid,) = cq.importers.importStep(path).solids().vals()
    assert isinstance(solid, cq.Shape)
    return solid


def make_pieces(scene: Scene) -> list[StepPiece]:
    """Make the pieces of a scene in this process, each solid written and read once, as a file would give it."""
    pieces = []
    for title, solid in scene.items():
        made = make_solid(without_place(solid.shape), 1.0)
        assert made is not None
        mesh, facts = made
        for i, place in enumerate(solid.places, start=1):
            name = title if len(solid.places) == 1 else f"{title}-{i}"
            shift = np.array(place)
            moved = (mesh.moved(np.eye(3), shift), facts.moved(np.eye(3), shift))
            pieces.append(StepPiece(name, name, title, title, (solid.group,), None, *moved))
    return pieces


def solid_of(work: cq.Workplane) -> cq.Shape:
    shape = work.val()
    assert isinstance(shape, cq.Shape)
    return shape


def cylinder(radius: float, low: float, high: float) -> cq.Workplane:
    return cq.Workplane("XY").workplane(offset=low).circle(radius).extrude(high - low)


def make_hex_screw(radius: float, grip: float, head: float) -> cq.Shape:
    """Make a hexagon screw whose head rests on z = 0 and whose shank hangs down."""
    top = cq.Workplane("XY").polygon(6, 3.6 * radius).extrude(head)
    return solid_of(top.union(cylinder(radius, -grip, 0.0)))


def make_cap_screw(radius: float, grip: float) -> cq.Shape:
    """Make a screw with a round head and a hexagon socket."""
    top = cylinder(1.6 * radius, 0.0, 2.0 * radius)
    socket = cq.Workplane("XY").workplane(offset=radius).polygon(6, 1.8 * radius).extrude(radius)
    return solid_of(top.union(cylinder(radius, -grip, 0.0)).cut(socket))


def make_nut(radius: float, height: float) -> cq.Shape:
    """Make a hexagon nut that stands on z = 0."""
    block = cq.Workplane("XY").polygon(6, 3.6 * radius).extrude(height)
    return solid_of(block.cut(cylinder(radius, 0.0, height)))


def make_tube(bore: float, outside: float, height: float) -> cq.Shape:
    return solid_of(cylinder(outside, 0.0, height).cut(cylinder(bore, 0.0, height)))


CORNERS = ((-35.0, -25.0), (35.0, -25.0), (-35.0, 25.0), (35.0, 25.0))


def drill(block: cq.Workplane, radius: float, low: float, high: float) -> cq.Workplane:
    """Drill the four corner holes."""
    for x, y in CORNERS:
        block = block.cut(cylinder(radius, low, high).translate((x, y, 0)))
    return block


def make_cover_scene(tap: float = 2.5) -> Scene:
    """Make a cover on a box: four M6-like hexagon screws with washers, tapped into the box (`tap` is the hole's radius)."""
    box = cq.Workplane("XY").box(100, 80, 30, centered=(True, True, False)).translate((0, 0, -30))
    box = drill(box.cut(cylinder(20.0, -20.0, 0.0)), tap, -18.0, 0.0)
    cover = cq.Workplane("XY").box(100, 80, 8, centered=(True, True, False))
    cover = drill(cover, 3.3, 0.0, 8.0)
    on_washer = tuple((x, y, 9.6) for x, y in CORNERS)
    on_cover = tuple((x, y, 8.0) for x, y in CORNERS)
    return {
        "box": Solid(solid_of(box), colour=(90, 120, 150)),
        "cover": Solid(solid_of(cover), group="Lid set", colour=(200, 60, 40)),
        "washer": Solid(make_tube(3.2, 6.0, 1.6), on_cover, "Lid set"),
        "screw": Solid(make_hex_screw(3.0, 22.0, 4.0), on_washer, "Lid set"),
    }


def make_tilted_scene() -> Scene:
    """Make a block with a sunk cap screw that leans by 30 degrees: only its own axis leads out."""
    screw = make_cap_screw(3.0, 20.0)
    lean = ((0, 0, 0), (0, 1, 0), 30)
    hole = cylinder(3.0, -25.0, 0.0).union(cylinder(6.0, 0.0, 60.0)).rotate(*lean)
    block = cq.Workplane("XY").box(80, 40, 40).cut(hole)
    split = cq.Workplane("XY").box(200, 200, 100).translate((0, 0, -58.0)).rotate(*lean)
    lower, upper = block.intersect(split), block.cut(split)
    wide = cylinder(3.4, -9.0, 0.0).rotate(*lean)
    leaning = cq.Workplane(screw).rotate(*lean)
    return {
        "lower": Solid(solid_of(lower)),
        "upper": Solid(solid_of(upper.cut(wide))),
        "screw": Solid(solid_of(leaning)),
    }


def make_shaft_scene() -> Scene:
    """Make a shaft with a keyed hub, kept by a snap ring in a groove, and an O-ring in another."""
    shaft = cylinder(10.0, 0.0, 120.0).union(cylinder(16.0, 0.0, 40.0))
    shaft = shaft.cut(cylinder(10.0, 70.0, 71.6).cut(cylinder(8.8, 70.0, 71.6)))
    shaft = shaft.cut(cylinder(10.0, 100.0, 102.4).cut(cylinder(8.4, 100.0, 102.4)))
    slot = cq.Workplane("XY").box(6, 3, 20).translate((0, 10.0 - 1.5, 55.0))
    hub = cylinder(30.0, 40.0, 70.0).cut(cylinder(10.0, 40.0, 70.0))
    groove = cq.Workplane("XY").box(6, 5.8, 30).translate((0, 10.0, 55.0))
    key = cq.Workplane("XY").box(6, 5.8, 20).translate((0, 9.9, 55.0))
    ring = cylinder(11.4, 70.2, 71.4).cut(cylinder(8.85, 70.2, 71.4))
    ring = ring.cut(cq.Workplane("XY").box(4, 30, 10).translate((0, -15.0, 71.0)))
    o_ring = cq.Solid.makeTorus(9.4, 1.0, cq.Vector(0, 0, 101.2), cq.Vector(0, 0, 1))
    return {
        "shaft": Solid(solid_of(shaft.cut(slot))),
        "hub": Solid(solid_of(hub.cut(groove))),
        "bar": Solid(solid_of(key)),
        "clip": Solid(solid_of(ring)),
        "seal": Solid(o_ring),
    }


def make_stud_scene() -> Scene:
    """Make a flange on a stud that stands in a block, with a nut on it."""
    block = cq.Workplane("XY").box(60, 60, 30).translate((0, 0, -15)).cut(cylinder(4, -20, 0))
    flange = cq.Workplane("XY").box(60, 60, 10).translate((0, 0, 5)).cut(cylinder(4.5, 0, 10))
    return {
        "block": Solid(solid_of(block)),
        "flange": Solid(solid_of(flange)),
        "rod": Solid(solid_of(cylinder(4.0, -20.0, 22.0))),
        "nut": Solid(make_nut(4.0, 6.5), ((0.0, 0.0, 10.0),)),
    }


def make_overlap_scene(depth: float) -> Scene:
    """Make two blocks that share a slab `depth` thick."""
    one = cq.Workplane("XY").box(40, 40, 20).translate((0, 0, 10))
    other = cq.Workplane("XY").box(30, 30, 20).translate((0, 0, 30 - depth))
    return {"lower block": Solid(solid_of(one)), "upper block": Solid(solid_of(other))}
