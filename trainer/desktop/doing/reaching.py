"""Show what must come off to reach a part: the steps are found, told, and played in the picture one after another.

What is played is taken off by the hand as anybody would: the pump then really stands so, the freed part can
be pulled off, and "back" puts back what was taken.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

from trainer.core.order.pulling import Pull
from trainer.core.order.reach import Reached
from trainer.desktop.pace import find_reading_s
from trainer.desktop.panes.reach_pane import ReachPane
from trainer.desktop.panes.step_list import StepLine
from trainer.desktop.picture.gliding import GLIDE_S, Gliding
from trainer.desktop.pieces import make_button
from trainer.desktop.reach_work import ReachWork
from trainer.session.reaching import ReachStep, Routes, ask_reach, list_steps
from trainer.words.speech import begin

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow
    from trainer.session.by_hand import ByHand

LEAD_SHARE = 0.5
"""How long a step is told before it moves, as a share of the pace's time for a step."""
NONE: frozenset[str] = frozenset()


class Reaching(QObject):
    """Answer the question from the card, and play the answer.

    done: how many of the steps have come off. is_playing: whether it goes on by itself.
    """

    def __init__(self, window: PumpWindow, choose: Callable[[], object]) -> None:
        """Make it; `choose` lets a part be chosen where none is."""
        super().__init__(window)
        self._window, self._choose = window, choose
        words = window.words
        self.pane = ReachPane(words)
        window.add_pane("reach", self.pane, self.go_back)
        self.ask_button = make_button(
            words.say("reaching.ask"), self.ask, spoken=words.say("reaching.ask-spoken")
        )
        window.part.foot_column.insertWidget(1, self.ask_button)
        window.add_key("Ctrl+R", self.ask)
        self.gliding = Gliding(window.view)
        self.gliding.finished.connect(self._arrive)
        self._lead = QTimer(self, singleShot=True)
        self._lead.timeout.connect(self._take_next)
        self._gap = QTimer(self, singleShot=True)
        self._gap.timeout.connect(self._tell_next)
        self._work: ReachWork | None = None
        self._ended: list[ReachWork] = []
        self._piece = ""
        self._routes: Routes = {}
        self._end = ""
        self._is_together = True
        self.steps: tuple[ReachStep, ...] = ()
        self.done = 0
        self.is_playing = False
        self._before: tuple[float, tuple[Pull, ...]] | None = None
        self._is_setting = False
        self._connect()

    def _connect(self) -> None:
        window, pane = self._window, self.pane
        pane.play_asked.connect(self.play_or_hold)
        pane.left.connect(self.go_back)
        pane.end_asked.connect(self._show_end)
        pane.together_asked.connect(self._look)
        pane.steps.itemClicked.connect(lambda item: self.go_to(pane.steps.row(item)))
        pane.steps.itemActivated.connect(lambda item: self.go_to(pane.steps.row(item)))
        window.came.connect(self._forget)
        window.motion.moved.connect(lambda _apart: self._give_way())
        window.view.picked.connect(lambda _piece: self.hold())
        window.panes.currentChanged.connect(lambda _index: self.hold())

    # ------------------------------------------------------------------ the question
    @property
    def _hand(self) -> ByHand | None:
        return self._window.dragging.hand

    def ask(self) -> None:
        """Look for what must come off to reach the part of the card."""
        window = self._window
        piece = window.part.piece
        if window.standing is None:
            return
        if not piece:
            self._choose()
            return
        self._restore()
        self._piece = piece
        window.show_pane("reach")
        self._look(is_together=self._is_all_together)

    @property
    def _is_all_together(self) -> bool:
        hand = self._hand
        return hand is None or not (hand.moves or hand.done)

    def _look(self, is_together: bool) -> None:  # noqa: FBT001 - a signal's argument
        window, words = self._window, self._window.words
        self._stop_work()
        self._restore()
        self._is_together, self._routes, self.steps = is_together, {}, ()
        naming = window.naming
        card = window.part
        alike = (
            (self._piece,) if card.showing.is_single else naming.sets[naming.find_part(self._piece)]
        )
        self.pane.begin(
            naming.tell_pieces(alike),
            can_choose_start=not self._is_all_together,
            is_together=is_together,
        )
        bench, hand = window.ordered, self._hand
        if bench is None or hand is None:
            self.pane.say(words.say("reaching.no-order"))
            return
        if self._piece == bench.base:
            self.pane.say(words.say("reaching.stays"))
            return
        taken = (
            []
            if is_together
            else [
                *(name for step in bench.order.steps[: hand.done] for name in step.pieces),
                *(move.piece for move in hand.moves),
            ]
        )
        work = ReachWork(ask_reach(bench, alike, taken), self)
        work.found.connect(self._take_routes)
        work.failed.connect(lambda: self.pane.say(words.say("reaching.failed")))
        self._work = work
        work.start()

    def _take_routes(self, routes: Routes) -> None:
        if self.sender() is not self._work:
            return  # asked otherwise meanwhile
        self._routes = routes
        words = self._window.words
        counts = {end: None if way is None else len(way.steps) - 1 for end, way in routes.items()}
        open_ends = {end: count for end, count in counts.items() if count is not None}
        if not routes:
            self.pane.say(words.say("reaching.off-already"))
        elif not open_ends:
            self.pane.say(words.say("reaching.none"))
        else:
            self._end = min(open_ends, key=lambda end: open_ends[end])
            self.pane.show_ends(counts, self._end)
            self._show_end(self._end)

    def _show_end(self, end: str) -> None:
        """Show the steps of the way from one end."""
        way, bench = self._routes.get(end), self._window.ordered
        if way is None or bench is None:
            return
        self._restore()
        self._end = end
        self.steps = list_steps(bench, way, is_together=self._is_together)
        self._tell_steps(way)

    def _tell_steps(self, way: Reached) -> None:
        lines = [
            StepLine(
                str(number + 1) if step is not self.steps[-1] else "",
                self._name(step.pieces),
                self._window.naming.tell_taken(step.taken[0], len(step.taken)),
                self._tell_work(step),
            )
            for number, step in enumerate(self.steps)
        ]
        self.pane.show_steps(lines, is_shortest=way.is_shortest)

    def _name(self, pieces: tuple[str, ...]) -> str:
        told = self._window.naming.tell_pieces(pieces)
        return begin(told)

    def _tell_work(self, step: ReachStep) -> str:
        told = " ".join(self._window.naming.tell_work(one) for one in step.work)
        return self._window.words.say("reaching.before", work=told) if told else ""

    # ------------------------------------------------------------------ the motion
    def play_or_hold(self) -> None:
        """Go on, or stand still; from the end it begins anew."""
        if self.is_playing:
            self.hold()
        elif self.steps and self._hand is not None:
            if self.done >= len(self.steps) - 1 and self._before is not None:
                self._restore()
            self._set_playing(is_playing=True)
            if not self._begin():
                self._tell_next()

    def hold(self) -> None:
        """Stand still after the step that is under way."""
        self._lead.stop()
        self._gap.stop()
        self._set_playing(is_playing=False)

    def _set_playing(self, *, is_playing: bool) -> None:
        self.is_playing = is_playing
        self.pane.show_playing(is_playing=is_playing)

    def _begin(self) -> bool:
        """Remember how the pump stands, and bring it where the way begins; False where it stands so already."""
        hand, motion = self._hand, self._window.motion
        if hand is None or self._before is not None:
            return False
        motion.pause()
        self._window.trying.stop()
        self._window.forget_tried()
        self._before = motion.apart, hand.moves
        self.done = 0
        if not self._is_together or self._is_all_together:
            return False
        self._stand(0.0, ())
        return True

    def _tell_next(self) -> None:
        """Say what comes off next; what must be done before it is read first."""
        window, last = self._window, len(self.steps) - 1
        step = self.steps[self.done]
        self.pane.show_done(self.done)
        window.speak_of(step.pieces, ghosted=NONE)
        way = window.naming.tell_taken(step.taken[0], len(step.taken))
        before = self._tell_work(step)
        if self.done == last:
            self._tell_free(way, before)
            return
        number = window.words.say("reaching.step", number=self.done + 1, last=last)
        window.motion.tell(self._name(step.pieces), number, way, before)
        if not self.is_playing:
            return
        if before and window.motion.pace.waits:
            self.hold()
            return
        lead_s = find_reading_s(before) or LEAD_SHARE * window.motion.pace.seconds_per_step
        self._lead.start(round(1000 * lead_s))

    def _tell_free(self, way: str, before: str) -> None:
        """Say that nothing is in its way any more, and show it through what may still cover it."""
        window, step = self._window, self.steps[-1]
        self.hold()
        pieces = frozenset(step.pieces)
        glass = window.view.find_in_front(pieces, window.view.shown_marks.hidden - pieces)
        window.speak_of(step.pieces, ghosted=glass - pieces)
        title = window.words.say("reaching.free-title", part=self._name(step.pieces))
        window.motion.tell(title, "", way, before)

    def _take_next(self) -> None:
        """Let the next step come off."""
        self._take(self.done)
        self._glide()

    def _take(self, number: int) -> None:
        hand = self._hand
        if hand is None:
            return
        for taken in self.steps[number].taken:
            pulls = hand.find_pulls(taken.piece)
            right = [pull for pull in pulls if pull.comes_off]
            right.sort(key=lambda pull: pull.direction != taken.direction)
            hand.take(tuple(right[:1]))
        self.done = number + 1
        self._window.accompanying.show(self.steps[number].pieces)

    def _arrive(self) -> None:
        """All is where it belongs: go on after a moment, or say where it stands."""
        if self._before is None:
            return
        if self.is_playing:
            rest_s = (1.0 - LEAD_SHARE) * self._window.motion.pace.seconds_per_step - GLIDE_S
            self._gap.start(max(round(1000 * rest_s), 1))
        elif self.steps:
            self._tell_next()

    def go_to(self, number: int) -> None:
        """Go to where a step is next, over all that lies between."""
        hand = self._hand
        if not self.steps or hand is None:
            return
        self.hold()
        self._begin()
        while self.done < number:
            self._take(self.done)
        while self.done > number:
            self._put_back(self.done - 1)
        self._glide()

    def _put_back(self, number: int) -> None:
        hand = self._hand
        if hand is not None:
            for taken in reversed(self.steps[number].taken):
                hand.put_back(taken.piece)
        self.done = number

    def _glide(self) -> None:
        """Let everything glide to where it belongs now."""
        window = self._window
        window.dragging.stand(window.motion.apart)
        self.gliding.glide_to(window.find_places(window.motion.apart))

    def _stand(self, apart: float, moves: tuple[Pull, ...]) -> None:
        """Glide to where the slider has done so much, and the hand just these moves."""
        hand, window = self._hand, self._window
        if hand is None:
            return
        there = dict(window.view.offsets)
        hand.put_all_back()
        self._is_setting = True
        window.motion.set_apart(apart)
        window.motion.moved.emit(window.motion.apart)  # the bar tells where it stands, moved or not
        self._is_setting = False
        if moves:
            hand.take(moves)
        window.view.set_offsets(there)
        self._glide()

    # ------------------------------------------------------------------ the end
    def go_back(self) -> None:
        """Let the pump stand as it did before, and show the part again."""
        window = self._window
        self._stop_work()
        self._restore()
        window.close_pane()
        if window.standing is not None and self._piece in window.standing.assembly.by_name:
            window.speak_of((self._piece,), ghosted=NONE)

    def _restore(self) -> None:
        """Put back what was played."""
        self.hold()
        if self._before is not None:
            before, self._before = self._before, None
            self._stand(*before)
        self.done = 0
        if self.steps:
            self.pane.show_done(0)

    def _give_way(self) -> None:
        """The slider has been moved by hand: leave the pump to it."""
        if not self._is_setting:
            self.hold()
            self.gliding.stop()

    def _forget(self) -> None:
        """Something else stands on the bench."""
        self._stop_work()
        self.hold()
        self.gliding.stop()
        self._before, self.steps, self.done = None, (), 0
        if self._window.pane == "reach":
            self._window.close_pane()

    def _stop_work(self) -> None:
        if self._work is not None:
            self._work.requestInterruption()
            self._ended = [one for one in self._ended if one.isRunning()] + [self._work]
            self._work = None

    def wait(self) -> None:
        """Let no search outlive the window."""
        self._stop_work()
        for work in self._ended:
            work.wait()
