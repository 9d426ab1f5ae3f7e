"""Set a little Markdown in columns of a picture: paragraphs, lists, bold words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from PIL import ImageDraw, ImageFont

from trainer.stage.look import Colour, Look, make_letters

_ITEM = re.compile(r"[ \t]*(?P<mark>[-*+]|\d{1,2}[.)]|[a-z]\))[ \t]+(?P<text>.*)")
_EMPHASIS = re.compile(r"(\*\*|__|`)")
_SLANTED = re.compile(r"(?<![\w*_])([*_])(?![\s*_])([^*_]+)(?<!\s)\1(?![\w*_])")
_HEADING = re.compile(r"#{1,6}[ \t]+")
LINE = 1.36
BETWEEN = 0.55
"""Space between lines, and between blocks, as a share of the letters' height."""
HANG = 1.5
"""How far the lines of a list stand in, as a share of the letters' height."""
_DOT = "\N{BULLET}"


@dataclass(frozen=True, slots=True)
class _Block:
    """A paragraph, or an item of a list with its mark."""

    text: str
    mark: str = ""


@dataclass(frozen=True, slots=True)
class _Word:
    text: str
    is_heavy: bool
    joins: bool
    """Whether it stands close to the word before: `**a**,`."""


class Column:
    """Set text at one size in a column so wide."""

    def __init__(self, look: Look, size_px: int, width_px: float, *, heavy: bool = False) -> None:
        self._plain = make_letters(look.heavy_letters if heavy else look.letters, size_px)
        self._heavy = make_letters(look.heavy_letters, size_px)
        self._size_px, self._width_px = size_px, width_px

    def measure(self, markdown: str) -> int:
        """Measure how high a text is in this column, in pixels."""
        return round(self._set(markdown, None, (0.0, 0.0), (0, 0, 0)))

    def draw(
        self, draw: ImageDraw.ImageDraw, markdown: str, corner: tuple[float, float], colour: Colour
    ) -> int:
        """Draw a text from its upper left corner; return how high it is."""
        return round(self._set(markdown, draw, corner, colour))

    def _set(
        self,
        markdown: str,
        draw: ImageDraw.ImageDraw | None,
        corner: tuple[float, float],
        colour: Colour,
    ) -> float:
        left, top = corner
        step, gap, hang = (round(share * self._size_px) for share in (LINE, BETWEEN, HANG))
        y, was_item = top, False
        for number, block in enumerate(split_blocks(markdown)):
            is_item = bool(block.mark)
            if number and not (is_item and was_item):
                y += gap
            was_item = is_item
            inset = hang if is_item else 0
            if draw is not None and is_item:
                draw.text((left, y), block.mark, fill=colour, font=self._plain)
            for line in list(self._break(block.text, self._width_px - inset)) or [[]]:
                if draw is not None:
                    self._draw_line(draw, line, (left + inset, y), colour)
                y += step
        return y - top

    def _draw_line(
        self,
        draw: ImageDraw.ImageDraw,
        line: list[_Word],
        corner: tuple[float, float],
        colour: Colour,
    ) -> None:
        x, y = corner
        for number, word in enumerate(line):
            if number and not word.joins:
                x += self._plain.getlength(" ")
            font = self._find_font(word)
            draw.text((x, y), word.text, fill=colour, font=font)
            x += font.getlength(word.text)

    def _break(self, text: str, width_px: float) -> Iterator[list[_Word]]:
        """Break into lines; words that stand close together stay on one."""
        line: list[_Word] = []
        used = 0.0
        for cluster in _cluster(_split_words(text)):
            wide = sum(self._find_font(word).getlength(word.text) for word in cluster)
            space = self._plain.getlength(" ") if line else 0.0
            if line and used + space + wide > width_px:
                yield line
                line, used, space = [], 0.0, 0.0
            line += cluster
            used += space + wide
        if line:
            yield line

    def _find_font(self, word: _Word) -> ImageFont.FreeTypeFont:
        return self._heavy if word.is_heavy else self._plain


def split_blocks(markdown: str) -> list[_Block]:
    """Split a text into paragraphs and items; lines that follow on belong to the block above."""
    blocks: list[_Block] = []
    is_open = False
    for line in markdown.splitlines():
        item = _ITEM.fullmatch(line)
        if not line.strip():
            is_open = False
        elif item:
            mark = item["mark"]
            blocks.append(_Block(item["text"].strip(), _DOT if mark in "-*+" else mark))
            is_open = True
        elif is_open:
            last = blocks[-1]
            blocks[-1] = _Block(f"{last.text} {line.strip()}", last.mark)
        else:
            blocks.append(
                _Block(_HEADING.sub("**", line.strip()) + ("**" if _HEADING.match(line) else ""))
            )
            is_open = True
    return blocks


def _split_words(text: str) -> Iterator[_Word]:
    heavy, joins = False, False
    for run in _EMPHASIS.split(_SLANTED.sub(r"\2", text)):
        if _EMPHASIS.fullmatch(run):
            heavy ^= run != "`"
            continue
        words = run.split()
        for number, word in enumerate(words):
            yield _Word(word, heavy, joins and not number and not run[0].isspace())
        joins = not run[-1].isspace() if run else joins


def _cluster(words: Iterator[_Word]) -> Iterator[list[_Word]]:
    cluster: list[_Word] = []
    for word in words:
        if cluster and not word.joins:
            yield cluster
            cluster = []
        cluster.append(word)
    if cluster:
        yield cluster
