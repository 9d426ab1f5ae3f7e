"""The wheel: complete, polite to other people's modules, and running far from the checkout."""

from __future__ import annotations

import json
import subprocess
import sys
import sysconfig
import zipfile
from collections.abc import Sequence
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[2]
FOREIGN = 'raise RuntimeError("a stranger\'s module was imported")\n'


def run(command: Sequence[str | Path], folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        list(command), cwd=folder, capture_output=True, text=True, check=False, timeout=300
    )


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    built = run([sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder], HOUSE)
    assert built.returncode == 0, built.stderr
    [path] = folder.glob("*.whl")
    return path


@pytest.fixture(scope="module")
def bin_folder(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Install the wheel into an environment that borrows our packages but not our checkout.

    A line in a .pth file adds a folder and leaves that folder's own .pth files unread, so the
    link that leads from our environment to the checkout does not come along.
    """
    folder = tmp_path_factory.mktemp("environment")
    made = run([sys.executable, "-m", "venv", "--without-pip", folder], folder)
    assert made.returncode == 0, made.stderr
    [packages] = (folder / "lib").glob("python*/site-packages")
    (packages / "borrowed.pth").write_text(sysconfig.get_path("purelib") + "\n")
    python = folder / "bin" / "python"
    uv = [sys.executable, "-m", "uv", "pip", "install", "--offline", "--no-deps"]
    installed = run([*uv, "--python", python, wheel], folder)
    assert installed.returncode == 0, installed.stderr
    return folder / "bin"


@pytest.fixture
def strange_folder(tmp_path: Path) -> Path:
    """Make a folder where somebody else keeps a `models` and a `lessons` of their own."""
    for name in ("models", "lessons"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "__init__.py").write_text(FOREIGN)
    return tmp_path


def test_wheel_takes_no_common_name_at_the_top(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as packed:
        tops = {name.split("/")[0] for name in packed.namelist()}
    assert tops == {"trainer", f"{wheel.name.rsplit('-', 3)[0]}.dist-info"}


def test_wheel_holds_every_file_of_the_packages(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as packed:
        held = set(packed.namelist())
    wanted = set()
    for room, place in (
        ("trainer", ""),
        ("models", "trainer/_house/"),
        ("lessons", "trainer/_house/"),
    ):
        files = [path for path in (HOUSE / room).rglob("*") if path.is_file()]
        wanted |= {
            place + path.relative_to(HOUSE).as_posix()
            for path in files
            if "__pycache__" not in path.parts
        }
    suffixes = {Path(name).suffix for name in wanted}
    assert {".py", ".csv", ".toml", ".po", ".yaml"} <= suffixes
    assert wanted - held == set()


@pytest.mark.parametrize("command", [["pumpwright"], ["python", "-m", "trainer"]])
def test_installed_program_runs_beside_a_strangers_models(
    bin_folder: Path, strange_folder: Path, command: list[str]
) -> None:
    done = run([bin_folder / command[0], *command[1:], "builds", "--json"], strange_folder)
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    assert "end-suction/100-250" in {row["build"] for row in json.loads(done.stdout)}


def test_installed_program_comes_from_the_wheel(bin_folder: Path, strange_folder: Path) -> None:
    program = (
        "import sys; sys.argv = ['pumpwright', '--help']\n"
        "from trainer.__main__ import main; main()\n"
        "import models, trainer; print(models.__file__); print(trainer.__file__)"
    )
    done = run([bin_folder / "python", "-c", program], strange_folder)
    places = done.stdout.split()[-2:]
    assert len(places) == 2, done.stderr
    assert all(place.startswith(str(bin_folder.parent)) for place in places), places


def test_checkout_runs_beside_a_strangers_models(strange_folder: Path) -> None:
    done = run([sys.executable, "-m", "trainer", "builds", "--json"], strange_folder)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)


def test_installed_program_says_that_it_brings_no_tests(
    bin_folder: Path, strange_folder: Path
) -> None:
    done = run([bin_folder / "pumpwright", "test"], strange_folder)
    assert done.returncode == 2
    assert "source tree" in done.stderr
