"""The tour, whole: what it leaves in its folder, and that a second one leaves the same."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from trainer.__main__ import _run_to_status

PICTURES = ("assembled.png", "half-section.png", "exploded.png", "teardown.png")
TEXTS = ("parts.txt", "order.txt", "shims.txt")


pytestmark = pytest.mark.xdist_group("tour")  # one process makes the tour, and all look at that


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("at the bench") / "tour"
    assert _run_to_status(["tour", "--out", str(folder)]) == 0
    return folder


def test_folder_holds_every_picture_and_list(folder: Path) -> None:
    assert sorted(path.name for path in folder.iterdir()) == sorted([*PICTURES, *TEXTS])


@pytest.mark.parametrize("name", PICTURES)
def test_pictures_are_large_and_show_something(folder: Path, name: str) -> None:
    with Image.open(folder / name) as image:
        assert min(image.size) >= 720
        grey = np.asarray(image.convert("L"))
    ground = np.bincount(grey.ravel()).argmax()
    share = float(np.mean(np.abs(grey.astype(int) - int(ground)) > 8))
    assert 0.05 < share < 0.9


def test_pictures_differ_from_each_other(folder: Path) -> None:
    assert len({(folder / name).read_bytes() for name in PICTURES}) == len(PICTURES)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("parts.txt", ("impeller", "wear ring", "bronze")),
        ("order.txt", ("suction cover", "held", "impeller screw", "shortest way", "Score")),
        ("shims.txt", ("back-vane", "mm")),
    ],
)
def test_lists_say_what_they_should(folder: Path, name: str, words: tuple[str, ...]) -> None:
    text = (folder / name).read_text(encoding="utf-8")
    assert [word for word in words if word not in text] == []


def test_folder_that_cannot_be_made_is_one_message(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    assert _run_to_status(["tour", "--out", str(tmp_path / "taken" / "tour")]) == 3
    told = capsys.readouterr().err
    assert "Traceback" not in told
    assert "taken" in told
