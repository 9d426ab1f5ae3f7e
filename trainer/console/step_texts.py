"""Write the texts that belong to somebody's assembly: the question, its key."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import click

from trainer.console.step_plate import Sheet
from trainer.handout.step_form_text import name_all
from trainer.session.step_bench import StepBench
from trainer.session.step_question import Item, StepQuestion
from trainer.words import Words
from trainer.words.telling_step import (
    Named,
    list_tools,
    tell_step_piece,
    tell_step_pieces,
    tell_step_taken,
)


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
        how = tell_step_taken(words, named, step.taken[0], tools, len(item.pieces))
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
