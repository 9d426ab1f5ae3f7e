"""Put something else on the bench: made in the background, while all that stands there stays as usable as it is."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from models.solids.builders import Builders
from trainer.desktop.bench_work import (
    BenchChoice,
    BenchWork,
    Choice,
    CountWork,
    StepChoice,
    Told,
    name_choice,
)
from trainer.desktop.doing.arriving import Arriving, no_steps
from trainer.desktop.panes.making_strip import MakingStrip
from trainer.desktop.picture.lighten import Known
from trainer.desktop.picture.surface import Steps
from trainer.session.bench import Bench
from trainer.words.telling import tell_part

if TYPE_CHECKING:
    from PySide6.QtCore import QThread

    from models.spec.assembly import Assembly
    from trainer.desktop.window import PumpWindow
    from trainer.session.on_bench import OnBench


COUNT_MS = 250
"""How long a choice has been left alone before it is counted what of it is new."""


class Changing(QObject):
    """Hold what stands on the bench and what is wanted in its place; one thing is made at a time.

    A second choice takes the place of one that is still being made. What is left (`leave`), or cannot
    be made, changes nothing: the old pump stands there all the time, with its order and its view.
    """

    changed = Signal()
    """Something else stands on the bench, complete with its order: worth remembering."""
    failed = Signal(object, str)
    """A choice could not be put on the bench, and why; all is as it was."""

    def __init__(self, window: PumpWindow, first: BenchChoice) -> None:
        super().__init__(window)
        self._window = window
        self._builders = Builders()
        self._known: Known = {}
        self._work: BenchWork | None = None
        self._count: CountWork | None = None
        self._old: list[QThread] = []
        self.first = first
        self._ordered: Choice | None = None
        self.stands: Choice | None = None
        self.wanted: Choice = first
        self._arriving = Arriving(self)
        self._soon = QTimer(self, singleShot=True, interval=COUNT_MS)
        self._soon.timeout.connect(self._count_new)
        self.strip = MakingStrip(window.words, window.view)
        self.strip.left.connect(self.leave)
        window.builds.chosen.connect(self.change_build)
        window.builds.looked_at.connect(self._soon.start)
        window.shims.pack_chosen.connect(self.change_pack)

    # ------------------------------------------------------------------ what is wanted
    @property
    def pump(self) -> str:
        """The pump of ours that is wanted, or else the first one: whose lesson is read."""
        return (self.wanted if isinstance(self.wanted, BenchChoice) else self.first).build

    @property
    def is_busy(self) -> bool:
        """Is something being made?"""
        return self._work is not None

    def change_build(self, build: str, options: dict[str, str]) -> None:
        """Put a pump of ours on the bench."""
        self.change(BenchChoice(build, dict(options), limits=self.first.limits))

    def change_pack(self, pack_mm: tuple[float, ...]) -> None:
        """Put other shims into the pump that stands there."""
        if isinstance(self.stands, BenchChoice):
            self.change(replace(self.stands, pack_mm=pack_mm))

    def change(self, choice: Choice) -> None:
        """Begin to make what is wanted; what was being made is abandoned."""
        self._stop()
        window = self._window
        self.wanted = choice
        # An assembly of somebody's is looked at while its order is still being found: that can take minutes.
        is_looked_at = isinstance(choice, StepChoice) or self._is_same_thing(choice)
        work = self._work = BenchWork(
            choice,
            self._builders,
            self._known,
            window.assembly,
            is_shown_at_once=self.stands is None or is_looked_at,
            is_first=not window.view.has_pump,
        )
        work.told.connect(self._tell)
        work.solids_ready.connect(self._take_solids)
        work.light_ready.connect(self._take_light)
        work.order_ready.connect(self._take_order)
        work.failed.connect(self._fail)
        name = name_choice(window.words, choice)
        self.strip.begin(window.words.say("choosing.making", name=name))
        if isinstance(choice, BenchChoice):
            window.builds.note_asked((choice.build, dict(choice.options)))
        work.start()

    def leave(self) -> None:
        """Leave what is being made: what stands there stays."""
        if not self.is_busy:
            return
        self._stop()
        self._go_back()
        if self.stands is None:
            self._window.view.wait_for(self._window.words.say("choosing.nothing"))
            self._window.motion.tell("", "", self._window.words.say("choosing.nothing"), "")

    def close(self) -> None:
        """End all work and all processes; waits until they have ended."""
        self._builders.close()
        self._stop()
        self._drop_count()
        for work in self._old:
            work.wait()
        self._builders.close()

    # ------------------------------------------------------------------ what comes of it
    def _tell(self, choice: Choice, told: Told) -> None:
        if choice is not self.wanted:
            return
        words = self._window.words
        if told.what == "reading" and told.done == told.of:
            # What comes after the last shape takes long, and nobody knows how long.
            self.strip.tell(words.say("choosing.making-overlaps", of=told.of), 0, 0, None)
            return
        text = words.say(f"choosing.making-{told.what}", done=told.done, of=told.of)
        if told.name:
            named = tell_part(words, told.name)
            text = words.say("choosing.made-last", told=text, part=named)
        self.strip.tell(text, told.done, told.of, told.left_s)

    def _take_solids(self, choice: Choice, bench: OnBench, full: Assembly) -> None:
        if choice is self.wanted:  # else something else is wanted by now
            self._arriving.bring(
                partial(self._prepare_solids, bench, full),
                partial(self._put_solids, choice, bench, full),
            )

    def _prepare_solids(self, bench: OnBench, full: Assembly) -> Steps:
        try:
            yield from self._window.prepare_solids(bench, full)
        finally:  # even where that went wrong: else the work would wait for ever
            if self._work is not None:
                self._work.go_on()

    def _put_solids(self, choice: Choice, bench: OnBench, full: Assembly) -> None:
        is_first = self.stands is None
        self.stands = choice  # before anybody is told: a proof asks the solids of what stands here
        self._window.take_solids(bench, full)
        if is_first:
            # From now on a change is made without waiting for the kernel to be loaded.
            self._builders.warm_up()

    def _take_light(self, choice: Choice, bench: OnBench, light: Assembly) -> None:
        if choice is self.wanted:
            prepare = partial(self._window.view.prepare_light, light)
            self._arriving.bring(prepare, partial(self._window.take_light, bench, light))

    def _take_order(self, choice: Choice, bench: OnBench) -> None:
        if choice is self.wanted:
            self._arriving.bring(no_steps, partial(self._put_order, choice, bench))

    def _put_order(self, choice: Choice, bench: OnBench) -> None:
        self._stop()
        self._ordered = choice
        self._window.take_order(bench)
        self.changed.emit()
        # Not before the first picture, which it would hold up.
        self._arriving.bring(self._window.view.prepare_cut, lambda: None)

    def _fail(self, choice: Choice, reason: str) -> None:
        if choice is not self.wanted:
            return
        self._stop()
        name = name_choice(self._window.words, choice)
        if self._window.coming_back.give_up(reason):
            return
        self._go_back()
        self._window.builds.say_failed(name, reason)
        self.failed.emit(choice, reason)
        if self.stands is None:
            self._window.view.wait_for(reason)
            self._window.motion.tell(self._window.words.say("window.failed"), "", reason, "")

    def _go_back(self) -> None:
        """Want again what stood there with its order; shims that were shown before that are taken out again."""
        ordered = self._ordered
        if ordered is None:
            return
        if self.stands is not ordered:
            self.change(ordered)
        else:
            self.wanted = ordered
            if isinstance(self._window.standing, Bench):
                self._window.shims.show_bench(
                    self._window.standing
                )  # not the pack that was given up

    def _stop(self) -> None:
        """Abandon what is being made; its thread ends by itself, and nothing it tells is heard."""
        self._arriving.drop()
        self._old = [one for one in self._old if one.isRunning()]
        if self._work is not None:
            self._work.stop()
            self._old.append(self._work)
            self._work = None
        self.strip.end()
        self._window.builds.note_asked(None)

    # ------------------------------------------------------------------ what would be new
    def _count_new(self) -> None:
        """Count which parts of what is chosen in the pane would have to be made."""
        self._drop_count()
        chosen = self._window.builds.chosen_now
        if chosen is None:
            return
        name, options = chosen
        choice = BenchChoice(name, options, limits=self.first.limits)
        self._count = CountWork(choice, self._builders.workers)
        self._count.counted.connect(self._tell_count)
        self._count.start()

    def _tell_count(self, choice: BenchChoice, new: int, of: int, left_s: float | None) -> None:
        if self._count is not None and choice is self._count.choice:
            self._window.builds.tell_new(choice.build, choice.options, new, of, left_s)

    def _drop_count(self) -> None:
        if self._count is not None:
            self._count.requestInterruption()
            self._old.append(self._count)
            self._count = None

    # ------------------------------------------------------------------ what it is
    def _is_same_thing(self, choice: Choice) -> bool:
        """Is it what stands there, with other shims or other guesses?"""
        stands = self.stands
        if isinstance(choice, BenchChoice) and isinstance(stands, BenchChoice):
            return (choice.build, choice.options) == (stands.build, stands.options)
        if isinstance(choice, StepChoice) and isinstance(stands, StepChoice):
            return choice.step is not None and choice.path == stands.path
        return False
