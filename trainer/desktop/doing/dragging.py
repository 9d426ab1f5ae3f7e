"""Take parts off by hand: pull one along a way; it stops at what it meets, or comes off and lies aside."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QGuiApplication

from trainer.core.order.pulling import Pull
from trainer.desktop.doing.hand_controls import HandControls
from trainer.desktop.doing.hand_texts import HandTexts
from trainer.desktop.picture.gliding import Gliding
from trainer.desktop.picture.grip import Arm, Grip, Handle
from trainer.session.by_hand import ByHand
from trainer.session.wrong_move import make_tried
from trainer.stage.marks import Marks

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow
    from trainer.session.on_bench import OnBench

Vector = npt.NDArray[np.float64]
GIVE_PX = 9.0
"""A part that a joint holds gives by this much of the picture at most, however hard it is pulled."""
GIVE_OVER_PX = 60.0
FAR_SHARE = 0.3
"""Pulled by this share of the picture even the longest shaft counts as clear."""
NONE: frozenset[str] = frozenset()


class Dragging:
    """Pull the chosen part in the window's picture, by hand or by keys, and put back what was taken off."""

    def __init__(self, window: PumpWindow) -> None:
        self._window = window
        self.hand: ByHand | None = None
        self.gliding = Gliding(window.view)
        self.grip = Grip(
            self.find_handle,
            self._begin,
            self.pull_to,
            self._end,
            self.pull_chosen,
            self._click,
            window.view.pick,
        )
        window.view.tracings.append(self.grip)
        self._pulls: tuple[Pull, ...] = ()
        self._known: object = None
        self._together: tuple[Pull, ...] = ()
        self._from: dict[str, Vector] = {}
        self._travel_mm = 0.0
        self._at_stop = False
        self.controls = HandControls(window, self)
        window.view.picked.connect(lambda _piece: self._choose())
        window.part.shown.connect(self._choose)
        window.part.back_asked.connect(lambda: self.put_back(window.part.piece))

    @property
    def _texts(self) -> HandTexts:
        assert self._window.ordered is not None
        return HandTexts(self._window.words, self._window.naming, self._window.ordered)

    # ------------------------------------------------------------------ which pump
    def take_bench(self, bench: OnBench) -> None:
        """Take the bench that can be taken apart; what was off by hand stays off where it is the same pump."""
        before, self.hand = self.hand, ByHand(bench.assembly, bench.blocking, bench.order)
        if before is not None:
            self.hand.take_over(before)
        self._window.motion.is_done = self.hand.is_step_done
        self._known = None
        self.controls.show()

    def forget(self) -> None:
        """Know of no pump: another one comes."""
        self.gliding.stop()
        self.hand, self._known = None, None
        self.controls.show()

    def retake(self, ways: Iterable[tuple[str, Sequence[float]]]) -> None:
        """Let what was left off by hand lie aside again at once; see `ByHand.retake`."""
        window = self._window
        if self.hand is None:
            return
        self.hand.retake(ways)
        self.gliding.stop()
        window.view.set_offsets(window.find_places(window.motion.apart))
        self.controls.show()

    def stand(self, apart: float) -> None:
        """Let the hand's moves come after what the slider has done."""
        self.gliding.stop()
        if self.hand is not None:
            self.hand.stand(int(apart * len(self.hand.order.steps) + 1e-6))
            self.controls.show()

    def find_places(self, apart: float) -> dict[str, Vector]:
        """Find where every piece stands, (3,) mm from home, with what is off by hand lying aside."""
        window = self._window
        assert window.ordered is not None
        assert self.hand is not None
        return self.hand.find_places(window.ordered.layout, apart)

    # ------------------------------------------------------------------ what may be pulled
    def find_chosen(self) -> str:
        """Find the piece that is chosen: the one of the card, as long as it is lit; "" for none."""
        window, piece = self._window, self._window.part.piece
        if self.hand is None or piece not in self.hand.assembly.by_name:
            return ""
        return piece if piece in window.view.shown_marks.lit else ""

    def find_pulls(self, piece: str) -> tuple[Pull, ...]:
        """Find what becomes of a piece in every direction as the pump stands; kept until that changes."""
        if self.hand is None or not piece:
            return ()
        key = piece, self.hand.moves, self.hand.done
        if key != self._known:
            self._known, self._pulls = key, self.hand.find_pulls(piece)
            self.grip.chosen = 0
        return self._pulls

    def find_handle(self) -> Handle | None:
        """Find what may be taken hold of in the picture now; None while anything moves by itself."""
        window, hand = self._window, self.hand
        piece = self.find_chosen()
        busy = window.motion.is_playing or window.motion.is_gliding or self.gliding.is_under_way
        if hand is None or not piece or busy or window.view.is_close_up:
            return None
        if window.trying.replay.move is not None:
            return None
        pulls = self.find_pulls(piece)
        if not pulls:
            return None
        number, table = hand.number, hand.blocking
        own = [number[name] for name in pulls[0].moving]
        at = number[piece]
        home = (table.low[at] + table.high[at]).astype(np.float64) / 2.0
        arms = []
        for pull in pulls:
            way = pull.direction.vector
            reach = np.maximum(table.low[own] * way, table.high[own] * way).sum(axis=1).max()
            base_mm = float(reach - home @ way)
            stop = self._texts.tell_bar(pull)
            arms.append(Arm(way, base_mm, pull.comes_off, pull.is_held, stop))
        there = window.view.offsets.get(piece, np.zeros(3))
        return Handle(piece, pulls[0].moving, home + there, arms)

    def _choose(self) -> None:
        self.grip.chosen = 0
        self.controls.show()

    # ------------------------------------------------------------------ pulling by hand
    def _begin(self, number: int) -> None:
        """Take hold: say what is pulled which way, and what must be done before the first part leaves."""
        shift = QGuiApplication.keyboardModifiers() & Qt.KeyboardModifier.ShiftModifier
        self.begin(number, alike=bool(shift))

    def begin(self, number: int, *, alike: bool = False) -> None:
        """Take hold of the chosen piece along one of its ways; `alike`: all of its set that comes off alike."""
        window, hand = self._window, self.hand
        assert hand is not None
        pull = self.find_pulls(self.find_chosen())[number]
        self._stand_whole()
        window.trying.stop()
        window.accompanying.following.stop()
        self._together = hand.find_alike(pull) if alike else (pull,)
        self._from = window.find_places(window.motion.apart)
        self._travel_mm, self._at_stop = 0.0, False
        self._tell_begun()
        if pull.is_held:
            self._show_stopped(pull)

    def _stand_whole(self) -> None:
        """Bring the slider to a whole step: a hand takes nothing off a pump that is half way through one."""
        motion = self._window.motion
        motion.pause()
        at = motion.apart * motion.steps
        if abs(at - round(at)) > 1e-6:
            motion.set_apart(round(at) / motion.steps)

    def _tell_begun(self) -> None:
        window = self._window
        window.speak_of(self._moving, ghosted=NONE)
        window.motion.tell(
            *self._texts.tell_begun(self._together, is_first=self._is_first, ways=self._pulls)
        )

    @property
    def _is_first(self) -> bool:
        """Does nothing lie aside yet?"""
        return self.hand is not None and not self.hand.moves and self.hand.done == 0

    @property
    def _moving(self) -> frozenset[str]:
        return frozenset[str]().union(*(pull.moving for pull in self._together))

    def pull_to(self, mm: float) -> None:
        """Bring what is pulled to a travel, as far as it goes; what stops it is told at the contact."""
        window, pull = self._window, self._together[0]
        per_px = window.view.camera.mm_per_px
        if pull.is_held:
            over = max(mm, 0.0) / per_px / GIVE_OVER_PX
            self._travel_mm = GIVE_PX * per_px * (1.0 - math.exp(-over))
        else:
            self._travel_mm = min(max(mm, 0.0), pull.stop_mm)
            if not pull.comes_off:
                at_stop = mm >= pull.stop_mm
                if at_stop and not self._at_stop:
                    self._show_stopped(pull)
                self._at_stop = at_stop
            self.grip.told = self._texts.tell_travel(self._travel_mm)
        shift = pull.direction.vector * self._travel_mm
        moved = {name: self._from[name] + shift for name in self._moving}
        window.view.set_offsets({**self._from, **moved})

    def _show_stopped(self, pull: Pull) -> None:
        """Light what stops it, and say it."""
        window = self._window
        tried = make_tried(pull, self.hand.find_gone(pull.piece) if self.hand else NONE)
        tags = window.make_tags_of((tried.piece,), sorted(tried.hindrance))
        window.view.set_marks(Marks(tried.moving, tried.hindrance), tags)
        window.motion.tell(*self._texts.tell_stopped(pull, self._pulls))
        window.proving.offer(tried)

    @property
    def off_mm(self) -> float:
        """How far what is held must be pulled to be off when it is let go; inf where it does not come off."""
        view = self._window.view
        far_mm = FAR_SHARE * min(view.size_px) * view.camera.mm_per_px
        return min(self._together[0].off_mm, far_mm) if self._together[0].comes_off else math.inf

    def _end(self) -> None:
        """Let go: off when it is clear, else it goes back to where it was."""
        if self._travel_mm >= self.off_mm:
            self._take(self._together)
        else:
            self._glide()

    def _take(self, pulls: tuple[Pull, ...]) -> None:
        hand, window = self.hand, self._window
        assert hand is not None
        told = self._texts.tell_off(pulls, hand, is_first=self._is_first)
        hand.take(pulls)
        self._glide()
        window.motion.tell(*told)
        window.accompanying.show(frozenset().union(*(pull.moving for pull in pulls)))

    def _glide(self) -> None:
        """Let everything glide to where it belongs now."""
        self._window.measuring.stop()
        self.gliding.glide_to(self._window.find_places(self._window.motion.apart))
        self.controls.show()

    def _click(self, piece: str) -> None:
        self._window.view.picked.emit(piece)

    # ------------------------------------------------------------------ pulling by keys
    def choose_way(self, by: int) -> None:
        """Go to the next way in which the chosen part may be pulled, and say what would become of it."""
        pulls = self.find_pulls(self.find_chosen())
        if not pulls:
            self._ask_to_choose()
            return
        self.grip.chosen = (self.grip.chosen + by) % len(pulls)
        pull = pulls[self.grip.chosen]
        self._window.motion.tell(*self._texts.tell_way(pull, pulls))
        self._window.view.update()

    def pull_towards(self, to: QPointF) -> None:
        """Pull the chosen part the way that lies nearest to an arrow key in the picture."""
        handle = self.find_handle()
        number = self.grip.find_arm_towards(to, self._window.view) if handle else None
        if number is None:
            self._ask_to_choose()
            return
        self.grip.chosen = number
        self.pull_chosen()

    def pull_chosen(self, *, alike: bool = False) -> None:
        """Pull the chosen part along the chosen way: it comes off, or goes to what stops it and back; put it back if it is off."""
        hand, window = self.hand, self._window
        piece = self.find_chosen()
        if hand is not None and piece and hand.is_off(piece):
            self.put_back(piece)
            return
        pulls = self.find_pulls(piece)
        if hand is None or not pulls:
            self._ask_to_choose()
            return
        chosen = min(self.grip.chosen, len(pulls) - 1)
        way = pulls[chosen].direction
        self._stand_whole()
        # Where the slider had to move the pump stands otherwise now.
        pull = next((one for one in self.find_pulls(piece) if one.direction == way), None)
        if pull is None:
            return
        if pull.comes_off:
            self._together = hand.find_alike(pull) if alike else (pull,)
            window.trying.stop()
            window.speak_of(self._moving, ghosted=NONE)
            self._take(self._together)
        else:
            window.trying.play(make_tried(pull, hand.find_gone(piece)), hidden=NONE)

    def _ask_to_choose(self) -> None:
        if self._window.ordered is not None:
            words = self._window.words
            piece = self.find_chosen()
            key = "dragging.off-already" if piece else "dragging.choose-first"
            title = self._texts.name({piece}) if piece else words.say("dragging.choose-title")
            self._window.motion.tell(title, "", words.say(key), "")

    # ------------------------------------------------------------------ putting back
    def put_back(self, piece: str) -> None:
        """Put a part back, with all that could not have come off while it was on; what the slider took off, by the slider."""
        hand, window = self.hand, self._window
        if hand is None or not hand.is_off(piece):
            return
        if piece in hand.off:
            self._tell_back(hand.put_back(piece), piece)
            return
        window.trying.stop()
        steps = hand.order.steps
        number = next(number for number, step in enumerate(steps) if piece in step.pieces)
        window.motion.glide_to(number / len(steps))

    def put_all_back(self) -> None:
        """Put back all that was taken off by hand."""
        if self.hand is None or not self.hand.moves:
            return
        before = self.hand.off
        self.hand.put_all_back()
        self._tell_back(before)

    def undo(self) -> None:
        """Take back what the hand did last."""
        self._change(lambda hand: hand.undo())

    def redo(self) -> None:
        """Do again what was taken back last."""
        self._change(lambda hand: hand.redo())

    def _change(self, change: Callable[[ByHand], bool]) -> None:
        hand = self.hand
        if hand is None:
            return
        before = hand.off
        if not change(hand):
            return
        gone = hand.off - before
        if gone:
            self._window.speak_of(sorted(gone), ghosted=NONE)
            self._window.motion.tell(*self._texts.tell_off_again(gone, hand))
            self._glide()
        else:
            self._tell_back(before - hand.off)

    def _tell_back(self, back: Iterable[str], wanted: str = "") -> None:
        assert self.hand is not None
        window, names = self._window, sorted(back)
        window.trying.stop()
        window.motion.pause()
        window.speak_of(names, ghosted=NONE)
        window.motion.tell(*self._texts.tell_back(names, wanted, self.hand))
        self._glide()
        window.accompanying.show(names)
