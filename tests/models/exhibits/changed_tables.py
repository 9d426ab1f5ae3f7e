"""Copies of the tables with rows of one build's size table written wrong."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path

from models.spec.build import TABLES
from models.spec.table import read_size


def change_rows(folder: Path, build: str, nominals: Mapping[str, str]) -> Path:
    """Copy the tables into `folder` and give rows of FAMILY/SIZE another nominal.

    Every row must be there, or come from another table that this one takes: then it gets one of its own.
    """
    tables = folder / "tables"
    shutil.copytree(TABLES, tables)
    path = tables / "sizes" / f"{build}.csv"
    left = dict(nominals)
    lines = []
    for line in path.read_text(encoding="utf-8").splitlines():
        cells = line.split(",")
        cells[1] = left.pop(cells[0], cells[1])
        lines.append(",".join(cells))
    family, _, size = build.partition("/")
    for key, nominal in left.items():
        part, _, dimension = key.partition(".")
        known = read_size(TABLES, family, size).parts[part][dimension]
        lines.append(f"{key},{nominal},0,0,{known.unit},rectangular,depot")
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return tables
