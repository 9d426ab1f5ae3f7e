"""The commands `lessons` and `lessons check`: which lessons there are, and whether they are sound, with pictures of every step."""

from __future__ import annotations

import io
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from models.spec.errors import ContentError, Fault
from trainer.console.asking import FOLDER, make_command, make_json_option, print_json
from trainer.words import Words

if TYPE_CHECKING:
    from trainer.lesson import Lesson
    from trainer.session.asking import Benches


PLACE = click.Path(path_type=Path)
LESSON = "lesson.yaml"


def make_lessons(words: Words) -> click.Group:
    """Make the group; by itself it lists the lessons."""
    as_json = make_json_option(words)

    @click.group("lessons", invoke_without_command=True, help=words.say("lesson.help-lessons"))
    @as_json
    @click.pass_context
    def lessons(context: click.Context, as_json: bool) -> None:
        if context.invoked_subcommand is None:
            _list(words, as_json=as_json)

    lessons.add_command(_make_check(words))
    return lessons


def _make_check(words: Words) -> click.Command:
    @make_command(
        words,
        "lessons-check",
        click.argument("files", nargs=-1, type=PLACE, metavar="[FILE]..."),
        click.option("--pictures", type=FOLDER, help=words.say("lesson.help-pictures")),
        make_json_option(words),
    )
    def check(files: tuple[Path, ...], pictures: Path | None, as_json: bool) -> int:
        from trainer.lesson import list_lessons

        chosen = [one for file in files for one in _find_lessons(words, file)]
        chosen = chosen or list(list_lessons(words.language).values())
        benches = _make_benches(words)
        answers = [_check_one(words, path, benches, pictures) for path in chosen]
        if as_json:
            print_json(answers)
        else:
            for answer in answers:
                _tell(words, answer)
        return 1 if any(answer["faults"] for answer in answers) else 0

    check.name = "check"
    return check


def _find_lessons(words: Words, place: Path) -> list[Path]:
    """Find the lessons that are meant: the file, or all below a folder. Raises click.UsageError where there are none."""
    if not place.is_dir():
        return [place]
    found = sorted(place.rglob(LESSON))
    if not found:
        raise click.UsageError(words.say("lesson.none-in", folder=str(place)))
    return found


def _make_benches(words: Words) -> Benches:
    """Open benches that tell how far they are while solids are made."""
    from trainer.console.progress import make_progress
    from trainer.session.asking import Benches
    from trainer.session.bench import open_bench

    progress = make_progress(words)
    return Benches(lambda name, options: open_bench(name, options, progress=progress))


def _list(words: Words, *, as_json: bool) -> None:
    from trainer.lesson import list_lessons

    answers = [_describe(course, path) for course, path in list_lessons(words.language).items()]
    if as_json:
        print_json(answers)
        return
    for answer in answers:
        if "faults" in answer:
            click.echo(words.count("lesson.listed-faulty", len(answer["faults"]), course=answer["course"]))  # fmt: skip
            continue
        steps = words.count("lesson.steps", answer["steps"])
        questions = words.count("lesson.questions", len(answer["questions"]))
        told = words.say("lesson.listed", steps=steps, questions=questions, **{key: answer[key] for key in ("course", "title", "build")})  # fmt: skip
        click.echo(told)


def _describe(course: str, path: Path) -> dict[str, Any]:
    """Describe a lesson for scripts; one that cannot be read has its faults."""
    from trainer.lesson import read_lesson

    start: dict[str, Any] = {"course": course, "file": str(path)}
    try:
        lesson = read_lesson(path)
    except ContentError as error:
        return start | {"faults": [_describe_fault(fault) for fault in error.faults]}
    return start | {
        "title": lesson.title,
        "build": lesson.build,
        "with": dict(lesson.options),
        "steps": len(lesson.steps),
        "questions": [{"id": one.id, "kind": one.kind.value} for one in lesson.questions],
    }


def _check_one(words: Words, path: Path, benches: Benches, pictures: Path | None) -> dict[str, Any]:
    """Check a lesson, and draw it where it is sound and pictures are wanted."""
    from trainer.lesson import read_lesson
    from trainer.session.lesson_checking import check_lesson_on_builds

    answer: dict[str, Any] = {"file": str(path), "faults": [], "pictures": []}
    try:
        lesson = read_lesson(path)
        faults = check_lesson_on_builds(lesson, benches)
    except ContentError as error:
        return answer | {"faults": [_describe_fault(fault) for fault in error.faults]}
    answer |= {"steps": len(lesson.steps), "questions": len(lesson.questions)}
    if faults:
        return answer | {"faults": [_describe_fault(fault) for fault in faults]}
    if pictures is not None:
        answer["pictures"] = _draw(words, lesson, benches, pictures, name_sheet(path))
    return answer


def name_sheet(path: Path) -> str:
    """Name the pictures of a lesson file: by its course's folder, as lessons lie, else by the file itself."""
    is_in_course = path.name == "lesson.yaml" and len(path.resolve().parents) > 1
    return path.resolve().parents[1].name if is_in_course else path.stem


def _draw(words: Words, lesson: Lesson, benches: Benches, folder: Path, name: str) -> list[str]:
    from trainer.console.writing import write_whole
    from trainer.stage.lesson_cards import draw_lesson

    written = []
    for number, page in enumerate(draw_lesson(words, lesson, benches), start=1):
        data = io.BytesIO()
        page.save(data, format="PNG")
        path = folder / f"{name}-{number:02d}.png"
        write_whole(words, data.getvalue(), path)
        written.append(str(path.resolve()))
    return written


def _describe_fault(fault: Fault) -> dict[str, Any]:
    return {
        "line": fault.line,
        "column": fault.column,
        "what": fault.what,
        "remedy": fault.remedy,
        "told": str(fault),
    }


def _tell(words: Words, answer: dict[str, Any]) -> None:
    """Tell how a lesson is: its faults, or that it is sound."""
    if answer["faults"]:
        for fault in answer["faults"]:
            click.echo(fault["told"], err=True)
        click.echo(words.count("lesson.faulty", len(answer["faults"]), file=answer["file"]), err=True)  # fmt: skip
        return
    steps = words.count("lesson.steps", answer["steps"])
    questions = words.count("lesson.questions", answer["questions"])
    click.echo(words.say("lesson.sound", file=answer["file"], steps=steps, questions=questions))
    for picture in answer["pictures"]:
        click.echo(words.say("lesson.drawn", file=picture))
