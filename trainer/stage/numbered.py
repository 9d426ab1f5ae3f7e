"""Draw a pump with a number beside every part, for a question that is answered by pointing where nothing can be clicked."""

from __future__ import annotations

from PIL import Image

from trainer.session.bench import Bench
from trainer.session.numbering import number_parts
from trainer.stage.wall_chart import Headings, draw_wall_chart

SIZE_PX = (1920, 1080)


def draw_numbered(
    bench: Bench, headings: Headings, *, size: tuple[int, int] = SIZE_PX
) -> Image.Image:
    """Draw a pump whole, in half section and apart, its parts under the numbers that they have everywhere.

    Raises:
        SurroundingsError: this machine cannot draw.
    """
    numbers = number_parts(bench.assembly).numbers
    labels = {bench.assembly.sets[part][0]: str(number) for part, number in numbers.items()}
    return draw_wall_chart(
        bench.assembly, bench.layout, labels, headings, lit=frozenset(), size=size
    )
