"""What all tests share: which run, on which screen, and the list of those that did not run."""

from __future__ import annotations

import gc
import os
from collections import Counter
from collections.abc import Generator, Iterator
from typing import Any

import pytest
from hypothesis import settings

from trainer import fresh

settings.register_profile("desk", deadline=None)
# Half of the usual examples: they are the same at every change, and the desk and the long run try others.
settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True, max_examples=50)
settings.register_profile("long", deadline=None, max_examples=2000)

LONG_LEFT_OUT = pytest.StashKey[int]()


@pytest.hookimpl(trylast=True)
def pytest_runtest_teardown() -> None:
    """Look for what only holds itself where a window that stands open keeps Python from it; its own beat rests here."""
    if not gc.isenabled():
        gc.collect(1)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--long", action="store_true", help="run the tests that take minutes, too")
    parser.addoption("--no-skips", action="store_true", help="a test that can't run here fails")


def pytest_configure(config: pytest.Config) -> None:
    profile = "long" if config.getoption("--long") else "desk"
    settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", profile))
    config.stash[LONG_LEFT_OUT] = 0
    _choose_screen(os.environ.get("PYTEST_XDIST_WORKER", "gw0"))


def _choose_screen(worker: str) -> None:
    """Give each worker a screen of its own; without any, plain widgets can still be tested."""
    screens = os.environ.get("PUMPWRIGHT_TEST_SCREENS", "").split()
    if screens:
        os.environ["DISPLAY"] = screens[int(worker.removeprefix("gw")) % len(screens)]
        os.environ["QT_QPA_PLATFORM"] = "xcb"
    elif not fresh.has_display():
        os.environ["QT_QPA_PLATFORM"] = "offscreen"


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    has_screen = os.environ.get("QT_QPA_PLATFORM") != "offscreen"
    for item in items:
        if item.get_closest_marker("window") and not has_screen:
            item.add_marker(pytest.mark.skip(reason="needs a screen: install xvfb"))
    if config.getoption("--long"):
        return
    left_out = [item for item in items if item.get_closest_marker("long")]
    if left_out:
        items[:] = [item for item in items if not item.get_closest_marker("long")]
        config.hook.pytest_deselected(items=left_out)
        config.stash[LONG_LEFT_OUT] = len(left_out)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item,
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    report = yield
    _forbid_skip(item.config, report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(
    collector: pytest.Collector,
) -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    report = yield
    _forbid_skip(collector.config, report)
    return report


def _forbid_skip(config: pytest.Config, report: pytest.TestReport | pytest.CollectReport) -> None:
    """Turn a skip into a failure where every test must run; an expected failure is none."""
    if config.getoption("--no-skips") and report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"skipped, but here every test must run: {_find_reason(report)}"


def _find_reason(report: Any) -> str:
    where = report.longrepr
    return str(where[2] if isinstance(where, tuple) else where).removeprefix("Skipped: ")


def pytest_sessionfinish(session: pytest.Session) -> None:
    output = getattr(session.config, "workeroutput", None)
    if output is not None:  # a worker: only its own process knows what it left out
        output["long_left_out"] = session.config.stash[LONG_LEFT_OUT]


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any) -> None:
    left_out = getattr(node, "workeroutput", {}).get("long_left_out", 0)
    node.config.stash[LONG_LEFT_OUT] = left_out  # every worker collects the same tests


def pytest_terminal_summary(
    terminalreporter: pytest.TerminalReporter, config: pytest.Config
) -> None:
    skipped = Counter(_find_reason(report) for report in terminalreporter.stats.get("skipped", []))
    lines = [f"{count} of: {reason}" for reason, count in skipped.items()]
    if config.stash[LONG_LEFT_OUT]:
        lines.append(f"{config.stash[LONG_LEFT_OUT]} long tests: python3 -m trainer test --long")
    terminalreporter.section("not run here")
    for line in lines or ["nothing: every test ran"]:
        terminalreporter.line(line)


@pytest.fixture(autouse=True, scope="session")
def _own_data_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep tests out of the records of whoever runs them."""
    with pytest.MonkeyPatch.context() as patch:
        for name in ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME"):
            patch.setenv(name, str(tmp_path_factory.mktemp(name.lower())))
        yield
