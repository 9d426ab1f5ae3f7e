"""References in an author's words give what the tables and the build say, each with what it rests on."""

from __future__ import annotations

import csv

import pytest

from models.spec.build import TABLES
from models.spec.errors import RefusalError
from models.spec.making import change_pack
from trainer.session.bench import Bench, open_bench
from trainer.session.typed import make_pack
from trainer.session.written_numbers import count_digits, list_rests, say_written
from trainer.words import load_words
from trainer.words.speech import LengthUnit
from trainer.words.telling_form import tell_rests
from trainer.words.telling_item import tell_said


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250")


def tell(bench: Bench, text: str, *, inch: bool = False) -> str:
    words = load_words()
    if inch:
        words.lengths.unit = LengthUnit.INCH
    return tell_said(words, bench.build, say_written(bench.build, text))


def read_row(file: str, start: str) -> list[str]:
    """Read a row of a table as its file has it, by no reader of ours."""
    with (TABLES / file).open(encoding="utf-8", newline="") as lines:
        return next(row for row in csv.reader(lines) if row and row[0] == start)


def test_a_limit_is_what_the_table_says(bench: Bench) -> None:
    with (TABLES / "limits" / "gaps.csv").open(encoding="utf-8", newline="") as lines:
        row = next(row for row in csv.DictReader(lines) if row["row"] == "back-vane-250")
    for end in ("least", "aim", "most"):
        told = tell(bench, f"{{limit: back-vane.{end}}}")
        assert told == f"{float(row[end]):.2f} mm"


def test_a_dimension_is_the_row_of_the_drawing(bench: Bench) -> None:
    nominal = read_row("sizes/end-suction/100-250.csv", "shaft.overhang")[1]
    assert tell(bench, "{dimension: shaft.overhang}") == f"{nominal} mm"
    (rest,) = list_rests(bench.build, "{dimension: shaft.overhang}")
    line = int(rest.source.partition(".csv:")[2].split()[0])
    lines = (TABLES / "sizes/end-suction/100-250.csv").read_text(encoding="utf-8").splitlines()
    assert lines[line - 1].startswith("shaft.overhang,")


def test_a_gap_follows_the_pack_that_stands_in_the_pump(bench: Bench) -> None:
    thicker = [float(shim.middle) for shim in bench.build.pack]
    thicker[0] += 0.1
    other = Bench(change_pack(bench.build, make_pack(tuple(thicker))))
    before, after = (
        float(tell(one, "{clearance: back-vane}").split()[0]) for one in (bench, other)
    )
    assert after - before == pytest.approx(0.1)


def test_pieces_are_counted_and_parts_named(bench: Bench) -> None:
    assert tell(bench, "{count: cover-nut} × {part: cover-nut}") == "8 × cover nut"
    assert tell(bench, "{option: bracket}").startswith("enclosed")
    assert "100-250" in tell(bench, "{pump: end-suction/100-250}")


def test_lengths_are_told_in_the_readers_unit_and_other_numbers_as_written(bench: Bench) -> None:
    text = "{0.5 mm | common practice} and {25 kg | common practice}"
    assert tell(bench, text) == "0.5 mm and 25 kg"
    assert tell(bench, text, inch=True) == "0.020 in and 25 kg"
    assert tell(bench, "{limit: back-vane.aim}", inch=True) == "0.0197 in"


def test_what_numbers_rest_on_is_told_each_once(bench: Bench) -> None:
    text = "{limit: back-vane.aim} {25 kg | common practice} {limit: back-vane.aim} {part: shaft} {count: shim}"
    told = tell_rests(load_words(), bench.build, list_rests(bench.build, text, text))
    assert told.splitlines() == [
        "- 0.50 mm: aim, back-vane gap; limits/gaps.csv:2 (common practice)",
        "- 25 kg: common practice",
    ]


@pytest.mark.parametrize(
    ("text", "near"),
    [
        ("{clearance: back-vain}", "back-vane"),
        ("{limit: back-vain.least}", "back-vane"),
        ("{dimension: shaft.overhan}", "overhang"),
        ("{dimension: shaft}", "no dimension of shaft is named"),
        ("{dimension: shift.overhang}", "shaft"),
        ("{count: cover-nutt}", "cover-nut"),
        ("{part: cover-nutt}", "cover-nut"),
        ("{option: braket}", "bracket"),
        ("{result: balance}", "no result"),
        ("{pump: self-priming/80}", "end-suction/100-250"),
    ],
)
def test_what_is_not_there_is_refused_with_what_is_near(bench: Bench, text: str, near: str) -> None:
    with pytest.raises(RefusalError, match=near):
        say_written(bench.build, text)


@pytest.mark.parametrize(
    ("value", "digits"), [(330.0, 0), (0.5, 1), (1.75, 2), (0.125, 3), (25.4, 1), (1 / 3, 3)]
)
def test_a_drawings_number_has_no_more_digits_than_it_needs(value: float, digits: int) -> None:
    assert count_digits(value) == digits
