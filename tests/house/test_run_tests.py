"""The test command itself: it must not pass over anything in silence."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from trainer import fresh, run_tests

HOUSE = Path(__file__).resolve().parents[2]
SMALL_SUITE = """
import pytest

def test_sound(): pass

@pytest.mark.long
def test_of_minutes(): pass

@pytest.mark.window
def test_of_a_window(): pass
"""
SKIPPING_SUITE = """
import pytest
moon = pytest.importorskip("the_moon", reason="no moon tonight")
"""


@pytest.fixture
def suite(tmp_path: Path) -> Path:
    """Make a small suite that shares our conftest and nothing else."""
    shutil.copy(HOUSE / "tests" / "conftest.py", tmp_path)
    (tmp_path / "pyproject.toml").write_text(
        '[tool.pytest.ini_options]\nmarkers = ["long: slow", "window: opens one"]\n'
    )
    (tmp_path / "test_small.py").write_text(SMALL_SUITE)
    return tmp_path


def run(suite: Path, *arguments: str, screens: str = "") -> tuple[int, list[str]]:
    environment = {
        name: value
        for name, value in os.environ.items()
        if name not in {"DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"}
        and not name.startswith("PYTEST_")
    }
    environment |= {"PUMPWRIGHT_TEST_SCREENS": screens, "PYTHONPATH": str(HOUSE)}
    done = subprocess.run(
        [
            sys.executable,
            "-m",
            "pytest",
            "-p",
            "no:cacheprovider",
            "-p",
            "no:pytest-qt",
            *arguments,
        ],
        cwd=suite,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    return done.returncode, done.stdout.splitlines()


def test_what_was_left_out_is_named_before_the_closing_line(suite: Path) -> None:
    status, lines = run(suite, "-n", "2")
    assert status == 0
    assert "1 long tests: python3 -m trainer test --long" in lines
    assert "1 of: needs a screen: install xvfb" in lines
    assert "1 passed, 1 skipped" in lines[-1]


def test_long_runs_the_long_tests_too(suite: Path) -> None:
    _, lines = run(suite, "--long", screens=":4711")
    assert "nothing: every test ran" in lines
    assert "3 passed" in lines[-1]


def test_where_all_must_run_a_skipped_test_fails(suite: Path) -> None:
    status, lines = run(suite, "--no-skips", "-n", "2")
    assert status == 1
    assert any("every test must run: needs a screen" in line for line in lines)
    assert "1 passed" in lines[-1]
    assert "1 error" in lines[-1]


def test_where_all_must_run_a_skipped_file_fails(suite: Path) -> None:
    (suite / "test_small.py").write_text(SKIPPING_SUITE)
    status, lines = run(suite, "--no-skips", "-n", "2")
    assert status not in {0, 5}
    assert any("every test must run: no moon tonight" in line for line in lines)


@pytest.mark.window
def test_each_worker_gets_a_screen_that_answers(monkeypatch: pytest.MonkeyPatch) -> None:
    servers: list[subprocess.Popen[bytes]] = []
    begin = subprocess.Popen

    def noting(*given: Any, **named: Any) -> subprocess.Popen[bytes]:
        servers.append(begin(*given, **named))
        return servers[-1]

    monkeypatch.delenv("QT_QPA_PLATFORM", raising=False)
    monkeypatch.setattr(subprocess, "Popen", noting)
    with run_tests._open_screens() as screens:
        assert len(set(screens)) == len(servers) == run_tests.WORKERS
        for screen in screens:
            monkeypatch.setenv("DISPLAY", screen)
            assert fresh.has_display()
    # Closed with the run. The number of a screen does not tell it: another run may have taken it by now.
    assert [server.returncode for server in servers] == [0] * run_tests.WORKERS


def test_arguments_that_pytest_refuses_are_bad_input() -> None:
    assert run_tests.run_tests(fresh.find_house(), ["--no-such-option"]) == 2


def test_a_failing_test_fails_the_command(tmp_path: Path) -> None:
    bad = tmp_path / "test_bad.py"
    bad.write_text("def test_bad():\n    assert 1 == 2\n")
    assert run_tests.run_tests(fresh.find_house(), [str(bad), "-p", "no:cacheprovider"]) == 1
