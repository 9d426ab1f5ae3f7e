"""Practicals that are watched at a terminal and not signed yet: each in a file of its own, so that no mark is lost.

The window keeps its one with all else that was left there; two terminals in one shop may watch two people at once.
"""

from __future__ import annotations

from pathlib import Path

from models.spec.errors import RefusalError, SurroundingsError
from trainer.session.as_left import (
    AsLeftFile,
    Plain,
    StrangeValueError,
    find_own_folder,
    take_table,
)
from trainer.session.observing import Held, describe_held, read_held

FOLDER = "practicals"
BEGINS = "practical-"
VALUE = "practical"
SAME = ("person", "observer", "build", "options", "procedure")
"""What says that it is the practical that was left."""


class UnsignedPracticals:
    """Keep them until they are filed. Tests give a folder of their own."""

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder or find_own_folder() / FOLDER

    def keep(self, held: Held) -> None:
        """Keep one as it stands now. Raises SurroundingsError when the disk refuses."""
        self._file(held).write({VALUE: describe_held(held)})

    def find(self, begun: Held) -> Held | None:
        """Find the newest one that was left of the same people, on the same pump, of the same procedure.

        Raises:
            RefusalError: it cannot be gone on with any more; it stays where it lies.
        """
        wanted = describe_held(begun)
        found = [
            table
            for table in self._list_tables()
            if all(table.get(name) == wanted[name] for name in SAME)
        ]
        if not found:
            return None
        try:
            return read_held(max(found, key=lambda one: str(one.get("begun"))))
        except StrangeValueError as error:
            raise RefusalError(str(error)) from error

    def drop(self, held: Held) -> None:
        """Let go of one that is filed, or is not wanted any more. Raises SurroundingsError when the disk refuses."""
        path = self._file(held).path
        try:
            path.unlink()
        except (FileNotFoundError, NotADirectoryError):
            return  # it could not be kept
        except OSError as error:
            raise SurroundingsError(f"{path} cannot be removed: {error.strerror}") from error

    def drop_naming(self, name: str) -> int:
        """Drop all in which a person's name stands, and tell how many. Raises SurroundingsError when the disk refuses."""
        dropped = 0
        for path in self._list_paths():
            many = AsLeftFile(self._folder, path.name).drop_naming(name)
            if many:
                dropped += many
                path.unlink(missing_ok=True)
        return dropped

    def _file(self, held: Held) -> AsLeftFile:
        return AsLeftFile(self._folder, f"{BEGINS}{held.id}.json")

    def _list_paths(self) -> list[Path]:
        return sorted(self._folder.glob(f"{BEGINS}*.json"))

    def _list_tables(self) -> list[dict[str, Plain]]:
        """List what can be read; a damaged file is set aside as any other that was left."""
        found = []
        for path in self._list_paths():
            try:
                table = take_table(AsLeftFile(self._folder, path.name).read().values.get(VALUE))
            except StrangeValueError:
                continue
            found.append(dict(table))
        return found
