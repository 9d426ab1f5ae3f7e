"""Find what is measured at a part: the clearances it bounds, those its dimensions are links of, and its fits."""

from __future__ import annotations

from dataclasses import dataclass

from models.spec.build import TABLES, Build
from models.spec.materials import read_metals
from trainer.core.measure.chain import MeasuredClearance, measure_clearance
from trainer.core.measure.fits import find_fits
from trainer.session.fits import FitAnswer, answer_fit


@dataclass(frozen=True, slots=True)
class PartMeasures:
    """What is measured at a piece.

    bounded: clearances of which one face is the part's. linked: names of others that a dimension of the piece
    is a link of. fits: those of which the piece is one side.
    """

    bounded: tuple[MeasuredClearance, ...]
    linked: tuple[str, ...]
    fits: tuple[FitAnswer, ...]


def find_part_measures(build: Build, piece: str) -> PartMeasures:
    """Find what is measured at a piece of a build, in the order in which the build lists it."""
    place = build.pieces[piece].place.name
    bounded, linked = [], []
    for clearance in build.clearances:
        if place in (clearance.low[0], clearance.high[0]):
            bounded.append(measure_clearance(build, clearance))
        elif any(owner == piece for owner, _ in build.read_chain(clearance).terms):
            linked.append(clearance.name)
    fits = [
        answer_fit(build, fit)
        for fit in find_fits(build, frozenset(read_metals(TABLES)))
        if piece in (fit.bore.piece, fit.journal.piece)
    ]
    return PartMeasures(tuple(bounded), tuple(linked), tuple(fits))
