"""Join everything: make the machine ready, then hand over to the window, the console or the tests.

Nothing is imported at the top: this file must run on a machine without packages, and it is read
again by every process that the program starts.
"""

from __future__ import annotations


def main() -> int:
    """Run one command and return its exit status.

    Returns:
        0 when all is well, 1 when the answer is "no", 2 for input that must be mended,
        3 when the machine lacks something, 4 for a fault in the program itself, 130 when the
        user stopped it, 141 when nobody reads the answer any more.
    """
    import sys

    from trainer import fresh

    house = fresh.find_house()
    # First, so that a stranger's `models/` in the current folder is never taken for ours.
    sys.path.insert(0, str(house.folder))
    arguments = sys.argv[1:]
    fresh.make_ready(house, arguments)

    if arguments[:1] == ["test"]:
        from trainer.run_tests import run_tests

        return run_tests(house, arguments[1:])
    return _run_to_status(arguments)


def _run_to_status(arguments: list[str]) -> int:
    """Run the window or a console command; turn every way to end into a status and one message."""
    import sys

    import click

    from models.spec.errors import PumpwrightError, SurroundingsError

    try:
        wanted = _read_window_arguments(arguments)
        status = _open_window(*wanted) if wanted is not None else _run_console(arguments)
        sys.stdout.flush()  # here, so that a reader who has gone away is noticed here
    except click.ClickException as error:
        error.show()
        return 2
    except (click.Abort, KeyboardInterrupt):
        return 130
    except BrokenPipeError:
        _drop_output()
        return 141
    except PumpwrightError as error:
        sys.stderr.write(f"{error}\n")
        return 3 if isinstance(error, SurroundingsError) else 2
    except Exception as error:  # noqa: BLE001 - the last door: a person never meets a traceback
        return _tell_own_fault(error)
    return status


def _read_window_arguments(arguments: list[str]) -> tuple[str | None, bool] | None:
    """Read the arguments of the window: a file of limits or None, and whether to begin afresh; None for a command.

    Where the records are kept is noted for all that the program starts.
    """
    rest = [one for one in arguments if one != "--afresh"]
    is_afresh = len(rest) < len(arguments)
    said = dict(zip(rest[::2], rest[1::2], strict=False))
    if len(rest) % 2 or not set(said) <= {"--limits", "--records"}:
        return None
    if "--records" in said:
        from trainer.records import choose_place

        choose_place(said["--records"])
    return said.get("--limits"), is_afresh


def _open_window(limits: str | None, is_afresh: bool) -> int:  # noqa: FBT001 - the two words of the window
    """Open the window, by the shop's limits in the file that may be named; without a screen or the window's libraries make the tour."""
    import sys
    from pathlib import Path

    from trainer import fresh
    from trainer.words import load_words

    words = load_words()
    missing = fresh.find_missing_libraries()
    if missing:
        packages = " ".join(library.package for library in missing)
        sys.stderr.write(words.say("start.no-window-libraries", packages=packages) + "\n")
    elif not fresh.has_display():
        sys.stderr.write(words.say("start.no-display") + "\n")
    else:
        from trainer.desktop import open_window

        return open_window(Path(limits) if limits else None, afresh=is_afresh)
    return _run_console(["tour"])


def _run_console(arguments: list[str]) -> int:
    """Run one console command; it returns its exit status, or none when all is well."""
    import click

    from trainer.console import make_console

    # Not click's own main(): that answers a reader who has gone away with 1, our "no".
    console = make_console()
    try:
        with console.make_context("pumpwright", arguments) as context:
            status = console.invoke(context)
    except click.exceptions.Exit as leaving:
        return leaving.exit_code
    return status if isinstance(status, int) else 0


def _drop_output() -> None:
    """Send the rest of the output nowhere, so that Python's own last flush can't fail."""
    import os
    import sys

    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())


def _tell_own_fault(error: Exception) -> int:
    """Keep the traceback in a file for whoever mends the program, and say where it is."""
    import sys

    from trainer.own_fault import keep_own_fault
    from trainer.words import load_words

    what, file = keep_own_fault(error)
    sys.stderr.write(load_words().say("start.own-fault", what=what, file=file) + "\n")
    return 4


if __name__ == "__main__":
    raise SystemExit(main())
