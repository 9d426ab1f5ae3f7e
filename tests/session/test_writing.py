"""A file is written whole or not at all, and what stood there stays until the new one is complete."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from trainer.session.writing import FOR_ONE, write_whole


def test_a_file_is_there_whole_and_for_whom_it_is_meant(tmp_path: Path) -> None:
    path = tmp_path / "deep" / "sheet.pdf"
    write_whole(b"one", path)
    assert (path.read_bytes(), path.stat().st_mode & 0o777) == (b"one", 0o644)
    write_whole(b"two", path, FOR_ONE)
    assert (path.read_bytes(), path.stat().st_mode & 0o777) == (b"two", 0o600)


@pytest.mark.parametrize("broken", ["fsync", "write"])
def test_a_disk_that_refuses_leaves_what_stood_there_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, broken: str
) -> None:
    path = tmp_path / "sheet.pdf"
    write_whole(b"as it was", path)

    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    if broken == "fsync":
        monkeypatch.setattr(os, "fsync", refuse)
    else:
        monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(OSError, match="No space"):
        write_whole(b"half of a new one", path)
    assert path.read_bytes() == b"as it was"
    assert list(tmp_path.iterdir()) == [path]
