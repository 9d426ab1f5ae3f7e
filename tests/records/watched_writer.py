"""Add attempts while writing down every change SQLite asks of the disk, and every acknowledgement.

Usage: watched_writer.py FILE COUNT LOG JOURNAL [SETTING …]

LOG becomes a pickled list of tuples, in the order of happening:
    ("create", name)              a file's name was made in the folder
    ("write", name, offset, data) bytes were handed to the operating system
    ("truncate", name, size)
    ("sync", name)                the file's content and size are on the disk
    ("remove", name)              the name was taken out of the folder
    ("sync-folder",)              the folder's names are on the disk
    ("acknowledged", attempt)     `add_attempt` returned
JOURNAL is WAL or DELETE, whichever this SQLite would be given. SETTINGs take the place of the program's own.

It puts a layer of its own between SQLite and SQLite's file layer, in the very library that Python
uses: the methods that change a file write a line and then call the real ones. The folder's syncs
are seen at the system call that opens the folder, which SQLite makes for nothing but to sync it.
"""

from __future__ import annotations

import _sqlite3
import ctypes
import pickle
import sys
from ctypes import CFUNCTYPE, POINTER, c_char_p, c_int, c_int64, c_void_p
from pathlib import Path

import trainer.records.connection
import trainer.records.sqlite_file
from tests.records.samples import make_attempt
from trainer.records import open_records

OPEN = CFUNCTYPE(c_int, c_void_p, c_void_p, c_void_p, c_int, c_void_p)
DELETE = CFUNCTYPE(c_int, c_void_p, c_void_p, c_int)
WRITE = CFUNCTYPE(c_int, c_void_p, c_void_p, c_int, c_int64)
TRUNCATE = CFUNCTYPE(c_int, c_void_p, c_int64)
SYNC = CFUNCTYPE(c_int, c_void_p, c_int)
SET_CALL = CFUNCTYPE(c_int, c_void_p, c_char_p, c_void_p)
FIND_CALL = CFUNCTYPE(c_void_p, c_void_p, c_char_p)
OPEN_FOLDER = CFUNCTYPE(c_int, c_void_p, c_void_p)
SQLITE_OPEN_CREATE = 0x4


class FileLayer(ctypes.Structure):
    """sqlite3_vfs as sqlite3.h has it; only what is called here has a type."""

    _fields_ = [
        ("version", c_int),
        ("file_size", c_int),
        ("longest_path", c_int),
        ("next", c_void_p),
        ("name", c_char_p),
        ("own", c_void_p),
        ("open", OPEN),
        ("delete", DELETE),
        ("others", c_void_p * 11),
        ("set_system_call", SET_CALL),
        ("find_system_call", FIND_CALL),
        ("next_system_call", c_void_p),
    ]


class FileMethods(ctypes.Structure):
    """sqlite3_io_methods as sqlite3.h has it."""

    _fields_ = [
        ("version", c_int),
        ("close", c_void_p),
        ("read", c_void_p),
        ("write", WRITE),
        ("truncate", TRUNCATE),
        ("sync", SYNC),
        ("others", c_void_p * 13),
    ]


class OpenFile(ctypes.Structure):
    _fields_ = [("methods", POINTER(FileMethods))]


log: list[tuple[object, ...]] = []
names: dict[int, str] = {}  # where SQLite keeps the open file → its name
kept_alive: list[object] = []  # C holds pointers to these


def watch_files(folder: Path) -> None:
    """Make the watching layer the one every new connection uses."""
    library = ctypes.CDLL(_sqlite3.__file__)
    library.sqlite3_vfs_find.restype = POINTER(FileLayer)
    real = library.sqlite3_vfs_find(None).contents
    assert real.version >= 3

    def open_file(layer: int, name: int | None, file: int, flags: int, out: int) -> int:
        path = Path(ctypes.string_at(name).decode()) if name else None
        is_new = path is not None and bool(flags & SQLITE_OPEN_CREATE) and not path.exists()
        code = int(real.open(layer, name, file, flags, out))
        if code == 0 and path is not None:
            assert path.parent == folder
            if is_new and path.exists():
                log.append(("create", path.name))
            names[file] = path.name
            opened = ctypes.cast(file, POINTER(OpenFile)).contents
            assert opened.methods.contents.version >= 3
            opened.methods = ctypes.pointer(watch_methods(opened.methods.contents))
        return code

    def delete_file(layer: int, name: int, sync_folder: int) -> int:
        path = Path(ctypes.string_at(name).decode())
        if path.exists():
            log.append(("remove", path.name))
        return int(real.delete(layer, name, sync_folder))

    real_open_folder = OPEN_FOLDER(real.find_system_call(ctypes.addressof(real), b"openDirectory"))

    def open_folder(name: int, out: int) -> int:
        log.append(("sync-folder",))
        return int(real_open_folder(name, out))

    watching = FileLayer.from_buffer_copy(real)
    watching.name = b"watching"
    watching.open = OPEN(open_file)
    watching.delete = DELETE(delete_file)
    watched_call = OPEN_FOLDER(open_folder)
    kept_alive.extend([real, watching, watched_call, real_open_folder])
    code = real.set_system_call(
        ctypes.addressof(real), b"openDirectory", ctypes.cast(watched_call, c_void_p)
    )
    assert code == 0
    assert library.sqlite3_vfs_register(ctypes.byref(watching), 1) == 0


def watch_methods(real: FileMethods) -> FileMethods:
    """Copy a file's methods, with those that change it watched."""
    write, truncate, sync = real.write, real.truncate, real.sync

    def write_file(file: int, data: int, size: int, offset: int) -> int:
        log.append(("write", names[file], offset, ctypes.string_at(data, size)))
        return int(write(file, data, size, offset))

    def truncate_file(file: int, size: int) -> int:
        log.append(("truncate", names[file], size))
        return int(truncate(file, size))

    def sync_file(file: int, flags: int) -> int:
        log.append(("sync", names[file]))
        return int(sync(file, flags))

    watching = FileMethods.from_buffer_copy(real)
    watching.write = WRITE(write_file)
    watching.truncate = TRUNCATE(truncate_file)
    watching.sync = SYNC(sync_file)
    kept_alive.extend([real, watching, write, truncate, sync])
    return watching


def main(file: Path, count: int, log_file: Path, journal: str, settings: tuple[str, ...]) -> None:
    watch_files(file.parent)
    trainer.records.sqlite_file.find_journal = lambda *_: journal
    if settings:
        trainer.records.connection.SETTINGS = settings
    records = open_records(file)
    for number in range(1, count + 1):
        # Some attempts fill many pages, so that a commit torn in the middle would show.
        attempt = make_attempt(number, answer="x" * (9_000 * (number % 3)))
        records.add_attempt(attempt)
        log.append(("acknowledged", attempt))
    log_file.write_bytes(pickle.dumps(log))


main(Path(sys.argv[1]), int(sys.argv[2]), Path(sys.argv[3]), sys.argv[4], tuple(sys.argv[5:]))
