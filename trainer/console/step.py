"""The command `step`: somebody's assembly from a STEP file to teardown order, pictures and a question."""

from __future__ import annotations

import json
import shlex
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from trainer.words import Words

if TYPE_CHECKING:
    from trainer.session.step_bench import StepBench

FILE = click.Path(dir_okay=False, path_type=Path)


def make_step(words: Words) -> click.Command:
    """Make the command."""
    return click.Command(
        "step",
        # a lone backspace keeps click from joining the lines of the sample
        help=words.say("console.help-step").replace("\\b", "\b"),
        params=[
            click.Argument(["file"], type=FILE),
            _file_option(words, "form", "FORM"),
            _file_option(words, "write-form", "FORM"),
            click.Option(
                ["--overlap", "overlap_mm"],
                type=float,
                metavar="MM",
                help=words.say("step.help-overlap"),
            ),
            _file_option(words, "out", "PICTURE"),
            _file_option(words, "together", "PICTURE"),
            click.Option(["--size"], default="1280x720", help=words.say("console.help-size")),
            _file_option(words, "question", "TEXT"),
            _file_option(words, "mark", "ORDER"),
            click.Option(["--json", "as_json"], is_flag=True, help=words.say("console.help-json")),
        ],
        callback=lambda **chosen: _run(words, **chosen),
    )


def _file_option(words: Words, name: str, metavar: str) -> click.Option:
    return click.Option(
        [f"--{name}"], type=FILE, metavar=metavar, help=words.say(f"step.help-{name}")
    )


def _run(  # noqa: PLR0913 - one argument an option
    words: Words,
    file: Path,
    *,
    form: Path | None,
    write_form: Path | None,
    overlap_mm: float | None,
    out: Path | None,
    together: Path | None,
    size: str,
    question: Path | None,
    mark: Path | None,
    as_json: bool,
) -> None:
    from trainer.console import step_show
    from trainer.console.drawing import read_size
    from trainer.console.progress import make_progress
    from trainer.console.step_texts import check_outputs
    from trainer.console.writing import write_text
    from trainer.handout.step_form_text import make_form_text
    from trainer.session.step_bench import open_step

    pixels = read_size(words, size)
    check_outputs(words, (file, form, mark), write_form, question, (out, together))
    bench = open_step(file, form, overlap_mm, make_progress(words))
    if mark is not None:
        _mark(words, bench, mark, as_json=as_json)
        return
    told: dict[str, Any] = step_show.describe_step(words, bench) if as_json else {}
    if not as_json:
        step_show.show_step(words, bench)
    written = _draw(words, bench, {"exploded": out, "together": together}, pixels)
    if write_form is not None:
        write_text(words, make_form_text(words, bench, file.name), write_form)
        written.append(write_form)
    if question is not None:
        written += _write_question(words, bench, question, _name_command(file, form))
    if as_json:
        _print_json(told | {"files": [str(path.resolve()) for path in written]})
    else:
        for path in written:
            click.echo(words.say("step.written", file=str(path)))
    too_deep = any(one.verdict == "too-deep" for one in bench.overlaps)
    _leave(is_well=not bench.order.stuck and not too_deep)


def _mark(words: Words, bench: StepBench, file: Path, *, as_json: bool) -> None:
    from trainer.console.step_show import describe_step_marked, show_step_marked
    from trainer.session.step_question import read_step_lines

    marked = bench.mark(read_step_lines(file, bench))
    if as_json:
        _print_json(describe_step_marked(words, bench, marked))
    else:
        show_step_marked(words, bench, marked)
    _leave(is_well=marked.is_valid)


def _draw(
    words: Words, bench: StepBench, wanted: dict[str, Path | None], size: tuple[int, int]
) -> list[Path]:
    from trainer.console.drawing import write_picture
    from trainer.console.step_plate import draw_step

    written = []
    for kind, path in wanted.items():
        if path is None:
            continue
        apart = kind == "exploded"
        title = words.say(f"step.title-{kind}", name=bench.step.name)
        caption = words.say("step.caption") if apart else ""
        picture = draw_step(bench, apart=apart, size=size, title=title, caption=caption)
        write_picture(words, picture, path)
        written.append(path)
    return written


def _write_question(words: Words, bench: StepBench, path: Path, command: str) -> list[Path]:
    """Write the question, its key and its plate beside each other."""
    from trainer.console.drawing import write_picture
    from trainer.console.step_plate import draw_plate
    from trainer.console.step_texts import (
        make_key_text,
        make_question_text,
        make_sheet,
        name_question_files,
    )
    from trainer.console.writing import write_text
    from trainer.session.step_question import count_kinds, make_step_question

    question = make_step_question(bench)
    kinds = count_kinds(question.items)
    if kinds < 2:
        raise click.UsageError(words.say("step.question-too-few", count=kinds))
    path, key, plate = name_question_files(path)
    sheet = make_sheet(words, bench, question)
    write_text(words, make_question_text(words, sheet, plate.name), path)
    write_text(words, make_key_text(words, bench, question, command), key)
    numbers = {name: item.number for item in question.items for name in item.pieces}
    write_picture(words, draw_plate(bench, numbers, sheet), plate)
    return [path, key, plate]


def _name_command(file: Path, form: Path | None) -> str:
    """Say the command that marks an answer."""
    chosen = ["pumpwright", "step", str(file), *(["--form", str(form)] if form else [])]
    return shlex.join([*chosen, "--mark", "ANSWER.txt"])


def _leave(*, is_well: bool) -> None:
    if not is_well:
        click.get_current_context().exit(1)


def _print_json(value: object) -> None:
    click.echo(json.dumps(value, ensure_ascii=False, indent=2))
