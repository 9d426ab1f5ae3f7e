"""Board for swatches: an upright plate on a foot with a pocket for each, in rows. Origin in the middle of its front."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Axis, Face, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid


def list_spots(columns: int, rows: int, pitch: float, rise: float) -> list[tuple[float, float]]:
    """List the middles (x, z) of the pockets in mm, from the upper left, row by row."""
    return [
        ((column - (columns - 1) / 2) * pitch, ((rows - 1) / 2 - row) * rise)
        for row in range(rows)
        for column in range(columns)
    ]


def _spots(row: Mapping[str, float]) -> list[tuple[float, float]]:
    return list_spots(
        round(row["columns"]), round(row["rows"]), row["column-pitch"], row["row-pitch"]
    )


def faces(row: Row) -> Mapping[str, Face]:
    """Name the front and the floor of the pockets, which look at the reader of the board."""
    return {
        "front": plane(0.0, -1, Axis.Y),
        "pocket-floor": plane(row["pocket-depth"], -1, Axis.Y),
        "back": plane(row["thickness"], +1, Axis.Y),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give each pocket's spot under its number, from the upper left."""
    numbers = {key: float(value) for key, value in row.items()}
    return {
        f"pocket-{n}": (Mount(x=x, z=z, axis=Axis.Y, sign=-1),)
        for n, (x, z) in enumerate(_spots(numbers), start=1)
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make plate and foot and sink the pockets."""
    import cadquery as cq

    from models.parts import forms

    half, high, thick = row["width"] / 2, row["height"] / 2, at["back"]
    reach = row["foot-reach"]
    board: Solid = forms.box((-half, half), (0, thick), (-high, high))
    board = board.fuse(
        forms.box((-half, half), (-reach, thick + reach), (-high - row["foot-thickness"], -high))
    )
    wide, tall = row["pocket-width"] / 2, row["pocket-height"] / 2
    pockets = []
    for x, z in _spots(row):
        block = forms.box((x - wide, x + wide), (-1, at["pocket-floor"]), (z - tall, z + tall))
        pockets.append(cq.Workplane(obj=block).edges("|Y").fillet(row["pocket-corner"]).val())
    return forms.one_solid(board.cut(*pockets))


PART = Part("swatch-board", faces, shape, Material.CARBON_STEEL, mounts)
