"""Put what was read of somebody's assembly, and what follows from it, into words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Protocol

from models.spec.assembly import Hold
from models.spec.joint import JointKind
from models.spec.step import StepPiece
from trainer.core.order.directions import OWN_AXIS, Direction
from trainer.core.order.guess import RING_TOOL, Guess
from trainer.core.order.marking import MarkedStep, Verdict
from trainer.core.order.state import Held, Refused, TakenOff, Way
from trainer.words.speech import Words

AT_ONCE_MM = 0.005
"""Travel below this is contact."""
AXIS_NAMES: Mapping[str, str] = {
    "towards-suction-end": "-x",
    "towards-drive-end": "+x",
    "left": "-y",
    "right": "+y",
    "down": "-z",
    "up": "+z",
    OWN_AXIS: "own-axis",
}
"""A strange assembly has no suction end: its ways are named by its axes, z upwards."""


@dataclass(frozen=True, slots=True)
class Named:
    """How pieces are called: titles by part (one, several), pieces by part; lengths are `scale` times life size."""

    titles: Mapping[str, tuple[str, str]]
    sets: Mapping[str, tuple[str, ...]]
    sealed: frozenset[str] = frozenset()
    scale: float = 1.0

    def part_of(self, piece: str) -> str:
        """Find the part of a piece."""
        return next(part for part, names in self.sets.items() if piece in names)


def name_parts(
    pieces: Iterable[StepPiece],
    said: Mapping[str, tuple[str, str]],
    holds: Iterable[Hold],
    scale: float,
) -> Named:
    """Gather how the pieces of an assembly are called: as was said (one, several), or by their part's own name."""
    titles: dict[str, tuple[str, str]] = {}
    sets: dict[str, list[str]] = {}
    for piece in pieces:
        one, many = said.get(piece.part, ("", ""))
        one = one or name_plainly(piece)
        titles.setdefault(piece.part, (one, many or one))
        sets.setdefault(piece.part, []).append(piece.name)
    sealed = frozenset(hold.joint for hold in holds if hold.kind is JointKind.SEALED)
    return Named(titles, {part: tuple(names) for part, names in sets.items()}, sealed, scale)


def name_plainly(piece: StepPiece) -> str:
    """Name a part as its file does, without shouting; equal names of different parts get their part's own."""
    told = piece.shown_part.replace("_", " ").strip()
    plain = told.lower() if told.isupper() else told
    return plain if make_plain(plain) == piece.part else piece.part.replace("-", " ")


def make_plain(text: str) -> str:
    """Reduce a name to what parts are called by, for comparing only."""
    return "-".join("".join(c if c.isalnum() else " " for c in text.lower()).split())


def list_tools(words: Words) -> Mapping[str, str]:
    """Give words for tools that a guess named by a key."""
    return {RING_TOOL: words.say("step.tool-snap-ring-pliers")}


class Joining(Protocol):
    """A joint, guessed or said."""

    @property
    def kind(self) -> JointKind:
        """What sort it is."""

    @property
    def members(self) -> tuple[str, ...]:
        """What it joins."""

    @property
    def by(self) -> tuple[str, ...]:
        """Its fasteners."""

    @property
    def tool(self) -> str:
        """What undoes it, in words or as a key."""


def tell_one_joint(words: Words, named: Named, joint: Joining) -> str:
    """Say in one sentence what a joint does."""
    if joint.kind is JointKind.BOLTED:
        fasteners = tell_step_pieces(words, named, joint.by)
        held = [name for name in joint.members if name not in joint.by]
        members = tell_step_pieces(words, named, held)
        return words.count("step.joint-bolted", len(held), by=fasteners, members=members)
    carrier, carried = (tell_step_piece(words, named, name) for name in joint.members)
    told = words.say(f"step.joint-{joint.kind.value}", carrier=carrier, carried=carried)
    tool = list_tools(words).get(joint.tool, joint.tool)
    return words.say("step.joint-tool", joint=told, tool=tool) if tool else told


def tell_step_piece(words: Words, named: Named, piece: str) -> str:
    """Name one piece: its part, with its number where there are several."""
    part = named.part_of(piece)
    names = named.sets[part]
    if len(names) == 1:
        return named.titles[part][0]
    return words.say("piece.numbered", part=named.titles[part][0], number=names.index(piece) + 1)


def tell_step_pieces(words: Words, named: Named, pieces: Iterable[str]) -> str:
    """Name several pieces; a whole set by its number, some of a set one by one."""
    by_part: dict[str, list[str]] = {}
    for piece in pieces:
        by_part.setdefault(named.part_of(piece), []).append(piece)
    told = []
    for part, names in by_part.items():
        if len(names) == len(named.sets[part]) > 1:
            told.append(words.count("order.several", len(names), part=named.titles[part][1]))
        elif len(names) == 1:
            told.append(tell_step_piece(words, named, names[0]))
        else:
            numbers = [str(i + 1) for i, name in enumerate(named.sets[part]) if name in names]
            told.append(
                words.say("step.some-of", part=named.titles[part][1], numbers=", ".join(numbers))
            )
    return words.join(told)


def tell_way_name(words: Words, direction: Direction) -> str:
    """Name a direction by the axes of the file."""
    return words.say(f"step.way-{AXIS_NAMES[direction.name]}")


def tell_step_taken(
    words: Words, named: Named, taken: TakenOff, tools: Mapping[str, str], many: int = 1
) -> str:
    """Say how a piece comes off, and what goes along; of `many` alike that do. `tools` gives words for tools that have no key."""
    direction = tell_way_name(words, taken.direction)
    if taken.aside is not None:
        aside = tell_way_name(words, taken.aside)
        direction = words.say("step.then-aside", first=direction, then=aside)
    along = sorted(taken.along - {taken.piece})
    if taken.tool:
        tool = tools.get(taken.tool, taken.tool)
        return words.count("order.free-tool", many, direction=direction, tool=tool)
    if along:
        key = "order.free-unit" if taken.as_unit else "order.free-with"
        told = tell_step_pieces(words, named, along)
        return words.count(key, many, direction=direction, along=told)
    return words.count("order.free", many, direction=direction)


def tell_step_refused(words: Words, named: Named, refused: Refused) -> str:
    """Say why a piece cannot come off: what holds it, then who is in the way after what travel."""
    reasons = [_tell_held(words, named, refused.piece, held) for held in refused.held]
    holding = {by for held in refused.held for by in held.by}
    way = refused.way
    if way and (not reasons or not set(way.blocked_by) <= holding):
        reasons.append(_tell_way(words, named, refused.piece, way))
    told = reasons[0] if reasons else words.say("step.no-way")
    for reason in reasons[1:]:
        told = words.say("order.and-then", first=told, second=reason)
    return told


def tell_step_marked(words: Words, named: Named, step: MarkedStep, tools: Mapping[str, str]) -> str:
    """Say what became of one step of a marked order, with its reason."""
    if isinstance(step.found, TakenOff):
        return tell_step_taken(words, named, step.found, tools)
    if step.found is None:
        return words.say("order.repeated")
    why = tell_step_refused(words, named, step.found)
    return words.say("order.consequence", why=why) if step.verdict is Verdict.CONSEQUENCE else why


def tell_guess(words: Words, guess: Guess) -> str:
    """Say why a part is taken for what it is taken for."""
    return "; ".join(words.say(f"step.why-{why}") for why in guess.why)


def _tell_held(words: Words, named: Named, piece: str, held: Held) -> str:
    key = "order.held-sealed" if held.joint in named.sealed else "order.held-bolted"
    by = tell_step_pieces(words, named, held.by)
    return words.say(key, piece=tell_step_piece(words, named, piece), by=by)


def _tell_way(words: Words, named: Named, piece: str, way: Way) -> str:
    travel_mm = way.travel_mm / named.scale
    return words.say(
        "order.blocked-at-once" if travel_mm <= AT_ONCE_MM else "order.blocked-across",
        piece=tell_step_piece(words, named, piece),
        blocker=tell_step_piece(words, named, way.blocked_by[0]),
        direction=tell_way_name(words, way.direction),
        travel=words.millimetres(travel_mm, 1),
    )
