"""Put results of the order engine into a fitter's words, for every face alike."""

from __future__ import annotations

from collections.abc import Iterable

from models.spec.build import Build
from models.spec.joint import JointKind
from trainer.core.order.directions import Direction
from trainer.core.order.marking import MarkedStep, Verdict
from trainer.core.order.state import Held, Refused, TakenOff, Way
from trainer.core.order.teardown import Fitting
from trainer.words.speech import Words

MOST_NAMED = 6
"""Parts of a unit that are named one by one; the rest are counted."""
AT_ONCE_MM = 0.005
"""Travel below this is contact."""
RESULT_PLACES = 2
"""Digits after the point of a named result."""


def tell_pump(words: Words, name: str) -> str:
    """Name a pump by its build's name, FAMILY/SIZE."""
    family, _, size = name.partition("/")
    return words.say("window.build", family=words.say(f"family.{family}"), size=size)


def tell_part(words: Words, part: str) -> str:
    """Name a part (a place) in words."""
    return words.say(f"part.{part}.name")


def tell_piece(words: Words, build: Build, piece: str) -> str:
    """Name one piece: its part, with its number where there are several."""
    place = build.pieces[piece].place.name
    names = build.places[place]
    if len(names) == 1:
        return tell_part(words, place)
    return words.say("piece.numbered", part=tell_part(words, place), number=names.index(piece) + 1)


def tell_pieces(words: Words, build: Build, pieces: Iterable[str]) -> str:
    """Name several pieces, whole sets as "8 cover nut" rather than one by one."""
    by_place: dict[str, list[str]] = {}
    for piece in pieces:
        by_place.setdefault(build.pieces[piece].place.name, []).append(piece)
    told = []
    for place, names in by_place.items():
        if len(names) == 1:
            told.append(tell_piece(words, build, names[0]))
        else:
            told.append(
                words.count("order.several", len(names), part=words.say(f"part.{place}.many"))
            )
    return words.join(told)


def tell_clearance(words: Words, name: str) -> str:
    """Name a clearance in words; one that a kind of part brings along by that part (PLACE.WHAT)."""
    if words.has(f"clearance.{name}"):
        return words.say(f"clearance.{name}")
    place, _, what = name.partition(".")
    return words.say(f"clearance-of-part.{what}", part=tell_part(words, place))


def find_clearance(words: Words, build: Build, typed: str) -> str:
    """Find the name of a clearance typed by that name or as the tables word it; what is neither stays as typed."""
    names = {one.name: _spoken(tell_clearance(words, one.name)) for one in build.clearances}
    if typed in names:
        return typed
    return next((name for name, spoken in names.items() if spoken == _spoken(typed)), typed)


def _spoken(text: str) -> str:
    return text.strip().casefold().replace("-", " ")


def tell_result(words: Words, name: str, value: float) -> str:
    """Tell a named result of a build with its value."""
    return words.say(f"result.{name}", value=words.number(value, RESULT_PLACES))


def tell_direction(words: Words, direction: Direction) -> str:
    """Name a direction."""
    return words.say(f"direction.{direction.name}")


def tell_taken(words: Words, build: Build, taken: TakenOff, many: int = 1) -> str:
    """Say how a piece comes off, and what goes along; of `many` of a set that all come off so."""
    told = _tell_move(words, build, taken, many)
    for caution in taken.cautions:
        told = words.say("order.wrong-practice", told=told, why=words.say(f"practice.{caution}"))
    return told


def _tell_move(words: Words, build: Build, taken: TakenOff, many: int) -> str:
    direction = tell_direction(words, taken.direction)
    if taken.aside:
        second = tell_direction(words, taken.aside)
        direction = words.say("order.two-moves", first=direction, second=second)
    along = [name for name in build.pieces if name in taken.along and name != taken.piece]
    if taken.as_unit:
        places = list(dict.fromkeys(build.pieces[name].place.name for name in along))
        named = [name for name in along if build.pieces[name].place.name in places[:MOST_NAMED]]
        told, more = tell_pieces(words, build, named), len(along) - len(named)
        if more:
            told = words.count("order.and-more", more, named=told)
        return words.count("order.free-unit", many, direction=direction, along=told)
    if taken.tool:
        tool = words.say(f"tool.{taken.tool}")
        return words.count("order.free-tool", many, direction=direction, tool=tool)
    if along:
        told = tell_pieces(words, build, along)
        return words.count("order.free-with", many, direction=direction, along=told)
    return words.count("order.free", many, direction=direction)


def tell_fitting(words: Words, build: Build, fitting: Fitting) -> str:
    """Say how the pieces of a set go on, and what is on them by then."""
    told = tell_direction(words, fitting.way[0])
    if len(fitting.way) > 1:
        second = tell_direction(words, fitting.way[1])
        told = words.say("together.two-moves", first=told, second=second)
    along = [name for name in build.pieces if name in fitting.along]
    if along:
        on = tell_pieces(words, build, along)
        return words.count("together.fit-with", len(fitting.pieces), direction=told, along=on)
    return words.count("together.fit", len(fitting.pieces), direction=told)


def tell_refused(words: Words, build: Build, refused: Refused) -> str:
    """Say why a piece cannot come off yet: what holds it, then who is in the way after what travel."""
    reasons = [_tell_held(words, build, refused.piece, held) for held in refused.held]
    if refused.way and (
        refused.way.travel_mm > AT_ONCE_MM or not reasons or not _only_fasteners(refused)
    ):
        reasons.append(_tell_way(words, build, refused.piece, refused.way))
    told = reasons[0]
    for reason in reasons[1:]:
        told = words.say("order.and-then", first=told, second=reason)
    named = {by for held in refused.held for by in held.by}
    named |= set(refused.way.blocked_by[:1]) if refused.way else set()
    if set(refused.until) <= named:
        return told
    return words.say("order.first", why=told, pieces=tell_pieces(words, build, refused.until))


def tell_step(words: Words, build: Build, step: MarkedStep, many: int = 1) -> str:
    """Say what became of one step of a marked order, with its reason; of `many` of a set that came off alike."""
    if isinstance(step.found, TakenOff):
        return tell_taken(words, build, step.found, many)
    if step.found is None:
        return words.say("order.repeated")
    why = tell_refused(words, build, step.found)
    return words.say("order.consequence", why=why) if step.verdict is Verdict.CONSEQUENCE else why


def _only_fasteners(refused: Refused) -> bool:
    """Is all that is in the way among what holds it? Then saying so once is enough."""
    holding = {by for held in refused.held for by in held.by}
    return refused.way is not None and set(refused.way.blocked_by) <= holding


def _tell_held(words: Words, build: Build, piece: str, held: Held) -> str:
    kind = next(joint.kind for joint in build.joints if joint.name == held.joint)
    key = "order.held-sealed" if kind is JointKind.SEALED else "order.held-bolted"
    return words.say(
        key, piece=tell_piece(words, build, piece), by=tell_pieces(words, build, held.by)
    )


def _tell_way(words: Words, build: Build, piece: str, way: Way) -> str:
    key = "order.blocked" if way.direction.is_along_shaft else "order.blocked-across"
    if way.travel_mm <= AT_ONCE_MM:
        key = "order.blocked-at-once"
    return words.say(
        key,
        piece=tell_piece(words, build, piece),
        blocker=tell_piece(words, build, way.blocked_by[0]),
        direction=tell_direction(words, way.direction),
        travel=words.millimetres(way.travel_mm, 1),
    )
