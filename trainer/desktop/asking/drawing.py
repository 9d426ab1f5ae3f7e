"""Draw a question in the background, on benches that nobody else uses meanwhile."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from models.builds import make_named_build
from models.solids.builders import Made, StoppedError
from models.spec.build import Build
from models.spec.errors import RefusalError
from trainer.lesson.wanted import Wanted
from trainer.session.answering import Asked
from trainer.session.asking import Benches, draw_item
from trainer.session.bench import Bench


@dataclass(frozen=True, slots=True)
class Drawn:
    """A question that was drawn, and the build that it is asked of."""

    asked: Asked
    build: Build


class DrawnBenches(Benches):
    """Open benches of which nobody waits for the solids any longer than for the question that is being drawn."""

    def __init__(self) -> None:
        super().__init__(self._open_watched)
        self.drawing: Drawing | None = None

    def _open_watched(self, name: str, options: Mapping[str, str]) -> Bench:
        return Bench(make_named_build(name, options), watch=self)

    def note_made(self, done: int, of: int, made: Made) -> None:
        """Hear of a solid that was made."""

    def is_wanted(self) -> bool:
        """Say whether a question is still waited for."""
        return self.drawing is None or not self.drawing.is_dropped


class Drawing:
    """A question of a lesson to be drawn: another size, drawn afresh, may have to be made first.

    is_late: whoever waits was told so.
    """

    def __init__(
        self, bench: Bench, benches: DrawnBenches, wanted: Wanted, seed: str, lesson: str
    ) -> None:
        self._bench, self._benches = bench, benches
        self._wanted, self._seed, self._lesson = wanted, seed, lesson
        self.is_dropped = self.is_late = False

    def drop(self) -> None:
        """Wait for it no longer."""
        self.is_dropped = True

    def draw(self) -> Drawn:
        """Draw it.

        Raises:
            RefusalError: the pump cannot be asked that, or nobody waits for it any more.
        """
        self._benches.drawing = self
        try:
            item = draw_item(self._bench, self._benches, self._wanted, self._seed)
        except StoppedError as error:
            raise RefusalError(f"{self._wanted.id} is not asked any more") from error
        asked = Asked(item, self._seed, self._wanted.id, self._lesson)
        build = self._bench.build
        if (item.build, dict(item.options)) != (build.name, dict(build.options)):
            build = self._benches.open(item.build, item.options).build
        return Drawn(asked, build)
