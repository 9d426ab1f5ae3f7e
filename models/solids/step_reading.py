"""Read a STEP file with the kernel: names, colours, hierarchy, places, meshes. Runs in a process of its own.

What it finds is written as plain arrays, so that nothing a hostile file makes of this process can
reach the program but numbers.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import cadquery as cq
import numpy as np
import numpy.typing as npt
from OCP.IFSelect import IFSelect_RetDone
from OCP.Interface import Interface_Static
from OCP.Quantity import Quantity_Color, Quantity_TOC_sRGB
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TColStd import TColStd_SequenceOfAsciiString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label, TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.XCAFDoc import (
    XCAFDoc_ColorGen,
    XCAFDoc_ColorSurf,
    XCAFDoc_ColorTool,
    XCAFDoc_DocumentTool,
    XCAFDoc_ShapeTool,
)

from models.solids.arrays import write_arrays
from models.solids.overlaps import find_overlaps
from models.solids.step_facts import find_facts
from models.solids.step_names import (
    LONGEST_NAME,
    MADE_UP,
    NUMBERED,
    make_part_names,
    make_piece_names,
)
from models.solids.tessellate import make_mesh
from models.spec.mesh import Mesh
from models.spec.step import SolidFacts

MOST_PIECES = 400
MOST_NODES = 20_000
MOST_DEPTH = 60
MOST_TRIANGLES = 4_000_000
BENCH_MM = (150.0, 1500.0)
"""An assembly whose largest side lies outside is looked at larger or smaller, so that tolerances fit it."""
MESH_ARRAYS = ("points", "normals", "triangles", "edge_points", "edges")
SLIVER_MM = 0.02
"""Overlaps shallower than this (as looked at) are not even listed."""

SAME_POINT_MM = 0.005

Colour = tuple[int, int, int]
Rows = npt.NDArray[np.float64]


class UnreadableError(Exception):
    """The file can't be used; `args` are (key, and the number that belongs to it)."""


@dataclass(slots=True)
class _Prototype:
    """One solid as it is drawn once, and the colour of its own."""

    shown: str
    solid: cq.Shape
    colour: Colour | None


@dataclass(slots=True)
class _Instance:
    """A prototype in its place: matrix (3, 4) in mm, and the names of the sub-assemblies above it."""

    prototype: int
    shown: str
    place: Rows
    groups: tuple[str, ...]
    colour: Colour | None


class _Reading:
    """Walk the tree of a file, gathering prototypes and where they stand."""

    def __init__(self) -> None:
        self.prototypes: list[_Prototype] = []
        self.instances: list[_Instance] = []
        self.left_out: list[tuple[str, str]] = []
        self._known: dict[str, list[int]] = {}
        self._nodes = 0

    def walk(
        self,
        label: TDF_Label,
        place: TopLoc_Location,
        above: tuple[str, ...],
        colour: Colour | None,
    ) -> None:
        self._nodes += 1
        if self._nodes > MOST_NODES or len(self.instances) > MOST_PIECES:
            raise UnreadableError("too-many", MOST_PIECES)
        if len(above) > MOST_DEPTH:
            raise UnreadableError("too-deep", MOST_DEPTH)
        target = TDF_Label()
        if XCAFDoc_ShapeTool.GetReferredShape_s(label, target):
            here = place.Multiplied(XCAFDoc_ShapeTool.GetLocation_s(label))
        else:
            target, here = label, place
        colour = _find_colour(label) or _find_colour(target) or colour
        names = (*above, _choose_name(label, target))
        if XCAFDoc_ShapeTool.IsAssembly_s(target):
            parts = TDF_LabelSequence()
            XCAFDoc_ShapeTool.GetComponents_s(target, parts)
            for i in range(1, parts.Length() + 1):
                self.walk(parts.Value(i), here, names, colour)
        else:
            self._add(target, here, names, colour)

    def _add(
        self,
        label: TDF_Label,
        place: TopLoc_Location,
        names: tuple[str, ...],
        colour: Colour | None,
    ) -> None:
        key = _entry(label)
        if key not in self._known:
            self._known[key] = self._add_prototypes(label, names)
        for number in self._known[key]:
            solid = self.prototypes[number].solid
            own = place.Multiplied(solid.wrapped.Location())
            instance = _Instance(number, names[-1] or names[-2], _matrix(own), names[:-1], colour)
            self.instances.append(instance)

    def _add_prototypes(self, label: TDF_Label, names: tuple[str, ...]) -> list[int]:
        shape = XCAFDoc_ShapeTool.GetShape_s(label)
        shown = _name(label)
        meaning = next((n for n in (shown, *reversed(names)) if not MADE_UP.match(n)), shown)
        solids = [] if shape is None or shape.IsNull() else cq.Shape.cast(shape).Solids()
        if not solids and shape is not None and cq.Shape.cast(shape).Faces():
            self.left_out.append((meaning, "no-solid"))
        if len(solids) > MOST_PIECES:
            raise UnreadableError("too-many", MOST_PIECES)
        numbers = []
        for i, solid in enumerate(solids, start=1):
            numbers.append(len(self.prototypes))
            name = meaning if len(solids) == 1 else f"{meaning} body {i}"
            self.prototypes.append(_Prototype(name, solid, _find_colour_of(solid, label)))
        return numbers


def read_to_file(path: str, result: str, tell: Callable[[int, int], None]) -> None:
    """Read a STEP file and write what is in it to `result`; a refusal is written there, too.

    tell: called with (solids cut into facets, of).
    """
    try:
        arrays = _read(Path(path), tell)
    except UnreadableError as error:
        arrays = {"index": _pack({"refused": list(error.args)})}
    write_arrays(Path(result), arrays)


def _read(path: Path, tell: Callable[[int, int], None]) -> dict[str, npt.NDArray[Any]]:
    reading, unit = _open(path)
    if not reading.instances:
        raise UnreadableError("surfaces-only" if reading.left_out else "no-solid", 0)
    scale = _find_scale(reading)
    meshes, facts = _make_all(reading, scale, tell)
    _join_equal(reading, meshes, scale)
    instances = [one for one in reading.instances if one.prototype in meshes]
    if not instances:
        raise UnreadableError("all-broken", 0)
    parts = make_part_names([one.shown for one in reading.prototypes])
    names = make_piece_names(parts, [one.prototype for one in instances])
    placed = {}
    for name, one in zip(names, instances, strict=True):
        turn, shift = one.place[:, :3], one.place[:, 3] * scale
        placed[name] = meshes[one.prototype].moved(turn, shift)
    overlaps, unchecked = find_overlaps(placed, SLIVER_MM)
    index = {
        "unit": unit,
        "scale": scale,
        "prototypes": {
            str(n): {
                "shown": reading.prototypes[n].shown,
                "part": parts[n],
                "facts": asdict(facts[n]),
            }
            for n in meshes
        },
        "pieces": [
            {
                "name": name,
                "shown": one.shown,
                "prototype": one.prototype,
                "place": one.place.tolist(),
                "groups": list(one.groups),
                "colour": one.colour or reading.prototypes[one.prototype].colour,
            }
            for name, one in zip(names, instances, strict=True)
        ],
        "overlaps": [asdict(one) for one in overlaps],
        "unchecked": unchecked,
        "left_out": reading.left_out,
    }
    arrays = {f"{n}.{key}": getattr(mesh, key) for n, mesh in meshes.items() for key in MESH_ARRAYS}
    return arrays | {"index": _pack(index)}


def _make_all(
    reading: _Reading, scale: float, tell: Callable[[int, int], None]
) -> tuple[dict[int, Mesh], dict[int, SolidFacts]]:
    """Tessellate every prototype once; what the kernel cannot is left out, and told."""
    meshes: dict[int, Mesh] = {}
    facts: dict[int, SolidFacts] = {}
    triangles = 0
    for number, prototype in enumerate(reading.prototypes):
        tell(number, len(reading.prototypes))
        made = make_solid(prototype.solid, scale)
        if made is None:
            reading.left_out.append((prototype.shown, "broken"))
            continue
        meshes[number], facts[number] = made
        uses = sum(instance.prototype == number for instance in reading.instances)
        triangles += uses * len(made[0].triangles)
        if triangles > MOST_TRIANGLES:
            raise UnreadableError("too-fine", MOST_TRIANGLES)
    tell(len(reading.prototypes), len(reading.prototypes))
    return meshes, facts


def _open(path: Path) -> tuple[_Reading, str]:
    Interface_Static.SetCVal_s("xstep.cascade.unit", "MM")
    document = TDocStd_Document(TCollection_ExtendedString("step"))
    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    reader.SetColorMode(True)
    reader.SetLayerMode(False)
    if reader.ReadFile(str(path)) != IFSelect_RetDone:
        raise UnreadableError("not-readable", 0)
    lengths = TColStd_SequenceOfAsciiString()
    reader.ChangeReader().FileUnits(
        lengths, TColStd_SequenceOfAsciiString(), TColStd_SequenceOfAsciiString()
    )
    if not reader.Transfer(document):
        raise UnreadableError("not-readable", 0)
    unit = lengths.Value(1).ToCString() if lengths.Length() else "millimetre"
    roots = TDF_LabelSequence()
    XCAFDoc_DocumentTool.ShapeTool_s(document.Main()).GetFreeShapes(roots)
    reading = _Reading()
    for i in range(1, roots.Length() + 1):
        reading.walk(roots.Value(i), TopLoc_Location(), (), None)
    if len(reading.instances) > MOST_PIECES:
        raise UnreadableError("too-many", MOST_PIECES)
    return reading, unit


def make_solid(solid: cq.Shape, scale: float) -> tuple[Mesh, SolidFacts] | None:
    """Tessellate one solid, `scale` times life size, and look at its faces; None when the kernel cannot."""
    home = cq.Shape.cast(solid.wrapped.Located(TopLoc_Location()))
    if scale != 1.0:
        home = home.scale(scale)
    try:
        mesh = make_mesh(home)
        facts = find_facts(home)
    except Exception:  # noqa: BLE001 - the kernel raises what it likes on a broken solid; it is told as left out
        return None
    finite = all(np.isfinite(a).all() for a in (mesh.points, mesh.normals, mesh.edge_points))
    return (mesh, facts) if finite and len(mesh.triangles) and facts.volume_mm3 > 0 else None


def _join_equal(reading: _Reading, meshes: Mapping[int, Mesh], scale: float) -> None:
    """Let solids that differ by a shift only, and in name only by a number, be one part in several places."""
    firsts: dict[tuple[str, int], list[int]] = {}
    for number, mesh in meshes.items():
        name = NUMBERED.sub("", reading.prototypes[number].shown.lower())
        alike = firsts.setdefault((name, len(mesh.points)), [])
        for first in alike:
            apart = mesh.points - meshes[first].points
            shift = apart.mean(axis=0)
            if np.abs(apart - shift).max() < SAME_POINT_MM:
                _move_to(reading, number, first, shift.astype(np.float64) / scale)
                break
        else:
            alike.append(number)


def _move_to(reading: _Reading, number: int, first: int, shift_mm: Rows) -> None:
    """Put another prototype, shifted (life size), where one stood; its name goes without the number."""
    one = reading.prototypes[first]
    one.shown = NUMBERED.sub("", one.shown) or one.shown
    for instance in reading.instances:
        if instance.prototype == number:
            instance.prototype = first
            instance.place = instance.place.copy()
            instance.place[:, 3] += instance.place[:, :3] @ shift_mm


def _find_scale(reading: _Reading) -> float:
    """Find how many times life size the assembly is looked at, from the box of all its pieces."""
    corners = []
    for one in reading.instances:
        solid = reading.prototypes[one.prototype].solid
        box = cq.Shape.cast(solid.wrapped.Located(TopLoc_Location())).BoundingBox()
        for x in (box.xmin, box.xmax):
            for y in (box.ymin, box.ymax):
                corners += [one.place @ (x, y, z, 1.0) for z in (box.zmin, box.zmax)]
    cloud = np.array(corners)
    if not np.isfinite(cloud).all():
        raise UnreadableError("no-solid", 0)
    side = float((cloud.max(axis=0) - cloud.min(axis=0)).max())
    if side <= 0.0:
        raise UnreadableError("no-solid", 0)
    least, most = BENCH_MM
    return float(np.clip(1.0, least / side, most / side)) if not least <= side <= most else 1.0


def _choose_name(label: TDF_Label, target: TDF_Label) -> str:
    """Choose the instance's own name, or else its part's; "" where both are made up."""
    return next((n for n in (_name(label), _name(target)) if not MADE_UP.match(n)), "")


def _name(label: TDF_Label) -> str:
    found = TDataStd_Name()
    if not label.FindAttribute(TDataStd_Name.GetID_s(), found):
        return ""
    text = str(found.Get().ToExtString()).strip()
    return "".join(c for c in text if c.isprintable())[:LONGEST_NAME]


def _entry(label: TDF_Label) -> str:
    tags = []
    while not label.IsRoot():
        tags.append(str(label.Tag()))
        label = label.Father()
    return ":".join(tags)


def _find_colour(label: TDF_Label) -> Colour | None:
    found = Quantity_Color()
    for kind in (XCAFDoc_ColorSurf, XCAFDoc_ColorGen):
        if XCAFDoc_ColorTool.GetColor_s(label, kind, found):
            return _rgb(found)
    return None


def _find_colour_of(solid: cq.Shape, label: TDF_Label) -> Colour | None:
    """Find the colour a file gives a solid, or the one that most of its faces carry."""
    tool = XCAFDoc_DocumentTool.ColorTool_s(label)
    found = Quantity_Color()
    for kind in (XCAFDoc_ColorSurf, XCAFDoc_ColorGen):
        if tool.GetColor(solid.wrapped, kind, found):
            return _rgb(found)
    seen: dict[Colour, float] = {}
    for face in _some(solid.Faces()):
        if tool.GetColor(face.wrapped, XCAFDoc_ColorSurf, found):
            seen[_rgb(found)] = seen.get(_rgb(found), 0.0) + face.Area()
    return max(seen, key=lambda colour: seen[colour]) if seen else None


def _some(faces: list[cq.Face]) -> Iterator[cq.Face]:
    yield from faces[:200]


def _rgb(colour: Quantity_Color) -> Colour:
    red, green, blue = (round(255 * x) for x in colour.Values(Quantity_TOC_sRGB))
    return red, green, blue


def _matrix(place: TopLoc_Location) -> Rows:
    turn = place.Transformation()
    return np.array([[turn.Value(row, column) for column in range(1, 5)] for row in range(1, 4)])


def _pack(value: object) -> npt.NDArray[np.uint8]:
    return np.frombuffer(json.dumps(value).encode(), np.uint8)
