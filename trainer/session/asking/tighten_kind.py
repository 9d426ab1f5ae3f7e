"""The question in which order the fasteners of a joint are tightened: crosswise, in passes."""

from __future__ import annotations

from models.spec.build import Build
from models.spec.face import Axis
from trainer.lesson.item import Basis, Choice, Field, Figure, InOrder, Item
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.lesson import Camera, Show
from trainer.lesson.said import Amount, Filling, Quantity, name_part, say
from trainer.lesson.tightening import AT_ONCE, BY_HAND, PASSES, CrossJudge, number_round
from trainer.session.asking.benches import once_a_bench
from trainer.session.asking.kind import Draw, Kind
from trainer.session.asking.measuring_kind import find_plan
from trainer.session.asking.part_kinds import COMMON_PRACTICE, ask
from trainer.session.bench import Bench
from trainer.session.sheet import CROSS_FROM
from trainer.session.sheet import PASSES as SHARES
from trainer.session.sheet_plan import Bolting

MOST_BOLTS = 8
"""More are tightened in the same way, and only make a longer list."""
ACROSS = {Axis.X: (1, 2), Axis.Y: (0, 2), Axis.Z: (0, 1)}
"""By the axis along which fasteners stand, which coordinates lie in their plane: right and up on the drawing."""


@once_a_bench
def _list_joints(bench: Bench) -> tuple[str, ...]:
    return tuple(one.joint for one in _list_boltings(bench))


def _list_boltings(bench: Bench) -> list[Bolting]:
    plan = find_plan(bench)
    boltings = () if plan is None else plan.boltings
    return [one for one in boltings if CROSS_FROM <= one.count <= MOST_BOLTS]


def _draw_tighten(draw: Draw) -> Item:
    build, chance = draw.bench.build, draw.chance
    bolting = next(one for one in _list_boltings(draw.bench) if one.joint == draw.subject)
    judge = CrossJudge(bolting.count)
    first, second, third = (
        Amount(share * bolting.taught_nm, Quantity.TORQUE, 0) for share in SHARES
    )
    told: dict[str, dict[str, Filling]] = {
        BY_HAND: {},
        PASSES[0]: {"torque": second},
        PASSES[1]: {"torque": third},
        PASSES[2]: {"torque": third},
        AT_ONCE: {"torque": third},
    }
    texts = {line: say(f"tighten.{line}", **fields) for line, fields in told.items()}
    bolts = [line for line in judge.find_order() if line not in texts]
    numbers = {line: int(line.rpartition("-")[2]) for line in bolts}
    texts |= {line: say("tighten.bolt", bolt=numbers[line], torque=first) for line in bolts}
    lines = sorted(texts)
    chance.shuffle(lines)
    form = InOrder(
        tuple(Choice(line, texts[line], say("why.tighten-rule")) for line in lines),
        judge,
        frozenset({AT_ONCE}),
    )
    named: dict[str, Filling] = {"part": name_part(bolting.fastener), "torque": third}
    show = Show(build.name, build.options, lit=(bolting.fastener,), camera=Camera.ISO)
    return Item(
        QuestionKind.TIGHTEN, draw.subject, build.name, build.options,
        ask(draw, "ask.tighten", **named), (Field("order", say("ask.tighten-field"), form),),
        Basis(say("basis.tighten"), COMMON_PRACTICE), show,
        _draw_bolts(build, bolting.fastener), say("caution.tighten"),
    )  # fmt: skip


def _draw_bolts(build: Build, fastener: str) -> Figure:
    """Draw where the fasteners stand, numbered clockwise from the top; seen so that the pump's axes run right and up."""
    pieces = build.pieces_at(fastener)
    poses = [build.pieces[name].pose for name in pieces]
    right, up = ACROSS[poses[0].axis]
    spots = [(float(pose.origin[right]), float(pose.origin[up])) for pose in poses]
    ring = [spots[at] for at in number_round(spots)]
    values = {"right": tuple(f"{x:.3f}" for x, _ in ring), "up": tuple(f"{y:.3f}" for _, y in ring)}
    return Figure("bolts", values, say("figure.bolts", number=len(ring)))


TIGHTEN = Kind("joint", _list_joints, _draw_tighten)
