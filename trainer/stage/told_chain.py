"""Make the drawing of a clearance's chain from a bench, in words; for every face alike."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt
from PIL import Image

from models.spec.build import Build
from models.spec.clearance import ClearanceKind
from trainer.core.measure.chain import Link
from trainer.core.measure.legs import Leg
from trainer.session.bench import Bench
from trainer.session.chains import find_chain
from trainer.stage.camera import Vector, ViewName
from trainer.stage.chain_drawing import SIZE, ChainDrawing, Row, draw_chain
from trainer.stage.close_up import find_face_point, find_middle, keep_above
from trainer.stage.picture import draw_picture
from trainer.words import Words
from trainer.words.speech import begin
from trainer.words.telling import tell_clearance, tell_piece
from trainer.words.telling_chain import tell_bounds, tell_gap, tell_leg, tell_value


def draw_told_chain(
    words: Words, bench: Bench, name: str, *, size: tuple[int, int] = SIZE
) -> Image.Image:
    """Draw the chain of a clearance along the half section, in words.

    One that is no walk from face to face is drawn with its dimensions named at the parts that have them.

    Raises:
        RefusalError: unknown clearance. SurroundingsError: this machine cannot draw.
    """
    if not bench.build.clearance(name).is_plain:
        return _draw_named(words, bench, name, size)
    return draw_chain(bench.assembly, make_chain_drawing(words, bench, name), size=size)


LEAST_SHARE = 0.005
"""A dimension with less of the spread than this is not named in a picture."""
MOST_NAMED = 2
"""Dimensions named at one part."""
FEW, MOST_PARTS = 4, 6
"""So few parts lie side by side, and are looked at closely; of more than these only the first are named."""
AROUND = 1.5
"""How much of the surroundings to show, as many times the size of the part looked at closely."""


def _draw_named(words: Words, bench: Bench, name: str, size: tuple[int, int]) -> Image.Image:
    """Draw the half section with the dimensions of a clearance named at their parts, those that spread it most."""
    measured = bench.clearance(name)
    labels = name_dimensions(words, bench, name)
    return draw_picture(
        bench.assembly,
        size=size,
        camera=ViewName.SIDE,
        section=True,
        labels=labels,
        fit_to=find_near(bench, labels) if len(labels) <= FEW else None,
        title=words.say("chain.title", name=begin(tell_clearance(words, name))),
        caption=words.say("chain.named-caption", bounds=tell_bounds(words, measured)),
    )


def name_dimensions(words: Words, bench: Bench, name: str) -> dict[str, str]:
    """Name at each of the parts of a clearance its dimensions, those that spread it most; in the order of their shares."""
    links = [link for link in bench.clearance(name).service_chain if link.share >= LEAST_SHARE]
    links.sort(key=lambda link: -link.share)
    of_piece: dict[str, list[Link]] = {}
    for link in links:
        of_piece.setdefault(link.piece, []).append(link)
    shown = list(of_piece)[:MOST_PARTS]
    most = MOST_NAMED if len(shown) <= FEW else 1
    return {
        piece: words.say(
            "chain.named",
            piece=tell_piece(words, bench.build, piece),
            dimensions="; ".join(
                words.say(
                    "chain.dimension",
                    dimension=tell_value(words, link),
                    percent=words.number(100 * link.share, 0),
                )
                for link in of_piece[piece][:most]
            ),
        )
        for piece in shown
    }


def find_near(bench: Bench, pieces: Iterable[str]) -> npt.NDArray[np.float64]:
    """Find the corners (n, 3) mm of what is looked at closely: round the shortest of the pieces, above the shaft."""
    meshes = [bench.assembly.by_name[piece].mesh for piece in pieces]
    mesh = min(meshes, key=lambda one: float(one.bounds[1][0] - one.bounds[0][0]))
    points = keep_above(mesh.points)
    low, high = points.min(axis=0).astype(np.float64), points.max(axis=0).astype(np.float64)
    reach = AROUND * float(max(high[0] - low[0], high[2] - low[2]))
    middle = (low + high) / 2
    corners: npt.NDArray[np.float64] = middle + np.array(
        [(a * reach, 0.0, b * reach) for a in (-1, 1) for b in (-1, 1)]
    )
    return corners


def make_chain_drawing(words: Words, bench: Bench, name: str) -> ChainDrawing:
    """Make what is drawn of a clearance's chain. Raises RefusalError as `draw_told_chain` does."""
    walked, measured = find_chain(bench, name)
    legs = _join_pack(bench.build, walked)
    build, links = bench.build, {(link.piece, link.dimension): link for link in measured.chain}
    clearance = build.clearance(measured.name)
    is_round = clearance.kind is ClearanceKind.DIAMETRAL
    ends = (_find_round_ends if is_round else _find_ends)(bench, legs)
    rows = []
    for leg, (start, end) in zip(legs, ends, strict=True):
        share = sum(links[term].share for term in leg.terms)
        percent = words.say("chain.share", percent=words.number(100 * share, 0))
        text = tell_leg(words, build, leg, links)
        rows.append(Row(text, start, end, share, percent, leg.pieces))
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
        title=words.say("chain.title", name=begin(tell_clearance(words, measured.name))),
        caption=tell_bounds(words, measured),
        shares=words.say("chain.shares"),
    )


def _join_pack(build: Build, legs: tuple[Leg, ...]) -> tuple[Leg, ...]:
    """Join the shims of a pack into one leg: they lie on each other, and are chosen together."""
    joined: list[Leg] = []
    for leg in legs:
        is_shim = build.pieces[leg.pieces[0]].place.pack
        before = joined[-1] if joined else None
        if is_shim and before and build.pieces[before.pieces[0]].place.pack:
            pieces, terms = (*before.pieces, *leg.pieces), (*before.terms, *leg.terms)
            joined[-1] = Leg(pieces, leg.axis, before.start_mm, leg.end_mm, terms)
        else:
            joined.append(leg)
    return tuple(joined)


def _find_ends(bench: Bench, legs: tuple[Leg, ...]) -> list[tuple[Vector, Vector]]:
    """Find the points (3,) mm on the faces where a walk along an axis enters and leaves each part.

    Of screws that hold two parts apart, the faces are those of the parts.
    """
    found: list[tuple[Vector, Vector]] = []
    for number, leg in enumerate(legs):
        after = [one.pieces[0] for one in legs[number + 1 : number + 2]]
        own, assembly = leg.pieces, bench.assembly
        start = found[-1][1] if found else find_face_point(assembly, own, leg.axis, leg.start_mm)
        end = find_face_point(assembly, [*reversed(own), *after], leg.axis, leg.end_mm)
        found.append((start, end))
    return found


def _find_round_ends(bench: Bench, legs: tuple[Leg, ...]) -> list[tuple[Vector, Vector]]:
    """Find the upper and lower points (3,) mm of journal and bore, where both reach along the shaft."""
    bounds = [bench.assembly.by_name[leg.pieces[0]].mesh.bounds for leg in legs]
    along = (
        max(float(low[0]) for low, _ in bounds) + min(float(high[0]) for _, high in bounds)
    ) / 2
    return [(np.array([along, 0.0, leg.start_mm]), np.array([along, 0.0, leg.end_mm])) for leg in legs]  # fmt: skip
