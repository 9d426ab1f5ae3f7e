"""Put a dimension chain into words: what is written at its arrows, and what a drawing of it says."""

from __future__ import annotations

from models.spec.build import Build
from models.spec.clearance import ClearanceKind
from trainer.core.measure.chain import Link, MeasuredClearance
from trainer.core.measure.legs import Leg
from trainer.words.speech import Words
from trainer.words.telling import tell_clearance, tell_piece, tell_pieces

PLACES_MM = 3
"""Digits after the point: a micrometer's thousandth."""


def tell_dimension(words: Words, build: Build, link: Link) -> str:
    """Tell of one dimension of a piece: its name, what it is, and how far it may be off."""
    piece = tell_piece(words, build, link.piece)
    return words.say("chain.of-piece", piece=piece, dimension=tell_value(words, link))


def tell_value(words: Words, link: Link) -> str:
    """Tell what one dimension is and how far it may be off, without naming the piece."""
    dimension = link.dimension.replace("-", " ")
    value = words.length(link.value_mm, PLACES_MM)
    up, down = link.upper_mm - link.value_mm, link.value_mm - link.lower_mm
    if link.measured:
        return words.say("chain.measured", dimension=dimension, value=value)
    if up <= 0.0 and down <= 0.0:
        return words.say("chain.exact", dimension=dimension, value=value)
    off = words.length(max(up, down), PLACES_MM)
    return words.say("chain.within", dimension=dimension, value=value, off=off)


def tell_leg(words: Words, build: Build, leg: Leg, links: dict[tuple[str, str], Link]) -> str:
    """Tell of one part crossed: its dimensions, one after the other; of several equal pieces their mean, of shims their sum."""
    if len(leg.pieces) > 1 and build.pieces[leg.pieces[0]].place.pack:
        values = [links[term].value_mm for term in leg.terms]
        return words.say(
            "chain.pack",
            pieces=tell_pieces(words, build, leg.pieces),
            thicknesses=" + ".join(words.length(value, PLACES_MM) for value in values),
            total=words.length(sum(values), PLACES_MM),
        )
    if len(leg.pieces) > 1:
        pieces, shown = tell_pieces(words, build, leg.pieces), [links[term] for term in leg.terms]
        value = sum(link.value_mm for link in shown) / len(shown)
        off = max(max(link.upper_mm - link.value_mm, link.value_mm - link.lower_mm) for link in shown)  # fmt: skip
        return words.say(
            "chain.mean",
            pieces=pieces,
            dimension=shown[0].dimension.replace("-", " "),
            value=words.length(value, PLACES_MM),
            off=words.length(off, PLACES_MM),
        )
    return words.join([tell_dimension(words, build, links[term]) for term in leg.terms])


SAME_MM = 5e-4
"""Less than this is not seen at three digits."""


def tell_gap(words: Words, one: MeasuredClearance) -> str:
    """Tell of a clearance by name and value, and what its effects make of it in service."""
    name, value = tell_clearance(words, one.name), words.millimetres(one.value_mm, PLACES_MM)
    if abs(one.in_service_mm - one.value_mm) < SAME_MM:
        return words.say("chain.gap", name=name, value=value)
    service = words.millimetres(one.in_service_mm, PLACES_MM)
    return words.say("chain.gap-in-service", name=name, value=value, service=service)


def tell_bounds(words: Words, one: MeasuredClearance) -> str:
    """Tell what a clearance must be, between what limits its parts may bring it, and what changes it in service."""
    is_share = one.kind is ClearanceKind.SHARE
    factor, digits, key = (100.0, 1, "chain.bounds-share") if is_share else (1.0, 2, "chain.bounds")
    write = words.number if is_share else words.length
    low, high = (write(factor * value, digits) for value in one.required_mm)
    least, most = (write(factor * value, digits) for value in one.worst_mm)
    told = [words.say(key, low=low, high=high, least=least, most=most, unit=words.unit)]
    for effect in one.effects:
        if effect.value_mm:
            value = words.millimetres(effect.value_mm, PLACES_MM)
            changes = words.say(f"effect.{effect.name}")
            told.append(words.say("clearances.effect", effect=changes, value=value))
    return " ".join(told)
