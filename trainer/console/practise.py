"""The command `practise`: questions of a lesson or of a pump, asked at the terminal; and how a learner stands."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, nullcontext
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, TypedDict, Unpack
from uuid import uuid4

import click

from models.spec.errors import RefusalError, SurroundingsError, say_choice
from trainer.console.asking import FILE, FOLDER, make_command, make_json_option, print_json
from trainer.console.records import make_records_option
from trainer.words import Words

if TYPE_CHECKING:
    from trainer.console.practice_pictures import Pictures
    from trainer.console.sitting import Posed, Sitting, Terminal
    from trainer.lesson import Lesson
    from trainer.lesson.practice import History
    from trainer.records import Records
    from trainer.session.bench import Bench
    from trainer.session.practising import Practice

COUNT = 10
WIDTH = 100
"""Longest line: longer ones are hard to read."""
STOPPED = 130


class PractiseChoice(TypedDict):
    """What the options of the command say."""

    lesson: str | None
    person: str | None
    build: str | None
    options: tuple[str, ...]
    kinds: tuple[str, ...]
    seed: str | None
    count: int | None
    today: bool
    answers: Path | None
    pictures: Path | None
    plain: bool
    as_json: bool


def make_practise(words: Words) -> click.Command:
    """Make the command."""
    say = words.say
    options = (
        click.argument("lesson", required=False),
        click.option("--person", metavar="NAME", help=say("practice.help-person")),
        click.option("--build", metavar="BUILD", help=say("practice.help-build")),
        click.option("--with", "options", multiple=True, metavar="NAME=VALUE", help=say("console.help-with")),
        click.option("--kind", "kinds", multiple=True, metavar="KIND", help=say("practice.help-kind")),
        click.option("--seed", metavar="TEXT", help=say("practice.help-seed")),
        click.option("--count", type=click.IntRange(min=1), help=say("practice.help-count")),
        click.option("--today", is_flag=True, help=say("practice.help-today")),
        click.option("--answers", type=FILE, metavar="FILE", help=say("practice.help-answers")),
        click.option("--pictures", type=FOLDER, help=say("practice.help-pictures")),
        click.option("--no-pictures", "plain", is_flag=True, help=say("practice.help-no-pictures")),
        make_records_option(words),
        make_json_option(words),
    )  # fmt: skip

    @make_command(words, "practise", *options)
    def practise(**chosen: Unpack[PractiseChoice]) -> int:
        if chosen["lesson"] and (chosen["build"] or chosen["options"]):
            raise click.UsageError(say("practice.lesson-or-build"))
        if chosen["today"] and not chosen["person"]:
            raise click.UsageError(say("practice.today-needs-person"))
        with _open_records(chosen["person"]) as records:
            return _Practising(words, chosen, records).run()

    return practise


def _open_records(person: str | None) -> AbstractContextManager[Records | None]:
    if not person:
        return nullcontext()
    from trainer.records import check_person_name, open_records

    check_person_name(person)
    return open_records()


class _Practising:
    """One run of the command."""

    def __init__(self, words: Words, chosen: PractiseChoice, records: Records | None) -> None:
        from trainer.console.progress import make_progress
        from trainer.session.asking import Benches
        from trainer.session.bench import open_bench

        self._words, self._chosen, self._records = words, chosen, records
        progress = make_progress(words)
        self._benches = Benches(lambda name, options: open_bench(name, options, progress=progress))
        self._seed = chosen["seed"] or uuid4().hex[:12]

    def run(self) -> int:
        """Ask, or tell how the learner stands."""
        chosen = self._chosen
        if chosen["lesson"]:
            return self._ask_lesson(read_named_lesson(self._words, chosen["lesson"]))
        practice = self._make_practice()
        if chosen["today"]:
            return self._tell_today(practice)
        return self._ask_practice(practice)

    def _open_bench(self) -> Bench:
        from trainer.session.practising import PRACTICE_BUILD
        from trainer.session.typed import read_pair

        options = dict(
            read_pair(text, "NAME=VALUE, like bracket=open") for text in self._chosen["options"]
        )
        return self._benches.open(self._chosen["build"] or PRACTICE_BUILD, options)

    def _make_practice(self) -> Practice:
        from trainer.session.practising import Practice, read_kinds

        bench = self._open_bench()
        kinds = read_kinds(self._chosen["kinds"], bench)
        return Practice(bench, self._benches, self._read_history(), self._seed, kinds)

    def _read_history(self) -> History:
        from trainer.lesson.practice import History
        from trainer.session.practising import read_history

        if self._records is None or not self._chosen["person"]:
            return History()
        return read_history(self._records, self._chosen["person"])

    def _tell_today(self, practice: Practice) -> int:
        from trainer.console.practice_show import describe_today, tell_today

        now = _read_clock()
        if self._chosen["as_json"]:
            print_json(describe_today(practice, now))
        else:
            click.echo("\n".join(tell_today(self._words, practice, now)))
        return 0

    # ------------------------------------------------------------------ what is asked
    def _ask_lesson(self, lesson: Lesson) -> int:
        from trainer.console.sitting import Posed
        from trainer.session.asking import draw_item

        kinds = _check_lesson_kinds(lesson, self._chosen["kinds"])
        steps = [s for s in lesson.steps if s.ask and (not kinds or s.ask.kind in kinds)]

        def pose() -> Iterator[Posed]:
            for step in steps[: self._chosen["count"]]:
                assert step.ask is not None
                bench = self._benches.open(step.show.build, step.show.options)
                item = draw_item(bench, self._benches, step.ask, self._seed)
                yield Posed(item, self._seed, question=step.ask.id, lesson=lesson.course)

        return self._sit(pose)

    def _ask_practice(self, practice: Practice) -> int:
        from trainer.console.sitting import Posed

        # Who asks for so many questions, or for one kind, wants them though nothing is due.
        ahead = self._chosen["count"] is not None or bool(self._chosen["kinds"])

        def pose() -> Iterator[Posed]:
            for _ in range(self._chosen["count"] or COUNT):
                asked = practice.ask_next(_read_clock(), ahead=ahead)
                if asked is None:
                    return
                why = f"practice.why-{asked.next.why}"
                yield Posed(
                    asked.item, asked.seed, why, asked.next.help, dict(asked.hints), asked.example
                )

        return self._sit(pose, practice)

    # ------------------------------------------------------------------ a sitting
    def _sit(self, pose: Callable[[], Iterator[Posed]], practice: Practice | None = None) -> int:
        from trainer.console.sitting import Sitting

        terminal = self._make_terminal()
        sitting = Sitting(
            self._words,
            terminal,
            self._benches,
            records=self._records,
            person=self._chosen["person"] or self._words.say("practice.nobody"),
            pictures=self._make_pictures(),
        )
        status = 0
        if self._records is None:
            terminal.tell(self._words.say("practice.not-kept"))
        try:
            for posed in pose():
                done = sitting.ask(posed)
                if practice is not None:
                    practice.take_in(done.attempt)
        except EOFError:
            terminal.tell("\n" + self._words.say("practice.ended"))
        except KeyboardInterrupt:
            terminal.tell("\n" + self._words.say("practice.ended"))
            status = STOPPED
        except SurroundingsError:
            self._finish(sitting, terminal, practice)
            raise
        self._finish(sitting, terminal, practice)
        return status

    def _finish(self, sitting: Sitting, terminal: Terminal, practice: Practice | None) -> None:
        from trainer.console.practice_show import tell_end
        from trainer.console.sitting import describe_done

        if self._chosen["as_json"]:
            told = []
            for done in sitting.done:
                item = done.posed.item
                build = self._benches.open(item.build, item.options).build
                told.append(describe_done(self._words, done, build))
            print_json({"person": self._chosen["person"], "seed": self._seed, "questions": told})
            return
        standing = practice.find_standing(_read_clock()) if practice else None
        marks = [done.mark for done in sitting.done]
        kept = self._records is not None
        for line in tell_end(self._words, marks, standing, kept=kept):
            terminal.tell(line)

    def _make_terminal(self) -> Terminal:
        from shutil import get_terminal_size
        from time import monotonic

        from trainer.console.sitting import Terminal, read_scripted

        quiet = self._chosen["as_json"]
        width = min(get_terminal_size((WIDTH, 0)).columns, WIDTH)
        tell: Callable[[str], None] = (lambda _line: None) if quiet else click.echo
        file = self._chosen["answers"]
        if file is not None:
            lines = _read_lines(self._words, file)
            return Terminal(read_scripted(lines, tell), tell, width, _read_clock, None)
        watch = monotonic if sys.stdin.isatty() else None
        ask: Callable[[str], str] = (lambda _prompt: input()) if quiet else input
        return Terminal(ask, tell, width, _read_clock, watch)

    def _make_pictures(self) -> Pictures | None:
        from trainer.console.practice_pictures import Pictures
        from trainer.console.sitting import write_folder

        folder = self._chosen["pictures"]
        waits = self._chosen["answers"] is None and sys.stdin.isatty()
        if self._chosen["plain"] or (folder is None and not waits):
            return None
        return Pictures(self._words, self._benches, write_folder(folder))


def _read_clock() -> datetime:
    """Read the clock, in the time zone of whoever sits here: a day ends at their midnight."""
    return datetime.now(UTC).astimezone()


def _read_lines(words: Words, file: Path) -> list[str]:
    try:
        return file.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise RefusalError(
            words.say("practice.no-answers", file=str(file), reason=reason)
        ) from error


def read_named_lesson(words: Words, name: str) -> Lesson:
    """Read a lesson by its name, or by its file.

    Raises:
        RefusalError: there is none of that name; near ones are given. ContentError: it is faulty.
    """
    from trainer.lesson import list_lessons, read_lesson

    known = list_lessons(words.language)
    if name in known:
        return read_lesson(known[name])
    if Path(name).is_file():
        return read_lesson(Path(name))
    raise RefusalError(words.say("practice.no-lesson", name=name, near=say_choice(name, known)))


def _check_lesson_kinds(lesson: Lesson, typed: tuple[str, ...]) -> frozenset[str]:
    """Check that a lesson asks the kinds that are wanted. Raises RefusalError with those that it does."""
    asked = {step.ask.kind.value for step in lesson.steps if step.ask}
    for name in typed:
        if name not in asked:
            raise RefusalError(f"this lesson asks nothing of the kind {name}; {say_choice(name, asked)}")  # fmt: skip
    return frozenset(typed)
