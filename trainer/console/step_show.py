"""Show somebody's assembly: tables for people, plain values for scripts."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from rich import box
from rich.console import Console
from rich.table import Table

from trainer.core.order.guess import GuessedJoint, Kind, Surety
from trainer.core.order.marking import Marked, Verdict
from trainer.handout.step_form_text import name_all
from trainer.session.step_bench import StepBench
from trainer.session.step_form import JointSaid
from trainer.session.teaching import find_verdict_name
from trainer.words import Words
from trainer.words.telling_step import (
    AXIS_NAMES,
    Named,
    list_tools,
    make_plain,
    tell_guess,
    tell_one_joint,
    tell_step_marked,
    tell_step_piece,
    tell_step_pieces,
    tell_step_refused,
    tell_step_taken,
)


def name_differs(bench: StepBench, part: str) -> str:
    """Name the kind of fastener that the file's name speaks of where the shape is another; "" otherwise."""
    kind = bench.guessed.kind_of(part)
    if kind is Kind.BODY or bench.guessed.parts[part].surety is Surety.SAID:
        return ""
    says = {"bolt": Kind.SCREW, "screw": Kind.SCREW, "nut": Kind.NUT, "washer": Kind.WASHER}
    words = set(part.split("-"))
    return next((word for word, means in says.items() if word in words and means is not kind), "")


def describe_step(words: Words, bench: StepBench) -> dict[str, Any]:
    """Describe all answers as JSON; lengths in mm, life size."""
    named = name_all(bench)
    shown = {piece.part: piece.shown_part for piece in bench.read_pieces}
    return {
        "name": bench.step.name,
        "unit": bench.step.unit,
        "scale": bench.scale,
        "pieces": len(bench.assembly.pieces),
        "parts": [
            {
                "name": part,
                "title": named.titles[part][0],
                "shown": shown[part],
                "pieces": list(names),
                "kind": bench.guessed.parts[part].kind.value,
                "surety": bench.guessed.parts[part].surety.value,
                "why": tell_guess(words, bench.guessed.parts[part]),
                "flexible": bench.assembly.by_name[names[0]].flexible,
            }
            for part, names in bench.sets.items()
        ],
        "groups": {piece.name: list(piece.groups) for piece in bench.read_pieces},
        "joints": [_describe_joint(words, named, joint) for joint in bench.joints],
        "left_out": [{"name": one.shown, "why": one.why} for one in bench.step.left_out],
        "overlap_mm": bench.overlap_mm,
        "overlaps": [
            {
                "pieces": sorted(one.overlap.pair),
                "depth_mm": round(one.overlap.depth_mm, 4),
                "volume_mm3": round(one.overlap.volume_mm3, 3),
                "at_mm": [round(x, 3) for x in one.overlap.at_mm],
                "verdict": one.verdict,
            }
            for one in bench.overlaps
        ],
        "unchecked": [list(pair) for pair in bench.step.unchecked],
        "uncut": list(bench.opened.uncut),
        "base": bench.base,
        "steps": list(_describe_steps(bench)),
        "stuck": [
            {"piece": one.piece, "why": tell_step_refused(words, named, one.refused)}
            for one in bench.stuck
        ],
    }


def _describe_joint(words: Words, named: Named, joint: GuessedJoint | JointSaid) -> dict[str, Any]:
    surety = joint.surety if isinstance(joint, GuessedJoint) else Surety.SAID
    return {
        "kind": joint.kind.value,
        "members": list(joint.members),
        "by": list(joint.by),
        "tool": joint.tool,
        "surety": surety.value,
        "told": tell_one_joint(words, named, joint),
    }


def _describe_steps(bench: StepBench) -> Iterator[dict[str, Any]]:
    for number, step in enumerate(bench.order.steps):
        first = step.taken[0]
        along = frozenset[str]().union(*(taken.along for taken in step.taken))
        yield {
            "pieces": list(step.pieces),
            "part": step.part,
            "direction": AXIS_NAMES[step.direction.name],
            "vector": [round(x, 6) for x in step.direction.along],
            "aside": AXIS_NAMES[first.aside.name] if first.aside else None,
            "tool": first.tool,
            "along": sorted(along - set(step.pieces)),
            "before": list(bench.work_before(number)),
        }


def show_step(words: Words, bench: StepBench, console: Console | None = None) -> None:
    """Show all answers: parts and guesses, joints, overlaps, the order, what is stuck."""
    out = console or Console(highlight=False)
    named = name_all(bench)
    _show_parts(words, bench, named, out)
    _show_joints(words, bench, named, out)
    _show_overlaps(words, bench, named, out)
    _show_order(words, bench, named, out)
    for one in bench.stuck:
        why = tell_step_refused(words, named, one.refused)
        piece = tell_step_piece(words, named, one.piece)
        out.print(words.say("step.stuck", piece=piece, why=why), style="bold")
    if not bench.order.stuck:
        out.print(words.say("step.none-stuck"))
    out.print(words.say("step.safety"))


def _show_parts(words: Words, bench: StepBench, named: Named, out: Console) -> None:
    pieces = words.count("step.pieces", len(bench.assembly.pieces))
    sets = words.count("step.parts", len(bench.sets))
    columns = ("part", "quantity", "kind", "surety", "why")
    table = _table(
        words.say("step.title", name=bench.step.name, parts=pieces, sets=sets),
        *(words.say(f"step.column-{name}") for name in columns),
    )
    shown = {piece.part: piece.shown_part for piece in bench.read_pieces}
    for part, names in bench.sets.items():
        guess = bench.guessed.parts[part]
        title = named.titles[part][0]
        if make_plain(shown[part]) not in {make_plain(title), part}:
            title += "\n" + words.say("step.file-calls-it", shown=shown[part])
        why = tell_guess(words, guess)
        if says := name_differs(bench, part):
            why += "; " + words.say("step.name-differs", says=says)
        table.add_row(
            title,
            str(len(names)),
            words.say(f"step.kind-{guess.kind.value}"),
            words.say(f"step.surety-{guess.surety.value}"),
            why,
        )
    out.print(table)
    low, high = bench.blocking.low.min(axis=0), bench.blocking.high.max(axis=0)
    side = words.millimetres(bench.to_life_mm(float((high - low).max())), 1)
    out.print(words.say("step.unit", unit=bench.step.unit.lower(), side=side))
    if bench.scale != 1.0:
        out.print(words.say("step.scale", scale=words.number(bench.scale, 2)))
    for one in bench.step.left_out:
        out.print(words.say(f"step.left-out-{one.why}", shown=one.shown))


def _show_joints(words: Words, bench: StepBench, named: Named, out: Console) -> None:
    if not bench.joints:
        out.print(words.say("step.no-joints"), style="bold")
        return
    out.print(words.say("step.joints"), style="bold")
    for joint in bench.joints:
        surety = joint.surety if isinstance(joint, GuessedJoint) else Surety.SAID
        told = tell_one_joint(words, named, joint)
        sure = words.say(f"step.surety-{surety.value}")
        out.print(words.say("step.joint-line", joint=told, surety=sure))


def _show_overlaps(words: Words, bench: StepBench, named: Named, out: Console) -> None:
    deep = [one.overlap for one in bench.overlaps if one.verdict == "too-deep"]
    depth = words.millimetres(bench.overlap_mm, 2)
    for one in deep:
        x, y, z = (words.number(value, 1) for value in one.at_mm)
        first, second = (tell_step_piece(words, named, name) for name in (one.one, one.other))
        deepest = words.millimetres(one.depth_mm, 2)
        told = words.say(
            "step.overlap-too-deep", one=first, other=second, depth=deepest, x=x, y=y, z=z
        )
        out.print(told, style="bold")
    if not deep:
        out.print(words.say("step.overlaps-none", depth=depth))
    for verdict, key in (("tolerated", "step.tolerated"), ("thread", "step.threads")):
        number = sum(one.verdict == verdict for one in bench.overlaps)
        if number:
            out.print(words.count(key, number, depth=depth))
    here = set(bench.assembly.by_name)
    for pair in bench.step.unchecked:
        if here.issuperset(pair):
            first, second = (tell_step_piece(words, named, name) for name in pair)
            out.print(words.say("step.overlap-unchecked", one=first, other=second))
    for name in bench.opened.uncut:
        out.print(words.say("step.uncut", piece=tell_step_piece(words, named, name)))


def _show_order(words: Words, bench: StepBench, named: Named, out: Console) -> None:
    table = _table(
        words.say("order.title", build=bench.step.name),
        *(words.say(f"order.column-{name}") for name in ("step", "take", "way", "before")),
    )
    tools = list_tools(words)
    for number, step in enumerate(bench.order.steps):
        what = tell_step_pieces(words, named, step.pieces)
        how = tell_step_taken(words, named, step.taken[0], tools, len(step.taken))
        table.add_row(str(number + 1), what, how, "\n".join(bench.work_before(number)))
    out.print(table)
    if bench.base:
        key = "step.base-said" if bench.said_base else "step.base-guessed"
        out.print(words.say(key, piece=tell_step_piece(words, named, bench.base)))


def describe_step_marked(words: Words, bench: StepBench, marked: Marked) -> dict[str, Any]:
    """Describe a marked order as JSON, each step with its reason in words."""
    named, tools = name_all(bench), list_tools(words)
    return {
        "valid": marked.is_valid,
        "score": marked.score,
        "complete": marked.complete,
        "steps": [
            {
                "piece": step.piece,
                "verdict": step.verdict.value,
                "why": tell_step_marked(words, named, step, tools),
            }
            for step in marked.steps
        ],
    }


def show_step_marked(
    words: Words, bench: StepBench, marked: Marked, console: Console | None = None
) -> None:
    """Show a marked order, a line a piece."""
    out = console or Console(highlight=False)
    named, tools = name_all(bench), list_tools(words)
    table = _table(
        words.say("mark.title"),
        *(words.say(f"mark.column-{name}") for name in ("asked", "verdict", "why")),
    )
    for step in marked.steps:
        table.add_row(
            tell_step_piece(words, named, step.piece),
            words.say(f"mark.verdict-{find_verdict_name(step)}"),
            tell_step_marked(words, named, step, tools),
            style="bold" if step.verdict is Verdict.REFUSED else "",
        )
    out.print(table)
    wrong = sum(step.verdict is Verdict.REFUSED for step in marked.steps)
    out.print(words.count("mark.wrong", wrong) if wrong else words.say("mark.right"))
    out.print(words.say("mark.score", score=marked.score))
    left = len(bench.assembly.pieces) - bool(bench.base)
    left -= len({step.piece for step in marked.steps} - {bench.base})
    if left:
        out.print(words.count("mark.incomplete", left))


def _table(title: str, *columns: str) -> Table:
    table = Table(
        title=title, title_justify="left", title_style="bold", box=box.SIMPLE_HEAD, pad_edge=False
    )
    for column in columns:
        table.add_column(column, overflow="fold")
    return table
