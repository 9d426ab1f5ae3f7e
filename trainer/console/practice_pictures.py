"""Draw what a question shows into files, for a terminal that can show none."""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from trainer.console.writing import write_whole
from trainer.lesson.item import Figure, Item, Pointed
from trainer.session.asking.benches import Benches
from trainer.words import Words

if TYPE_CHECKING:
    from PIL import Image

    from trainer.session.bench import Bench

SIZE_PX = (1440, 960)


@dataclass(frozen=True, slots=True)
class Drawn:
    """Files of one question, and by part its number on them where they bear numbers."""

    files: tuple[Path, ...]
    numbers: Mapping[str, int]


class Pictures:
    """Write pictures of questions into a folder; a numbered picture of a pump only once."""

    def __init__(self, words: Words, benches: Benches, folder: Path) -> None:
        self._words, self._benches, self._folder = words, benches, folder
        self._numbered: dict[object, Drawn] = {}

    def draw(self, item: Item, number: int) -> Drawn:
        """Draw what a question shows. Raises SurroundingsError where this machine cannot draw or write."""
        from trainer.stage.shown import draw_show

        files, numbers = list[Path](), dict[str, int]()
        is_pointed = any(isinstance(field.form, Pointed) for field in item.fields)
        if is_pointed:
            drawn = self._draw_numbers(self._benches.open(item.build, item.options))
            files += drawn.files
            numbers |= drawn.numbers
        show = item.show
        # Beside the numbered picture the pump as it stands is shown only where it does not stand as usual.
        if show is not None and not (is_pointed and not (show.fault or show.taken or show.lit)):
            bench = self._benches.open(show.build, show.options)
            picture = draw_show(self._words, bench, show, size=SIZE_PX, named=False)
            files.append(self._write(picture, f"question-{number:02d}.png"))
        if item.figure is not None:
            files.append(self._draw_figure(item, item.figure, f"drawing-{number:02d}.png"))
        return Drawn(tuple(files), numbers)

    def _draw_figure(self, item: Item, figure: Figure, name: str) -> Path:
        from trainer.stage.item_figure import draw_item_figure

        title = self._words.say(f"practice.kind-{item.kind}")
        data = draw_item_figure(figure.drawing, figure.values, ".png", title=title)
        path = (self._folder / name).resolve()
        write_whole(self._words, data, path)
        return path

    def _draw_numbers(self, bench: Bench) -> Drawn:
        if bench.identity not in self._numbered:
            from trainer.session.numbering import number_parts
            from trainer.stage.numbered import draw_numbered
            from trainer.stage.wall_chart import Headings

            words = self._words
            headings = Headings(
                words.say("practice.numbered", build=bench.name),
                "",
                words.say("practice.section"),
                words.say("practice.apart"),
            )
            name = f"numbered-{len(self._numbered) + 1}.png"
            file = self._write(draw_numbered(bench, headings), name)
            numbers = number_parts(bench.assembly).numbers
            self._numbered[bench.identity] = Drawn((file,), numbers)
        return self._numbered[bench.identity]

    def _write(self, picture: Image.Image, name: str) -> Path:
        data = io.BytesIO()
        picture.save(data, format="PNG")
        path = (self._folder / name).resolve()
        write_whole(self._words, data.getvalue(), path)
        return path
