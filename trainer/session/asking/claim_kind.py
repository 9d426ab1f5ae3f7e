"""Statements that are true or false, and why: about the order, about a chain, about what rests on what.

Each is generated from the build, true as it is or made false by one change, and of the reasons offered exactly one
is so: they exclude each other, whatever the statement says.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from enum import StrEnum
from types import MappingProxyType

from models.spec.length import Term
from trainer.core.measure.chain import MeasuredClearance
from trainer.lesson.item import (
    Basis,
    Choice,
    Field,
    GapShown,
    Item,
    MoveShown,
    OneOf,
    PiecesShown,
    Shown,
)
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.lesson import Camera, Show
from trainer.lesson.said import Filling, Said, name_clearance, name_part, name_piece, say
from trainer.session.asking.benches import once_a_bench
from trainer.session.asking.kind import Draw, Kind
from trainer.session.asking.part_kinds import CHOICES, ask
from trainer.session.asking.states import find_waits
from trainer.session.bench import Bench


class About(StrEnum):
    """What a statement is about."""

    ORDER = "order"
    CHAIN = "chain"
    SEAT = "seat"


Reason = tuple[str, Said, Said, Shown | None]
"""A reason that may be so: its id, what it says, why it is so or is not, and what shows it."""


def _list_about(bench: Bench) -> tuple[str, ...]:
    lists = {
        About.ORDER: _list_waiting_pairs(bench),
        About.CHAIN: _list_links(bench),
        About.SEAT: _list_seats(bench),
    }
    return tuple(about for about, found in lists.items() if found)


def _draw_true_or_false(draw: Draw) -> Item:
    return _DRAWS[About(draw.subject)](draw)


def _make_item(
    draw: Draw, claim: Said, *, is_true: bool, reasons: Sequence[Reason], right: str, key: str
) -> Item:
    """Make the item of a statement and of the reasons among which exactly one is so."""
    build, shuffled = draw.bench.build, list(reasons)
    draw.chance.shuffle(shuffled)
    why = next(why for name, _, why, _ in reasons if name == right)
    told = say("why.claim-true" if is_true else "why.claim-false", why=why)
    verdicts = OneOf(
        tuple(Choice(name, say(f"choice.claim-{name}"), told) for name in ("true", "false")),
        frozenset({"true" if is_true else "false"}),
    )
    offered = OneOf(
        tuple(Choice(name, said, why, shown) for name, said, why, shown in shuffled),
        frozenset({right}),
    )
    fields = (
        Field("verdict", say("ask.claim-field"), verdicts),
        Field("reason", say("ask.claim-reason"), offered),
    )
    stem = (*ask(draw, "ask.true-or-false"), say("ask.claim", claim=claim))
    show = Show(build.name, build.options, cutaway=True, camera=Camera.SIDE)
    return Item(
        QuestionKind.TRUE_OR_FALSE, draw.subject, build.name, build.options, stem, fields,
        Basis(say(key)), show,
    )  # fmt: skip


# ------------------------------------------------------------------ about the order
@once_a_bench
def _list_waiting_pairs(bench: Bench) -> tuple[tuple[str, str], ...]:
    """List (first, later): parts of which the later cannot come off before the first."""
    waits = find_waits(bench)
    return tuple(
        (first, part)
        for first in waits
        for part in bench.build.places
        if part in waits[first].parts and first in waits[part].free
    )


@once_a_bench
def _list_free_pairs(bench: Bench) -> tuple[tuple[str, str], ...]:
    """List pairs of parts of which neither waits for the other."""
    waits = find_waits(bench)
    some = sorted({part for pair in _list_waiting_pairs(bench) for part in pair})
    return tuple(
        (one, other)
        for one in some
        for other in some
        if other in waits[one].free and one in waits[other].free
    )


def _draw_order(draw: Draw) -> Item:
    chance, waits, free = draw.chance, _list_waiting_pairs(draw.bench), _list_free_pairs(draw.bench)
    relation = chance.choice(("first", "first", "second", "neither")) if free else "first"
    one, other = chance.choice(free if relation == "neither" else waits)
    first, later = (other, one) if relation == "second" else (one, other)
    named: dict[str, Filling] = {"first": name_part(first), "later": name_part(later)}
    shown: dict[str, Shown | None] = {"first": None, "second": None, "neither": None}
    why = say("why.claim-neither", **named)
    if relation != "neither":
        state, piece = find_waits(draw.bench)[one].left, draw.bench.build.places[other][0]
        refused = state.refuse(piece)
        why = say("why.claim-waits", part=name_part(other), refused=refused, other=name_part(one))
        shown[relation] = MoveShown(piece, tuple(state.off))
    reasons = [(name, say(f"reason.order-{name}", **named), why, shown[name]) for name in shown]
    claim = say("claim.order", **named)
    return _make_item(
        draw, claim, is_true=relation == "first", reasons=reasons, right=relation, key="basis.order"
    )  # fmt: skip


# ------------------------------------------------------------------ about a chain
@once_a_bench
def _list_links(bench: Bench) -> tuple[MeasuredClearance, ...]:
    """List the clearances that dimensions both open and close."""
    return tuple(
        one
        for one in bench.clearances
        if bench.build.clearance(one.name).is_plain and len(one.chain) > 1
    )


def _draw_chain(draw: Draw) -> Item:
    bench, chance = draw.bench, draw.chance
    measured = chance.choice(_list_links(bench))
    senses = _find_senses(measured)
    others = [
        (link.piece, link.dimension)
        for one in _list_links(bench)
        for link in one.service_chain
        if not any(
            (link.piece, link.dimension) == (mine.piece, mine.dimension)
            for mine in measured.service_chain
        )
    ]
    outside = bool(others) and chance.random() < 1.0 / 3.0
    piece, dimension = chance.choice(others) if outside else chance.choice(list(senses))
    sense = senses.get((piece, dimension), 0.0)
    relation = "opens" if sense > 0.0 else "closes" if sense < 0.0 else "neither"
    claimed = relation if relation != "neither" and chance.random() < 0.5 else None
    claimed = claimed or chance.choice([one for one in ("opens", "closes") if one != relation])
    named: dict[str, Filling] = {
        "piece": name_piece(piece),
        "dimension": dimension.replace("-", " "),
        "clearance": name_clearance(measured.name),
    }
    why = say(f"why.chain-{relation}", **named)
    reasons: list[Reason] = [
        (name, say(f"reason.chain-{name}", **named), why, GapShown(measured.name))
        for name in ("opens", "closes", "neither")
    ]
    claim = say(f"claim.chain-{claimed}", **named)
    return _make_item(
        draw, claim, is_true=claimed == relation, reasons=reasons, right=relation,
        key="basis.claim-chain",
    )  # fmt: skip


def _find_senses(measured: MeasuredClearance) -> dict[Term, float]:
    """Find which way each dimension of a chain moves it; one whose effect in service is the other way is left out."""
    service = {(link.piece, link.dimension): link.sensitivity for link in measured.service_chain}
    return {
        (link.piece, link.dimension): link.sensitivity
        for link in measured.chain
        if link.sensitivity * service[link.piece, link.dimension] > 0.0
    }


# ------------------------------------------------------------------ about what stands against what
@once_a_bench
def _list_seats(bench: Bench) -> Mapping[str, tuple[str, tuple[str, ...]]]:
    """List by part what it rests on, and others that it does not touch on which something rests."""
    found = {
        part: host for part in bench.build.places if (host := _find_host(bench, part)) is not None
    }
    others = {
        part: tuple(sorted(set(found.values()) - _find_touched(bench, part))) for part in found
    }
    return MappingProxyType({part: (found[part], others[part]) for part in found if others[part]})


def _find_host(bench: Bench, part: str) -> str | None:
    """Find the part on which one rests; None for what stands at a mount. Places of one casting are one part."""
    build = bench.build
    place = build.pieces[build.places[part][0]].place
    if place.seat is None or place.mounts is not None:
        return None
    host = build.aliases.get(place.seat.on, place.seat.on)
    return host if host in build.places and host != part else None


def _draw_seat(draw: Draw) -> Item:
    chance, seats = draw.chance, _list_seats(draw.bench)
    part = chance.choice(list(seats))
    host, hosts = seats[part]
    others = chance.sample(hosts, min(CHOICES - 1, len(hosts)))
    claimed = host if chance.random() < 0.5 else others[0]
    why = say("why.claim-seat", part=name_part(part), host=name_part(host))
    places = draw.bench.build.places
    shown = PiecesShown((*places[part], *places[host]))
    reasons: list[Reason] = [
        (one, say("reason.seat", part=name_part(part), host=name_part(one)), why, shown)
        for one in (host, *others)
    ]
    claim = say("claim.seat", part=name_part(part), host=name_part(claimed))
    return _make_item(
        draw, claim, is_true=claimed == host, reasons=reasons, right=host, key="basis.seat"
    )


def _find_touched(bench: Bench, part: str) -> set[str]:
    """Find the parts that one could say a part stands against: itself, all below it, what rests on it, its joints' others."""
    build, touched = bench.build, {part}
    touched |= {other for other in build.places if _find_host(bench, other) == part}
    below = _find_host(bench, part)
    while below is not None and below not in touched:
        touched.add(below)
        below = _find_host(bench, below)
    for joint in build.joints:
        joined = {build.aliases.get(one, one) for one in (*joint.members, *joint.fasteners)}
        if part in joined:
            touched |= joined
    return touched


_DRAWS: Mapping[About, Callable[[Draw], Item]] = MappingProxyType(
    {About.ORDER: _draw_order, About.CHAIN: _draw_chain, About.SEAT: _draw_seat}
)
TRUE_OR_FALSE = Kind("about", _list_about, _draw_true_or_false, needs_solids=True)
