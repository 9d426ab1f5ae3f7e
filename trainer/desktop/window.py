"""What happens in the window: the bench is filled, parts move, are picked and asked about, the pack is changed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QThread, Signal
from PySide6.QtGui import QCloseEvent

from models.spec.assembly import Assembly
from models.spec.dimension import Dimension
from trainer.core.order.teardown import Step
from trainer.desktop.bench_work import BenchChoice
from trainer.desktop.doing.accompanying import Accompanying
from trainer.desktop.doing.answering import Answering
from trainer.desktop.doing.changing import Changing
from trainer.desktop.doing.coming_back import ComingBack
from trainer.desktop.doing.cutting import Cutting
from trainer.desktop.doing.desk import Desk
from trainer.desktop.doing.dragging import Dragging
from trainer.desktop.doing.finding import Finding
from trainer.desktop.doing.guessing import Guessing
from trainer.desktop.doing.keeping import Keeping
from trainer.desktop.doing.keys import Keys
from trainer.desktop.doing.lessons import Lessons
from trainer.desktop.doing.measuring import Measuring
from trainer.desktop.doing.observing import Observing
from trainer.desktop.doing.opening import Opening
from trainer.desktop.doing.pointing import Pointing
from trainer.desktop.doing.practising import Practising
from trainer.desktop.doing.proving import Proving
from trainer.desktop.doing.showing import Showing
from trainer.desktop.doing.trying import Trying
from trainer.desktop.doing.withholding import Withholding
from trainer.desktop.picture.overlay import NameTag
from trainer.desktop.picture.surface import Steps
from trainer.desktop.spoken_values import let_values_be_read
from trainer.desktop.texts import make_naming, make_tags, tell_build, tell_step
from trainer.desktop.tidying import Tidying
from trainer.desktop.window_frame import WindowFrame, read_clock
from trainer.desktop.work import RecordsWork
from trainer.lesson import Show
from trainer.session.as_left import AsLeftFile
from trainer.session.bench import Bench
from trainer.session.choosing import find_usual
from trainer.session.on_bench import OnBench
from trainer.stage.camera import ViewName
from trainer.stage.marks import NO_MARKS, Marks
from trainer.words import Words
from trainer.words.naming import Naming

if TYPE_CHECKING:
    from trainer.records import Records

NONE: frozenset[str] = frozenset()


class PumpWindow(WindowFrame):
    """Show one pump, or somebody's assembly, and everything that can be done with it.

    came: something else stands on the bench (`standing`, `naming`), or the same with other shims or guesses.
    order_came: its order is known (`ordered`). Both come once all panes have been filled.
    """

    came = Signal()
    order_came = Signal()

    def __init__(
        self,
        words: Words,
        build: str,
        *,
        limits: Mapping[str, Dimension] | None = None,
        records: Records | None = None,
        clock: Callable[[], datetime] = read_clock,
        left: AsLeftFile | None = None,
    ) -> None:
        super().__init__(words, records, clock)
        let_values_be_read()
        self.tidying = Tidying(self)
        self.keeping = Keeping(self, left)
        self.standing: OnBench | None = None
        self.ordered: OnBench | None = None
        self._naming: Naming | None = None
        self.assembly: Assembly | None = None
        self.light: Assembly | None = None
        self._works: list[QThread] = []
        self._later: list[QThread] = []
        self._last_apart = 0.0
        self.missing = NONE
        """Pieces that are off in a question, of a state that no order of ours passes."""
        self.view.wait_for(words.say("window.making-solids"))
        self.view.picked.connect(self._picked)
        self.view.offered.connect(lambda piece: self.speak_of({piece}, named=False))
        self.motion.moved.connect(self._moved)
        self.part.step_asked.connect(self._go_to_step)
        self.lesson.show_asked.connect(self.show_page)
        self.cutting = Cutting(self)
        self.dragging = Dragging(self)
        self.accompanying = Accompanying(self)
        self.changing = Changing(self, BenchChoice(build, limits=limits))
        self.opening = Opening(self)
        self.guessing = Guessing(self)
        self.trying = Trying(self)
        self.measuring = Measuring(self)
        self.proving = Proving(self)
        self.answering = Answering(self)
        self.pointing = Pointing(self)
        self.withholding = Withholding(self)
        self.showing = Showing(self)
        self.finding = Finding(self)
        self.desk = Desk(self)
        self.keys = Keys(self)
        self.lessons = Lessons(self)
        self.practising = Practising(self)
        self.observing = Observing(self)
        self.coming_back = ComingBack(self)

    @property
    def bench(self) -> Bench | None:
        """The pump of ours on the bench, with all its dimensions; None while nothing or somebody's assembly stands there.

        What needs no dimension asks `standing`, `ordered` (the same once its order is known) and `naming`.
        """
        return self.standing if isinstance(self.standing, Bench) else None

    @property
    def naming(self) -> Naming:
        """How what stands on the bench is called; only once something does."""
        assert self._naming is not None
        return self._naming

    # ------------------------------------------------------------------ work in the background
    def load(self) -> None:
        """Start making what is to be seen; the window stays usable meanwhile."""
        self.changing.change(self.changing.wanted)
        # After the first picture only: it loads much, and the picture comes first.
        self._later += [self.lessons.make_reading()]
        if self.records is None:
            self._later += [RecordsWork(self.door, self)]

    def _start_later(self) -> None:
        """Start what waited for the first picture, one after the other: two threads that load one library trip over each other."""
        if self._later:
            work = self._later.pop(0)
            work.finished.connect(self._start_later)
            self._works.append(work)
            work.start()

    def prepare_solids(self, bench: OnBench, full: Assembly) -> Steps:
        """Make ready what `take_solids` will need, in steps; the very first pump is seen as soon as it can be drawn."""
        yield from self.view.prepare_assembly(full)
        if isinstance(bench, Bench):
            yield
            yield from self.sheet.lay_ahead(bench)

    def take_solids(self, bench: OnBench, full: Assembly) -> None:
        """Put something on the bench, or the same with other shims or guesses; its order comes later."""
        first, other = self.standing is None, self._is_other(bench)
        self.standing, self.assembly, self.light = bench, full, None
        self._naming = make_naming(self.words, bench)
        self.measuring.enlarging.forget()
        if other:
            self._clear()
        elif not full.by_name.keys() >= self.view.marks.lit | self.view.marks.in_the_way:
            self.view.set_marks(NO_MARKS)  # a part that was spoken of has been left out
        self.view.show_assembly(full)
        self.fill_panes(bench, self._naming)
        self.lesson.set_bench(self.bench)
        if other:
            self._name_build(bench)
            self.take_view(bench.build.family if bench.build else None)
        if first:
            self._start_later()
        elif other:
            self.fit_view()
        else:
            self._place_pieces(self.motion.apart)
        self.came.emit()

    def _is_other(self, bench: OnBench) -> bool:
        """Is this another pump than the one that stood here, not the same with other shims?"""
        return self.standing is None or self.standing.identity != bench.identity

    def _clear(self) -> None:
        """Forget what belongs to the pump that stood here."""
        self.missing = NONE
        self.trying.stop()
        self.dragging.forget()
        self.ordered = None
        self.motion.wait()
        self.leave_close_up()
        self.view.set_offsets({})
        self.view.set_marks(NO_MARKS)
        self.part.forget()

    def _name_build(self, bench: OnBench) -> None:
        """Name what stands on the bench at the head of the window."""
        words, build = self.words, bench.build
        name, unusual = (bench.name, "")
        if build is not None:
            name, unusual = tell_build(words, build, find_usual(build.family))
        self.build.setText(name)
        self.build.setToolTip(unusual)
        self.build.show()
        coming = words.say("window.order-coming")
        self.motion.tell(words.say("window.is-together"), "", coming, "")

    def take_light(self, bench: OnBench, light: Assembly) -> None:
        """Take the light stand-ins of what stands here."""
        if bench is self.standing:
            self.light = light
            self.view.show_light(self.measuring.enlarging.draw_out(light))

    def take_order(self, bench: OnBench) -> None:
        """Take the order of what stands here: now it can be taken apart."""
        if bench is not self.standing:
            return  # the pack was changed again meanwhile; its own order is on the way
        self.ordered = bench
        self.dragging.take_bench(bench)
        self.motion.set_steps(len(bench.order.steps))
        self.part.set_order()
        self._place_pieces(self.motion.apart)
        self._tell_motion(self.motion.apart)
        self.order_came.emit()

    # ------------------------------------------------------------------ motion
    def _moved(self, apart: float) -> None:
        """Put every part where the slider says, and name the one that moves."""
        if self.ordered is None:
            return
        self.trying.stop()
        if self.motion.slider.isSliderDown() or self.motion.is_playing:
            self.leave_close_up()
            self.view.release_close_up()
        self._place_pieces(apart)
        step = self._tell_motion(apart)
        if self._is_turning_page:
            return  # a page of the lesson says what is lit
        self.missing = NONE
        self.speak_of(step.pieces if step else (), ghosted=NONE)

    @property
    def _is_turning_page(self) -> bool:
        """Is the pump on its way to what a page of the lesson, or a question of practice, shows?"""
        is_page = self.pane in self.answering.boxes
        return self.motion.is_gliding and is_page and not self.motion.is_stepping

    def _place_pieces(self, apart: float) -> None:
        if self.ordered is None or self.standing is None:
            return
        self.dragging.stand(apart)
        places = self.measuring.enlarging.add_to(self.find_places(apart))
        self.view.set_offsets(places)
        self.accompanying.follow(apart)

    def find_places(self, apart: float) -> dict[str, npt.NDArray[np.float64]]:
        """Find where every piece stands, (3,) mm from home."""
        assert self.ordered is not None
        assert self.standing is not None
        offsets = self.dragging.find_places(apart)
        home = np.zeros(3)
        return {name: offsets.get(name, home) for name in self.standing.assembly.by_name}

    def _tell_motion(self, apart: float) -> Step | None:
        """Say in large letters which part moves, or has moved last; None when all are home."""
        assert self.ordered is not None
        words, steps = self.words, self.ordered.order.steps
        # A page of the walk, wherever one comes to it from, says what has come off by then.
        is_back, self._last_apart = apart < self._last_apart and not self._is_turning_page, apart
        if apart <= 0.0:
            by_hand = len(self.dragging.hand.moves) if self.dragging.hand else 0
            together = words.say("window.is-together")
            if by_hand:
                together = words.count("window.is-together-but", by_hand)
            self.motion.tell(together, "", words.say("order.safety-here"), "")
            return None
        at = apart * len(steps)
        is_whole = abs(at - round(at)) < 1e-6
        number = int(at)
        if is_whole:  # what moved last, and not what would move next
            number = round(at) - (0 if is_back and round(at) < len(steps) else 1)
        step = steps[number]
        self.motion.tell(*tell_step(words, self.naming, self.ordered, number, is_back=is_back))
        return step

    def tell_where_it_stands(self) -> None:
        """Say again how far apart the pump is, and what is off by hand."""
        if self.ordered is not None:
            self._tell_motion(self.motion.apart)

    def forget_tried(self) -> None:
        """Tell no more how a try to take off another part went, nor offer its proof."""
        self.proving.withdraw()
        if self.trying.unsay():
            self.tell_where_it_stands()

    def _go_to_step(self, number: int) -> None:
        if self.ordered is not None:
            self.leave_close_up()
            self.view.fit()
            steps = len(self.ordered.order.steps)
            self.motion.set_apart(number / steps)
            self.motion.step(+1)

    # ------------------------------------------------------------------ what is spoken of
    def speak_of(
        self,
        lit: Iterable[str],
        in_the_way: frozenset[str] = NONE,
        *,
        ghosted: frozenset[str] | None = None,
        named: bool = True,
    ) -> None:
        """Light pieces and write their names at them; colour is never the only sign."""
        if self.standing is None:
            return
        spoken = tuple(lit)
        marks = Marks(frozenset(spoken), in_the_way, hidden=self.missing)
        kept = self.view.marks.ghosted if ghosted is None else ghosted
        tags = self.make_tags_of(spoken, in_the_way) if named else {}
        self.view.set_marks(replace(marks, ghosted=kept - marks.lit - in_the_way), tags)

    def make_tags_of(self, lit: Iterable[str], in_the_way: Iterable[str]) -> dict[str, NameTag]:
        """Make the names that stand at pieces; large while these move."""
        tags, motion = make_tags(self.words, self.naming, lit, in_the_way), self.motion
        moves = motion.is_playing or motion.is_gliding or motion.slider.isSliderDown()
        return {name: replace(tag, is_large=moves) for name, tag in tags.items()}

    def _picked(self, piece: str) -> None:
        """A piece was picked: an answer if one is asked for, else its card."""
        if self.standing is None:
            return
        self.trying.stop()
        if self.answering.take_pick(piece):
            return
        if self.guessing.take_pick(piece):
            return
        self.forget_tried()
        self.speak_of({piece}, ghosted=NONE)
        self.part.show_piece(piece)
        self.show_pane("part")

    def show_page(self, show: Show) -> None:
        """Show what a page of the lesson asks for."""
        if self.bench is None:
            return
        lit, ghosted = (
            [piece for name in names for piece in self.bench.find_pieces(name)]
            for names in (show.lit, show.ghosted)
        )
        self.trying.stop()
        self.missing = frozenset(show.taken)
        self.dragging.put_all_back()
        self.leave_close_up()
        self.section.setChecked(show.cutaway)
        self.view.set_section(show.cutaway)
        self.speak_of(lit, ghosted=frozenset(ghosted))
        self.look_from(ViewName(show.camera.value))
        pieces = self.bench.find_pieces(show.off) if show.off else ()
        order = self.ordered.order if self.ordered else None
        self.motion.glide_to(order.find_share(pieces) if order and pieces else show.apart)
        if order and not self.motion.is_gliding:
            self._tell_motion(self.motion.apart)  # where it stands, not what was done before
        self.lessons.show_closely(show)
        self.answering.show_lit()

    # ------------------------------------------------------------------ shims
    def leave_close_up(self) -> None:
        """Measure nothing any more, and look at the whole again."""
        super().leave_close_up()
        self.measuring.stop()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Go out of sight at once, and let the work in the background end."""
        self.hide()
        self._later.clear()
        self.finding.wait()
        self.answering.close()
        self.lessons.close()
        self.changing.close()
        for work in self._works:
            work.requestInterruption()
            work.wait()
        self.tidying.close()
        self.view.give_back()
        self.door.close()
        super().closeEvent(event)
