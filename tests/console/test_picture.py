"""`picture`: together, apart, and with a move tried; what it writes, and what it says to scripts."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from PIL import Image

from models.spec.errors import ContentError, RefusalError
from trainer.console import make_console

PUMP = "end-suction/100-250"


def run(*arguments: str) -> Result:
    return CliRunner().invoke(make_console(), ["picture", PUMP, *arguments])


def ask(*arguments: str) -> Any:
    result = run(*arguments, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_a_tried_move_is_drawn_and_told(tmp_path: Path) -> None:
    after, out = tmp_path / "off.txt", tmp_path / "try.png"
    after.write_text("# off already\ncap-screw\n", encoding="utf-8")
    told = ask(
        "--try", "bearing-cap", "--after", str(after), "--out", str(out), "--size", "640x400"
    )
    assert (told["piece"], told["verdict"]) == ("bearing-cap", "blocked")
    assert told["in_the_way"] == ["coupling-key"]
    assert told["direction"] == "towards-drive-end"
    assert 20.0 < told["travel_mm"] < 30.0
    assert told["why"].startswith("Coupling key is in the way: bearing cap meets it")
    assert told["why"].endswith(".")
    with Image.open(out) as image:
        assert image.size == (640, 400)


def test_a_person_is_told_the_reason_and_a_held_part_names_its_fasteners(tmp_path: Path) -> None:
    out = str(tmp_path / "try.png")
    result = run("--try", "suction-cover", "--out", out, "--size", "640x400")
    assert result.exit_code == 0
    assert "held by 8 cover nuts" in result.stdout
    told = ask("--try", "suction-cover", "--out", out, "--size", "640x400")
    assert (told["verdict"], told["travel_mm"], told["direction"]) == ("held", None, None)
    assert len(told["in_the_way"]) == 8


def test_a_free_part_comes_off(tmp_path: Path) -> None:
    told = ask("--try", "coupling-key", "--out", str(tmp_path / "try.png"), "--size", "640x400")
    assert (told["verdict"], told["in_the_way"]) == ("free", [])
    assert told["why"] == "Coupling key comes off upwards."


@pytest.mark.parametrize(
    "options",
    [
        ("--after", "FILE"),
        ("--try", "impeller", "--section"),
        ("--try", "impeller", "--apart", "0.5"),
        ("--try", "impeller", "--camera", "side"),
        ("--try", "impeller", "--view", "loads"),
    ],
)
def test_options_that_do_not_go_together_are_refused(
    tmp_path: Path, options: tuple[str, ...]
) -> None:
    result = run(*options, "--out", str(tmp_path / "try.png"))
    assert result.exit_code == 2
    assert "--try" in result.output
    assert not (tmp_path / "try.png").exists()


def test_an_unknown_piece_and_a_bad_list_are_refused_by_name_and_line(tmp_path: Path) -> None:
    out = str(tmp_path / "try.png")
    result = run("--try", "impelller", "--out", out)
    assert isinstance(result.exception, RefusalError)
    assert "did you mean" in str(result.exception)
    bad = tmp_path / "off.txt"
    bad.write_text("cover-nut\nsuction-cver\n", encoding="utf-8")
    result = run("--try", "impeller", "--after", str(bad), "--out", out)
    assert isinstance(result.exception, ContentError)
    assert "off.txt:2" in str(result.exception)


def test_apart_is_drawn_in_strips_from_the_exploded_view_unless_told_otherwise(
    tmp_path: Path,
) -> None:
    usual, exploded, corner = (tmp_path / f"{name}.png" for name in ("usual", "exploded", "corner"))
    size = ("--size", "640x400")
    ask("--apart", "1", "--out", str(usual), *size)
    ask("--apart", "1", "--camera", "exploded", "--out", str(exploded), *size)
    ask("--apart", "1", "--camera", "iso", "--out", str(corner), *size)
    assert usual.read_bytes() == exploded.read_bytes()
    assert usual.read_bytes() != corner.read_bytes()


BEARING = ("rolling-bearings/bore-50", "--with", "arrangement=angular-contact")
SMALL = ("--size", "640x400", "--json")


def test_a_build_with_views_is_drawn_in_the_first_of_them_unless_told_otherwise(
    tmp_path: Path,
) -> None:
    console = make_console()
    files = {}
    for key, asked in {
        "usual": (),
        "named": ("--view", "loads"),
        "plain": ("--camera", "side"),
    }.items():
        files[key] = tmp_path / f"{key}.png"
        arguments = ["picture", *BEARING, *asked, "--out", str(files[key]), *SMALL]
        told = json.loads(CliRunner().invoke(console, arguments).stdout)
        assert told.get("view") == (None if key == "plain" else "loads")
    assert files["usual"].read_bytes() == files["named"].read_bytes()
    assert files["usual"].read_bytes() != files["plain"].read_bytes()


def test_an_unknown_view_is_refused_by_name_and_a_view_goes_with_no_other_wish(
    tmp_path: Path,
) -> None:
    out = str(tmp_path / "view.png")
    unknown = CliRunner().invoke(
        make_console(), ["picture", *BEARING, "--view", "lods", "--out", out]
    )
    assert isinstance(unknown.exception, RefusalError)
    assert "loads" in str(unknown.exception)
    both = CliRunner().invoke(
        make_console(), ["picture", *BEARING, "--view", "loads", "--section", "--out", out]
    )
    assert both.exit_code == 2
    assert "--section" in both.output


def test_a_chain_is_drawn_by_itself(tmp_path: Path) -> None:
    out = tmp_path / "chain.png"
    told = ask("--chain", "washer-clamp", "--out", str(out), "--size", "960x600")
    assert told["clearance"] == "washer-clamp"
    with Image.open(out) as picture:
        assert picture.size == (960, 600)
    assert run("--chain", "washer-clamp", "--section", "--out", str(out)).exit_code == 2
    with pytest.raises(RefusalError, match="washer-clamp"):
        CliRunner().invoke(
            make_console(),
            ["picture", PUMP, "--chain", "washer-clam", "--out", str(out)],
            catch_exceptions=False,
        )
