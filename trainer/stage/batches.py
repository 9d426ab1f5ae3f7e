"""Draw many pieces a few at a time into one picture, so that whoever waits for it can look after other things in between.

Software drawing costs by triangles, not by pixels: cutting the picture into tiles would gain nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Generator, Iterable, Mapping
from typing import TypeVar

from vtkmodules.vtkRenderingCore import vtkRenderer, vtkRenderWindow

from trainer.stage.actor import PieceActor

MOST_TRIANGLES = 80_000
"""Triangles of one batch: they keep two processors busy for about 40 ms."""
Item = TypeVar("Item")
Result = TypeVar("Result")


def part_out(
    items: Iterable[Item], triangles: Callable[[Item], int], most_items: int | None = None
) -> list[list[Item]]:
    """Part items, in their order, into batches with so few triangles, and no more than `most_items`; at least one batch."""
    batches: list[list[Item]] = [[]]
    held = 0
    for item in items:
        more = triangles(item)
        if batches[-1] and (held + more > MOST_TRIANGLES or len(batches[-1]) == most_items):
            batches.append([])
            held = 0
        batches[-1].append(item)
        held += more
    return batches


def draw_in_batches(
    window: vtkRenderWindow,
    renderer: vtkRenderer,
    actors: Mapping[str, PieceActor],
    names: Collection[str],
    show: Callable[..., None],
) -> Generator[None, None, None]:
    """Draw the named of all actors; `show(actor, shown=…)` shows or hides one. Pauses between two batches."""
    drawn = [name for name in actors if name in names]
    # Soft shade is worked out of the whole picture, and what moves is mostly light enough for one go.
    is_one = renderer.GetUseSSAO() or (
        sum([actors[name].triangles for name in drawn]) <= MOST_TRIANGLES
    )
    batches = [drawn] if is_one else part_out(drawn, lambda name: actors[name].triangles)
    try:
        for number, batch in enumerate(batches):
            lot = set(batch)
            for name, actor in actors.items():
                show(actor, shown=name in lot)
            # What was drawn before stays, and hides what lies behind it.
            renderer.SetPreserveColorBuffer(number > 0)
            renderer.SetPreserveDepthBuffer(number > 0)
            window.Render()
            if number + 1 < len(batches):
                # Else all of the waiting would be done by whoever reads the picture.
                window.WaitForCompletion()
                yield
    finally:
        renderer.SetPreserveColorBuffer(False)
        renderer.SetPreserveDepthBuffer(False)


def finish_steps(steps: Generator[None, None, Result]) -> Result:
    """Do work that is done in steps in one go, and give what comes of it."""
    while True:
        try:
            next(steps)
        except StopIteration as done:
            result: Result = done.value
            return result
