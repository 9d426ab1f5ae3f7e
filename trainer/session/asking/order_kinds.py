"""Questions about the order: put parts in order, say what comes off next, and what must come off to reach a part."""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence

from models.spec.errors import RefusalError, say_near
from trainer.core.order.state import Refused, State
from trainer.lesson.item import (
    Basis,
    Choice,
    Field,
    InOrder,
    Item,
    LineMark,
    LineVerdict,
    MoveShown,
    OneOf,
    PiecesShown,
    Shown,
    SomeOf,
)
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.lesson import Camera, Show
from trainer.lesson.said import Said, name_part, name_piece, name_pieces, say
from trainer.session.asking.benches import once_a_bench
from trainer.session.asking.kind import Draw, Kind
from trainer.session.asking.part_kinds import CHOICES, ask
from trainer.session.asking.replaying import ReplayJudge, Way
from trainer.session.asking.states import (
    draw_state,
    find_first,
    find_waits,
    is_plain,
)
from trainer.session.bench import Bench

FEW = 6
"""Parts of an order of which a few are asked."""
BEHIND = 3
"""Parts that have to come off before one of the few, at the least, where there are so many."""
MOST_TRIED = 30
"""Shuffles tried for one that is not right as it stands."""
WHOLE = "whole"
MOST_OF_EACH = 4
"""Right and wrong parts among what may have to come off."""
FEWEST_WRONG = 2


# ------------------------------------------------------------------ put in order
def _list_ways(bench: Bench) -> tuple[str, ...]:
    return tuple(Way) if len(_list_orderable(bench)) > 1 else ()


@once_a_bench
def _list_orderable(bench: Bench) -> tuple[str, ...]:
    """List the parts of which the whole set comes off in one go in some order, as the order of the bench has them."""
    return _drop_split(bench, dict.fromkeys(step.part for step in bench.order.steps))


def _drop_split(bench: Bench, parts: Iterable[str]) -> tuple[str, ...]:
    """Drop parts of which some pieces have to come off before, and some after, others that are asked."""
    kept = tuple(parts)
    while True:
        judge = ReplayJudge(bench, kept)
        wrong = {mark.line for mark in judge.judge(judge.find_order()) if not _is_done(mark)}
        if not wrong:
            return kept
        kept = tuple(part for part in kept if part not in wrong)


def _is_done(mark: LineMark) -> bool:
    return mark.verdict in {LineVerdict.RIGHT, LineVerdict.POOR}


def _draw_put_in_order(draw: Draw) -> Item:
    bench, way = draw.bench, Way(draw.subject)
    parts = _find_asked(draw)
    judge = ReplayJudge(bench, parts, way)
    if not all(map(_is_done, judge.judge(judge.find_order()))):
        raise RefusalError(
            f"{bench.name}: no order takes each of {', '.join(parts)} off in one go; ask fewer"
        )
    lines = tuple(
        Choice(part, say("choice.part", part=name_part(part)), say(f"part.{part}.duty"))
        for part in _shuffle_wrong(judge, draw.chance)
    )
    field = Field("order", say(f"ask.{way}-field"), InOrder(lines, judge))
    show = Show(
        bench.name, bench.build.options, apart=float(way is Way.ASSEMBLY), camera=Camera.ISO
    )
    return _make_item(draw, QuestionKind.PUT_IN_ORDER, ask(draw, f"ask.{way}"), field, show)


def _find_asked(draw: Draw) -> tuple[str, ...]:
    """Find which parts are to be put in order: those given, all, or a few that wait for each other."""
    bench, known = draw.bench, draw.bench.build.places
    given = draw.wanted.names("parts")
    for part in given:
        if part not in known:
            raise RefusalError(f"{bench.name} has no part {part!r}; {say_near(part, known)}")
    if given:
        return given
    orderable = _list_orderable(bench)
    if draw.wanted.text("extent") == WHOLE:
        return orderable
    first = find_first(bench)
    linked = {part: first[part] & set(orderable) for part in orderable}
    # With few that wait for each other many an order would do, and one laid by chance would often be right.
    most = min(BEHIND, max(map(len, linked.values())))
    last = draw.chance.choice([part for part in orderable if len(linked[part]) >= most])
    chosen = [part for part in orderable if part in linked[last]]
    chosen = [*draw.chance.sample(chosen, min(FEW - 1, len(chosen))), last]
    others = [part for part in orderable if part not in chosen]
    chosen += draw.chance.sample(others, min(FEW - len(chosen), len(others)))
    return _drop_split(bench, [part for part in orderable if part in chosen])


def _shuffle_wrong(judge: ReplayJudge, chance: random.Random) -> list[str]:
    """Shuffle lines so that they are not right as they stand, where any shuffle does that."""
    lines = list(judge.lines)
    for _ in range(MOST_TRIED):
        chance.shuffle(lines)
        if not judge.mark(lines).is_valid:
            break
    return lines


# ------------------------------------------------------------------ what comes off next
@once_a_bench
def _list_next(bench: Bench) -> tuple[str, ...]:
    """List the parts that can be what comes off next: others cannot come off then."""
    state, found = State(bench.assembly, bench.blocking), dict[str, None]()
    seen: set[str] = set()
    for step in bench.order.steps:
        if (
            step.part not in seen
            and is_plain(step)
            and len(_list_stuck(bench, state)) >= FEWEST_WRONG
        ):
            found[step.part] = None
        seen.add(step.part)
        for taken in step.taken:
            state.take(taken.piece)
    return tuple(found)


def _list_stuck(bench: Bench, state: State) -> dict[str, str]:
    """List the parts of which no piece that is still on can come off now, in whatever way, with the first of these."""
    off, stuck = set(state.off), dict[str, str]()
    for part, names in bench.build.places.items():
        left = [name for name in names if name not in off]
        if left and not any(state.find(name) for name in left):
            stuck[part] = left[0]
    return stuck


def _draw_next_off(draw: Draw) -> Item:
    bench, part = draw.bench, draw.subject
    state = draw_state(bench, part, draw.chance)
    stuck = _list_stuck(bench, state)
    wrong = draw.chance.sample(sorted(stuck), min(CHOICES - 1, len(stuck)))
    taken, names = tuple(state.off), [part, *wrong]
    draw.chance.shuffle(names)
    choices = tuple(
        _choose_free(bench, part)
        if name == part
        else _choose_stuck(name, state.refuse(stuck[name]), taken)
        for name in names
    )
    field = Field("part", say("ask.next-off-field"), OneOf(choices, frozenset({part})))
    show = Show(bench.name, bench.build.options, camera=Camera.ISO, taken=taken)
    stem = (_tell_taken(bench, taken), *ask(draw, "ask.next-off"))
    return _make_item(draw, QuestionKind.NEXT_OFF, stem, field, show)


def _choose_free(bench: Bench, part: str) -> Choice:
    named = name_part(part)
    shown = PiecesShown(bench.build.places[part])
    return Choice(part, say("choice.part", part=named), say("why.next-is-free", part=named), shown)


def _choose_stuck(part: str, refused: Refused, taken: tuple[str, ...]) -> Choice:
    why = say("why.next-is-stuck", part=name_part(part), refused=refused)
    return Choice(
        part, say("choice.part", part=name_part(part)), why, MoveShown(refused.piece, taken)
    )


def _tell_taken(bench: Bench, taken: Sequence[str]) -> Said:
    """Tell how the pump stands by the shorter of two lists: what is off, or what is not."""
    if not taken:
        return say("ask.nothing-off")
    left = [name for name in bench.build.pieces if name not in taken]
    if len(left) < len(taken):
        return say("ask.left-on", pieces=name_pieces(left))
    return say("ask.off-already", pieces=name_pieces(taken))


# ------------------------------------------------------------------ what must come off to reach it
@once_a_bench
def _list_reached(bench: Bench) -> tuple[str, ...]:
    """List the parts that can be asked for: some others have to come off before, and some need not."""
    first = find_first(bench)
    return tuple(
        part
        for part in bench.build.places
        if first[part] and len(_list_need_not(bench, part)) >= FEWEST_WRONG
    )


def _list_need_not(bench: Bench, part: str) -> tuple[str, ...]:
    """List the parts that need not come off before one, as a good order takes them off.

    What itself waits for the part is not among them: no one would think that it had to come off before.
    """
    waits = find_waits(bench)
    order = list(dict.fromkeys(step.part for step in bench.order.steps))
    found = [o for o in order if part in waits[o].free and o not in waits[part].parts and o != part]
    return tuple(found)


def _draw_reach(draw: Draw) -> Item:
    bench, part, chance = draw.bench, draw.subject, draw.chance
    first = find_first(bench)[part]
    must = [other for other in bench.build.places if other in first]
    must = chance.sample(must, min(MOST_OF_EACH, len(must)))
    need_not = _draw_need_not(bench, part, chance)
    names = [*must, *need_not]
    chance.shuffle(names)
    choices = tuple(_choose_reached(bench, part, name, is_must=name in must) for name in names)
    field = Field("parts", say("ask.reach-field"), SomeOf(choices, frozenset(must)))
    show = Show(bench.name, bench.build.options, lit=(part,), cutaway=True, camera=Camera.SIDE)
    stem = ask(draw, "ask.reach", part=name_part(part))
    return _make_item(draw, QuestionKind.REACH, stem, field, show)


def _draw_need_not(bench: Bench, part: str, chance: random.Random) -> list[str]:
    """Draw parts that need not come off: of what a good order takes off before all the same, then of the rest."""
    order = list(dict.fromkeys(step.part for step in bench.order.steps))
    earlier = set(order[: order.index(part)])
    before, rest = list[str](), list[str]()
    for other in _list_need_not(bench, part):
        (before if other in earlier else rest).append(other)
    drawn = chance.sample(before, min(MOST_OF_EACH, len(before)))
    return drawn + chance.sample(rest, min(MOST_OF_EACH - len(drawn), len(rest)))


def _choose_reached(bench: Bench, part: str, other: str, *, is_must: bool) -> Choice:
    said = say("choice.part", part=name_part(other))
    if not is_must:
        why = say("why.reach-need-not", part=name_part(part), other=name_part(other))
        return Choice(other, said, why, _show_coming(bench, part, other))
    state, piece = find_waits(bench)[other].left, bench.build.places[part][0]
    refused = state.refuse(piece)
    why = say("why.reach-must", part=name_piece(piece), other=name_part(other), refused=refused)
    return Choice(other, said, why, MoveShown(piece, tuple(state.off)))


def _show_coming(bench: Bench, part: str, other: str) -> Shown:
    """Show a part coming off while another stays on; just the other where that takes a way of its own."""
    off = tuple(find_waits(bench)[other].left.off)
    first = next((at for at, name in enumerate(off) if name in bench.build.places[part]), None)
    if first is None:
        return PiecesShown(bench.build.places[other])
    return MoveShown(off[first], off[:first])


def _make_item(
    draw: Draw, kind: QuestionKind, stem: tuple[Said, ...], field: Field, show: Show
) -> Item:
    build = draw.bench.build
    basis = Basis(say("basis.order"))
    return Item(kind, draw.subject, build.name, build.options, stem, (field,), basis, show)


PUT_IN_ORDER = Kind("way", _list_ways, _draw_put_in_order, needs_solids=True)
NEXT_OFF = Kind("part", _list_next, _draw_next_off, needs_solids=True)
REACH = Kind("part", _list_reached, _draw_reach, needs_solids=True)
