"""Which library may be loaded in which room, and what no start may load.

The arrows between our own packages are contracts in pyproject.toml; here stands what those can't
say: where the heavy libraries live, and what `sys.modules` holds after a start.
"""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[2]
KERNEL = {"cadquery", "OCP"}
# what shapes share; itself loaded only inside a shape
KERNEL_FORMS = ("models/parts/forms.py", "models/parts/rolling.py")
# Library -> the folders that may import it. The kernel has one more place: inside a part's shape
# and the functions that a shape is made with.
ROOMS = {
    "cadquery": ("models/solids", *KERNEL_FORMS),
    "OCP": ("models/solids", *KERNEL_FORMS),
    "PySide6": ("trainer/desktop",),
    "qtpy": ("trainer/desktop",),
    "pyvistaqt": ("trainer/desktop",),
    "vtk": ("trainer/stage", "trainer/desktop"),
    "vtkmodules": ("trainer/stage", "trainer/desktop"),
    "pyvista": ("trainer/stage", "trainer/desktop"),
    "sqlalchemy": ("trainer/records",),
    "alembic": ("trainer/records",),
    "psycopg": (),  # SQLAlchemy loads it, where a URL names a server
    "fsrs": ("trainer/lesson/spacing.py",),
    "click": ("trainer/console", "trainer/__main__.py"),
    "rich": ("trainer/console",),
}
# Absent after each start; the figures are seconds measured on two shared cores.
TOO_SLOW_FOR_START = {
    "cadquery",  # 2.4-4.3
    "OCP",
    "scipy.stats",  # 1.4
    "trimesh",  # 1-2
    "numba",  # 0.8
    "networkx",  # 0.2
    "PySide6",
    "vtk",
    "vtkmodules",
    "pyvista",
    "alembic",
    "psycopg",
}


MAKE = "from trainer.console import make_console; make_console()"


@dataclass(frozen=True)
class Import:
    """One import: the library's first name, where it stands, and inside which functions."""

    library: str
    file: str
    line: int
    functions: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.library}"


def find_imports(text: str, file: str) -> Iterator[Import]:
    """Find all imports of a file, those inside functions included."""

    def walk(node: ast.AST, functions: tuple[str, ...]) -> Iterator[Import]:
        for child in ast.iter_child_nodes(node):
            inside = functions
            if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef):
                inside = (*functions, child.name)
            if isinstance(child, ast.If) and ast.unparse(child.test) == "TYPE_CHECKING":
                continue
            names = [alias.name for alias in child.names] if isinstance(child, ast.Import) else []
            if isinstance(child, ast.ImportFrom):
                names = [child.module or ""]
            for name in names:
                yield Import(name.split(".")[0], file, child.lineno, inside)  # type: ignore[attr-defined]  # both kinds of import have a line
            yield from walk(child, inside)

    yield from walk(ast.parse(text), ())


def list_imports() -> list[Import]:
    paths = [
        path for room in ("trainer", "models") for path in sorted((HOUSE / room).rglob("*.py"))
    ]
    return [
        found
        for path in paths
        for found in find_imports(
            path.read_text(encoding="utf-8"), path.relative_to(HOUSE).as_posix()
        )
    ]


def is_allowed(found: Import) -> bool:
    rooms = ROOMS.get(found.library)
    if rooms is None or any(found.file.startswith(room) for room in rooms):
        return True
    in_a_shape = found.functions != () and "faces" not in found.functions
    return found.library in KERNEL and found.file.startswith("models/parts/") and in_a_shape


def test_heavy_libraries_stay_in_their_rooms() -> None:
    assert [str(found) for found in list_imports() if not is_allowed(found)] == []


@pytest.mark.parametrize(
    ("text", "file", "allowed"),
    [
        ("import cadquery", "models/parts/shaft.py", False),
        ("def shape(f, row):\n    import cadquery", "models/parts/shaft.py", True),
        ("def faces(row):\n    from OCP.gp import gp_Pnt", "models/parts/shaft.py", False),
        ("def shape(f, row):\n    import cadquery", "models/pumps/end_suction.py", False),
        ("import vtkmodules.util", "trainer/session/show.py", False),
        ("from PySide6.QtCore import Qt", "trainer/stage/scene.py", False),
        ("import pyvista", "trainer/stage/scene.py", True),
    ],
)
def test_the_rule_of_rooms_tells_right_from_wrong(text: str, file: str, allowed: bool) -> None:
    assert [is_allowed(found) for found in find_imports(text, file)] == [allowed]


def test_set_up_needs_the_standard_library_only() -> None:
    for file in ("fresh.py", "__init__.py", "__main__.py", "run_tests.py"):
        for found in find_imports((HOUSE / "trainer" / file).read_text(encoding="utf-8"), file):
            at_top = not found.functions
            ours_at_top = file == "run_tests.py"
            standard = found.library in sys.stdlib_module_names
            if at_top or file == "fresh.py":
                assert standard or (ours_at_top and found.library == "trainer"), found


@pytest.mark.parametrize("file", ["__init__.py", "__main__.py"])
def test_first_files_import_nothing_at_the_top(file: str) -> None:
    text = (HOUSE / "trainer" / file).read_text(encoding="utf-8")
    at_top = {found.library for found in find_imports(text, file) if not found.functions}
    assert at_top <= {"__future__"}


def find_loaded(statement: str) -> set[str]:
    """Run one statement in a Python of its own and list the modules it leaves loaded."""
    program = f"import sys\n{statement}\nsys.stderr.write('\\n'.join(sys.modules))"
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=HOUSE, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr[-2000:]
    return set(done.stderr.split())


@pytest.mark.parametrize(
    "statement",
    [
        "import trainer.console",
        f"{MAKE}",
        f"{MAKE}.main(['--help'], standalone_mode=False)",
        f"{MAKE}.main(['builds', '--json'], standalone_mode=False)",
    ],
)
def test_console_starts_without_what_is_slow(statement: str) -> None:
    loaded = find_loaded(statement)
    assert "trainer.console" in loaded
    assert loaded & TOO_SLOW_FOR_START == set()


def test_what_a_pump_is_can_be_read_without_the_kernel() -> None:
    rooms = [HOUSE / "models" / room for room in ("spec", "parts", "pumps", "exhibits")]
    files = [path.relative_to(HOUSE) for room in rooms for path in sorted(room.rglob("*.py"))]
    names = [
        ".".join(file.with_suffix("").parts)
        for file in files
        if file.as_posix() not in KERNEL_FORMS
    ]
    assert {"models.parts.wear_ring", "models.spec.length"} <= set(names)
    loaded = find_loaded("import " + ", ".join(names))
    assert set(names) <= loaded
    assert loaded & TOO_SLOW_FOR_START == set()


def test_the_search_for_loaded_modules_sees_a_slow_one() -> None:
    assert find_loaded("import networkx") & TOO_SLOW_FOR_START == {"networkx"}
