"""What scripts may rely on: the shape of each answer, its exit status, and one message for bad input."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from PIL import Image, ImageChops

from models.builds import FAMILIES, list_builds
from models.spec.build import TABLES
from models.spec.errors import ContentError, RefusalError
from trainer.console import make_console
from trainer.session.typed import DEPOT_DRAWER

PUMP = "end-suction/100-250"
SHIMS = ("shims", PUMP, "--clearance", "back-vane", "--stock", str(DEPOT_DRAWER))


def run(*arguments: str) -> Result:
    return CliRunner().invoke(make_console(), list(arguments))


def ask(*arguments: str, status: int = 0) -> Any:
    result = run(*arguments, "--json")
    assert result.exit_code == status, result.output
    return json.loads(result.stdout)


@pytest.fixture
def changed_tables(tmp_path: Path) -> Path:
    """Give a copy of the tables in which the shaft's overhang is 0.2 mm shorter."""
    tables = tmp_path / "tables"
    shutil.copytree(TABLES, tables)
    table = tables / "sizes" / "end-suction" / "100-250.csv"
    text = table.read_text(encoding="utf-8")
    assert "shaft.overhang,330," in text
    table.write_text(text.replace("shaft.overhang,330,", "shaft.overhang,329.8,"), encoding="utf-8")
    return tables


def test_builds_name_their_family_and_options() -> None:
    found = {one["build"]: one for one in ask("builds")}
    assert set(found) == set(list_builds())
    only = found[PUMP]
    assert only["family"] == "end-suction"
    assert only["options"]["bracket"] == ["enclosed", "open"]
    assert only["options"] == FAMILIES["end-suction"].option_values()


def test_parts_say_what_each_is_and_why_it_is_there() -> None:
    parts = {part["name"]: part for part in ask("parts", PUMP)}
    assert len({part["kind"] for part in parts.values()}) >= 20
    assert parts["cover-nut"]["pieces"] == [f"cover-nut-{i}" for i in range(1, 9)]
    assert parts["cover-nut"]["quantity"] == 8
    assert parts["wear-ring"]["material"] == "bronze"
    assert all(len(part["duty"]) > 30 for part in parts.values())


def test_order_names_every_piece_once() -> None:
    order = ask("order", PUMP)
    pieces = [piece for step in order["steps"] for piece in step["pieces"]]
    known = [piece for part in ask("parts", PUMP) for piece in part["pieces"]]
    assert order["build"] == PUMP
    assert sorted(pieces) == sorted(known)
    assert any("Lock the driver out" in work for work in order["steps"][0]["before"])


def test_the_found_order_is_marked_right(tmp_path: Path) -> None:
    lines = [step["part"] for step in ask("order", PUMP)["steps"]]
    marked = mark(tmp_path, lines)
    assert (marked["valid"], marked["complete"], marked["score"]) == (True, True, 1.0)


def mark(folder: Path, lines: list[str], status: int = 0) -> Any:
    file = folder / "order.txt"
    file.write_text("# an order\n\n" + "\n".join(lines) + "\n", encoding="utf-8")
    return ask("order", PUMP, "--mark", str(file), status=status)


def test_swapped_steps_are_refused_with_a_true_reason(tmp_path: Path) -> None:
    marked = mark(tmp_path, ["cover-nut", "impeller", "suction-cover"], status=1)
    step = next(step for step in marked["steps"] if step["piece"] == "impeller")
    assert set(step) >= {"free", "blocked_by", "held_by", "travel_mm", "consequence", "why"}
    assert not step["free"]
    assert step["held_by"] == ["impeller-screw"]
    assert step["blocked_by"][0] == "retaining-washer"
    assert step["travel_mm"] == 0.0
    assert "impeller screw" in step["why"]
    assert not marked["valid"]
    assert marked["score"] == pytest.approx(1 - 1 / 10)


def test_unknown_name_in_an_order_is_told_with_its_line(tmp_path: Path) -> None:
    file = tmp_path / "order.txt"
    file.write_text("cover-nut\nsucton-cover\n", encoding="utf-8")
    result = run("order", PUMP, "--mark", str(file))
    assert isinstance(result.exception, ContentError)
    assert str(result.exception).startswith(f"{file}:2:1: ")
    assert "suction-cover" in str(result.exception)


def test_clearances_carry_their_chain_and_where_each_number_is_written() -> None:
    clearances = {one["name"]: one for one in ask("clearances", PUMP)}
    assert set(clearances) >= {"back-vane", "wear-ring", "washer-clamp"}
    for one in clearances.values():
        unit = "" if one["kind"] == "share" else "_mm"
        low, high = one[f"worst{unit}"]
        assert low <= one[f"value{unit}"] <= high
        assert all(
            {"piece", "dimension", "value_mm", "sensitivity", "source"} <= set(link)
            for link in one["chain"]
        )
    assert clearances["wear-ring"]["effects"][0]["value_mm"] < 0
    links = clearances["back-vane"]["chain"]
    assert ("shaft", "overhang") in {(link["piece"], link["dimension"]) for link in links}


def test_chain_adds_up_to_the_value() -> None:
    back_vane = next(one for one in ask("clearances", PUMP) if one["name"] == "back-vane")
    total = sum(link["sensitivity"] * link["value_mm"] for link in back_vane["chain"])
    assert total == pytest.approx(back_vane["value_mm"], abs=1e-5)


def test_measured_values_replace_the_drawing() -> None:
    measured = ask("clearances", PUMP, "--measured", "shaft.overhang=330.05")
    (before,) = ask("clearances", PUMP, "back-vane")
    after = {one["name"]: one for one in measured}
    assert after["back-vane"]["value_mm"] == pytest.approx(before["value_mm"] + 0.05)


def test_shims_from_one_measured_gap() -> None:
    answer = ask(*SHIMS, "--gap", "0.7", "--with-pack", "0.5,0.5")
    assert set(answer) >= {"clearance", "pack", "result_mm", "chance", "alternatives"}
    assert sum(answer["pack"]) == pytest.approx(0.8)
    assert answer["result_mm"] == pytest.approx(0.5)


def test_no_pack_fits_is_a_no(tmp_path: Path) -> None:
    drawer = tmp_path / "drawer.csv"
    drawer.write_text("thickness_mm,tolerance_mm,in_drawer\n0.05,0.005,1\n", encoding="utf-8")
    answer = ask("shims", PUMP, "--clearance", "back-vane", "--stock", str(drawer), status=1)
    assert not answer["fits"]
    assert answer["ideal_mm"] == pytest.approx(1.0)


def test_one_changed_row_changes_clearance_shims_and_picture(
    changed_tables: Path, tmp_path: Path
) -> None:
    more = ("--tables", str(changed_tables))
    before = next(one for one in ask("clearances", PUMP) if one["name"] == "back-vane")
    after = next(one for one in ask("clearances", PUMP, *more) if one["name"] == "back-vane")
    assert after["value_mm"] == pytest.approx(before["value_mm"] - 0.2)
    assert ask(*SHIMS, *more)["ideal_mm"] == pytest.approx(ask(*SHIMS)["ideal_mm"] + 0.2)
    pictures = []
    for name, extra in (("before", ()), ("after", more)):
        file = tmp_path / f"{name}.png"
        size = ("--size", "800x450", "--camera", "side", "--section")
        assert run("picture", PUMP, "--out", str(file), *size, *extra).exit_code == 0
        pictures.append(Image.open(file).convert("RGB"))
    assert pictures[0].size == (800, 450)
    assert ImageChops.difference(*pictures).getbbox() is not None


@pytest.mark.parametrize(
    ("arguments", "hint"),
    [
        (("parts", "end-suction/100-25"), PUMP),
        (("order", PUMP, "--with", "bracket=opn"), "open"),
        (("clearances", PUMP, "--measured", "shaft.overhag=330"), "overhang"),
        (("clearances", PUMP, "--measured", "shaft.overhang=13"), "inches"),
        (("clearances", PUMP, "--measured", "shaft.overhang=1,330"), "write 1.330 or 1330"),
        (("shims", PUMP, "--clearance", "back-vain", "--stock", str(DEPOT_DRAWER)), "back-vane"),
        (("picture", PUMP, "--out", "x.png", "--camera", "isso"), "iso"),
        (("parts", PUMP, "--pack", "-1"), "above zero"),
    ],
)
def test_bad_input_is_refused_with_what_was_meant(arguments: tuple[str, ...], hint: str) -> None:
    result = run(*arguments)
    assert isinstance(result.exception, RefusalError)
    assert hint in str(result.exception)


@pytest.mark.parametrize(
    "arguments",
    [
        ("picture", PUMP, "--out", "x.jpg"),
        ("picture", PUMP, "--out", "x.png", "--apart", "2"),
        ("picture", PUMP, "--out", "x.png", "--size", "big"),
        (*SHIMS, "--gap", "0.7"),
        ("nonsense",),
    ],
)
def test_wrong_use_ends_with_two(arguments: tuple[str, ...]) -> None:
    result = run(*arguments)
    assert result.exit_code == 2
    assert "Traceback" not in result.output


def test_people_get_tables_in_words() -> None:
    assert "cover nuts" in run("order", PUMP).output
    assert "Why it is there" in run("parts", PUMP).output
    assert "back-vane gap" in run("clearances", PUMP).output
