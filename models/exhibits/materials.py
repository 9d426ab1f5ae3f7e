"""Materials of construction: an equal slab of each on one board, with where each is used."""

from __future__ import annotations

from models.parts import swatch, swatch_board
from models.spec.build import Build
from models.spec.family import System, join_systems
from models.spec.joint import Joint, JointKind
from models.spec.part import Material
from models.spec.rule import Rule
from models.spec.seat import Place, Seat
from models.spec.view import View

MATERIALS = (
    Material.CAST_IRON,
    Material.DUCTILE_IRON,
    Material.CARBON_STEEL,
    Material.STAINLESS,
    Material.DUPLEX_STAINLESS,
    Material.BRONZE,
    Material.NITRILE,
    Material.FLUOROELASTOMER,
    Material.CARBON,
    Material.CERAMIC,
    Material.SILICON_CARBIDE,
    Material.TUNGSTEN_CARBIDE,
)
"""In the order of the pockets: metals above; rubbers and the materials of seal faces below."""
SWATCHES = tuple(f"swatch-{material.value}" for material in MATERIALS)
BOARD = "swatch-board"


def slabs_alike(build: Build) -> tuple[str, ...]:
    """Name swatches of a material that another pocket shows already."""
    seen: set[Material] = set()
    bad = []
    for place in SWATCHES:
        material = build.piece_at(place).part.material
        if material in seen:
            bad.append(place)
        seen.add(material)
    return tuple(bad)


def slabs_unequal(build: Build) -> tuple[str, ...]:
    """Name swatches that are not as large as the first, so that their weights do not compare."""
    first = build.numbers_at(SWATCHES[0])
    return tuple(place for place in SWATCHES if build.numbers_at(place) != first)


SYSTEM = System(
    places=(
        Place("swatch-board", swatch_board.PART, group=BOARD),
        *(
            Place(
                name, swatch.make_part(material), Seat("back", "swatch-board", "pocket-floor"), row="swatch",
                mounts=("swatch-board", f"pocket-{n}"), group=BOARD,
            )
            for n, (name, material) in enumerate(zip(SWATCHES, MATERIALS, strict=True), start=1)
        ),
    ),
    joints=tuple(Joint(f"{name}-in-pocket", JointKind.PRESS, ("swatch-board", name)) for name in SWATCHES),
    rules=(Rule(131, "swatches-differ", slabs_alike), Rule(132, "swatches-equal", slabs_unequal)),
    views=(View("materials", "side", named=SWATCHES),),
)  # fmt: skip

FAMILY = join_systems("materials", SYSTEM)
