"""Name a mesh by all that decides it: the part's numbers, its generator's source, the kernel, the mesh settings."""

from __future__ import annotations

import hashlib
import importlib.metadata
import inspect
import json
import re
import sys
from functools import cache
from pathlib import Path

from models.spec.build import PlacedPiece
from models.spec.length import Length

MESH_FORM = 1
"""Raise when the arrays or their meaning change."""
IMPORT = re.compile(
    r"^[ \t]*from[ \t]+(models\.parts[\w.]*)[ \t]+import[ \t]+(\([^)]*\)|[^\n]*)", re.MULTILINE
)
"""An import of ours as ruff writes it. Parsing the files for it would hold up a window's first picture by 0.2 s."""


def make_key(piece: PlacedPiece) -> str:
    """Make the content key of a piece's mesh in its own frame: equal pieces share it."""
    shape = piece.part.shape
    told = {
        "form": MESH_FORM,
        "kind": piece.part.kind,
        "shape": f"{shape.__module__}.{shape.__qualname__}",
        "at": {name: _say_mm(face.at) for name, face in sorted(piece.faces.items())},
        "row": {name: _say_mm(value) for name, value in sorted(piece.row.items())},
        "source": _source_digest(shape.__module__),
        "settings": _file_digest(Path(__file__).with_name("tessellate.py")),
        "kernel": _kernel_versions(),
    }
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()


def _say_mm(value: Length) -> str:
    """Write a number to a billionth of a millimetre: a span is a sum whose rounding is no change of the part."""
    return repr(round(float(value), 9) + 0.0)


@cache
def _kernel_versions() -> str:
    return " ".join(
        f"{name} {importlib.metadata.version(name)}" for name in ("cadquery", "cadquery-ocp")
    )


@cache
def _file_digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


@cache
def _source_digest(module: str) -> str:
    """Digest the generator's file and all files of models.parts that it imports, at any depth.

    Of a generator that stands elsewhere only its own file.
    """
    waiting, seen = [module], set()
    while waiting:
        name = waiting.pop()
        path = _module_path(name)
        if name in seen or path is None:
            continue
        seen.add(name)
        waiting += find_imports(path.read_text(encoding="utf-8"))
    files = sorted(str(_module_path(name)) for name in seen) or [sys.modules[module].__file__ or ""]
    return hashlib.sha256("".join(_file_digest(Path(file)) for file in files).encode()).hexdigest()


def find_imports(source: str) -> set[str]:
    """Find the modules of models.parts that a source may mean by its imports: each it names, and each name it takes from it."""
    found = set()
    for module, names in IMPORT.findall(source):
        found |= {module, *(f"{module}.{name}" for name in re.findall(r"\w+", names))}
    return found


def _module_path(name: str) -> Path | None:
    import models.parts

    folder = Path(inspect.getfile(models.parts)).parent
    path = folder.joinpath(*name.split(".")[2:]).with_suffix(".py")
    return path if path.is_file() and name.startswith("models.parts.") else None
