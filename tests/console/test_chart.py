"""The wall chart: its pages, what they mark and name, and the PDF they are gathered in."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from models.spec.errors import RefusalError
from tests.shown_builds import PUMP
from trainer.console.charting import find_sheets
from trainer.console.commands import make_group
from trainer.session.bench import list_benches, open_bench
from trainer.stage.look import Look
from trainer.stage.wall_chart import find_changed, find_named

SMALL_PX = (1240, 877)


def count_blue(picture: Image.Image) -> int:
    """Count pixels that are far bluer than red, as the accent is and no material."""
    pixels = np.asarray(picture, np.int16)
    assert Look().accent[2] - Look().accent[0] > 100
    return int((pixels[..., 2] - pixels[..., 0] > 60).sum())


def test_a_page_marks_and_names_what_the_value_changes(tmp_path: Path) -> None:
    size = "x".join(map(str, SMALL_PX))
    asked = ["chart", PUMP, "--only", "hub-ring=balance-holes", "--size", size, "--json"]
    answer = CliRunner().invoke(make_group(), [*asked, "--out", str(tmp_path)])
    assert answer.exit_code == 0, answer.output
    told = json.loads(answer.stdout)
    (page,) = told["pages"]
    assert {"impeller", "back-plate"} <= set(page["changed"])
    assert "volute" not in page["changed"]
    assert told["left_out"] == {}
    picture = Image.open(page["file"])
    assert picture.size == SMALL_PX
    thirds = [
        picture.crop(box)
        for box in ((0, 0, 370, 430), (0, 430, 370, 800), (370, 100, SMALL_PX[0], 800))
    ]
    assert all(count_blue(view) > 150 for view in thirds), "in each view something is marked"
    data = Path(told["file"]).read_bytes()
    assert data.startswith(b"%PDF")
    assert data.count(b"/Type /Page\n") == 1
    box = data.split(b"/MediaBox [", 1)[1].split(b"]", 1)[0].split()
    assert [float(side) for side in box[2:]] == pytest.approx(
        [420 / 25.4 * 72, 297 / 25.4 * 72], abs=2
    )


def test_the_chart_has_a_page_for_every_value_but_the_usual_ones() -> None:
    sheets, told = find_sheets(PUMP, {})
    values = list_benches()[PUMP]
    assert told == {"left_out": {}}
    assert [sheet.name for sheet in sheets] == [
        f"{option}-{value}"
        for option, found in values.items()
        for value in found[1:]
        if value != "none"  # without a seal spring it is the packed pump, which has its page
    ]
    packed = next(sheet for sheet in sheets if sheet.value == "packed")
    assert packed.usual == "mechanical"
    assert packed.with_it == {"bracket": "open", "seal-spring": "none"}


def test_a_value_that_does_not_go_with_what_was_chosen_is_left_out_with_the_reason() -> None:
    sheets, told = find_sheets(PUMP, {"bracket": "enclosed"})
    assert "bracket" not in {sheet.option for sheet in sheets}
    assert set(told["left_out"]) >= {"shaft-seal=packed"}
    assert "oil bath" in told["left_out"]["shaft-seal=packed"]


@pytest.mark.parametrize("word", ["fixings", "fixing=keyed", "fixing=acne"])
def test_a_page_that_is_not_there_is_refused_with_what_is_near(word: str) -> None:
    with pytest.raises(RefusalError, match="fixing"):
        find_sheets(PUMP, {}, (word,))


def test_what_changed_is_told_from_what_is_gone() -> None:
    usual, other = (open_bench(PUMP, chosen) for chosen in ({}, {"fixing": "acme"}))
    changed, gone = find_changed(other.assembly, usual.assembly)
    assert "impeller" in changed
    assert "shaft-sleeve" in changed
    assert "impeller-screw" in gone
    assert not changed & set(gone)
    assert find_changed(usual.assembly, usual.assembly) == (frozenset(), ())
    named = find_named(other.assembly, changed)
    assert next(iter(named)) == "impeller"
