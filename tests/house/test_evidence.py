"""Every check against values from outside names its source, and there are as many as we promise."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.evidence.conftest import count_evidence

ROOT = Path(__file__).resolve().parent.parent.parent
COLLECT = """
import json, pytest
from tests.evidence.conftest import read_mark

class Marks:
    def pytest_collection_modifyitems(self, items):
        print("marks", json.dumps([(item.nodeid, read_mark(item)) for item in items]))

raise SystemExit(pytest.main(["--collect-only", "-q", "-p", "no:cacheprovider", "tests/evidence"], plugins=[Marks()]))
"""


pytestmark = pytest.mark.xdist_group("evidence")  # collected once


@pytest.fixture(scope="module")
def marks() -> list[tuple[str, tuple[str, bool] | None]]:
    done = subprocess.run(
        [sys.executable, "-c", COLLECT], cwd=ROOT, capture_output=True, text=True, check=True
    )
    line = next(line for line in done.stdout.splitlines() if line.startswith("marks "))
    return [(name, mark and (mark[0], mark[1])) for name, mark in json.loads(line[6:])]


def test_every_check_names_its_source(marks: list[tuple[str, tuple[str, bool] | None]]) -> None:
    assert [name for name, mark in marks if mark is None or not mark[0].strip()] == []


def test_no_source_is_left_half_written(marks: list[tuple[str, tuple[str, bool] | None]]) -> None:
    assert [mark for _, mark in marks if mark and any(sign in mark[0] for sign in "{}")] == []


def test_enough_is_held_against_enough_sources(
    marks: list[tuple[str, tuple[str, bool] | None]],
) -> None:
    tally = count_evidence(mark for _, mark in marks if mark)
    assert tally.counted + tally.recalled + tally.own >= 70
    assert tally.counted >= 50
    assert tally.sources >= 20
