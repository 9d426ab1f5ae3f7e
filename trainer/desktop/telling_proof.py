"""Put a proof into words: what is claimed, each dimension of its chain, and what the solids said."""

from __future__ import annotations

from dataclasses import dataclass

from models.spec.build import Build
from models.spec.clearance import ClearanceKind
from trainer.core.measure.chain import MeasuredClearance
from trainer.session.proof import ClearanceProof, ProofLine, say_place
from trainer.words.speech import Words
from trainer.words.telling import tell_piece
from trainer.words.telling_chain import PLACES_MM, tell_value

SAME_MM = 5e-4
AGREES_MM = 0.01
"""Chain and solids must agree as far as this: what `verify` holds every build to."""
PERCENT = 100.0


@dataclass(frozen=True, slots=True)
class ToldLine:
    """One line of a chain in words: what it is, how it counts, where it is written, and who says so."""

    what: str
    counts: str
    place: str
    title: str


def tell_amount(words: Words, one: MeasuredClearance, value: float, digits: int = 2) -> str:
    """Tell an amount in the unit of a clearance: a length, or a share in percent."""
    if one.kind is ClearanceKind.SHARE:
        return words.say("measure.share", percent=words.number(PERCENT * value, 1))
    return words.millimetres(value, digits)


def tell_claim(words: Words, one: MeasuredClearance) -> str:
    """Tell what is claimed of a clearance: its value in service, and whether that is allowed."""
    low, high = (tell_amount(words, one, value) for value in one.required_mm)
    value = tell_amount(words, one, one.in_service_mm, PLACES_MM)
    key = "proof.claim-inside" if one.is_inside else "proof.claim-outside"
    told = words.say(key, value=value, low=low, high=high)
    if abs(one.in_service_mm - one.value_mm) < SAME_MM:
        return told
    built = tell_amount(words, one, one.value_mm, PLACES_MM)
    return " ".join((words.say("proof.in-service", value=built, service=value), told))


def tell_face(words: Words, build: Build, piece: str, face: str) -> str:
    """Name a face by its piece."""
    return words.say("proof.face", piece=tell_piece(words, build, piece), face=face.replace("-", " "))  # fmt: skip


def tell_line(words: Words, build: Build, line: ProofLine) -> ToldLine:
    """Tell one dimension of a chain."""
    link = line.link
    sign = "+" if link.sensitivity >= 0.0 else "−"
    what = words.say(
        "chain.of-piece", piece=tell_piece(words, build, link.piece), dimension=tell_value(words, link)
    )  # fmt: skip
    percent = words.number(PERCENT * link.share, 0)
    counts = words.say("proof.spread", percent=percent)
    if abs(abs(link.sensitivity) - 1.0) > SAME_MM:
        factor = words.number(abs(link.sensitivity), PLACES_MM)
        counts = words.say("proof.sensitivity", factor=factor, percent=percent)
    return ToldLine(f"{sign} {what}", counts, say_place(line.source), line.source.title)


def tell_limits(words: Words, one: MeasuredClearance) -> str:
    """Tell least, most and aim."""
    low, high, aim = (tell_amount(words, one, value) for value in (*one.required_mm, one.aim_mm))
    return words.say("proof.limits-told", low=low, high=high, aim=aim)


def tell_solids(words: Words, one: MeasuredClearance, exact_mm: float) -> str:
    """Tell what the kernel measured beside what the chain says, and whether both agree."""
    off = abs(exact_mm - one.value_mm)
    told = words.say(
        "proof.gap-measured",
        exact=words.millimetres(exact_mm, PLACES_MM),
        chain=words.millimetres(one.value_mm, PLACES_MM),
        off=words.millimetres(off, PLACES_MM),
    )
    key = "proof.gap-agrees" if off <= AGREES_MM else "proof.gap-differs"
    return " ".join((told, words.say(key)))


def tell_how(words: Words, proof: ClearanceProof) -> str:
    """Say how a clearance is worked out that is no plain distance; "" for one that is."""
    if proof.clearance.is_plain:
        return ""
    name = proof.clearance.name
    return words.say(f"proof.how-{name.rpartition('.')[2]}")
