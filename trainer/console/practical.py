"""The command `practical`: print the rubric of an observed practical, or mark one live and have both sign it."""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, TypedDict, Unpack
from uuid import uuid4

import click

from models.spec.errors import RefusalError
from trainer.console.asking import FILE, make_command, make_json_option, print_json
from trainer.console.records import make_records_option
from trainer.words import Words

if TYPE_CHECKING:
    from trainer.lesson.practical import Observed, RubricLine
    from trainer.records import SignOff
    from trainer.session.bench import Bench

BACK = "b"
STOPPED = 130


class PracticalChoice(TypedDict):
    """What the options of the command say."""

    name: str
    build: str
    options: tuple[str, ...]
    out: Path | None
    person: str | None
    observer: str | None
    as_json: bool


def make_practical(words: Words) -> click.Command:
    """Make the command."""
    say = words.say
    options = (
        click.argument("name"),
        click.option("--build", required=True, metavar="BUILD", help=say("practice.help-build")),
        click.option("--with", "options", multiple=True, metavar="NAME=VALUE", help=say("console.help-with")),
        click.option("--out", type=FILE, metavar="PDF", help=say("practical.help-out")),
        click.option("--person", metavar="NAME", help=say("practical.help-person")),
        click.option("--observer", metavar="NAME", help=say("practical.help-observer")),
        make_records_option(words),
        make_json_option(words),
    )  # fmt: skip

    @make_command(words, "practical", *options)
    def practical(**chosen: Unpack[PracticalChoice]) -> int:
        if bool(chosen["out"]) == bool(chosen["person"] and chosen["observer"]):
            raise click.UsageError(say("practical.out-or-names"))
        from trainer.session.bench import open_bench
        from trainer.session.typed import read_pair

        pairs = dict(read_pair(text, "NAME=VALUE, like bracket=open") for text in chosen["options"])
        bench = open_bench(chosen["build"], pairs)
        if chosen["out"]:
            return _print(words, bench, chosen["name"], chosen["out"])
        return _Watching(words, bench, chosen).run()

    return practical


def _print(words: Words, bench: Bench, name: str, out: Path) -> int:
    from trainer.console.writing import write_whole
    from trainer.handout.practical_page import make_practical_pdf, tell_practical
    from trainer.session.observing import make_rubric

    told = tell_practical(words, make_rubric(bench, name), bench.name)
    write_whole(words, make_practical_pdf(told), out)
    click.echo(words.say("practical.printed", file=str(out)))
    return 0


class _Watching:
    """One practical, marked while it is watched."""

    def __init__(self, words: Words, bench: Bench, chosen: PracticalChoice) -> None:
        from trainer.lesson.practical import Level, Observed
        from trainer.records import check_person_name
        from trainer.session.observing import make_rubric

        self._words, self._bench, self._chosen = words, bench, chosen
        self._person = check_person_name(chosen["person"] or "")
        self._observer = check_person_name(chosen["observer"] or "")
        if self._person == self._observer:
            raise RefusalError("Nobody signs off a practical of their own; somebody else watches.")
        self._observed: Observed = Observed(make_rubric(bench, chosen["name"]))
        self._levels = {words.say(f"practical.letter-{level}"): level for level in Level}
        self._stdin = sys.stdin

    def run(self) -> int:
        """Mark every line, have both sign, and file it; nothing is filed before both have signed."""
        try:
            self._mark_lines()
            self._tell(self._observed)
            signed = self._sign()
        except (EOFError, KeyboardInterrupt):
            click.echo(self._words.say("practical.stopped"), err=True)
            return STOPPED
        from trainer.records import open_records

        with open_records() as records:
            records.add_sign_off(signed)
        if self._chosen["as_json"]:
            print_json({"id": str(signed.id), "passed": signed.passed, "lines": {one.line: one.mark for one in signed.lines}})  # fmt: skip
        else:
            click.echo(self._words.say("practical.filed", person=signed.person))
        return 0 if signed.passed else 1

    def _mark_lines(self) -> None:
        lines, at = self._observed.rubric.lines, 0
        click.echo(self._words.say("practical.letters"), err=True)
        while at < len(lines):
            typed = self._ask(self._tell_line(lines[at], at))
            word, _, remark = typed.partition(" ")
            if word.casefold() == BACK:
                at = max(at - 1, 0)
            elif word.casefold() in self._levels:
                at += self._mark(lines[at].name, word, remark)
            else:
                click.echo(self._words.say("practical.letters"), err=True)

    def _mark(self, line: str, word: str, remark: str) -> bool:
        """Mark a line; tell what is wrong with it where it cannot be."""
        try:
            self._observed = self._observed.mark(line, self._levels[word.casefold()], remark)
        except RefusalError as error:
            click.echo(str(error), err=True)
            return False
        return True

    def _tell_line(self, line: RubricLine, at: int) -> str:
        step = self._words.say(f"step.{line.name}")
        if line.is_never:
            step = self._words.say("practical.never", step=step)
        critical = f" [{self._words.say('practical.critical')}]" if line.is_critical else ""
        return f"{at + 1}. {step}{critical}: "

    def _tell(self, observed: Observed) -> None:
        judged = observed.judge()
        share = self._words.number(100.0 * judged.score, 0)
        key = "passed" if judged.has_passed else "failed"
        click.echo(self._words.say(f"practical.is-{key}", share=share), err=True)
        for name in judged.short:
            step = self._words.say(f"step.{name}")
            click.echo(self._words.say("practical.is-short", step=step), err=True)

    def _sign(self) -> SignOff:
        from trainer.session.observing import sign_off

        sign_off_id, now = uuid4(), datetime.now(UTC)
        while True:
            signs = [self._ask(self._words.say("practical.sign", name=name)) for name in (self._person, self._observer)]  # fmt: skip
            try:
                return sign_off(
                    self._observed, self._bench, person=(self._person, signs[0]),
                    observer=(self._observer, signs[1]), sign_off_id=sign_off_id, now=now,
                )  # fmt: skip
            except RefusalError as error:
                click.echo(str(error), err=True)

    def _ask(self, prompt: str) -> str:
        """Ask for a line. Raises EOFError where there is no more."""
        click.echo(prompt, nl=False, err=True)
        line = self._stdin.readline()
        if not line:
            raise EOFError
        return line.strip()
