"""A little Markdown is set in columns: every word is there, inside its column, and lists hang."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageDraw

from trainer.stage.lesson_page import COLUMNS, Card, Passage, count_pages, draw_lesson_pages
from trainer.stage.look import Look
from trainer.stage.paragraphs import Column, split_blocks

LOOK = Look()


def draw(markdown: str, width_px: int = 300) -> tuple[npt.NDArray[np.bool_], int]:
    picture = Image.new("RGB", (2 * width_px, 1600), (255, 255, 255))
    high = Column(LOOK, 18, width_px).draw(ImageDraw.Draw(picture), markdown, (0, 0), (0, 0, 0))
    return np.asarray(picture.convert("L")) < 128, high


def test_lines_that_follow_belong_together_and_lists_are_told_apart() -> None:
    blocks = split_blocks("one\ntwo\n\n- a\n  more\n- b\n1. c\na) d\n\n# Head\ntext")
    assert [(block.mark, block.text) for block in blocks] == [
        ("", "one two"),
        ("•", "a more"),
        ("•", "b"),
        ("1.", "c"),
        ("a)", "d"),
        ("", "**Head** text"),
    ]


@given(st.lists(st.sampled_from(["a", "word", "**bold**", "*slant*", "longer-than-others", "`code`", "\n", "\n\n", "- ", "2) "]), max_size=60))  # fmt: skip
@settings(max_examples=40)
def test_nothing_is_drawn_beside_its_column_or_below_what_was_measured(words: list[str]) -> None:
    markdown = " ".join(words)
    ink, high = draw(markdown)
    assert high == Column(LOOK, 18, 300).measure(markdown)
    rows, columns = np.nonzero(ink)
    if len(rows):
        assert columns.max() <= 300
        assert rows.max() < high


def test_bold_is_heavier_and_its_signs_are_not_drawn() -> None:
    plain, bold = draw("heavy"), draw("**heavy**")
    assert bold[0].sum() > 1.15 * plain[0].sum()
    assert np.array_equal(draw("*heavy*")[0], plain[0])
    assert np.array_equal(draw("`heavy`")[0], plain[0])


def test_a_comma_stays_with_its_bold_word() -> None:
    joined, apart = draw("**a**, b"), draw("**a** , b")
    assert np.nonzero(joined[0])[1].max() < np.nonzero(apart[0])[1].max()


@pytest.mark.parametrize(("cards", "pages"), [(1, 1), (3, 1), (4, 2), (14, 5)])
def test_steps_fill_pages(cards: int, pages: int) -> None:
    assert count_pages(cards) == pages


def test_a_page_is_as_high_as_its_longest_step_needs() -> None:
    picture = Image.new("RGB", (90, 60), (200, 0, 0))
    short = Card("1 · Short", (picture,), (Passage("A word."),))
    long = Card(
        "2 · Long",
        (picture,),
        (Passage("word " * 400), Passage("Mind", "CAUTION", is_warning=True)),
    )
    one, two = (next(draw_lesson_pages([card], ["Head"])) for card in (short, long))
    both = next(draw_lesson_pages([short, long], ["Head"]))
    assert one.height < two.height == both.height
    assert one.width == two.width
    drawn = list(draw_lesson_pages([short] * (COLUMNS + 1), ["Head", "Head"]))
    assert len(drawn) == 2
    warning = np.asarray(two)
    assert (warning == LOOK.in_the_way).all(axis=2).sum() > 100, "a rule stands beside the caution"
