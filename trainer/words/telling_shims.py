"""Name a shim as its packet does: in millimetres, or in thousandths of an inch."""

from __future__ import annotations

from models.spec.dimension import Unit
from trainer.words.speech import Words

THOU_MM = Unit.IN.factor / 1000.0
HUNDREDTH_MM = 0.01
SAME = 1e-6
PLACES_MM = 3


def tell_shim(words: Words, shim_mm: float) -> str:
    """Name a shim in millimetres, and in thousandths of an inch beside them where its packet says those."""
    told, thou = words.millimetres(shim_mm, PLACES_MM), find_thou(shim_mm)
    return words.say("shims.thou", thickness=told, thou=str(thou)) if thou else told


def tell_shim_shortly(words: Words, shim_mm: float) -> str:
    """Name a shim by the number on its packet; hundredths of a millimetre without unit, where lengths are in mm."""
    is_plain = not find_thou(shim_mm) and not words.lengths.is_inch
    return words.number(shim_mm) if is_plain else tell_packet(words, shim_mm)


def tell_packet(words: Words, shim_mm: float) -> str:
    """Name a shim by the number on its packet, with the packet's own unit."""
    thou = find_thou(shim_mm)
    if thou:
        return words.say("shims.thou-short", thou=str(thou))
    return words.say("unit.millimetres", value=words.number(shim_mm))


def find_thou(shim_mm: float) -> int:
    """Find what the packet says of a shim of whole thousandths of an inch, but not of whole hundredths of a mm; else 0."""
    hundredths, thou = shim_mm / HUNDREDTH_MM, shim_mm / THOU_MM
    is_metric = abs(hundredths - round(hundredths)) < SAME
    return 0 if is_metric or abs(thou - round(thou)) > SAME else round(thou)
