"""Make the drawing of a clearance's chain from a bench, in words; for every face alike."""

from __future__ import annotations

import numpy as np
from PIL import Image

from models.spec.clearance import ClearanceKind
from trainer.core.measure.legs import Leg
from trainer.session.bench import Bench
from trainer.session.chains import find_chain
from trainer.stage.camera import Vector
from trainer.stage.chain_drawing import SIZE, ChainDrawing, Row, draw_chain
from trainer.stage.close_up import find_face_point, find_middle
from trainer.words import Words
from trainer.words.telling import tell_clearance
from trainer.words.telling_chain import tell_bounds, tell_gap, tell_leg


def draw_told_chain(
    words: Words, bench: Bench, name: str, *, size: tuple[int, int] = SIZE
) -> Image.Image:
    """Draw the chain of a clearance along the half section, in words.

    Raises:
        RefusalError: unknown clearance, or one that is computed otherwise than by a walk from face to face.
        SurroundingsError: this machine cannot draw.
    """
    return draw_chain(bench.assembly, make_chain_drawing(words, bench, name), size=size)


def make_chain_drawing(words: Words, bench: Bench, name: str) -> ChainDrawing:
    """Make what is drawn of a clearance's chain. Raises RefusalError as `draw_told_chain` does."""
    legs, measured = find_chain(bench, name)
    build, links = bench.build, {(link.piece, link.dimension): link for link in measured.chain}
    clearance = build.clearance(measured.name)
    is_round = clearance.kind is ClearanceKind.DIAMETRAL
    ends = (_find_round_ends if is_round else _find_ends)(bench, legs)
    rows = []
    for leg, (start, end) in zip(legs, ends, strict=True):
        share = sum(links[term].share for term in leg.terms)
        percent = words.say("chain.share", percent=words.number(100 * share, 0))
        rows.append(Row(tell_leg(words, build, leg, links), start, end, share, percent))
    # of a bore round a journal, one side: its own half of the clearance
    gap = (rows[0].start, rows[-1].end)
    faces = build.piece_at(clearance.low[0]).name, build.piece_at(clearance.high[0]).name
    sides = legs[0].start_mm, legs[-1].end_mm
    middle = (
        (gap[0] + gap[1]) / 2
        if is_round
        else find_middle(bench.assembly, faces, legs[0].axis, sides)
    )
    return ChainDrawing(
        legs[0].axis,
        rows,
        tell_gap(words, measured),
        gap,
        middle,
        title=words.say("chain.title", name=tell_clearance(words, measured.name).capitalize()),
        caption=tell_bounds(words, measured),
        shares=words.say("chain.shares"),
    )


def _find_ends(bench: Bench, legs: tuple[Leg, ...]) -> list[tuple[Vector, Vector]]:
    """Find the points (3,) mm on the faces where a walk along an axis enters and leaves each part.

    Of screws that hold two parts apart, the faces are those of the parts.
    """
    found: list[tuple[Vector, Vector]] = []
    for number, leg in enumerate(legs):
        after = [one.pieces[0] for one in legs[number + 1 : number + 2]]
        own, assembly = leg.pieces[0], bench.assembly
        start = found[-1][1] if found else find_face_point(assembly, [own], leg.axis, leg.start_mm)
        end = find_face_point(assembly, [own, *after], leg.axis, leg.end_mm)
        found.append((start, end))
    return found


def _find_round_ends(bench: Bench, legs: tuple[Leg, ...]) -> list[tuple[Vector, Vector]]:
    """Find the upper and lower points (3,) mm of journal and bore, where both reach along the shaft."""
    bounds = [bench.assembly.by_name[leg.pieces[0]].mesh.bounds for leg in legs]
    along = (
        max(float(low[0]) for low, _ in bounds) + min(float(high[0]) for _, high in bounds)
    ) / 2
    return [(np.array([along, 0.0, leg.start_mm]), np.array([along, 0.0, leg.end_mm])) for leg in legs]  # fmt: skip
