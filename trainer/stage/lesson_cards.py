"""Make the cards of a lesson's steps: picture, words and the question as it would be asked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from io import BytesIO

from PIL import Image

from models.spec.build import Build
from trainer.lesson import Lesson, Show, Step
from trainer.lesson.item import Figure, Item
from trainer.lesson.kinds import QuestionKind
from trainer.session.asking.benches import Benches
from trainer.session.asking.drawing import draw_item
from trainer.session.written_numbers import list_rests, say_written
from trainer.stage.item_figure import draw_item_figure
from trainer.stage.lesson_page import Card, Passage, count_pages, draw_lesson_pages
from trainer.stage.shown import draw_show
from trainer.words import Words
from trainer.words.telling_form import tell_question, tell_rests, tell_right
from trainer.words.telling_item import tell_said

SEED = "author"
PICTURE_PX = (900, 600)


def draw_lesson(words: Words, lesson: Lesson, benches: Benches) -> Iterator[Image.Image]:
    """Draw a lesson step by step on pages.

    Raises:
        RefusalError: what the lesson names is not there; check it first. SurroundingsError: no drawing here.
    """
    cards = [
        _make_card(words, step, number, benches) for number, step in enumerate(lesson.steps, 1)
    ]
    build = benches.open(lesson.build, lesson.options).build
    title = tell_said(words, build, say_written(build, lesson.title))
    last = count_pages(len(cards))
    heads = [words.say("lesson.page", title=title, page=n, last=last) for n in range(1, last + 1)]
    yield from draw_lesson_pages(cards, heads)


def _make_card(words: Words, step: Step, number: int, benches: Benches) -> Card:
    bench = benches.open(step.show.build, step.show.options)
    build = bench.build

    def tell(text: str) -> str:
        return tell_said(words, build, say_written(build, text))

    pictures = [draw_show(words, bench, step.show, size=PICTURE_PX)]
    passages = [Passage(tell(step.caution), words.say("window.caution"), is_warning=True)] if step.caution else []  # fmt: skip
    if step.say:
        passages.append(Passage(tell(step.say)))
    rests = tell_rests(words, build, list_rests(build, step.title, step.say, step.caution))
    if rests:
        passages.append(Passage(rests, is_small=True))
    if step.ask:
        item = draw_item(bench, benches, step.ask, SEED)
        passages += _tell_item(words, build, item)
        if item.figure is not None:
            pictures.append(_draw_figure(words, build, item.figure))
        shown = replace(step.show, options=build.options)
        # What a part is called that is lit is asked beside a picture in which it is.
        if item.show and (item.kind is QuestionKind.NAME_IT or is_shown_apart(item.show, shown)):
            other = benches.open(item.show.build, item.show.options)
            pictures.append(draw_show(words, other, item.show, size=PICTURE_PX, named=False))
    title = words.say("lesson.step", number=number, title=tell(step.title))
    return Card(title, tuple(pictures), tuple(passages))


def _draw_figure(words: Words, build: Build, figure: Figure) -> Image.Image:
    title = tell_said(words, build, figure.spoken)
    drawn = draw_item_figure(figure.drawing, figure.values, ".png", title=title)
    return Image.open(BytesIO(drawn)).convert("RGB")


def _tell_item(words: Words, build: Build, item: Item) -> list[Passage]:
    asked = Passage(tell_question(words, build, item), words.say("window.question"))
    passages = [asked, Passage(tell_right(words, build, item), is_small=True)]
    if item.caution is not None:
        told = tell_said(words, build, item.caution)
        passages.append(Passage(told, words.say("window.caution"), is_warning=True))
    return passages


def is_shown_apart(asked: Show | None, shown: Show) -> bool:
    """Does a question need another view than its step: another pump, a state, a mistake, a gap?"""
    if asked is None:
        return False
    return _find_needs(asked) != _find_needs(shown)


def _find_needs(show: Show) -> tuple[object, ...]:
    options, state = dict(show.options), (show.taken, show.fault, show.clearance, show.mirrored)
    return show.build, options, state
