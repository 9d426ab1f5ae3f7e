"""Run the project's own tests with all that this machine allows.

Like `fresh`, this module serves developers in a checkout and writes its own few sentences.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator, Sequence

from trainer import fresh

WORKERS = 2
# Two workers on two cores: more threads below them would only get in each other's way.
ONE_THREAD = ("LP_NUM_THREADS", "OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "NUMBA_NUM_THREADS")
STATUS_OF_PYTEST = {0: 0, 1: 1, 2: 130, 4: 2}


def run_tests(house: fresh.House, arguments: Sequence[str]) -> int:
    """Run ruff, mypy, the import contracts and all tests, and end by naming what was not run.

    Args:
        house: where the program lies.
        arguments: `--long`, `--no-skips`, and anything else for pytest.

    Returns:
        0 when everything passed, 1 when something failed, 2 for arguments that pytest refuses.
    """
    parser = argparse.ArgumentParser(
        prog="pumpwright test",
        description="Run the project's own tests. Other arguments go to pytest.",
        allow_abbrev=False,
    )
    parser.add_argument("--long", action="store_true", help="run the tests that take minutes, too")
    parser.add_argument("--no-skips", action="store_true", help="a test that can't run here fails")
    chosen, for_pytest = parser.parse_known_args(arguments)
    if not house.is_checkout:
        sys.stderr.write("pumpwright: the tests lie in the source tree, not in this package\n")
        return 2

    command = [sys.executable, "-m", "pytest", "-n", str(WORKERS), "--dist", "loadgroup"]
    command += ["--long"] * chosen.long + ["--no-skips"] * chosen.no_skips + for_pytest
    environment = os.environ | dict.fromkeys(ONE_THREAD, "1")
    # A stop must reach the `finally` below, or the virtual screens would outlive it.
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))
    with _open_screens() as screens:
        if screens:
            environment["PUMPWRIGHT_TEST_SCREENS"] = " ".join(screens)
        try:
            done = subprocess.run(command, cwd=house.folder, env=environment, check=False)
        except KeyboardInterrupt:
            return 130
    return STATUS_OF_PYTEST.get(done.returncode, 1)


@contextlib.contextmanager
def _open_screens() -> Iterator[list[str]]:
    """Open one virtual screen a worker, so that windows don't take each other's focus.

    Yields:
        their names for DISPLAY; none where Xvfb is missing, and then tests use the real screen,
        or those that need one are named as not run.
    """
    if shutil.which("Xvfb") is None and sys.platform.startswith("linux"):
        if not fresh.has_display() and fresh.can_install_system_packages():
            fresh.install_system_packages(["xvfb"])
    if shutil.which("Xvfb") is None:
        yield []
        return
    with contextlib.ExitStack() as stack:
        yield [stack.enter_context(_open_screen()) for _ in range(WORKERS)]


@contextlib.contextmanager
def _open_screen() -> Iterator[str]:
    """Run one Xvfb, which picks a free number and tells it through a pipe when it is ready."""
    reading, writing = os.pipe()
    screen = ["-screen", "0", "1440x900x24", "-nolisten", "tcp", "-displayfd", str(writing)]
    server = subprocess.Popen(
        ["Xvfb", *screen], pass_fds=[writing], stderr=subprocess.DEVNULL, start_new_session=True
    )
    os.close(writing)
    try:
        with os.fdopen(reading, encoding="ascii") as pipe:
            number = pipe.readline().strip()
        if not number:
            sys.stderr.write("pumpwright: Xvfb is installed but did not start\n")
            raise SystemExit(fresh.SURROUNDINGS_EXIT)
        yield f":{number}"
    finally:
        server.terminate()
        server.wait()
