"""Write the form of somebody's assembly: names, guesses, joints, ready to edit; as the file it is kept in."""

from __future__ import annotations

from models.spec.joint import JointKind
from trainer.core.order.guess import GuessedJoint
from trainer.session.step_bench import StepBench
from trainer.session.step_form import quote_list, quote_text
from trainer.words import Words
from trainer.words.telling_step import (
    Named,
    list_tools,
    name_parts,
    name_plainly,
    tell_guess,
    tell_one_joint,
)


def name_all(bench: StepBench) -> Named:
    """Gather how the pieces of an assembly are called: by the form, or else by their part's own name."""
    said = {part: (one.name, one.many) for part, one in bench.form.parts.items()}
    return name_parts(bench.read_pieces, said, bench.assembly.holds, bench.scale)


def make_form_text(words: Words, bench: StepBench, file: str) -> str:
    """Word a form that says what is in force now: read back unchanged, it changes nothing."""
    lines = [
        _remark(words.say("step.form-head", file=file)),
        "",
        _remark(words.say("step.form-up")),
        f"up = {quote_text(bench.form.up)}",
        "",
        _remark(words.say("step.form-parts")),
        _remark(words.say("step.form-more")),
    ]
    for part in {piece.part: None for piece in bench.step.pieces}:
        lines += ["", *_part_lines(words, bench, part)]
    lines += ["", _remark(words.say("step.form-joints"))]
    named = name_all(bench)
    for joint in bench.joints:
        hidden = "# " if isinstance(joint, GuessedJoint) else ""
        lines += ["", _remark(tell_one_joint(words, named, joint)), f"{hidden}[[joints]]"]
        lines.append(f"{hidden}kind = {quote_text(joint.kind.value)}")
        if joint.kind is JointKind.BOLTED:
            lines.append(f"{hidden}by = {quote_list(joint.by)}")
            lines.append(f"{hidden}holds = {quote_list(joint.members)}")
        else:
            lines.append(f"{hidden}carrier = {quote_text(joint.members[0])}")
            lines.append(f"{hidden}carried = {quote_text(joint.members[1])}")
            tool = list_tools(words).get(joint.tool, joint.tool)
            lines += [f"{hidden}tool = {quote_text(tool)}"] if tool else []
            press = getattr(joint, "interference_mm", 0.0)
            lines += [f"{hidden}interference_mm = {press:g}"] if press else []
    return "\n".join(lines) + "\n"


def _part_lines(words: Words, bench: StepBench, part: str) -> list[str]:
    said = bench.said(part)
    pieces = [piece for piece in bench.step.pieces if piece.part == part]
    lines = []
    if part in bench.guessed.parts:
        guess = bench.guessed.parts[part]
        told = words.say(
            "step.form-guess",
            count=len(pieces),
            shown=pieces[0].shown_part,
            surety=words.say(f"step.surety-{guess.surety.value}"),
            why=tell_guess(words, guess),
        )
        lines.append(_remark(told))
    one = said.name or name_plainly(pieces[0])
    lines += [f"[parts.{part}]", f"name = {quote_text(one)}"]
    if len(pieces) > 1:
        lines.append(f"many = {quote_text(said.many or one)}")
    if part in bench.guessed.parts:
        lines.append(f"is = {quote_text(bench.guessed.kind_of(part).value)}")
        if said.flexible is not None:
            lines.append(f"flexible = {str(said.flexible).lower()}")
    if bench.base in {piece.name for piece in pieces} and len(pieces) == 1:
        lines.append("base = true")
    lines += ["ignore = true"] if said.ignore else []
    lines += [f"before = {quote_list(said.before)}"] if said.before else []
    return lines


def _remark(text: str) -> str:
    return "# " + " ".join(text.split())
