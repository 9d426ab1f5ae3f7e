"""Join everything: make the machine ready, then hand over to the window, the console or the tests.

Nothing is imported at the top: this file must run on a machine without packages, and it is read
again by every process that the program starts.
"""


def main() -> int:
    """Run one command and return its exit status.

    Returns:
        0 when all is well, 1 when the answer is "no", 2 for input that must be mended,
        3 when the machine lacks something, 4 for a fault in the program itself.
    """
    import sys  # noqa: PLC0415 - see the top of this file

    from trainer import fresh  # noqa: PLC0415

    house = fresh.find_house()
    # First, so that a stranger's `models/` in the current folder is never taken for ours.
    sys.path.insert(0, str(house.folder))
    arguments = sys.argv[1:]
    fresh.make_ready(house, arguments)

    if arguments[:1] == ["test"]:
        from trainer.run_tests import run_tests  # noqa: PLC0415

        return run_tests(house, arguments[1:])
    from trainer.start import start  # noqa: PLC0415

    return start(arguments)


if __name__ == "__main__":
    raise SystemExit(main())
