"""Questions about the hand of a pump: rotation, thread, volute, vanes, discharge; of the build or of its mirror image."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from models.parts.impeller import vane_angle_rad
from models.parts.waterway import branch_offset_mm, spiral_radius_mm
from models.spec.build import Build
from models.systems.impeller_fixing import CLOCKWISE_FROM_DRIVER
from trainer.lesson.item import Basis, Choice, Field, Figure, Item, OneOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.lesson import Camera, Show
from trainer.lesson.said import Filling, Name, NameOf, Said, say
from trainer.session.asking.kind import Draw, Kind
from trainer.session.asking.part_kinds import CHOICES, COMMON_PRACTICE, ask
from trainer.session.bench import Bench

CLOCKWISE, ANTICLOCKWISE = "clockwise", "anticlockwise"
BUILT, MIRRORED = 1, -1
QUARTERS = 4
RIGHT = "right"
HALF = 0.5


class About(StrEnum):
    """What is to be set by the rotation, or the rotation itself."""

    ROTATION = "rotation"
    THREAD = "thread"
    VOLUTE = "volute"
    VANES = "vanes"
    DISCHARGE = "discharge"


class End(StrEnum):
    """From where one looks along the shaft."""

    DRIVER = "driver"
    SUCTION = "suction"


@dataclass(frozen=True, slots=True)
class Seen:
    """A pump as somebody sees it who looks along its shaft.

    hand: BUILT, which turns clockwise seen from the driver, or MIRRORED. end: where he stands.
    """

    hand: int
    end: End

    @property
    def sign(self) -> int:
        """+1 where he sees a turn as one sees it on the build from the driver, -1 where the other way."""
        return self.hand * (1 if self.end is End.DRIVER else -1)

    def tell_turn(self, sense: float) -> str:
        """Name a turn, positive where it is clockwise on the build seen from the driver."""
        return CLOCKWISE if sense * self.sign > 0.0 else ANTICLOCKWISE


@dataclass(frozen=True, slots=True)
class Branch:
    """Where the discharge branch stands from the shaft, and where it points: (right, up), each -1, 0 or 1."""

    at: tuple[int, int]
    points: tuple[int, int]

    def turned(self) -> Branch:
        """Turn a quarter clockwise."""
        return Branch(*((y, -x) for x, y in (self.at, self.points)))

    def seen(self, sign: int) -> Branch:
        """Look at it from the other side where the sign says so."""
        return Branch(*((sign * x, y) for x, y in (self.at, self.points)))

    @property
    def sense(self) -> int:
        """Which way the liquid runs round the shaft before it leaves: 1 clockwise, -1 anticlockwise."""
        return self.at[1] * self.points[0] - self.at[0] * self.points[1]

    @property
    def name(self) -> str:
        """Name it for its words, such as left-up."""
        across = {(-1, 0): "left", (1, 0): "right", (0, 1): "over", (0, -1): "under"}
        ways = {(-1, 0): "to-left", (1, 0): "to-right", (0, 1): "up", (0, -1): "down"}
        return f"{across[self.at]}-{ways[self.points]}"


def find_branch(build: Build) -> Branch:
    """Find how the branch of a volute lies, seen from the driver."""
    row = build.numbers_at("volute")
    side = -1 if branch_offset_mm(row) > 0.0 else 1
    return _turn(Branch((side, 0), (0, 1)), row["discharge-turn"])


def _turn(branch: Branch, turn_deg: float) -> Branch:
    for _ in range(round(turn_deg / 90.0) % QUARTERS):
        branch = branch.turned()
    return branch


def _list_ways(build: Build) -> list[str]:
    """List the ways in which a branch can lie on pumps of a size, seen from either end; of no other is any ever right."""
    turns = {
        rows["discharge-turn"].nominal
        for rows in build.size.parts.values()
        if "discharge-turn" in rows
    }
    upright = Branch((-1, 0), (0, 1))
    return sorted(_turn(upright, turn).seen(sign).name for turn in turns for sign in (1, -1))


def _list_about(bench: Bench) -> tuple[str, ...]:
    build, found = bench.build, list[About]()
    if "volute" in build.places and "discharge-turn" in build.numbers_at("volute"):
        found += [About.ROTATION, About.VOLUTE]
        found += [About.DISCHARGE] if "discharge" in build.options else []
    if "shaft" in build.places and "thread-hand" in build.piece_at("shaft").row:
        found.append(About.THREAD)
    if "impeller" in build.places and "vane-wrap" in build.piece_at("impeller").row:
        found.append(About.VANES)
    return tuple(found)


def _draw_set_hand(draw: Draw) -> Item:
    chance, build = draw.chance, draw.bench.build
    seen = Seen(chance.choice((BUILT, MIRRORED)), chance.choice(tuple(End)))
    stem, field, figure = _DRAWS[About(draw.subject)](draw, seen)
    fields: tuple[Field, ...] = (field,)
    if draw.subject in _SLIPS:
        fields = (field, _ask_reason(draw))
    show = Show(
        build.name,
        build.options,
        cutaway=True,
        camera=Camera.ISO,
        mirrored=seen.hand == MIRRORED,
    )
    which = say("hand.as-built" if seen.hand == BUILT else "hand.mirrored")
    return Item(
        QuestionKind.SET_HAND, draw.subject, build.name, build.options,
        (which, stem, *ask(draw, f"ask.hand-{draw.subject}")), fields,
        Basis(say("basis.hand"), COMMON_PRACTICE), show, figure,
    )  # fmt: skip


Drawn = tuple[Said, Field, Figure | None]


def _say_turn(seen: Seen) -> dict[str, Filling]:
    return {
        "end": say(f"hand.from-{seen.end}"),
        "sense": say(f"hand.{seen.tell_turn(CLOCKWISE_FROM_DRIVER)}"),
    }


def _choose(names: tuple[str, ...], right: str, why: Said) -> OneOf:
    choices = tuple(Choice(name, say(f"hand.{name}"), why) for name in names)
    return OneOf(choices, frozenset({right}))


def _draw_rotation(draw: Draw, seen: Seen) -> Drawn:
    branch = find_branch(draw.bench.build).seen(seen.sign)
    right = CLOCKWISE if branch.sense > 0 else ANTICLOCKWISE
    lies = say(f"branch.{branch.name}")
    why = say("why.hand-rotation", branch=lies, sense=say(f"hand.{right}"))
    form = _choose((CLOCKWISE, ANTICLOCKWISE), right, why)
    said = say("hand.branch-stands", end=say(f"hand.from-{seen.end}"), branch=lies)
    figure = Figure(
        "branch",
        {"at": tuple(map(str, branch.at)), "points": tuple(map(str, branch.points))},
        say("figure.branch", branch=lies),
    )
    return said, Field("turns", say("ask.hand-rotation-field"), form), figure


def _draw_thread(draw: Draw, seen: Seen) -> Drawn:
    built = float(draw.bench.build.piece_at("shaft").row["thread-hand"])
    right = "right-hand" if built * seen.hand > 0.0 else "left-hand"
    why = say("why.hand-thread", hand=say(f"hand.{right}"), **_say_turn(seen))
    form = _choose(("right-hand", "left-hand"), right, why)
    field = Field("thread", say("ask.hand-thread-field"), form)
    return say("hand.turns", **_say_turn(seen)), field, None


def _draw_volute(draw: Draw, seen: Seen) -> Drawn:
    row = draw.bench.build.numbers_at("volute")
    grows = spiral_radius_mm(row, 360.0) - spiral_radius_mm(row, row["cutwater-angle"])
    right = seen.tell_turn(grows)
    why = say("why.hand-volute", widens=say(f"hand.{right}"), **_say_turn(seen))
    form = _choose((CLOCKWISE, ANTICLOCKWISE), right, why)
    field = Field("widens", say("ask.hand-volute-field"), form)
    return say("hand.turns", **_say_turn(seen)), field, None


def _draw_vanes(draw: Draw, seen: Seen) -> Drawn:
    row = draw.bench.build.numbers_at("impeller")
    swept = vane_angle_rad(row, row["outside-diameter"] / 2) - vane_angle_rad(
        row, row["eye-diameter"] / 2
    )
    right = seen.tell_turn(-swept)  # the angle of a vane counts anticlockwise
    why = say("why.hand-vanes", sweeps=say(f"hand.{right}"), **_say_turn(seen))
    form = _choose((CLOCKWISE, ANTICLOCKWISE), right, why)
    field = Field("sweeps", say("ask.hand-vanes-field"), form)
    return say("hand.turns", **_say_turn(seen)), field, None


def _draw_discharge(draw: Draw, seen: Seen) -> Drawn:
    """Ask how a discharge of a named position lies for whoever looks; positions are named as seen from the driver."""
    build = draw.bench.build
    branch = find_branch(build).seen(seen.sign)
    turn = say("hand.turns", **_say_turn(Seen(seen.hand, End.DRIVER)))
    position = Name(NameOf.VALUE, f"discharge={build.options['discharge']}")
    said = say("hand.position", turn=turn, position=position, end=say(f"hand.from-{seen.end}"))
    mirror = branch.seen(-1).name
    others = [name for name in _list_ways(build) if name not in {branch.name, mirror}]
    names = [branch.name, mirror, *draw.chance.sample(others, CHOICES - 2)]
    draw.chance.shuffle(names)
    why = say("why.hand-discharge", branch=say(f"branch.{branch.name}"), position=position)
    choices = tuple(Choice(name, say(f"branch.{name}"), why) for name in names)
    form = OneOf(choices, frozenset({branch.name}))
    return said, Field("lies", say("ask.hand-discharge-field"), form), None


_DRAWS: Mapping[About, Callable[[Draw, Seen], Drawn]] = MappingProxyType(
    {
        About.ROTATION: _draw_rotation,
        About.THREAD: _draw_thread,
        About.VOLUTE: _draw_volute,
        About.VANES: _draw_vanes,
        About.DISCHARGE: _draw_discharge,
    }
)

_SLIPS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        About.ROTATION: ("foot", "suction"),
        About.THREAD: ("stops", "all-right"),
        About.VOLUTE: ("speeds", "drains"),
        About.VANES: ("scoops", "both-ways"),
    }
)
"""By what is asked, what is wrongly believed to be the reason. Source: common practice."""
_TRUE_OF_ALL = (About.ROTATION, About.VOLUTE, About.VANES)
"""Of what the reason holds for every pump; that of a thread does only where there is one."""


def _ask_reason(draw: Draw) -> Field:
    """Ask why, or which of what may be said is not so: of two ways one is guessed right half the time.

    Asked the second way, it is the wrong belief that is right, so that none is struck out without a thought.
    """
    about, chance = About(draw.subject), draw.chance
    if chance.random() < HALF:
        told = [(about, slip) for slip in (RIGHT, *_SLIPS[about])]
        right, asks, is_why = (about, RIGHT), say("ask.hand-reason"), True
    else:
        others = [one for one in _TRUE_OF_ALL if one is not about]
        right = (about, chance.choice(_SLIPS[about]))
        told = [right, (about, RIGHT), (chance.choice(others), RIGHT)]
        asks, is_why = say("ask.hand-not-so"), False
    chance.shuffle(told)
    choices = tuple(
        Choice(
            slip if of is about else f"{of}-{slip}",
            say(f"hand-reason.{of}-{slip}"),
            _tell_reason(of, slip, is_why=is_why),
        )
        for of, slip in told
    )
    return Field("reason", asks, OneOf(choices, frozenset({right[1]})))


def _tell_reason(about: About, slip: str, *, is_why: bool) -> Said:
    """Tell how it is; where it is asked what is false, first whether what was chosen is."""
    why = say(f"why.hand-reason-{about}")
    if is_why:
        return why
    return say("why.hand-so" if slip == RIGHT else "why.hand-not-so", why=why)


SET_HAND = Kind("about", _list_about, _draw_set_hand)
