"""Lay a lesson out on pages, several steps beside each other, so that its author sees what a learner will."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from PIL import Image, ImageDraw

from trainer.stage.look import Colour, Look
from trainer.stage.paragraphs import Column

COLUMNS = 3
CELL_PX = 600
PAD_PX = 40
HEAD_PX, TITLE_PX, BODY_PX, SMALL_PX = 30, 24, 18, 15
RULE_PX, INSET_PX = 4, 18
GAP_PX = 14


@dataclass(frozen=True, slots=True)
class Passage:
    """Some text of a step, as Markdown. heading: "" for plain text; one with a heading stands behind a rule."""

    text: str
    heading: str = ""
    is_warning: bool = False
    is_small: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Card:
    """A step: its number and title, its pictures, its passages."""

    title: str
    pictures: tuple[Image.Image, ...]
    passages: tuple[Passage, ...]


def draw_lesson_pages(
    cards: Sequence[Card], heads: Sequence[str], look: Look | None = None
) -> Iterator[Image.Image]:
    """Draw the pages of a lesson.

    Args:
        cards: its steps, in order.
        heads: what stands at the head of each page, a page for every COLUMNS cards.
        look: colours and letters.

    Yields:
        A page for each head, as high as its longest card needs.
    """
    look = look or Look()
    for number, head in enumerate(heads):
        shown = cards[number * COLUMNS : (number + 1) * COLUMNS]
        yield _draw_page(shown, head, look)


def count_pages(cards: int) -> int:
    """Count the pages that so many cards fill."""
    return -(-cards // COLUMNS)


def _draw_page(cards: Sequence[Card], head: str, look: Look) -> Image.Image:
    width = COLUMNS * CELL_PX + (COLUMNS + 1) * PAD_PX
    heading = Column(look, HEAD_PX, width - 2 * PAD_PX, heavy=True)
    top = PAD_PX + heading.measure(head) + GAP_PX
    setters = [_Setter(card, look) for card in cards]
    height = top + GAP_PX + max(setter.set(None, (0, 0)) for setter in setters) + PAD_PX
    page = Image.new("RGB", (width, height), look.ground)
    draw = ImageDraw.Draw(page)
    heading.draw(draw, head, (PAD_PX, PAD_PX), look.ink)
    draw.rectangle((PAD_PX, top, width - PAD_PX, top + 1), fill=look.ink)
    for place, setter in enumerate(setters):
        setter.set(page, (PAD_PX + place * (CELL_PX + PAD_PX), top + 2 * GAP_PX))
    return page


class _Setter:
    """Set one card, or only measure it."""

    def __init__(self, card: Card, look: Look) -> None:
        self._card, self._look = card, look
        self._pictures = [_fit(picture) for picture in card.pictures]

    def set(self, page: Image.Image | None, corner: tuple[int, int]) -> int:
        left, top = corner
        y = top
        for picture in self._pictures:
            if page is not None:
                page.paste(picture, (left, y))
                frame = (left, y, left + picture.width - 1, y + picture.height - 1)
                ImageDraw.Draw(page).rectangle(frame, outline=self._look.faint_ink)
            y += picture.height + GAP_PX
        y += self._write(page, self._card.title, (left, y), TITLE_PX, heavy=True) + GAP_PX
        for passage in self._card.passages:
            y += self._set_passage(page, passage, (left, y)) + GAP_PX
        return y - top

    def _set_passage(
        self, page: Image.Image | None, passage: Passage, corner: tuple[int, int]
    ) -> int:
        left, top = corner
        size = SMALL_PX if passage.is_small else BODY_PX
        if not passage.heading:
            return self._write(page, passage.text, corner, size)
        mark = self._look.in_the_way if passage.is_warning else self._look.accent
        x, y = left + INSET_PX, top
        y += self._write(
            page, passage.heading, (x, y), SMALL_PX, heavy=True, inset=INSET_PX, colour=mark
        )
        y += self._write(page, passage.text, (x, y), size, inset=INSET_PX)
        if page is not None:
            ImageDraw.Draw(page).rectangle((left, top, left + RULE_PX - 1, y), fill=mark)
        return y - top

    def _write(
        self,
        page: Image.Image | None,
        text: str,
        corner: tuple[int, int],
        size_px: int,
        *,
        heavy: bool = False,
        inset: int = 0,
        colour: Colour | None = None,
    ) -> int:
        column = Column(self._look, size_px, CELL_PX - inset, heavy=heavy)
        if page is None:
            return column.measure(text)
        return column.draw(ImageDraw.Draw(page), text, corner, colour or self._look.ink)


def _fit(picture: Image.Image) -> Image.Image:
    height = round(picture.height * CELL_PX / picture.width)
    return picture.resize((CELL_PX, height), Image.Resampling.LANCZOS)
