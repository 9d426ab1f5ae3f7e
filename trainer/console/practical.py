"""The command `practical`: print the rubric of an observed practical, or mark one live and have both sign it."""

from __future__ import annotations

import sys
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, TypedDict, Unpack
from uuid import uuid4

import click

from models.spec.errors import RefusalError, SurroundingsError
from trainer.console.asking import FILE, make_command, make_json_option, print_json
from trainer.console.records import make_records_option
from trainer.words import Words

if TYPE_CHECKING:
    from trainer.lesson.practical import Observed, Rubric, RubricLine
    from trainer.records import FiledSignOff, SignOff
    from trainer.session.bench import Bench

BACK = "b"
STOPPED = 130


class PracticalChoice(TypedDict):
    """What the options of the command say."""

    name: str | None
    build: str | None
    options: tuple[str, ...]
    out: Path | None
    person: str | None
    observer: str | None
    afresh: bool
    print_number: int | None
    list: bool
    as_json: bool


def make_practical(words: Words) -> click.Command:
    """Make the command."""
    say = words.say
    options = (
        click.argument("name", required=False),
        click.option("--build", metavar="BUILD", help=say("practice.help-build")),
        click.option("--with", "options", multiple=True, metavar="NAME=VALUE", help=say("console.help-with")),
        click.option("--out", type=FILE, metavar="PDF", help=say("practical.help-out")),
        click.option("--person", metavar="NAME", help=say("practical.help-person")),
        click.option("--observer", metavar="NAME", help=say("practical.help-observer")),
        click.option("--afresh", is_flag=True, help=say("practical.help-afresh")),
        click.option("--list", is_flag=True, help=say("practical.help-list")),
        click.option("--print", "print_number", type=click.IntRange(1), metavar="ENTRY", help=say("practical.help-print")),
        make_records_option(words),
        make_json_option(words),
    )  # fmt: skip

    @make_command(words, "practical", *options)
    def practical(**chosen: Unpack[PracticalChoice]) -> int:
        if chosen["list"]:
            _list(words, chosen["person"], as_json=chosen["as_json"])
            return 0
        if chosen["print_number"] is not None:
            if chosen["out"] is None:
                raise click.UsageError(say("practical.print-out"))
            _print_filed(words, chosen["print_number"], chosen["out"])
            return 0
        names = [bool(chosen["person"]), bool(chosen["observer"])]
        if any(names) != all(names) or not (chosen["out"] or all(names)):
            raise click.UsageError(say("practical.out-or-names"))
        if chosen["name"] is None or chosen["build"] is None:
            raise click.UsageError(say("practical.name-and-build"))
        from trainer.session.bench import open_bench
        from trainer.session.observing import make_rubric
        from trainer.session.typed import read_pair

        pairs = dict(read_pair(text, "NAME=VALUE, like bracket=open") for text in chosen["options"])
        bench = open_bench(chosen["build"], pairs)
        if not all(names):
            assert chosen["out"] is not None
            _print(words, make_rubric(bench, chosen["name"]), bench.name, chosen["out"])
            return 0
        return _Watching(words, bench, chosen).run()

    return practical


def _list(words: Words, person: str | None, *, as_json: bool) -> None:
    """List what is on file, the newest first."""
    from trainer.console.show import make_table, open_console
    from trainer.records import open_records
    from trainer.words.telling_practical import tell_name

    with open_records() as records:
        found = records.list_filed_sign_offs(person)
    if as_json:
        print_json([_describe(filed) for filed in found])
        return
    if not found:
        click.echo(words.say("practical.none"))
        return
    columns = ("entry", "day", "person", "what", "verdict")
    table = make_table(
        words.say("practical.list-title"),
        *(words.say(f"practical.column-{name}") for name in columns),
    )
    for filed in found:
        signed = filed.sign_off
        table.add_row(
            str(filed.number),
            f"{signed.when.astimezone():%Y-%m-%d}",
            signed.person,
            tell_name(words, signed.practical),
            words.say("practical.passed" if signed.passed else "practical.not-passed"),
        )
    open_console(None).print(table)


def _describe(filed: FiledSignOff) -> dict[str, object]:
    signed = filed.sign_off
    return {
        "entry": filed.number,
        "id": str(signed.id),
        "when": signed.when.isoformat(),
        "person": signed.person,
        "observer": signed.observer,
        "practical": signed.practical,
        "build": signed.build,
        "passed": signed.passed,
    }


def _print_filed(words: Words, number: int, out: Path) -> None:
    """Print one that is on file as it went, by the number of its entry."""
    from trainer.records import open_records
    from trainer.session.observing import make_signed_rubric

    with open_records() as records:
        found = {filed.number: filed for filed in records.list_filed_sign_offs()}
    if number not in found:
        raise RefusalError(words.say("practical.no-entry", number=number))
    signed = found[number].sign_off
    _print(words, make_signed_rubric(signed), signed.build, out, found[number])


def _print(
    words: Words, rubric: Rubric, build: str, out: Path, filed: FiledSignOff | None = None
) -> None:
    from trainer.console.writing import write_whole
    from trainer.handout.practical_page import make_practical_pdf, tell_practical

    write_whole(words, make_practical_pdf(tell_practical(words, rubric, build, filed)), out)
    click.echo(words.say("practical.printed", file=str(out)), err=filed is not None)


class _Watching:
    """One practical, marked while it is watched."""

    def __init__(self, words: Words, bench: Bench, chosen: PracticalChoice) -> None:
        from trainer.lesson.practical import Level
        from trainer.session.observing import begin_practical
        from trainer.session.unsigned import UnsignedPracticals

        self._words, self._chosen, self._unsigned = words, chosen, UnsignedPracticals()
        self._held = begin_practical(
            bench,
            chosen["name"] or "",
            person=chosen["person"] or "",
            observer=chosen["observer"] or "",
            id_=uuid4(),
            now=datetime.now(UTC),
        )
        self._levels = {words.say(f"practical.letter-{level}"): level for level in Level}
        self._stdin = sys.stdin

    def run(self) -> int:
        """Mark every line, have both sign, and file it; nothing is filed before both have signed.

        What is marked is kept all the while, and gone on with when the same is watched again.
        """
        try:
            self._go_on()
            self._mark_lines()
            self._tell(self._held.observed)
            signed = self._sign()
            filed = self._file(signed)
        except (EOFError, KeyboardInterrupt):
            click.echo(self._words.say("practical.stopped"), err=True)
            return STOPPED
        self._let_go()
        if self._chosen["as_json"]:
            print_json({"id": str(signed.id), "passed": signed.passed, "lines": {one.line: one.mark for one in signed.lines}})  # fmt: skip
        else:
            click.echo(self._words.say("practical.filed", person=signed.person))
        if self._chosen["out"]:
            rubric = self._held.observed.rubric
            _print(self._words, rubric, signed.build, self._chosen["out"], filed)
        return 0 if signed.passed else 1

    def _file(self, signed: SignOff) -> FiledSignOff:
        """File it; where the records cannot be written, say why and try again as often as is wanted."""
        from trainer.records import open_records
        from trainer.session.observing import file_practical

        while True:
            try:
                with open_records() as records:
                    return file_practical(records, signed)
            except SurroundingsError as error:
                click.echo(str(error), err=True)
                self._ask(self._words.say("practical.again"))

    def _go_on(self) -> None:
        """Go on with what was left of the same, unless it is to begin afresh."""
        left = self._unsigned.find(self._held)
        if left is None:
            return
        if self._chosen["afresh"]:
            self._unsigned.drop(left)
            return
        self._held, observed = left, left.observed
        told = self._words.say(
            "practical.goes-on",
            begun=f"{left.begun.astimezone():%Y-%m-%d %H:%M}",
            marked=len(observed.levels),
            lines=len(observed.rubric.lines),
        )
        click.echo(told, err=True)

    def _let_go(self) -> None:
        """Let go of what was kept of it; it is on file now, whatever becomes of that."""
        try:
            self._unsigned.drop(self._held)
        except SurroundingsError as error:
            click.echo(str(error), err=True)

    def _mark_lines(self) -> None:
        observed = self._held.observed
        lines, at = observed.rubric.lines, 0
        while at < len(lines) and lines[at].name in observed.levels:
            at += 1
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
            level = self._levels[word.casefold()]
            self._held = replace(self._held, observed=self._held.observed.mark(line, level, remark))
        except RefusalError as error:
            click.echo(str(error), err=True)
            return False
        try:
            self._unsigned.keep(self._held)
        except SurroundingsError as error:  # it is still marked here, and can be signed and filed
            click.echo(str(error), err=True)
        return True

    def _tell_line(self, line: RubricLine, at: int) -> str:
        from trainer.words.telling_practical import tell_critical, tell_line

        step = tell_line(self._words, line)
        critical = f" [{tell_critical(self._words, line)}]" if line.is_critical else ""
        return f"{at + 1}. {step}{critical}: "

    def _tell(self, observed: Observed) -> None:
        from trainer.words.telling_practical import list_reasons, tell_outcome

        words, judged = self._words, observed.judge()
        click.echo(tell_outcome(words, judged.score, has_passed=judged.has_passed), err=True)
        for reason in list_reasons(words, judged, observed.rubric.pass_at):
            click.echo(reason, err=True)

    def _sign(self) -> SignOff:
        from trainer.session.observing import sign_off

        person, observer = (
            self._ask_signature(name) for name in (self._held.person, self._held.observer)
        )
        now = datetime.now(UTC)
        return sign_off(self._held, person_signed=person, observer_signed=observer, now=now)

    def _ask_signature(self, name: str) -> str:
        """Ask somebody to sign, until it is the name."""
        from trainer.records import check_signature

        while True:
            typed = self._ask(self._words.say("practical.sign", name=name))
            try:
                check_signature(name, typed)
            except RefusalError as error:
                click.echo(str(error), err=True)
            else:
                return typed

    def _ask(self, prompt: str) -> str:
        """Ask for a line. Raises EOFError where there is no more."""
        click.echo(prompt, nl=False, err=True)
        line = self._stdin.readline()
        if not line:
            raise EOFError
        return line.strip()
