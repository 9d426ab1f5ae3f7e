"""Set up what a fresh checkout lacks: system libraries, a virtual environment, the packages.

This module uses only the standard library and acts only in a checkout; a wheel never installs
anything. Its sentences stand here and not in `trainer.words`, because the packages that read the
word catalogues are among the things that may still be missing. They go to stderr, so that
`--json` output stays clean even on the first run.
"""

from __future__ import annotations

import contextlib
import ctypes
import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

OLDEST_PYTHON = (3, 11)
SURROUNDINGS_EXIT = 3  # the machine lacks something that only its owner can give


@dataclass(frozen=True)
class House:
    """Say where the program's own folders lie.

    Attributes:
        folder: the folder that holds `models/` and `lessons/`.
        is_checkout: true where this is the source tree, false inside a wheel.
    """

    folder: Path
    is_checkout: bool

    @property
    def venv(self) -> Path:
        """Name the folder of the virtual environment."""
        return self.folder / ".venv"

    @property
    def venv_python(self) -> Path:
        """Name the Python inside the virtual environment."""
        if sys.platform == "win32":
            return self.venv / "Scripts" / "python.exe"
        return self.venv / "bin" / "python"

    @property
    def stamp(self) -> Path:
        """Name the file that says for what the packages were last installed."""
        return self.venv / "pumpwright-stamp"


@dataclass(frozen=True)
class Library:
    """Name one shared library, the Debian package that brings it, and who needs it."""

    soname: str
    package: str
    for_window_only: bool = False


# Measured on bare Debian 12 and 13. Without the first two, drawing off screen ends in a
# segmentation fault and not in an exception, so they are looked for before anything draws.
LIBRARIES = (
    Library("libGL.so.1", "libgl1"),
    Library("libEGL.so.1", "libegl1"),
    Library("libglib-2.0.so.0", "libglib2.0-0"),
    Library("libdbus-1.so.3", "libdbus-1-3"),
    Library("libfontconfig.so.1", "libfontconfig1"),
    Library("libxkbcommon.so.0", "libxkbcommon0"),
    Library("libxkbcommon-x11.so.0", "libxkbcommon-x11-0", for_window_only=True),
    Library("libxcb-cursor.so.0", "libxcb-cursor0", for_window_only=True),
    Library("libxcb-icccm.so.4", "libxcb-icccm4", for_window_only=True),
    Library("libxcb-keysyms.so.1", "libxcb-keysyms1", for_window_only=True),
    Library("libxcb-shape.so.0", "libxcb-shape0", for_window_only=True),
)


def find_house() -> House:
    """Find the folder that holds `models/` and `lessons/`: the checkout, or a wheel's own."""
    trainer = Path(__file__).resolve().parent
    packed = trainer / "_house"
    if packed.is_dir():
        return House(packed, is_checkout=False)
    return House(trainer.parent, is_checkout=True)


def make_ready(house: House, arguments: Sequence[str]) -> None:
    """Make this machine ready to run the program, and go on inside the virtual environment.

    Returns only when the running Python has all that is needed; otherwise it installs what is
    missing and starts the program again with the right Python, or ends with one clear message.

    Args:
        house: where the program lies.
        arguments: the command's own arguments, handed on unchanged.
    """
    _check_python()
    _check_libraries(house)
    if not house.is_checkout or _is_set_up_by_hand(house):
        return
    inside = Path(sys.prefix).resolve() == house.venv.resolve()
    stamp = _make_stamp(house)
    if _read_stamp(house) == stamp:
        if inside:
            return
    else:
        _install(house, stamp)
    _start_again(house, arguments)


def find_missing_libraries() -> list[Library]:
    """List the system libraries of the table that this machine can't load."""
    if not sys.platform.startswith("linux"):
        return []  # elsewhere Qt and VTK bring all they need or use what the system always has
    return [library for library in LIBRARIES if not _can_load(library.soname)]


def has_display() -> bool:
    """Say whether a window can be shown: a screen is named, and where it is X, it answers."""
    if not sys.platform.startswith("linux"):
        return True
    if os.environ.get("QT_QPA_PLATFORM") or os.environ.get("WAYLAND_DISPLAY"):
        return True
    return bool(os.environ.get("DISPLAY")) and _does_x_answer()


def can_install_system_packages() -> bool:
    """Say whether this user may install Debian packages here."""
    return sys.platform != "win32" and os.geteuid() == 0 and shutil.which("apt-get") is not None


def install_system_packages(packages: Sequence[str]) -> None:
    """Install Debian packages and name them; end with a clear message where that fails.

    Args:
        packages: names of Debian packages. The caller has asked `can_install_system_packages`.
    """
    _say("installing system packages: " + " ".join(packages))
    environment = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
    install = ["apt-get", "install", "-y", "-qq", "--no-install-recommends", *packages]
    for command in (["apt-get", "update", "-qq"], install):
        done = subprocess.run(
            command,
            env=environment,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            check=False,
        )
        if done.returncode != 0:
            _end(f"{done.stdout}\n`{' '.join(command)}` failed; its words are above.")


def _check_python() -> None:
    """End with the remedy where this Python is too old or lacks its venv module."""
    if sys.version_info < OLDEST_PYTHON:
        wanted = ".".join(map(str, OLDEST_PYTHON))
        _end(
            f"this is Python {sys.version.split()[0]}; Python {wanted} or newer is needed. "
            f"Install one and start again with it, for instance: python{wanted} -m trainer"
        )


def _check_libraries(house: House) -> None:
    missing = find_missing_libraries()
    if not missing:
        return
    if house.is_checkout and can_install_system_packages():
        install_system_packages([library.package for library in missing])
        still = find_missing_libraries()
        if still:
            names = " ".join(library.soname for library in still)
            _end(f"still not found after installing their packages: {names}")
        return
    line = "sudo apt-get install " + " ".join(library.package for library in missing)
    if all(library.for_window_only for library in missing):
        _say(f"the window can't open here, all else works. For the window: {line}")
        return
    _end(f"system libraries are missing. On Debian or Ubuntu install them with:\n  {line}")


def _is_set_up_by_hand(house: House) -> bool:
    """Say whether somebody installed this checkout into a virtual environment of their own."""
    if sys.prefix == sys.base_prefix or Path(sys.prefix).resolve() == house.venv.resolve():
        return False
    from importlib.metadata import PackageNotFoundError, distribution  # slow, and rarely needed

    try:
        distribution("pumpwright")
    except PackageNotFoundError:
        return False
    return True


def _make_stamp(house: House) -> str:
    """Hash all that decides what belongs into the virtual environment, its place included.

    Of pyproject.toml only what is installed counts: a changed tool setting must not send a
    developer without network back to set-up.
    """
    import tomllib  # not at the top: an older Python must still reach the message about its age

    settings = tomllib.loads((house.folder / "pyproject.toml").read_text(encoding="utf-8"))
    constraints = (house.folder / "trainer" / "constraints.txt").read_text(encoding="utf-8")
    decides = (settings["project"], constraints, sys.version_info[:3], str(house.folder))
    return hashlib.sha256(repr(decides).encode()).hexdigest()


def _read_stamp(house: House) -> str | None:
    if not house.venv_python.exists():
        return None  # an environment without its Python counts as none, whatever it says
    try:
        return house.stamp.read_text(encoding="utf-8")
    except FileNotFoundError:
        return None


def _install(house: House, stamp: str) -> None:
    """Make the virtual environment and install the packages; the stamp is written last."""
    if importlib.util.find_spec("ensurepip") is None:
        _install_venv_module()
    if not os.access(house.folder, os.W_OK):
        _end(f"can't write into {house.folder}. Make that folder writable and try again.")
    # Beside the environment and not inside: making the environment anew would remove a lock there.
    with _lock(house.folder / ".venv-lock"):
        if _read_stamp(house) == stamp:
            return  # another command has just done it
        house.stamp.unlink(missing_ok=True)
        if not _fits_this_python(house):
            _say("making the virtual environment .venv")
            _run_or_end([sys.executable, "-m", "venv", "--clear", str(house.venv)])
        _say("installing the packages (about 2 GB; needed once)")
        _install_packages(house)
        part = house.venv / "pumpwright-stamp.part"
        part.write_text(stamp, encoding="utf-8")
        part.replace(house.stamp)
        _say("set-up is complete")


def _install_venv_module() -> None:
    if not can_install_system_packages():
        _end("Python's venv module is incomplete. Install it: sudo apt-get install python3-venv")
    install_system_packages(["python3-venv"])


def _fits_this_python(house: House) -> bool:
    """Say whether the environment's Python starts and is the same release as this one."""
    if not house.venv_python.exists():
        return False
    release = "import sys, pip; print(*sys.version_info[:2])"
    try:
        done = subprocess.run(
            [house.venv_python, "-c", release], capture_output=True, text=True, check=False
        )
    except OSError:
        return False
    return done.stdout.split() == [str(number) for number in sys.version_info[:2]]


def _install_packages(house: House) -> None:
    """Install with uv, which is about seven times faster, or with pip where uv won't do."""
    python = str(house.venv_python)
    constraints = str(house.folder / "trainer" / "constraints.txt")
    wanted = ["-c", constraints, "-e", f"{house.folder}[test]"]
    pip = [python, "-m", "pip", "install", "--disable-pip-version-check", "-q"]
    uv = [python, "-m", "uv", "pip", "install", "-q", "--python", python]
    environment = _make_uv_environment()
    if _run([*pip, "-c", constraints, "uv"]) and _run([*uv, *wanted], environment):
        return
    _say("uv could not install the packages; trying with pip, which takes longer")
    if not _run([*pip, *wanted]):
        _end(
            "the packages could not be installed; the messages above say why. "
            "Is the network reachable, and are 3 GB free? Then run the same command again."
        )


def _make_uv_environment() -> dict[str, str]:
    """Hand on to uv what the user has told pip about package indexes and certificates."""
    environment = dict(os.environ)
    told = [("PIP_CERT", "SSL_CERT_FILE")]
    if not any(name.startswith("UV_") and "INDEX" in name for name in environment):
        told += [("PIP_INDEX_URL", "UV_DEFAULT_INDEX"), ("PIP_EXTRA_INDEX_URL", "UV_INDEX")]
    for pip_name, uv_name in told:
        if environment.get(pip_name):
            environment.setdefault(uv_name, environment[pip_name])
    return environment


@contextlib.contextmanager
def _lock(path: Path) -> Iterator[None]:
    """Let only one command at a time set up; the system frees the lock even after a kill."""
    with path.open("a", encoding="utf-8") as file:
        if sys.platform != "win32":
            import fcntl  # absent on Windows

            try:
                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                _say("another command is setting up; waiting for it")
                fcntl.flock(file, fcntl.LOCK_EX)
        yield


def _start_again(house: House, arguments: Sequence[str]) -> NoReturn:
    """Become the environment's Python, with the same arguments."""
    # -P keeps the current folder off the import path: the installed link leads to this checkout.
    command = [str(house.venv_python), "-P", "-m", "trainer", *arguments]
    sys.stdout.flush()
    sys.stderr.flush()
    if sys.platform == "win32":  # there, exec returns to the shell before the program has ended
        raise SystemExit(subprocess.run(command, check=False).returncode)
    os.execv(command[0], command)


def _can_load(soname: str) -> bool:
    try:
        ctypes.CDLL(soname)
    except OSError:
        return False
    return True


def _does_x_answer() -> bool:
    """Try to reach the X server: Qt would not raise but end the whole program."""
    try:
        xcb = ctypes.CDLL("libxcb.so.1")
    except OSError:
        return False
    xcb.xcb_connect.restype = ctypes.c_void_p
    connection = ctypes.c_void_p(xcb.xcb_connect(None, None))
    fails = bool(xcb.xcb_connection_has_error(connection))
    xcb.xcb_disconnect(connection)
    return not fails


def _run(command: Sequence[str], environment: dict[str, str] | None = None) -> bool:
    """Run a command with its words going to stderr; say whether it ended well."""
    done = subprocess.run(
        command, env=environment, stdin=subprocess.DEVNULL, stdout=sys.stderr, check=False
    )
    return done.returncode == 0


def _run_or_end(command: Sequence[str]) -> None:
    if not _run(command):
        _end(f"`{' '.join(command)}` failed; its words are above.")


def _say(sentence: str) -> None:
    sys.stderr.write(f"pumpwright: {sentence}\n")
    sys.stderr.flush()


def _end(sentence: str) -> NoReturn:
    _say(sentence)
    raise SystemExit(SURROUNDINGS_EXIT)
