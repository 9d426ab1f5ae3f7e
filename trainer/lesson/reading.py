"""Find lessons and read them."""

from __future__ import annotations

from errno import EINVAL
from pathlib import Path

import models
from models.spec.errors import ContentError, Fault
from trainer.lesson.lesson import Lesson

# Lessons lie beside the models, in a checkout and in an installed wheel alike.
LESSONS_FOLDER = Path(models.__file__).resolve().parent.parent / "lessons"


def list_lessons(language: str = "en", folder: Path = LESSONS_FOLDER) -> dict[str, Path]:
    """List the lessons there are in a language, by the name of their course.

    Args:
        language: as the language's folder is called.
        folder: where the courses lie, as COURSE/LANGUAGE/lesson.yaml.

    Returns:
        The file of each course, sorted by the course's name; empty where there are none.
    """
    found = {
        path.parent.parent.name: path
        for path in folder.glob("*/*/lesson.yaml")
        if path.parent.name == language
    }
    return dict(sorted(found.items()))


def read_lesson(path: Path) -> Lesson:
    """Read a lesson file.

    Raises:
        ContentError: listing every fault of the file, with line and column.
    """
    try:
        raw = _read_bytes(path)
    except OSError as error:
        what = f"the file cannot be read: {error.strerror}"
        raise ContentError(
            [Fault(str(path), 0, 0, what, "Look for it under another name")]
        ) from error
    return parse_lesson(raw, str(path))


def _read_bytes(path: Path) -> bytes:
    """Read a file, and of what is far too large, or never ends, no more than tells so."""
    from trainer.lesson.tree import MOST_BYTES

    if not path.is_file():  # a pipe would be waited for without end
        path.stat()  # raises what is the matter where there is nothing at all
        raise OSError(EINVAL, "it is no file")
    with path.open("rb") as stream:
        return stream.read(MOST_BYTES + 1)


def parse_lesson(raw: bytes, file: str) -> Lesson:
    """Read a lesson from the bytes of a file.

    Args:
        raw: YAML in UTF-8.
        file: what to call the file in faults.

    Raises:
        ContentError: listing every fault, with line and column.
    """
    # Imported on first use: the YAML reader and pydantic cost some 400 ms that no start path should pay.
    from trainer.lesson.schema import make_lesson
    from trainer.lesson.tree import read_tree

    return make_lesson(read_tree(raw, file), file)
