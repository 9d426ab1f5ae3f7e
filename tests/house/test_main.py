"""How a command ends: its exit status and the one message a person reads."""

from __future__ import annotations

import subprocess
import sys
import types
from collections.abc import Callable
from pathlib import Path

import click
import pytest

from models.spec.errors import ContentError, RefusalError, SurroundingsError
from trainer import __main__ as start
from trainer import fresh

HOUSE = Path(__file__).resolve().parents[2]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch) -> Callable[..., int]:
    """Give a way to run `pumpwright try` with a console whose only commands are made here."""

    def run(body: Callable[[], object], *arguments: str) -> int:
        console = click.Group("console")
        console.command("try")(body)
        console.command("tour")(lambda: click.echo("the tour"))
        room = types.ModuleType("trainer.console")
        room.make_console = lambda: console  # type: ignore[attr-defined]  # a module made by hand
        monkeypatch.setitem(sys.modules, "trainer.console", room)
        return start._run_to_status(list(arguments))

    return run


def fail_with(error: BaseException) -> Callable[[], None]:
    def body() -> None:
        raise error

    return body


@pytest.mark.parametrize(
    ("body", "status"),
    [
        (lambda: None, 0),
        (lambda: 0, 0),
        (lambda: 1, 1),
        (lambda: click.get_current_context().exit(1), 1),
        (fail_with(ContentError("row 3 is wrong")), 2),
        (fail_with(RefusalError("no such build")), 2),
        (fail_with(SurroundingsError("disk full")), 3),
        (fail_with(click.UsageError("no such build")), 2),
        (fail_with(click.ClickException("not readable")), 2),
        (fail_with(KeyboardInterrupt()), 130),
        (fail_with(ZeroDivisionError()), 4),
    ],
)
def test_each_end_has_its_status(
    run: Callable[..., int], body: Callable[[], object], status: int
) -> None:
    assert run(body, "try") == status


def test_person_reads_the_message_and_no_traceback(
    run: Callable[..., int], capsys: pytest.CaptureFixture[str]
) -> None:
    run(fail_with(ContentError("row 3 is wrong")), "try")
    assert capsys.readouterr().err == "row 3 is wrong\n"


def test_own_fault_keeps_its_traceback_in_a_file(
    run: Callable[..., int],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    run(fail_with(ZeroDivisionError("by nothing")), "try")
    [kept] = tmp_path.iterdir()
    told = capsys.readouterr().err
    assert str(kept) in told
    assert "ZeroDivisionError: by nothing" in told
    assert "Traceback" not in told
    assert "Traceback" in kept.read_text()


def test_unknown_command_is_bad_input(run: Callable[..., int]) -> None:
    assert run(lambda: None, "tri") == 2


def test_without_a_screen_the_tour_is_made_and_said(
    run: Callable[..., int], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(fresh, "has_display", lambda: False)
    assert run(lambda: None) == 0
    said = capsys.readouterr()
    assert said.out == "the tour\n"
    assert "no screen" in said.err


def test_without_the_windows_libraries_the_tour_is_made_and_they_are_named(
    run: Callable[..., int], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(fresh, "find_missing_libraries", lambda: [fresh.LIBRARIES[-1]])
    assert run(lambda: None) == 0
    said = capsys.readouterr()
    assert said.out == "the tour\n"
    assert fresh.LIBRARIES[-1].package in said.err


def test_with_a_screen_the_window_opens(
    run: Callable[..., int], monkeypatch: pytest.MonkeyPatch
) -> None:
    room = types.ModuleType("trainer.desktop")
    room.open_window = lambda *_, **__: 17  # type: ignore[attr-defined]  # a module made by hand
    monkeypatch.setitem(sys.modules, "trainer.desktop", room)
    monkeypatch.setattr(fresh, "has_display", lambda: True)
    monkeypatch.setattr(fresh, "find_missing_libraries", list)
    assert run(lambda: None) == 17


def test_with_a_shops_limits_the_window_is_opened_by_them(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    named: list[object] = []

    def open_window(limits: object, *, afresh: bool) -> int:
        named.extend((limits, afresh))
        return 17

    room = types.ModuleType("trainer.desktop")
    room.open_window = open_window  # type: ignore[attr-defined]  # a module made by hand
    monkeypatch.setitem(sys.modules, "trainer.desktop", room)
    monkeypatch.setattr(fresh, "has_display", lambda: True)
    monkeypatch.setattr(fresh, "find_missing_libraries", list)
    assert start._run_to_status(["--limits", "shop.csv"]) == 17
    assert start._run_to_status(["--afresh"]) == 17
    assert start._run_to_status(["--afresh", "--limits", "shop.csv"]) == 17
    assert [str(one) for one in named] == ["shop.csv", "False", "None", "True", "shop.csv", "True"]


def test_reader_who_goes_away_is_no_fault() -> None:
    command = f"{sys.executable} -m trainer --help | true; echo ${{PIPESTATUS[0]}}"
    done = subprocess.run(
        ["bash", "-c", command], cwd=HOUSE, capture_output=True, text=True, check=False
    )
    assert done.stdout.strip() in {"0", "141"}  # 0 where all was written before the reader left
    assert done.stderr == ""


def test_status_of_unreadable_arguments_reaches_the_shell() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "trainer", "no-such-command"],
        cwd=HOUSE,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert "no-such-command" in done.stderr
    assert done.stdout == ""
