"""The tools that read the code: each must be silent."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[2]
LINT_IMPORTS = "from importlinter.cli import lint_imports_command; lint_imports_command()"
TOOLS = {
    "ruff": ["-m", "ruff", "check", "--quiet", "."],
    "mypy": ["-m", "mypy"],
    "import contracts": ["-c", LINT_IMPORTS],
}


@pytest.mark.parametrize("tool", TOOLS)
def test_tool_finds_nothing_to_mend(tool: str) -> None:
    done = subprocess.run(
        [sys.executable, *TOOLS[tool]], cwd=HOUSE, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, f"{tool}:\n{done.stdout[-6000:]}{done.stderr[-2000:]}"
