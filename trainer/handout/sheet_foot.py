"""Tell a filed sheet's place in the chain: the foot of each page."""

from __future__ import annotations

from trainer.records import FiledSheet
from trainer.words import Words

HASH_GROUP = 8


def split_hash(text: str) -> str:
    """Split a hash into short groups, so that two can be compared by eye."""
    return " ".join(text[at : at + HASH_GROUP] for at in range(0, len(text), HASH_GROUP))


def tell_foot(words: Words, filed: FiledSheet | None) -> tuple[str, ...]:
    """Tell where a sheet is filed, what it corrects and what corrects it; that last one last."""
    if filed is None:
        return (words.say("sheet.foot-unfiled"),)
    when = f"{filed.sheet.when:%Y-%m-%d %H:%M}"
    told = [
        words.say("sheet.foot-number", number=filed.number, when=when),
        words.say("sheet.foot-id", id=str(filed.sheet.id)),
    ]
    if filed.sheet.corrects:
        told.append(words.say("sheet.foot-corrects", id=str(filed.sheet.corrects)))
    if filed.corrected_by:
        told.append(words.say("sheet.foot-corrected", id=str(filed.corrected_by)))
    return tuple(told)


def tell_hashes(words: Words, filed: FiledSheet | None) -> tuple[str, ...]:
    """Tell a filed sheet's own hash and that of the one before."""
    if filed is None:
        return ()
    return (
        words.say("sheet.foot-hash", hash=split_hash(filed.hash)),
        words.say("sheet.foot-previous", hash=split_hash(filed.previous_hash)),
    )
