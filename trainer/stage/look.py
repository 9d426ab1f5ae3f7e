"""The look of every picture: paper, ink, material tones, two marks, letters."""

from __future__ import annotations

import importlib.util
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

from PIL import ImageFont

from models.spec.errors import SurroundingsError
from models.spec.part import Material

Colour = tuple[int, int, int]
"""Red, green, blue, 0 to 255."""
OWN_COLOUR = re.compile("#[0-9a-f]{6}")
SOFTER = 0.5
"""How much grey the colours of a file are mixed with."""

# Tones of bare metal, rubber and fibre under workshop light, judged by eye.
MATERIAL_TONES: Mapping[str, Colour] = MappingProxyType(
    {
        Material.CAST_IRON: (142, 140, 133),
        Material.DUCTILE_IRON: (128, 133, 126),
        Material.STAINLESS: (187, 194, 198),
        Material.DUPLEX_STAINLESS: (172, 182, 189),
        Material.CARBON_STEEL: (126, 134, 143),
        Material.ALLOY_STEEL: (164, 170, 178),
        Material.BEARING_STEEL: (212, 217, 221),
        Material.BRONZE: (172, 134, 78),
        Material.BRASS: (203, 176, 98),
        Material.NITRILE: (46, 46, 48),
        Material.FLUOROELASTOMER: (70, 52, 46),
        Material.CARBON: (58, 60, 64),
        Material.SILICON_CARBIDE: (72, 86, 100),
        Material.GASKET_FIBRE: (166, 170, 132),
        Material.CLEAR_HOSE: (214, 205, 170),
        Material.GLASS: (196, 214, 214),
        Material.PACKING: (150, 138, 110),
        Material.RUBBER: (60, 60, 62),
        Material.PTFE: (232, 230, 222),
        Material.CERAMIC: (226, 214, 190),
        Material.TUNGSTEN_CARBIDE: (92, 94, 98),
        Material.CHROME_STAINLESS_HARDENED: (196, 202, 208),
    }
)


@dataclass(frozen=True, slots=True)
class Look:
    """Colours and sizes shared by all pictures, so that they read as one set of prints.

    ground is the paper, ink what is written on it; edge is the ink on the pieces themselves, outline the line round
    them, which must be seen against the ground too. accent marks the part we speak of, in_the_way the part that blocks. The pair (blue, orange) stays
    apart for every kind of colour blindness; both also carry an outline, and in_the_way stripes.
    stripe is their colour, striped how strong they are; dashed says whether a mark shows through what stands before it. Sizes of letters are in pixels of a picture 720 pixels high and grow with its height.
    """

    ground: Colour = (246, 244, 238)
    ink: Colour = (38, 40, 43)
    edge: Colour = (38, 40, 43)
    outline: Colour = (38, 40, 43)
    faint_ink: Colour = (128, 128, 124)
    accent: Colour = (14, 98, 168)
    in_the_way: Colour = (184, 64, 8)
    unknown_material: Colour = (150, 150, 146)
    tones: Mapping[str, Colour] = field(default_factory=lambda: MATERIAL_TONES)
    title_px: int = 34
    caption_px: int = 23
    label_px: int = 20
    edge_px: float = 1.3
    outline_px: float = 1.6
    mark_px: float = 3.2
    ghost_share: float = 0.17
    stripe: Colour = (255, 255, 255)
    striped: float = 0.35
    dashed: bool = True
    letters: str = "DejaVuSans.ttf"
    heavy_letters: str = "DejaVuSans-Bold.ttf"
    rule_share: float = 0.24
    """How much ink is in the thin lines of a window."""
    letters_scale: float = 1.0
    """How much larger the letters of a window are than usual."""

    def find_tone(self, material: str) -> Colour:
        """Find the tone of a material; one that the look does not know is drawn in a neutral grey.

        A file's own colour (#rrggbb) is softened: pure red and blue are kept for what is marked.
        """
        if OWN_COLOUR.fullmatch(material):
            red, green, blue = bytes.fromhex(material[1:])
            return mix((red, green, blue), self.unknown_material, SOFTER)
        return self.tones.get(material, self.unknown_material)

    def find_cut_tone(self, material: str) -> Colour:
        """Find the tone of a cut face: the material's own, paler, so that cut and surface tell apart."""
        tone = self.find_tone(material)
        # Rubber and carbon stay dark: drawings fill thin soft sections solid.
        share = 0.12 if sum(tone) < 3 * 70 else 0.6
        return mix(tone, self.ground, share)


class LookName(StrEnum):
    """Names of the looks: for a desk by day, for a dim workshop, for a class before a projector."""

    LIGHT = "light"
    DARK = "dark"
    PROJECTOR = "projector"


# Dark rubber and carbon must still stand out from a dark ground, bright steel must not glare.
_DARK_TONES: Mapping[str, Colour] = MappingProxyType(
    {
        **MATERIAL_TONES,
        Material.BEARING_STEEL: (190, 195, 199),
        Material.PTFE: (206, 204, 197),
        Material.CERAMIC: (202, 191, 170),
        Material.NITRILE: (84, 84, 88),
        Material.FLUOROELASTOMER: (104, 80, 72),
        Material.RUBBER: (92, 92, 96),
        Material.CARBON: (92, 95, 100),
        Material.SILICON_CARBIDE: (96, 112, 128),
        Material.TUNGSTEN_CARBIDE: (112, 114, 118),
    }
)

LOOKS: Mapping[LookName, Look] = MappingProxyType(
    {
        LookName.LIGHT: Look(),
        LookName.DARK: Look(
            ground=(33, 36, 40),
            ink=(232, 231, 226),
            edge=(14, 15, 17),
            outline=(206, 207, 204),
            faint_ink=(146, 148, 150),
            accent=(108, 184, 248),
            in_the_way=(255, 158, 88),
            unknown_material=(142, 142, 138),
            tones=_DARK_TONES,
        ),
        LookName.PROJECTOR: Look(
            ground=(255, 255, 255),
            ink=(0, 0, 0),
            edge=(0, 0, 0),
            outline=(0, 0, 0),
            faint_ink=(96, 96, 96),
            accent=(0, 72, 150),
            in_the_way=(170, 48, 0),
            edge_px=2.1,
            outline_px=2.6,
            mark_px=6.0,
            ghost_share=0.26,
            striped=0.55,
            rule_share=0.5,
            letters_scale=1.15,
        ),
    }
)
"""Every look by its name."""


def mix(first: Colour, second: Colour, share: float) -> Colour:
    """Mix two colours; `share` (0 to 1) is how much of the second."""
    red, green, blue = (round(a + (b - a) * share) for a, b in zip(first, second, strict=True))
    return red, green, blue


@lru_cache(maxsize=8)
def find_letters_file(name: str) -> Path:
    """Find the file of a typeface that a library we depend on brings along.

    A bare machine has no fonts at all, and a picture must not differ from one machine to the next.

    Raises:
        SurroundingsError: where the library or the file is missing.
    """
    # Found without importing it: the library itself would cost half a second.
    spec = importlib.util.find_spec("matplotlib")
    if spec is None or spec.origin is None:
        raise SurroundingsError(
            "the library that brings the letters (matplotlib) is not installed; run the set-up again"
        )
    path = Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf" / name
    if not path.is_file():
        raise SurroundingsError(
            f"the typeface {name} is missing from matplotlib; install the packages again"
        )
    return path


@lru_cache(maxsize=32)
def make_letters(name: str, size_px: int) -> ImageFont.FreeTypeFont:
    """Load a typeface at a size in pixels."""
    return ImageFont.truetype(str(find_letters_file(name)), size_px)


def measure_contrast(first: Colour, second: Colour) -> float:
    """Measure how far two colours stand apart, from 1 (the same) to 21 (black on white).

    Source: W3C, Web Content Accessibility Guidelines 2.2, definitions of relative luminance and contrast ratio.
    """
    lighter, darker = sorted((_measure_luminance(first), _measure_luminance(second)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _measure_luminance(colour: Colour) -> float:
    shares = [channel / 255.0 for channel in colour]
    red, green, blue = (
        share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
