"""The words of a page of the walk, and what their numbers rest on, as the pump on the bench fills them."""

from __future__ import annotations

from models.spec.errors import RefusalError
from trainer.session.bench import Bench
from trainer.session.written_numbers import list_rests, say_written
from trainer.words import Words
from trainer.words.telling_form import tell_rests
from trainer.words.telling_item import tell_said


def tell_page(words: Words, bench: Bench | None, text: str) -> str:
    """Tell an author's words with what they refer to; words that refer to nothing of this pump stand as written."""
    if bench is None:
        return text
    try:
        return tell_said(words, bench.build, say_written(bench.build, text))
    except RefusalError:  # the check of the lesson tells its author
        return text


def tell_page_rests(words: Words, bench: Bench | None, *texts: str) -> str:
    """Tell what the numbers on the page rest on."""
    if bench is None:
        return ""
    try:
        return tell_rests(words, bench.build, list_rests(bench.build, *texts))
    except RefusalError:
        return ""
