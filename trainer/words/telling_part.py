"""Put what is known of one part into a fitter's words, for every face alike."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from models.spec.build import Build
from models.spec.material_choices import MaterialChoice
from trainer.core.order.leaving import Fixing, Leaving
from trainer.words.speech import Words
from trainer.words.telling import tell_pieces

if TYPE_CHECKING:
    from trainer.words.naming import Naming


def tell_caution(words: Words, place: str) -> str:
    """Say where a part can hurt, and who has the last word on that; "" for a part that has no caution."""
    key = f"part.{place}.caution"
    return words.say("caution.defers", caution=words.say(key)) if words.has(key) else ""


def tell_choice(words: Words, choice: MaterialChoice) -> str:
    """Say what a part may be had in, and when one chooses it."""
    return words.say(
        "material-choice",
        material=words.say(f"material.{choice.material}.name"),
        when=words.say(f"material-when.{choice.when}"),
    )


def tell_fixing(words: Words, build: Build, fixing: Fixing) -> str:
    """Say how a joint holds a part, by what, and with which tool it comes undone."""
    key = f"fixing.{fixing.role}"
    others = _tell_places(words, build, fixing.others)
    if fixing.by:
        told = words.say(f"{key}-by", others=others, by=_tell_places(words, build, fixing.by))
    else:
        told = words.say(key, others=others)
    if fixing.tool:
        told = words.say("fixing.tool", told=told, tool=words.say(f"tool.{fixing.tool}"))
    return told


def _tell_places(words: Words, build: Build, places: Iterable[str]) -> str:
    return tell_pieces(words, build, [name for place in places for name in build.pieces_at(place)])


def tell_after(words: Words, naming: Naming, leaving: Leaving) -> str:
    """Say what a part comes off after, and on what it leaves the pump if it does not leave by itself."""
    if not leaving.after:
        return words.say("leaving.at-once")
    told = words.say("leaving.after", pieces=naming.tell_pieces(leaving.after))
    if leaving.rides_on:
        on = naming.tell_pieces(leaving.rides_on)
        told = words.say("leaving.rides-on", told=told, on=on)
    return told


def tell_along(words: Words, naming: Naming, leaving: Leaving) -> str:
    """Say what comes off with a part: what is pressed, screwed, keyed or sealed to it by then."""
    if not leaving.along:
        return words.say("leaving.alone")
    return words.say("leaving.along", pieces=naming.tell_pieces(leaving.along))
