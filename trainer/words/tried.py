"""Put a move that was tried into words."""

from __future__ import annotations

from collections.abc import Sequence

from trainer.core.order.state import Refused, TakenOff
from trainer.words.naming import Naming
from trainer.words.speech import Words, begin


def tell_tried(words: Words, naming: Naming, found: TakenOff | Refused) -> str:
    """Say in one sentence what became of a piece that was tried."""
    if isinstance(found, Refused):
        return make_sentence(words, naming.tell_refused(found))
    return tell_free(words, naming, found, (found.piece,))


def tell_free(words: Words, naming: Naming, found: TakenOff, pieces: Sequence[str]) -> str:
    """Say in one sentence how pieces of a set come off, all as the one that was found to."""
    way = naming.tell_taken(found, len(pieces))
    told = naming.tell_pieces(pieces)
    return make_sentence(words, words.say("replay.free", piece=told, way=way))


def make_sentence(words: Words, text: str) -> str:
    """Make a sentence of what else stands in a list: a capital in front, a point behind."""
    return words.say("replay.sentence", why=begin(text))


def make_title(words: Words, naming: Naming, found: TakenOff | Refused) -> str:
    """Name the piece that was tried, and say whether it comes off."""
    piece = naming.tell_piece(found.piece)
    key = "replay.title-refused" if isinstance(found, Refused) else "replay.title-free"
    return words.say(key, piece=begin(piece))
