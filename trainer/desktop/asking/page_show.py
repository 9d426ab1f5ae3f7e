"""What a page of the walk shows together with what its question asks for."""

from __future__ import annotations

from dataclasses import replace

from trainer.lesson import Show
from trainer.lesson.item import Item


def add_asked(show: Show, item: Item) -> Show:
    """Add to what a page shows how its question needs the pump to stand: what is off, wrong, and lit."""
    asked = item.show
    if asked is None:
        return show
    return replace(
        show,
        lit=asked.lit,
        taken=asked.taken,
        fault=asked.fault,
        mirrored=asked.mirrored,
        apart=max(show.apart, asked.apart),
    )
