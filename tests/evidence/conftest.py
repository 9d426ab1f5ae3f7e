"""What the checks against values from outside share: the pump they look at, and how each names its source.

Every check carries `@pytest.mark.evidence("source")`, or as the mark of one parameter row. What is recalled from
memory carries `from_memory=True`: it is listed apart and never counted. `-v` prints the source in each line.
"""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from models.builds import make_named_build
from models.spec.build import Build

MARK = "evidence"


@pytest.fixture(scope="session")
def pump() -> Build:
    return make_named_build("end-suction/100-250")


def read_mark(item: pytest.Item) -> tuple[str, bool] | None:
    """Read a check's source and whether it is from memory; None when it names none."""
    mark = item.get_closest_marker(MARK)
    if mark is None:
        return None
    return str(mark.args[0]), bool(mark.kwargs.get("from_memory", False))


def pytest_runtest_setup(item: pytest.Item) -> None:
    told = read_mark(item)
    if told is not None:
        item.user_properties.append(("evidence", told))


def pytest_report_teststatus(report: pytest.TestReport) -> tuple[str, str, str] | None:
    """Say the source in the line of each check that passed."""
    told = dict(report.user_properties).get("evidence")
    if report.when != "call" or not report.passed or not isinstance(told, tuple | list):
        return None
    source, from_memory = told
    return "passed", ".", f"PASSED <- {source}{', FROM MEMORY' if from_memory else ''}"


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Count what was checked: how many from how many sources, and how many from memory."""
    told = [
        dict(report.user_properties).get("evidence")
        for report in terminalreporter.stats.get("passed", ())
    ]
    counted, recalled = split_memory(one for one in told if isinstance(one, tuple | list))
    if counted or recalled:
        text = (
            f"evidence: {len(counted)} checks from {len(set(counted))} sources; "
            f"{len(recalled)} more from memory, not counted"
        )
        terminalreporter.write_line(text)


def split_memory(told: Iterable[tuple[str, bool] | list[object]]) -> tuple[list[str], list[str]]:
    """Split sources into those from outside and those from memory."""
    counted: list[str] = []
    recalled: list[str] = []
    for source, from_memory in told:
        (recalled if from_memory else counted).append(str(source))
    return counted, recalled
