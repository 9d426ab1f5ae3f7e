"""Set-up of a fresh machine, as far as one that is set up can show it.

What only a bare machine can show (that the packages really install, as root and as a user) is
measured outside the tests and written into the project's notes.
"""

from __future__ import annotations

import ast
import ctypes
import importlib.util
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from trainer import fresh

GL = fresh.LIBRARIES[0]
CURSOR = next(library for library in fresh.LIBRARIES if library.for_window_only)


@pytest.fixture
def house(tmp_path: Path) -> fresh.House:
    """Lay out a small checkout whose environment has never been made."""
    (tmp_path / "trainer").mkdir()
    (tmp_path / "trainer" / "constraints.txt").write_text("click==8.5.1\n")
    (tmp_path / "pyproject.toml").write_text('[project]\nname = "pumpwright"\n')
    return fresh.House(tmp_path, is_checkout=True)


@pytest.fixture
def lose(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Give a way to lose system libraries: the loader no longer finds them."""

    def lose(*lost: fresh.Library, until_installed: bool = False) -> None:
        names = {library.soname for library in lost}

        def load(soname: str) -> object:
            if soname in names:
                raise OSError(soname)
            return object()

        def install(packages: list[str]) -> None:
            assert packages == [library.package for library in lost]
            if until_installed:
                names.clear()

        monkeypatch.setattr(ctypes, "CDLL", load)
        monkeypatch.setattr(fresh, "install_system_packages", install)

    return lose


def test_user_is_told_the_exact_line_for_a_missing_library(
    house: fresh.House,
    lose: Callable[..., None],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    lose(GL, CURSOR)
    monkeypatch.setattr(fresh, "can_install_system_packages", lambda: False)
    with pytest.raises(SystemExit) as ended:
        fresh.make_ready(house, ["tour"])
    assert ended.value.code == 3
    assert "sudo apt-get install libgl1 libxkbcommon-x11-0\n" in capsys.readouterr().err


def test_user_without_the_windows_libraries_is_warned_and_goes_on(
    house: fresh.House,
    lose: Callable[..., None],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    lose(CURSOR)
    monkeypatch.setattr(fresh, "can_install_system_packages", lambda: False)
    fresh._check_libraries(house)
    assert "sudo apt-get install libxkbcommon-x11-0\n" in capsys.readouterr().err


def test_root_installs_what_is_missing(
    house: fresh.House, lose: Callable[..., None], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(fresh, "can_install_system_packages", lambda: True)
    lose(GL, CURSOR, until_installed=True)
    fresh._check_libraries(house)
    assert fresh.find_missing_libraries() == []


def test_root_is_told_when_installing_did_not_help(
    house: fresh.House,
    lose: Callable[..., None],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(fresh, "can_install_system_packages", lambda: True)
    lose(GL)
    with pytest.raises(SystemExit):
        fresh._check_libraries(house)
    assert "still not found after installing their packages: libGL.so.1" in capsys.readouterr().err


def test_a_wheel_installs_nothing_even_for_root(
    tmp_path: Path,
    lose: Callable[..., None],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(fresh, "can_install_system_packages", lambda: True)
    lose(GL, until_installed=True)
    with pytest.raises(SystemExit):
        fresh.make_ready(fresh.House(tmp_path, is_checkout=False), [])
    assert "sudo apt-get install libgl1" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_old_python_is_named_with_its_remedy(
    house: fresh.House, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "version_info", (3, 9, 2))
    with pytest.raises(SystemExit) as ended:
        fresh.make_ready(house, [])
    assert ended.value.code == 3
    message = capsys.readouterr().err
    assert "Python 3.11 or newer is needed" in message
    assert message.count("\n") == 1


@pytest.mark.parametrize("file", ["__init__.py", "__main__.py", "fresh.py"])
def test_old_python_can_read_far_enough_to_say_so(file: str) -> None:
    text = (fresh.find_house().folder / "trainer" / file).read_text(encoding="utf-8")
    ast.parse(text, feature_version=(3, 8))
    assert "from __future__ import annotations" in text or "def " not in text


def test_missing_venv_module_is_named_with_its_remedy(
    house: fresh.House, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(importlib.util, "find_spec", lambda _: None)
    monkeypatch.setattr(fresh, "can_install_system_packages", lambda: False)
    with pytest.raises(SystemExit) as ended:
        fresh._install(house, "stamp")
    assert ended.value.code == 3
    assert "sudo apt-get install python3-venv" in capsys.readouterr().err


def test_set_up_writes_its_stamp_last(house: fresh.House, monkeypatch: pytest.MonkeyPatch) -> None:
    class CutOffError(Exception):
        pass

    def install(_: fresh.House) -> None:
        assert not house.stamp.exists()
        raise CutOffError

    house.venv.mkdir()
    monkeypatch.setattr(fresh, "_fits_this_python", lambda _: True)
    monkeypatch.setattr(fresh, "_install_packages", install)
    with pytest.raises(CutOffError):
        fresh._install(house, "stamp")
    assert not house.stamp.exists()

    monkeypatch.setattr(fresh, "_install_packages", lambda _: None)
    fresh._install(house, "stamp")
    assert house.stamp.read_text() == "stamp"


def test_environment_that_lost_its_python_is_no_environment(house: fresh.House) -> None:
    house.venv.mkdir()
    house.stamp.write_text(fresh._make_stamp(house))
    assert fresh._read_stamp(house) is None


def test_stamp_follows_what_is_installed_and_nothing_else(house: fresh.House) -> None:
    first = fresh._make_stamp(house)
    project = house.folder / "pyproject.toml"
    project.write_text(project.read_text() + "[tool.ruff]\nline-length = 90\n")
    assert fresh._make_stamp(house) == first
    project.write_text('[project]\nname = "pumpwright"\ndependencies = ["click"]\n')
    second = fresh._make_stamp(house)
    assert second != first
    (house.folder / "trainer" / "constraints.txt").write_text("click==8.5.2\n")
    assert fresh._make_stamp(house) not in {first, second}


def test_pip_settings_are_handed_on_to_uv(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("UV_INDEX_URL", "UV_DEFAULT_INDEX", "UV_INDEX", "SSL_CERT_FILE"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("PIP_INDEX_URL", "index-of-the-house")
    monkeypatch.setenv("PIP_CERT", "certificate-of-the-house")
    handed = fresh._make_uv_environment()
    assert handed["UV_DEFAULT_INDEX"] == "index-of-the-house"
    assert handed["SSL_CERT_FILE"] == "certificate-of-the-house"

    monkeypatch.setenv("UV_INDEX_URL", "index-for-uv")
    assert "UV_DEFAULT_INDEX" not in fresh._make_uv_environment()


def test_constraints_name_every_package_and_no_address() -> None:
    text = (fresh.find_house().folder / "trainer" / "constraints.txt").read_text()
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    assert len(lines) > 50
    assert [line for line in lines if "==" not in line or "/" in line or "@" in line] == []


def test_display_that_nobody_serves_is_no_display(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("QT_QPA_PLATFORM", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("DISPLAY", ":4711")
    assert not fresh.has_display()


@pytest.mark.window
def test_display_that_answers_is_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("QT_QPA_PLATFORM", raising=False)
    assert fresh.has_display()


def test_two_commands_set_up_one_after_the_other(tmp_path: Path) -> None:
    lock = tmp_path / "lock"
    program = (
        "import sys; from pathlib import Path; from trainer import fresh\n"
        "with fresh._lock(Path(sys.argv[1])): print('in', flush=True); sys.stdin.read()"
    )
    command = [sys.executable, "-c", program, str(lock)]
    house = fresh.find_house().folder
    with subprocess.Popen(
        command, cwd=house, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as first:
        assert first.stdout is not None
        assert first.stdout.readline() == "in\n"
        second = subprocess.Popen(
            command,
            cwd=house,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        assert second.stderr is not None
        assert "waiting for it" in second.stderr.readline()
        first.kill()  # a killed set-up must not lock out the next one
        assert second.communicate(timeout=30)[0] == "in\n"
