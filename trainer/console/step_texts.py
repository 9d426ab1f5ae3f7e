"""Write the texts that belong to somebody's assembly: the form filled with guesses, the question, its key."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path

import click

from models.spec.joint import JointKind
from trainer.console.step_plate import Sheet
from trainer.console.step_show import name_all
from trainer.core.order.guess import GuessedJoint
from trainer.session.step_bench import StepBench
from trainer.session.step_question import Item, StepQuestion
from trainer.words import Words
from trainer.words.telling_step import (
    Named,
    list_tools,
    name_plainly,
    tell_guess,
    tell_one_joint,
    tell_step_piece,
    tell_step_pieces,
    tell_step_taken,
)


def make_form_text(words: Words, bench: StepBench, file: str) -> str:
    """Word a form that says what is in force now: read back unchanged, it changes nothing."""
    lines = [
        _remark(words.say("step.form-head", file=file)),
        "",
        _remark(words.say("step.form-up")),
        f"up = {_quote(bench.form.up)}",
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
        lines.append(f"{hidden}kind = {_quote(joint.kind.value)}")
        if joint.kind is JointKind.BOLTED:
            lines.append(f"{hidden}by = {_list(joint.by)}")
            lines.append(f"{hidden}holds = {_list(joint.members)}")
        else:
            lines.append(f"{hidden}carrier = {_quote(joint.members[0])}")
            lines.append(f"{hidden}carried = {_quote(joint.members[1])}")
            tool = list_tools(words).get(joint.tool, joint.tool)
            lines += [f"{hidden}tool = {_quote(tool)}"] if tool else []
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
    lines += [f"[parts.{part}]", f"name = {_quote(one)}"]
    if len(pieces) > 1:
        lines.append(f"many = {_quote(said.many or one)}")
    if part in bench.guessed.parts:
        lines.append(f"is = {_quote(bench.guessed.kind_of(part).value)}")
        if said.flexible is not None:
            lines.append(f"flexible = {str(said.flexible).lower()}")
    if bench.base in {piece.name for piece in pieces} and len(pieces) == 1:
        lines.append("base = true")
    lines += ["ignore = true"] if said.ignore else []
    lines += [f"before = {_list(said.before)}"] if said.before else []
    return lines


def make_sheet(words: Words, bench: StepBench, question: StepQuestion) -> Sheet:
    """Word a question: what its plate and its text both say."""
    named = name_all(bench)
    lead = [words.say("step.question-lead")]
    if bench.base:
        stays = tell_step_piece(words, named, bench.base)
        lead.append(words.say("step.question-stays", part=stays))
    listed = tuple(_tell_item(words, named, item) for item in question.items)
    return Sheet(
        words.say("step.question-title", name=bench.step.name),
        " ".join(lead),
        listed,
        words.say("step.question-answer", lines="____  " * len(listed)).rstrip(),
        words.say("step.safety"),
    )


def make_question_text(words: Words, sheet: Sheet, plate: str) -> str:
    """Put a question into plain text, for its plate."""
    lines = [sheet.title, "", sheet.lead, words.say("step.question-plate", file=plate), ""]
    return "\n".join([*lines, *sheet.lines, "", sheet.answer, "", sheet.caution]) + "\n"


def make_key_text(words: Words, bench: StepBench, question: StepQuestion, command: str) -> str:
    """Word the key: one right order with how each comes off, and the work before it."""
    named, tools = name_all(bench), list_tools(words)
    title = words.say("step.question-title", name=bench.step.name)
    lines = [
        words.say("step.key-title", name=title),
        "",
        words.say("step.key-lead", command=command),
        "",
    ]
    for number, (item, step) in enumerate(zip(question.order, question.steps, strict=True)):
        lines += [
            words.say("step.key-before", step=number + 1, work=work)
            for work in bench.work_before(number)
        ]
        how = tell_step_taken(words, named, step.taken[0], tools)
        part = tell_step_pieces(words, named, item.pieces)
        lines.append(
            words.say(
                "step.key-line", step=number + 1, number=f"[{item.number}]", part=part, how=how
            )
        )
    return "\n".join(lines) + "\n"


def _tell_item(words: Words, named: Named, item: Item) -> str:
    part = tell_step_pieces(words, named, item.pieces)
    return words.say("step.question-line", number=item.number, part=part)


def check_outputs(
    words: Words,
    read: Iterable[Path | None],
    form: Path | None,
    question: Path | None,
    pictures: Iterable[Path | None],
) -> None:
    """Check that a question goes into a .txt, that no file is written twice or over one that is read.

    A form that is there already is never written over: it may hold a person's own entries.

    Raises:
        click.UsageError: naming the file.
    """
    if question is not None and question.suffix.lower() != ".txt":
        raise click.UsageError(words.say("step.text-format", file=str(question)))
    if form is not None and form.exists():
        raise click.UsageError(words.say("step.form-exists", file=str(form)))
    asked = [*read, form, *pictures, *(name_question_files(question) if question else ())]
    seen: set[Path] = set()
    for path in asked:
        if path is not None and path.resolve() in seen:
            raise click.UsageError(words.say("step.same-file", file=str(path)))
        if path is not None:
            seen.add(path.resolve())


def name_question_files(question: Path) -> tuple[Path, Path, Path]:
    """Name the files of a question: its text, its key and its plate."""
    key, plate = (question.with_name(question.stem + end) for end in ("-key.txt", "-plate.png"))
    return question, key, plate


def _remark(text: str) -> str:
    return "# " + " ".join(text.split())


def _quote(text: str) -> str:
    """Write a TOML text; JSON's quotes and escapes are TOML's, too."""
    return json.dumps(text, ensure_ascii=False)


def _list(texts: tuple[str, ...]) -> str:
    return "[" + ", ".join(_quote(text) for text in texts) + "]"
