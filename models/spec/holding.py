"""Work out, piece by piece, what a build's joints hold, carry and allow to touch."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from models.spec.assembly import Carry, Caution, Hold
from models.spec.build import Build
from models.spec.joint import Joint, JointKind

Pair = frozenset[str]

CARRYING = frozenset({JointKind.PRESS, JointKind.KEYED, JointKind.THREADED, JointKind.SEALED})
"""Kinds whose first member carries the second along when it moves."""


def find_holds(build: Build) -> tuple[Hold, ...]:
    """Find what holds together what: one hold a fastener for bolted and threaded joints, one for a clamped seal."""
    holds = []
    for joint in build.joints:
        for members, fasteners in build.joint_pieces(joint):
            if joint.kind is JointKind.SEALED:
                carrier, seal, *mates = members
                holds.append(
                    Hold(
                        joint.name,
                        joint.kind,
                        frozenset({carrier, seal}),
                        frozenset({carrier, *mates}),
                    )
                )
            else:
                holds += [
                    Hold(joint.name, joint.kind, frozenset(members), frozenset({by}))
                    for by in fasteners
                ]
    return tuple(holds)


def find_carries(build: Build) -> tuple[Carry, ...]:
    """Find which piece rides on which until it is taken off by itself."""
    return tuple(
        Carry(joint.name, joint.kind, members[0], members[1], joint.tool)
        for joint in build.joints
        if joint.kind in CARRYING
        for members, _ in build.joint_pieces(joint)
    )


def find_cautions(build: Build) -> tuple[Caution, ...]:
    """Find which moves of pieces are wrong practice; a practice that names a place this build lacks falls away."""
    return tuple(
        Caution(
            practice.key,
            frozenset(build.pieces_at(practice.moving)),
            frozenset(name for place in there for name in build.pieces_at(place)),
        )
        for practice in build.practices
        if (there := [place for place in practice.while_there if build.has(place)])
    )


def find_contacts(build: Build) -> dict[Pair, str]:
    """Find every pair of pieces that may touch, with the name of the seat, joint or span that declares it."""
    found: dict[Pair, str] = {}
    for names, why in itertools.chain(
        _seats(build), _spans(build), _reaches(build), _joints(build)
    ):
        if len(names) == 2:
            found.setdefault(names, why)
    return found


def _seats(build: Build) -> Iterator[tuple[Pair, str]]:
    for piece in build.pieces.values():
        seat = piece.place.seat
        if seat is None:
            continue
        series = build.pieces_at(piece.place.name)
        number = series.index(piece.name)
        if piece.place.pack and number:
            yield frozenset({piece.name, series[number - 1]}), "pack"
        else:
            below = build.pieces_at(seat.on)
            on = below[number] if len(below) == len(series) and len(series) > 1 else below[-1]
            yield frozenset({piece.name, on}), f"seat on {on}.{seat.on_face}"


def _spans(build: Build) -> Iterator[tuple[Pair, str]]:
    for piece in build.pieces.values():
        for key, span in piece.place.spans.items():
            for end in (span.high, span.low):
                if end is not None:
                    yield (
                        frozenset({piece.name, build.pieces_at(end[0])[-1]}),
                        f"{key} of {piece.name}",
                    )


def _reaches(build: Build) -> Iterator[tuple[Pair, str]]:
    for piece in build.pieces.values():
        for key, (host, mounts) in piece.place.reaches.items():
            yield frozenset({piece.name, build.pieces_at(host)[-1]}), f"{key} at {host}.{mounts}"


def _joints(build: Build) -> Iterator[tuple[Pair, str]]:
    for joint in build.joints:
        for members, _ in build.joint_pieces(joint):
            if joint.kind is JointKind.BOLTED:
                continue  # clamped parts touch through their seats; a bolted joint alone allows nothing
            for pair in itertools.combinations(members, 2):
                yield frozenset(pair), joint.name


def find_presses(build: Build) -> dict[Pair, float]:
    """Find the radial interference in mm that each press fit has at the build's values.

    The joint names the two cylinders that make the fit; one that names none has no metal interference.
    """
    found = {}
    for joint in build.joints:
        if joint.kind is JointKind.PRESS:
            for members, _ in build.joint_pieces(joint):
                found[frozenset(members)] = _interference_mm(build, joint, members)
    return found


def _interference_mm(build: Build, joint: Joint, members: tuple[str, ...]) -> float:
    if not joint.fit:
        return 0.0
    outer, inner = (build.pieces[members[i]].faces[joint.fit[i]].at for i in (0, 1))
    return abs(float(outer) - float(inner)) / 2.0
