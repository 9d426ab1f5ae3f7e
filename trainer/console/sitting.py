"""One sitting at a terminal: ask, read, mark, keep, then tell; until the questions, the typed lines or the patience end."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING
from uuid import uuid4

from models.spec.errors import RefusalError, SurroundingsError
from trainer.console.replies import Asking, Laid, lay_out, make_plain_text
from trainer.lesson.hinting import Hint
from trainer.lesson.item import Field, InOrder, Item, Pairs, Pointed, Reply
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.marking import FieldMark, ItemMark, mark_field, mark_item
from trainer.lesson.outcome import Help
from trainer.session.asking.benches import Benches
from trainer.session.attempting import Answered, make_attempt
from trainer.words import Words
from trainer.words.telling_form import tell_question, tell_worked
from trainer.words.telling_item import tell_filling, tell_said

if TYPE_CHECKING:
    from models.spec.build import Build
    from trainer.console.practice_pictures import Pictures
    from trainer.records import Attempt, Records

_HANGS = re.compile(r"\s*(?:\w+\) +|[-+!] )?")
"""What a line begins with that the rest of it is indented by: a label, or a sign."""


@dataclass(frozen=True, slots=True)
class Posed:
    """A question to be asked. why: a key that says why it comes now, "" for none."""

    item: Item
    seed: str
    why: str = ""
    help: Help = Help.UNAIDED
    hints: Mapping[str, Hint] | None = None
    example: Item | None = None
    question: str = ""
    lesson: str = ""


@dataclass(frozen=True, slots=True)
class Done:
    """A question that was answered, marked and, with a person, kept."""

    posed: Posed
    answer: Mapping[str, Reply]
    mark: ItemMark
    seconds: float | None
    attempt: Attempt


@dataclass(frozen=True, slots=True)
class Terminal:
    """The terminal, or what stands in for it.

    ask: shows a prompt and gives what is typed; raises EOFError where nothing comes any more. tell: shows a line.
    width: of its lines, in characters. clock: now. watch: seconds, of which differences count; nothing where nobody waits for a person.
    """

    ask: Callable[[str], str]
    tell: Callable[[str], None]
    width: int
    clock: Callable[[], datetime]
    watch: Callable[[], float] | None


class Sitting:
    """Ask questions one after another. With `records` and a person each answer is kept before its mark is told."""

    def __init__(
        self,
        words: Words,
        terminal: Terminal,
        benches: Benches,
        *,
        records: Records | None,
        person: str,
        pictures: Pictures | None,
    ) -> None:
        self._words, self._benches = words, benches
        self._terminal, self._tell = terminal, _fold_lines(terminal)
        self._records, self._person, self._pictures = records, person, pictures
        self.done: list[Done] = []

    def ask(self, posed: Posed) -> Done:
        """Ask one question until each of its fields is answered or left open; mark, keep, tell.

        Raises:
            EOFError, KeyboardInterrupt: whoever answers has gone; nothing was kept of this question.
            SurroundingsError: the answer could not be kept, and nobody is there to try again; it is not marked either.
        """
        item, words, tell = posed.item, self._words, self._tell
        build = self._benches.open(item.build, item.options).build
        self._tell_head(posed)
        if posed.example is not None:
            self._tell_example(posed.example)
        for said in item.stem:
            tell(make_plain_text(tell_said(words, build, said)))
        if item.figure is not None:
            tell(words.say("form.figure", shows=tell_said(words, build, item.figure.spoken)))
        numbers = self._draw(item)
        if item.caution is not None:
            caution = make_plain_text(tell_said(words, build, item.caution))
            tell(words.say("practice.caution", caution=caution))
        watch = self._terminal.watch
        start_s = watch() if watch else 0.0
        answer = dict[str, Reply]()
        for field in item.fields:
            tell("")
            answer[field.name] = self._ask_field(posed, field, build, numbers)
        seconds = watch() - start_s if watch else None
        mark = mark_item(item, answer)
        done = self._keep(posed, answer, mark, seconds)
        self._tell_mark(item, answer, mark, build)
        return done

    # ------------------------------------------------------------------ asking
    def _tell_head(self, posed: Posed) -> None:
        words, kind = self._words, posed.item.kind
        number = len(self.done) + 1
        told = words.say("practice.head", number=number, kind=words.say(f"practice.kind-{kind}"))
        self._tell("\n" + told + (f" ({words.say(posed.why)})" if posed.why else ""))

    def _tell_example(self, example: Item) -> None:
        words, build = self._words, self._benches.open(example.build, example.options).build
        question = make_plain_text(tell_question(words, build, example))
        right = make_plain_text(tell_worked(words, build, example))
        self._tell(words.say("practice.example", question=question, right=right))
        self._tell(words.say("practice.after-example"))

    def _draw(self, item: Item) -> Mapping[str, int]:
        """Draw what is to be seen, tell where it is, and give the numbers of the parts where they stand on it."""
        if self._pictures is None:
            return {}
        try:
            drawn = self._pictures.draw(item, len(self.done) + 1)
        except SurroundingsError as error:
            self._tell(self._words.say("practice.no-drawing", why=str(error)))
            self._pictures = None
            return {}
        for path in drawn.files:
            self._tell(self._words.say("practice.picture", file=str(path)))
        return drawn.numbers

    def _ask_field(
        self, posed: Posed, field: Field, build: Build, numbers: Mapping[str, int]
    ) -> Reply:
        words, tell = self._words, self._tell
        hint = (posed.hints or {}).get(field.name)
        is_named = posed.item.kind is QuestionKind.POINT_OUT
        shown = numbers if isinstance(field.form, Pointed) else {}
        laid = lay_out(Asking(words, build, field, shown, is_named))
        tell(make_plain_text(tell_said(words, build, field.asks)))
        for line in laid.lines:
            tell(f"  {line}")
        if hint is not None:
            told = make_plain_text(tell_said(words, build, hint.said))
            tell(words.say("practice.hint", hint=told))
        tell(words.say("practice.how", how=laid.how))
        return self._read_reply(laid)

    def _read_reply(self, laid: Laid) -> Reply:
        """Read a reply until one can be read. Raises EOFError where nothing comes any more."""
        words = self._words
        while True:
            try:
                return laid.read(self._terminal.ask(words.say("practice.prompt")))
            except RefusalError as error:
                told = str(error)
                self._tell(words.say("practice.again", why=told[:1].upper() + told[1:]))

    # ------------------------------------------------------------------ keeping and telling
    def _keep(
        self, posed: Posed, answer: Mapping[str, Reply], mark: ItemMark, seconds: float | None
    ) -> Done:
        answered = Answered(
            uuid4(), self._person, self._terminal.clock(), posed.seed, seconds, posed.help,
            posed.question, posed.lesson,
        )  # fmt: skip
        attempt = make_attempt(posed.item, answer, mark, answered)
        if self._records is not None:
            self._record(self._records, attempt)
        done = Done(posed, answer, mark, seconds, attempt)
        self.done.append(done)
        return done

    def _record(self, records: Records, attempt: Attempt) -> None:
        """Keep an attempt; where that fails, a person is told why and may try again, so that no answer is lost."""
        while True:
            try:
                records.add_attempt(attempt)
            except SurroundingsError as error:
                if self._terminal.watch is None:
                    raise
                self._tell(str(error))
                self._terminal.ask(self._words.say("practical.again"))
            else:
                return

    def _tell_findings(self, mark: FieldMark, build: Build) -> None:
        for finding in mark.findings:
            sign = "practice.finding-right" if finding.is_right else "practice.finding-wrong"
            told = make_plain_text(tell_said(self._words, build, finding.said))
            self._tell(self._words.say(sign, said=told))

    def _tries_again(self, field: Field, answer: Mapping[str, Reply], build: Build) -> bool:
        """Let a wrong order be put right once before one that is right is told; it does not count. Say whether it is right.

        Only a person is let try: a script holds one reply for each field.
        """
        words, tell = self._words, self._tell
        if (
            not isinstance(field.form, InOrder)
            or not answer[field.name]
            or not self._terminal.watch
        ):
            return False
        laid = lay_out(Asking(words, build, field))
        tell("")
        tell(words.say("practice.once-more"))
        for line in laid.lines:
            tell(f"  {line}")
        try:
            reply = self._read_reply(laid)
        except EOFError:
            return False
        if not reply:
            return False
        mark = mark_field(field, reply)
        tell("")
        if mark.is_right:
            tell(words.say("practice.now-right"))
        self._tell_findings(mark, build)
        return mark.is_right

    def _tell_mark(
        self, item: Item, answer: Mapping[str, Reply], mark: ItemMark, build: Build
    ) -> None:
        words, tell = self._words, self._tell
        tell("")
        key = "practice.right" if mark.is_right else "practice.not-all-right"
        tell(words.say(key, share=words.number(100.0 * mark.score, 0)))
        if mark.has_failed:
            tell(words.say("practice.failed"))
        for field, one in zip(item.fields, mark.fields, strict=True):
            self._tell_findings(one, build)
            if one.is_right or self._tries_again(field, answer, build):
                continue
            if isinstance(field.form, Pairs) and answer[field.name]:
                continue  # what goes with each that was wrong has just been told
            right = [make_plain_text(tell_filling(words, build, said)) for said in one.right]
            key = "practice.one-order" if isinstance(field.form, InOrder) else "practice.is-right"
            tell(words.say(key, right=words.say("form.next").join(right)))
        basis = make_plain_text(tell_said(words, build, item.basis.said))
        key = "practice.basis-by" if item.basis.source else "practice.basis"
        tell(words.say(key, basis=basis, source=item.basis.source))


def _fold_lines(terminal: Terminal) -> Callable[[str], None]:
    """Make `tell` of a terminal fold long lines, so that no word is cut and what is listed stays indented."""

    def tell(text: str) -> None:
        for line in text.split("\n"):
            begins = _HANGS.match(line)
            assert begins is not None  # it matches nothing, too
            hang = " " * begins.end()
            folded = wrap(line, terminal.width, subsequent_indent=hang, break_long_words=False)
            for one in folded or [""]:
                terminal.tell(one)

    return tell


def read_scripted(lines: Iterable[str], tell: Callable[[str], None]) -> Callable[[str], str]:
    """Make what stands in for typing: a line after another, told as if typed, then the end; # begins a remark."""
    left = iter([line for line in lines if not line.startswith("#")])

    def ask(prompt: str) -> str:
        line = next(left, None)
        if line is None:
            raise EOFError
        tell(f"{prompt}{line}")
        return line

    return ask


def describe_done(words: Words, done: Done, build: Build) -> dict[str, object]:
    """Describe an answered question for scripts."""
    item, mark = done.posed.item, done.mark
    return {
        "item": item.key,
        "build": item.build,
        "options": dict(item.options),
        "seed": done.posed.seed,
        "help": str(done.posed.help),
        "asked": [make_plain_text(tell_said(words, build, said)) for said in item.stem],
        "caution": tell_said(words, build, item.caution) if item.caution else None,
        "answer": dict(done.answer),
        "score": mark.score,
        "failed": mark.has_failed,
        "fields": [
            {
                "name": one.name,
                "score": one.score,
                "findings": [
                    {"right": f.is_right, "said": make_plain_text(tell_said(words, build, f.said))}
                    for f in one.findings
                ],
                "right": [make_plain_text(tell_filling(words, build, said)) for said in one.right],
            }
            for one in mark.fields
        ],
        "basis": make_plain_text(tell_said(words, build, item.basis.said)),
        "source": item.basis.source or None,
        "seconds": done.seconds,
        "attempt": str(done.attempt.id),
    }


def write_folder(path: Path | None) -> Path:
    """Give the folder for pictures: the one that was named, else a new one in the machine's folder for passing things."""
    import tempfile

    return path or Path(tempfile.mkdtemp(prefix="pumpwright-practice-"))
