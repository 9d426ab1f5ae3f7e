"""The bench sheet on paper: read back from the PDF with another library."""

from __future__ import annotations

import re
from datetime import timedelta
from uuid import UUID

import pypdfium2
import pytest
from PIL import Image

from models.builds import make_named_build
from tests.records.samples import NOON
from tests.sheet_samples import judge_changed
from trainer.handout.sheet_foot import split_hash
from trainer.handout.sheet_page import make_sheet_pages, make_sheet_pdf
from trainer.handout.sheet_texts import tell_sheet
from trainer.handout.told_sheet import ToldSheet
from trainer.records import FiledSheet, Sheet
from trainer.session.sheet import BenchSheet, describe_sheet
from trainer.words import load_words

WORDS = load_words("en")
FOUR = '["{0} mm", "{0} mm", "{0} mm", "{0} mm"]'


def read_pages(pdf: bytes) -> list[str]:
    document = pypdfium2.PdfDocument(pdf)
    texts = []
    for page in document:
        text = page.get_textpage()
        texts.append(text.get_text_range())
        text.close()
        page.close()
    document.close()
    return texts


def print_sheet(sheet: BenchSheet, filed: FiledSheet | None = None) -> tuple[ToldSheet, str]:
    told = tell_sheet(WORDS, sheet, filed)
    return told, squeeze(" ".join(read_pages(make_sheet_pdf(told, WORDS))))


def squeeze(text: str) -> str:
    """Leave out what setting a line adds or takes: spaces, breaks, and hyphens, of which one at a break is lost."""
    return re.sub(r"[\s\ufffe\u00ad-]+", "", text)


def file(sheet: BenchSheet, corrected_by: UUID | None = None) -> FiledSheet:
    kept = Sheet(UUID(int=7), NOON + timedelta(hours=1), describe_sheet(sheet), UUID(int=3))
    return FiledSheet(kept, 4, "ab" * 32, "cd" * 32, corrected_by)


def list_texts(told: ToldSheet) -> list[str]:
    """List every text that must be found on paper."""
    lines = [text for line in told.measured for text in (line.what, line.limits, line.verdict.word)]
    orders = [text for row in (*told.order, *told.rework) for text in row]
    alike = [name for _, names in told.order_alike for name in names]
    rows = [text for table in (told.torques, told.tests, told.head[1:], told.signed) for row in table for text in row]  # fmt: skip
    packs = [text for pack in told.packs for text in (pack.heading, *pack.shims, pack.total)]
    gaps = [text for gap in told.gaps for text in (*gap.found, *gap.left, gap.left_note)]
    return [
        told.title, told.head[0][1], told.verdict.word, told.verdict.why, *lines, *orders, *alike, *rows, *packs, *gaps,
        *told.pack_notes, *told.run_in, told.as_found, told.remarks, *told.missing, *told.parts_notes, told.safety,
        told.measured_note, told.limits_note, told.torque_note, told.tests_note, *told.foot, *told.hashes,
    ]  # fmt: skip


def find_lost(told: ToldSheet, text: str) -> list[str]:
    return [one for one in list_texts(told) if squeeze(one) not in text]


def test_all_that_is_told_stands_on_paper_in_two_pages() -> None:
    sheet = judge_changed()
    told, text = print_sheet(sheet, file(sheet))
    assert find_lost(told, text) == []
    assert split_hash("cd" * 32).count(" ") == 7
    pages = read_pages(make_sheet_pdf(told, WORDS))
    assert len(pages) == 2
    assert all(f"page {number} of 2" in page for number, page in enumerate(pages, start=1))
    assert all(squeeze(split_hash("cd" * 32)) in squeeze(page) for page in pages)


def test_empty_sheet_is_printed_with_all_that_is_still_to_do() -> None:
    sheet = judge_changed(
        *(("", key, '""') for key in ("shop", "assembler", "serial", "date", "remarks")),
        ("left.gaps", "back-vane", "[]"),
        ("found.gaps", "back-vane", "[]"),
        ("pack", "found", "[]"),
        ("pack", "fitted", "[]"),
        ("parts", "others", '""'),
        ("", "run-in", "[]"),
    )
    told, text = print_sheet(sheet)
    assert told.verdict.word == "NOT FINISHED"
    assert find_lost(told, text) == []
    assert squeeze("Still to do") in text


@pytest.mark.parametrize(
    ("gap", "word"), [("0.5", "PASS"), ("0.2", "FAIL"), ("0.4", "TOO NEAR TO CALL")]
)
def test_result_stands_in_words_with_a_sign_of_its_own(gap: str, word: str) -> None:
    told, text = print_sheet(judge_changed(("left.gaps", "back-vane", FOUR.format(gap))))
    assert squeeze(f"{told.verdict.sign} {word}") in text


@pytest.mark.parametrize(("gap", "remarked"), [("0.5", False), ("0.2", True), ("0.4", False)])
def test_what_was_found_worn_beyond_its_limits_is_remarked(gap: str, *, remarked: bool) -> None:
    told, text = print_sheet(judge_changed(("found.gaps", "back-vane", FOUR.format(gap))))
    [line] = [one for one in told.measured if one.what.lower() == "back-vane gap"]
    assert line.found.startswith("✗ outside: ") is remarked
    _, usual = print_sheet(judge_changed(("found.gaps", "back-vane", FOUR.format("0.6"))))
    assert text.count("✗") - usual.count("✗") == remarked


HOSTILE = (
    '#let x = 1; $a^2$ *bold* _it_ [box] @cite <tag> `raw` // no /* way */ \\ "quoted" {told} ~'
)


@pytest.mark.parametrize(
    "name",
    [
        HOSTILE,
        "Jörg Überreißer-Großmüller zu Süßwasserpumpenhausen",
        "Ярослав Насосов",
        "Ναύτης Αντλίας",
        "W" * 80,
        "x y " * 20,
    ],
)
def test_what_somebody_typed_stands_on_paper_as_typed(name: str) -> None:
    said = '"' + name[:80].strip().replace("\\", "\\\\").replace('"', '\\"') + '"'
    changes = [("", key, said) for key in ("assembler", "shop", "serial", "remarks")]
    changes += [
        ("parts", "wear-ring", f'"renew: {said[1:]}'),
        ("tests", "pressure", f'"pass: {said[1:]}'),
    ]
    sheet = judge_changed(*changes)
    assert sheet.assembler == name[:80].strip()
    told, text = print_sheet(sheet)
    assert find_lost(told, text) == []


def test_forty_parts_to_order_are_all_there() -> None:
    places = [place for place in make_named_build("end-suction/100-250").places if place != "shim"]
    chosen = [place for place in places if not place.startswith("garter")][:45]
    changes = [("parts", place, f'"renew: worn at place {n}"') for n, place in enumerate(chosen)]
    told, text = print_sheet(judge_changed(*changes))
    assert len(told.order) >= 40
    assert find_lost(told, text) == []


def test_corrected_sheet_says_at_its_head_that_another_stands_in_for_it() -> None:
    sheet = judge_changed()
    _, text = print_sheet(sheet, file(sheet, corrected_by=UUID(int=9)))
    assert text.count(squeeze(f"NO LONGER VALID: sheet {UUID(int=9)}")) >= 2


def test_drawing_of_the_chain_is_printed_where_one_is_given() -> None:
    told = tell_sheet(WORDS, judge_changed())
    picture = Image.new("RGB", (180, 100), (200, 30, 30))
    with_drawing = make_sheet_pages(told, WORDS, picture, ppi=40)
    plain = make_sheet_pages(told, WORDS, ppi=40)
    assert with_drawing != plain
    title = squeeze(WORDS.say("sheet.chain-title"))
    assert title in squeeze(" ".join(read_pages(make_sheet_pdf(told, WORDS, picture))))
    assert title not in squeeze(" ".join(read_pages(make_sheet_pdf(told, WORDS))))


def test_same_sheet_gives_the_same_bytes() -> None:
    told = tell_sheet(WORDS, judge_changed())
    assert make_sheet_pdf(told, WORDS) == make_sheet_pdf(told, WORDS)


def test_letters_are_those_of_the_house_and_embedded() -> None:
    pdf = make_sheet_pdf(tell_sheet(WORDS, judge_changed()), WORDS)
    named = set(re.findall(rb"/BaseFont\s*/(?:[A-Z]{6}\+)?([\w-]+)", pdf))
    assert named == {b"DejaVuSans", b"DejaVuSans-Bold"}
