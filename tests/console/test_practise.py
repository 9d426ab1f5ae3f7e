"""The command `practise`: every kind at the terminal, rightly and wrongly; what is kept; how it ends."""

from __future__ import annotations

import json
import os
import pty
import random
import select
import signal
import sys
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from models.spec.errors import RefusalError, SurroundingsError
from tests.answering import reply_wrongly
from trainer.console import make_console
from trainer.console.replies import Asking, lay_out
from trainer.console.sitting import Posed, Sitting, Terminal, read_scripted
from trainer.lesson.item import Field, InOrder, Item, OneOf, Pairs, Reply, SomeOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.marking import reply_rightly
from trainer.lesson.outcome import Help
from trainer.lesson.wanted import Wanted
from trainer.records import Attempt, open_records
from trainer.session.asking import Benches, draw_item, list_subjects
from trainer.session.asking.kinds import KINDS
from trainer.session.attempting import read_outcomes
from trainer.words import load_words

PUMPS = ("end-suction/100-250", "self-priming/100")
SEAL = "mechanical-seal/38"
WORDS, BENCHES = load_words(), Benches()
NOON = datetime(2026, 12, 1, 12, tzinfo=UTC)


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    where = tmp_path / "records.sqlite3"
    monkeypatch.setenv("PUMPWRIGHT_RECORDS", str(where))
    return where


def run(*arguments: str, typed: str = "") -> Result:
    return CliRunner().invoke(
        make_console(), ["practise", *arguments], input=typed, catch_exceptions=False
    )


# ------------------------------------------------------------------ every kind
def draw(kind: QuestionKind, seed: str) -> Item:
    bench = next(one for one in map(BENCHES.open, PUMPS) if list_subjects(one, kind))
    return draw_item(bench, BENCHES, Wanted(kind), seed)


def type_reply(field: Field, reply: Reply, item: Item) -> str:
    """Type a reply as a person would, by the labels that are shown."""
    form = field.form
    build = BENCHES.open(item.build, item.options).build
    lines = lay_out(Asking(WORDS, build, field)).lines
    labels = [line.split(")")[0].strip() for line in lines]

    def find(ids: list[str], id_: str, skipped: int = 0) -> str:
        return labels[skipped + ids.index(id_)]

    match form:
        case OneOf():
            return find([one.id for one in form.choices], str(reply))
        case SomeOf() | InOrder():
            of = form.choices if isinstance(form, SomeOf) else form.lines
            return " ".join(find([one.id for one in of], id_) for id_ in reply) or "-"
        case Pairs():
            assert isinstance(reply, Mapping)
            left, right = [one.id for one in form.left], [one.id for one in form.choices]
            return " ".join(
                find(left, one) + find(right, other, len(left)) for one, other in reply.items()
            )
        case _:
            return str(reply)


def sit(
    item: Item, lines: list[str], watch: Callable[[], float] | None = None
) -> tuple[Sitting, str]:
    told: list[str] = []
    terminal = Terminal(read_scripted(lines, told.append), told.append, 100, lambda: NOON, watch)
    sitting = Sitting(WORDS, terminal, BENCHES, records=None, person="Ann", pictures=None)
    sitting.ask(Posed(item, "seed"))
    return sitting, "\n".join(told)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_asked_and_answered_rightly_and_wrongly(kind: QuestionKind) -> None:
    item, chance = draw(kind, "terminal"), random.Random(kind)
    right = [type_reply(field, reply_rightly(field.form), item) for field in item.fields]
    sitting, told = sit(item, ["", *right])
    assert sitting.done[0].mark.is_right
    assert "Nothing was typed." in told
    assert "Right." in told
    assert "It rests on this:" in told
    field = item.fields[-1]
    reply = reply_wrongly(field.form, chance)
    if isinstance(field.form, InOrder) and not field.form.extra:
        reply = tuple(reversed(field.form.judge.find_order()))
    sitting, told = sit(item, [*right[:-1], type_reply(field, reply, item)])
    assert sitting.done[0].mark.score < 1.0
    assert "% of the marks." in told
    assert "  ! " in told
    key = {InOrder: "One right order:", Pairs: "wrong. It is there for this:"}
    assert key.get(type(field.form), "Right would be:") in told
    attempt = sitting.done[0].attempt
    assert (attempt.item, attempt.score) == (item.key, sitting.done[0].mark.score)
    (outcome,) = read_outcomes([attempt])
    assert [one.score for one in outcome.fields] == [
        one.score for one in sitting.done[0].mark.fields
    ]


@pytest.mark.parametrize("again", ["right", "wrong", "-", ""])
def test_a_wrong_order_may_be_put_right_once_before_one_is_shown(again: str) -> None:
    item = draw(QuestionKind.PUT_IN_ORDER, "terminal")
    (field,) = item.fields
    assert isinstance(field.form, InOrder)
    right = type_reply(field, field.form.judge.find_order(), item)
    wrong = type_reply(field, tuple(reversed(field.form.judge.find_order())), item)
    typed = {"right": [right], "wrong": [wrong], "-": ["-"], "": []}[again]
    sitting, told = sit(item, [wrong, *typed], watch=lambda: 0.0)
    before, _, after = told.partition("Once more")
    assert "One right order:" not in before
    assert ("One right order:" in after) == (again != "right")
    assert ("Now it is right." in after) == (again == "right")
    assert len(sitting.done) == 1
    assert sitting.done[0].mark.score < 1.0, "what counts is the first answer"
    assert "It rests on this:" in after


def test_an_order_that_is_left_open_is_shown_at_once() -> None:
    item = draw(QuestionKind.PUT_IN_ORDER, "terminal")
    _, told = sit(item, ["-"], watch=lambda: 0.0)
    assert "Once more" not in told
    assert "One right order:" in told


# ------------------------------------------------------------------ the command
def test_answers_of_a_script_are_marked_and_kept(tmp_path: Path, place: Path) -> None:
    answers = tmp_path / "answers.txt"
    answers.write_text("# a remark\nzz\na\na\n", encoding="utf-8")
    arguments = ("--build", SEAL, "--kind", "name-it", "--kind", "what-for", "--count", "2")
    done = run(*arguments, "--person", "Ann", "--seed", "s", "--answers", str(answers), "--json")
    told = json.loads(done.stdout)
    assert [one["help"] for one in told["questions"]] == ["unaided", "unaided"]
    assert len({one["item"].partition("/")[0] for one in told["questions"]}) == 2
    with open_records(place) as records:
        kept = records.list_attempts("Ann")
    assert {str(one.id) for one in kept} == {one["attempt"] for one in told["questions"]}
    again = run(*arguments, "--seed", "s", "--answers", str(answers), "--json")
    asked = [one["item"] for one in json.loads(again.stdout)["questions"]]
    assert asked == [one["item"] for one in told["questions"]], "nothing was known before either"


def test_bad_input_is_asked_again_and_the_end_of_input_ends_politely(place: Path) -> None:
    done = run("--build", SEAL, "--kind", "name-it", "--person", "Ann", typed="zz\n\na\n")
    assert done.exit_code == 0
    for said in ("none of the choices", "Nothing was typed", "Ended here", "1 question answered", "Every answer is kept"):  # fmt: skip
        assert said in done.output
    with open_records(place) as records:
        (kept,) = records.list_attempts("Ann")
    assert kept.kind == "name-it"
    assert kept.seconds is None, "nobody was waited for"


def test_without_a_name_nothing_is_kept_and_that_is_said(place: Path) -> None:
    done = run("--build", SEAL, "--kind", "name-it", "--count", "1", typed="a\n")
    assert "Nothing of this is kept" in done.output
    assert not place.exists()


def test_what_is_due_weak_and_known_follows_from_the_records(place: Path) -> None:
    first = json.loads(run("--today", "--build", SEAL, "--person", "Ann", "--json").stdout)
    assert (first["due"], first["weak"]) == ([], [])
    assert all(one["seen"] == 0 for one in first["mastery"])
    run("--build", SEAL, "--kind", "what-for", "--person", "Ann", "--count", "3", typed="-\n-\n-\n")
    after = json.loads(run("--today", "--build", SEAL, "--person", "Ann", "--json").stdout)
    assert len(after["weak"]) == 3
    assert sorted(after["later_today"] + after["due"]) == sorted(after["weak"])
    assert after["new"] == first["new"] - 3
    parts = next(one for one in after["mastery"] if one["skill"] == "know-parts")
    assert (parts["seen"], parts["recall"]) == (3, 0.0)
    told = run("--today", "--build", SEAL, "--person", "Ann").output
    assert "3 questions are weak" in told
    assert "How far each skill is" in told
    assert place.exists()


def test_a_lesson_asks_its_questions_and_keeps_which_they_were(place: Path) -> None:
    done = run("end-suction-first-strip", "--person", "Ann", "--kind", "point-out", typed="-\n" * 9)
    assert done.exit_code == 0
    with open_records(place) as records:
        kept = records.list_attempts("Ann")
    assert kept
    assert {one.lesson for one in kept} == {"end-suction-first-strip"}
    assert all(one.question and one.kind == "point-out" for one in kept)


def test_help_fades_from_an_example_to_hints(place: Path) -> None:
    arguments = ("--build", SEAL, "--kind", "find-fault", "--count", "1", "--person", "Ann")
    first = run(*arguments, typed="-\n").output
    assert "First one like it, worked out." in first
    assert "Hint:" in first
    second = run(*arguments, typed="-\n").output
    assert "First one like it" not in second
    assert "Hint:" in second
    with open_records(place) as records:
        helps = [one.help for one in read_outcomes(reversed(records.list_attempts("Ann")))]
    assert helps == [Help.EXAMPLE, Help.HINTED]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("no-such-lesson",), "no lesson called"),
        (("--kind", "name-itt"), "name-it"),
        (("--build", "end-suction/100-25"), "100-250"),
        (("--answers", "no such file"), "cannot be read"),
        (("end-suction-first-strip", "--kind", "what-if"), "asks nothing of the kind"),
        (("--person", "\x07"), "cannot be shown"),
    ],
)
def test_what_there_is_not_is_refused_kindly(
    arguments: tuple[str, ...], said: str, place: Path
) -> None:
    with pytest.raises(RefusalError, match=said):
        run(*arguments)
    assert not place.exists()


@pytest.mark.parametrize("arguments", [("x", "--build", SEAL), ("--today",)])
def test_what_does_not_go_together_is_said(arguments: tuple[str, ...]) -> None:
    assert run(*arguments).exit_code == 2


def test_an_answer_that_cannot_be_kept_is_not_marked() -> None:
    class Full:
        def add_attempt(self, _attempt: Attempt) -> None:
            raise SurroundingsError("the disk is full")

    told: list[str] = []
    item = draw(QuestionKind.NAME_IT, "full")
    terminal = Terminal(read_scripted(["a"], told.append), told.append, 100, lambda: NOON, None)
    sitting = Sitting(WORDS, terminal, BENCHES, records=Full(), person="Ann", pictures=None)  # type: ignore[arg-type]  # stands in for the records
    with pytest.raises(SurroundingsError):
        sitting.ask(Posed(item, "seed"))
    assert sitting.done == []
    assert "Right" not in "\n".join(told)


def test_a_person_may_try_again_to_keep_an_answer_and_it_is_kept_once() -> None:
    kept: list[Attempt] = []
    refusals = ["the disk is full", "the disk is still full"]

    class Filling:
        def add_attempt(self, attempt: Attempt) -> None:
            tried.append(attempt)
            if refusals:
                raise SurroundingsError(refusals.pop(0))
            kept.append(attempt)

    told, tried, typed = list[str](), list[Attempt](), iter(["a", "", ""])
    item = draw(QuestionKind.NAME_IT, "full")
    terminal = Terminal(lambda _: next(typed), told.append, 100, lambda: NOON, lambda: 1.0)
    sitting = Sitting(WORDS, terminal, BENCHES, records=Filling(), person="Ann", pictures=None)  # type: ignore[arg-type]  # stands in for the records
    done = sitting.ask(Posed(item, "seed"))
    assert tried == [done.attempt] * 3
    assert kept == [done.attempt]
    assert {"the disk is full", "the disk is still full"} <= set(told)


def test_time_is_taken_only_where_somebody_is_waited_for() -> None:
    item, times = draw(QuestionKind.NAME_IT, "time"), iter((100.0, 107.5))
    terminal = Terminal(lambda _: "a", lambda _: None, 100, lambda: NOON, lambda: next(times))
    sitting = Sitting(WORDS, terminal, BENCHES, records=None, person="Ann", pictures=None)
    assert sitting.ask(Posed(item, "seed")).attempt.seconds == 7.5


def test_the_picture_of_a_question_is_drawn_and_its_numbers_are_asked_for(
    tmp_path: Path, place: Path
) -> None:
    folder = tmp_path / "pictures"
    arguments = ("--build", "packing/38", "--kind", "point-out", "--count", "1", "--seed", "s")
    done = run(*arguments, "--pictures", str(folder), typed="999\n1\n")
    assert done.exit_code == 0
    assert "999 is no number on the picture" in done.output
    assert [path.name for path in folder.iterdir()] == ["numbered-1.png"]
    assert (folder / "numbered-1.png").stat().st_size > 20_000
    assert not place.exists()


# ------------------------------------------------------------------ a real terminal
def test_at_a_terminal_whoever_stops_keeps_what_was_answered(place: Path) -> None:
    child = Child("--build", SEAL, "--kind", "what-for", "--person", "Ann", "--no-pictures")
    child.wait_for("> ")
    child.type("zz\n")
    child.wait_for("none of the choices")
    child.wait_for("> ")
    child.type("a\n")
    child.wait_for("It rests on this")
    child.wait_for("> ")
    assert child.finish(press="\x03") == 130  # Ctrl-C
    assert "Ended here" in child.told
    with open_records(place) as records:
        (kept,) = records.list_attempts("Ann")
    assert kept.seconds is not None


class Child:
    """The program at a terminal of its own."""

    def __init__(self, *arguments: str) -> None:
        pid, self._file = pty.fork()
        if pid == 0:
            # whoever runs the tests in the background may have left Ctrl-C without effect
            signal.signal(signal.SIGINT, signal.SIG_DFL)
            os.execv(sys.executable, [sys.executable, "-m", "trainer", "practise", *arguments])
        self._pid, self.told, self._seen = pid, "", 0

    def type(self, text: str) -> None:
        os.write(self._file, text.encode())

    def wait_for(self, text: str, seconds: float = 60.0) -> None:
        self._read_until(lambda: text in self.told[self._seen :], seconds, text)
        self._seen = self.told.index(text, self._seen) + len(text)

    def finish(self, seconds: float = 60.0, press: str = "") -> int:
        """Wait for the end. What is pressed just before a line is read comes to nothing, so it is pressed again."""
        pressed_again_s = 5.0
        for _ in range(int(seconds / pressed_again_s)):
            self.type(press)
            while select.select([self._file], [], [], pressed_again_s)[0]:
                if not self._read():
                    return os.waitstatus_to_exitcode(os.waitpid(self._pid, 0)[1])
        os.kill(self._pid, signal.SIGKILL)
        pytest.fail(f"the end did not come; told so far: {self.told}")

    def _read_until(self, is_there: Callable[[], bool], seconds: float, what: str) -> None:
        while not is_there():
            if not select.select([self._file], [], [], seconds)[0]:
                os.kill(self._pid, signal.SIGKILL)
                pytest.fail(f"{what!r} did not come; told so far: {self.told}")
            if not self._read():
                return

    def _read(self) -> bool:
        """Read what is there; nothing is, once the other side has closed."""
        try:
            read = os.read(self._file, 65536)
        except OSError:  # so Linux says that the other side has closed
            return False
        self.told += read.decode(errors="replace").replace("\r", "")
        return bool(read)
