"""The shape of the repository: what may lie at the top, how long a file may get, what no file says."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[2]
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "LICENSE",
    "trainer",
    "models",
    "lessons",
    "tests",
}
MOST_LINES = 400
# A longer file needs its reason here. An entry that is no longer needed fails, too.
LONGER_FILES: dict[str, str] = {}

# Put together from halves, so that this file is not found by its own search.
HOW_IT_CAME_ABOUT = ("tran" + "script", "seed " + "document", "voice " + "memo")
REGISTRY = re.compile(
    r"(py" + r"pi\.(org|python)|python" + r"hosted|registry\.npm" + r"js|deb\.deb" + r"ian\.org"
    r"|https?://[^\s)\"']*/(simple|packages|npm|py" + r"pi)/)"
)
MACHINE_PATH = re.compile(r"(?<![\w.])/(work" + r"|root" + r"|home/\w+|tmp/brief)/")
LEFT_OPEN = re.compile(
    r"(\bTO" + r"DO\b|\bFIX" + r"ME\b|Not" + r"ImplementedError|#\s*no" + r"qa\s*$"
    r"|#\s*type:\s*ig" + r"nore\s*$|py" + r"test\.skip\(\s*\)|mark\.ski" + r"p\s*$)"
)


def read_ignored_names() -> set[str]:
    """Read the names that git does not keep, patterns left aside."""
    lines = (HOUSE / ".gitignore").read_text(encoding="utf-8").splitlines()
    return {line.strip("/") for line in lines}


def list_files() -> Iterator[Path]:
    """List the files that belong to the project; there may be no git where this runs."""
    ignored = read_ignored_names()
    for top in sorted(HOUSE.iterdir()):
        if top.name in ignored or top.name == ".git":
            continue
        for path in [top] if top.is_file() else sorted(top.rglob("*")):
            if path.is_file() and "__pycache__" not in path.parts:
                yield path


def read_texts() -> Iterator[tuple[str, str]]:
    """Read every text file of the project: its path from the top, and what it says."""
    for path in list_files():
        try:
            text = path.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue  # a picture or a font
        yield path.relative_to(HOUSE).as_posix(), text


def find_lines(pattern: re.Pattern[str], only: str = "") -> list[str]:
    """Find the lines that hold the pattern, in files whose name ends in `only`."""
    return [
        f"{name}:{number}: {line.strip()[:100]}"
        for name, text in read_texts()
        if name.endswith(only)
        for number, line in enumerate(text.splitlines(), start=1)
        if pattern.search(line)
    ]


def test_search_sees_the_project() -> None:
    names = {name for name, _ in read_texts()}
    assert {"trainer/__main__.py", "models/__init__.py", "pyproject.toml", ".ci/run"} <= names
    assert find_lines(re.compile(r"^def find_house"), ".py") != []


def test_only_the_agreed_names_lie_at_the_top() -> None:
    allowed = TOP_LEVEL | read_ignored_names()
    found = {path.name for path in HOUSE.iterdir() if not path.name.startswith(".")}
    assert found - allowed == set()
    assert TOP_LEVEL - found == set()


def test_no_python_file_grows_past_400_lines_without_a_reason() -> None:
    lengths = {name: text.count("\n") for name, text in read_texts() if name.endswith(".py")}
    long = {name for name, lines in lengths.items() if lines > MOST_LINES}
    assert long == set(LONGER_FILES), {name: lengths.get(name) for name in long}


@pytest.mark.parametrize("phrase", HOW_IT_CAME_ABOUT)
def test_no_file_tells_how_the_project_came_about(phrase: str) -> None:
    assert find_lines(re.compile(re.escape(phrase), re.IGNORECASE)) == []


def test_no_file_names_a_package_registry_by_address() -> None:
    assert find_lines(REGISTRY) == []


def test_no_file_names_a_path_of_one_machine() -> None:
    assert find_lines(MACHINE_PATH) == []


def test_nothing_is_left_open_or_silenced_without_a_reason() -> None:
    assert find_lines(LEFT_OPEN, ".py") == []


@pytest.mark.parametrize(
    ("pattern", "line"),
    [
        (REGISTRY, "see https://py" + "pi.org/simple/thing"),
        (REGISTRY, "from https://mirror.example/py" + "pi/simple/"),
        (MACHINE_PATH, 'open("/wor' + 'k/main/file")'),
        (MACHINE_PATH, "cd /ro" + "ot/src"),
        (LEFT_OPEN, "x = 1  # no" + "qa"),
        (LEFT_OPEN, "raise Not" + "ImplementedError"),
    ],
)
def test_each_search_finds_what_it_is_for(pattern: re.Pattern[str], line: str) -> None:
    assert pattern.search(line)
