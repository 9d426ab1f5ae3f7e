"""Copies of the tables with rows of one build's size table written wrong."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path

from models.spec.build import TABLES


def change_rows(folder: Path, build: str, nominals: Mapping[str, str]) -> Path:
    """Copy the tables into `folder` and give rows of FAMILY/SIZE another nominal; every row must be there."""
    tables = folder / "tables"
    shutil.copytree(TABLES, tables)
    path = tables / "sizes" / f"{build}.csv"
    left = dict(nominals)
    lines = []
    for line in path.read_text(encoding="utf-8").splitlines():
        cells = line.split(",")
        cells[1] = left.pop(cells[0], cells[1])
        lines.append(",".join(cells))
    assert not left, f"no such rows to change: {', '.join(left)}"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return tables
