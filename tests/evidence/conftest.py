"""What the checks against values from outside share: the pump they look at, and how each names its source.

Every check carries `@pytest.mark.evidence("source")`, or as the mark of one parameter row. What is recalled from
memory carries `from_memory=True`: it is listed apart and never counted. A source names the work first and, after a
semicolon, where in it. `-v` prints the source in each line.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import pytest

from models.builds import make_named_build
from models.spec.build import Build

MARK = "evidence"
OWN = ("closed form", "structure")
"""How a source begins that is no publication: a sum worked out otherwise, or a check that nothing is left out."""


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
    told = dict(getattr(report, "user_properties", ())).get(
        "evidence"
    )  # a file that fails to load has none
    if report.when != "call" or not report.passed or not isinstance(told, tuple | list):
        return None
    source, from_memory = told
    return "passed", ".", f"PASSED <- {source}{', FROM MEMORY' if from_memory else ''}"


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Count what was checked: how many from how many sources, and apart from these what is not counted."""
    told = [
        dict(report.user_properties).get("evidence")
        for report in terminalreporter.stats.get("passed", ())
    ]
    marks = [(str(one[0]), bool(one[1])) for one in told if isinstance(one, tuple | list)]
    if marks:
        tally = count_evidence(marks)
        text = (
            f"evidence: {tally.counted} checks from {tally.sources} sources; not counted: "
            f"{tally.recalled} from memory, {tally.own} closed forms and checks of structure"
        )
        terminalreporter.write_line(text)


@dataclass(frozen=True, slots=True)
class Tally:
    """How many checks count and from how many sources; how many are recalled, or of our own reckoning."""

    counted: int
    sources: int
    recalled: int
    own: int


def count_evidence(marks: Iterable[tuple[str, bool]]) -> Tally:
    """Count checks by (source, whether it is from memory)."""
    counted: list[str] = []
    recalled = own = 0
    for source, from_memory in marks:
        if from_memory:
            recalled += 1
        elif source.startswith(OWN):
            own += 1
        else:
            counted.append(source)
    return Tally(len(counted), len({find_work(source) for source in counted}), recalled, own)


def find_work(source: str) -> str:
    """Find the work that a source names: what stands before its first semicolon; behind it stands where in the work."""
    return source.partition(";")[0].strip()
