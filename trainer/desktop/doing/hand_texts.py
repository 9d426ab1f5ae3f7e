"""What the window says while parts are taken off by hand: title, number, way, and what must be done before."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from trainer.core.order.answers import Refused
from trainer.core.order.pulling import Pull
from trainer.session.by_hand import ByHand
from trainer.words import Words
from trainer.words.naming import Naming
from trainer.words.speech import begin
from trainer.words.tried import make_title, tell_free, tell_tried

if TYPE_CHECKING:
    from trainer.session.on_bench import OnBench

Told = tuple[str, str, str, str]
TOUCHING_MM = 0.05
"""A shorter travel would be told as 0.0 mm."""


class HandTexts:
    """Put what the hand does to a bench into words."""

    def __init__(self, words: Words, naming: Naming, bench: OnBench) -> None:
        self._words, self._naming, self._bench = words, naming, bench

    def name(self, pieces: Iterable[str]) -> str:
        """Name pieces, with a capital in front."""
        wanted = set(pieces)
        known = [name for name in self._bench.assembly.by_name if name in wanted]
        told = self._naming.tell_pieces(known)
        return begin(told)

    def tell_travel(self, mm: float) -> str:
        """Tell how far a part has been pulled."""
        return self._words.millimetres(self._naming.to_life_mm(mm), 1)

    def tell_bar(self, pull: Pull) -> str:
        """Say shortly what stops a part along a way, and after how far; "" where it comes off."""
        found = pull.found
        if not isinstance(found, Refused):
            return ""
        words, naming = self._words, self._naming
        if found.held:
            by = dict.fromkeys(one for held in found.held for one in held.by)
            return words.say("dragging.bar-held", pieces=naming.tell_pieces(by)) if by else ""
        if found.way is None:
            return ""
        piece = naming.tell_piece(found.way.blocked_by[0])
        if found.way.travel_mm < TOUCHING_MM:
            return words.say("dragging.bar-touching", piece=piece)
        travel = self.tell_travel(found.way.travel_mm)
        return words.say("dragging.bar-blocked", piece=piece, travel=travel)

    def tell_begun(
        self, pulls: tuple[Pull, ...], ways: tuple[Pull, ...], *, is_first: bool
    ) -> Told:
        """Tell what is pulled which way; of the first part, what must be done before anything leaves."""
        pull = pulls[0]
        title = self.name(one.piece for one in pulls)
        if not pull.comes_off:
            way = self._words.say(
                "dragging.pulled", direction=self._naming.tell_way(pull.direction)
            )
            return title, "", way + self._tell_right_way(pull, ways), ""
        told = self._tell_pulls(pulls)
        return title, "", told, self._tell_before(pull.piece, is_first=is_first)

    def tell_stopped(self, pull: Pull, ways: tuple[Pull, ...]) -> Told:
        """Tell at what a part has stopped, after how far, and which way it would come off."""
        title = make_title(self._words, self._naming, pull.found)
        told = tell_tried(self._words, self._naming, pull.found)
        return title, "", told + self._tell_right_way(pull, ways), ""

    def tell_way(self, pull: Pull, ways: tuple[Pull, ...]) -> Told:
        """Tell what would become of a part along one of its ways."""
        if not pull.comes_off:
            return self.tell_stopped(pull, ways)
        title = make_title(self._words, self._naming, pull.found)
        return title, "", tell_tried(self._words, self._naming, pull.found), ""

    def tell_off(self, pulls: tuple[Pull, ...], hand: ByHand, *, is_first: bool) -> Told:
        """Tell what came off, and how it is put back."""
        pull, words = pulls[0], self._words
        title = words.say("dragging.title-off", pieces=self.name(one.piece for one in pulls))
        told = self._tell_pulls(pulls)
        count = len(hand.moves) + len(pulls)
        off = words.count("dragging.off-by-hand", count)
        return title, "", f"{told} {off}", self._tell_before(pull.piece, is_first=is_first)

    def tell_off_again(self, pieces: Iterable[str], hand: ByHand) -> Told:
        """Tell what is off once more."""
        title = self._words.say("dragging.title-off", pieces=self.name(pieces))
        return title, "", self._words.count("dragging.off-by-hand", len(hand.moves)), ""

    def tell_back(self, pieces: Iterable[str], wanted: str, hand: ByHand) -> Told:
        """Tell what was put back, and why more than was asked for."""
        words, names = self._words, list(pieces)
        title = words.say("dragging.title-back", pieces=self.name(names))
        more = [name for name in names if name != wanted]
        told = ""
        if wanted and more:
            told = words.say("dragging.back-too", pieces=self.name(more)) + " "
        left = len(hand.moves)
        told += words.count("dragging.still-off", left) if left else words.say("dragging.none-off")
        return title, "", told, ""

    def _tell_pulls(self, pulls: tuple[Pull, ...]) -> str:
        """Say how what is pulled comes off, all of a set as its first."""
        found = pulls[0].found
        if isinstance(found, Refused):
            return tell_tried(self._words, self._naming, found)
        return tell_free(self._words, self._naming, found, [pull.piece for pull in pulls])

    def _tell_right_way(self, pull: Pull, ways: tuple[Pull, ...]) -> str:
        """Tell the way in which a part that was pulled the wrong way comes off; "" where it comes off no way yet."""
        right = next((one for one in ways if one.comes_off), None)
        if right is None or right.direction == pull.direction:
            return ""
        told = self._naming.tell_way(right.direction)
        return " " + self._words.say("dragging.right-way", direction=told)

    def _tell_before(self, piece: str, *, is_first: bool) -> str:
        """Tell the work that comes before a part leaves; of the first one what comes before anything is touched."""
        bench, words = self._bench, self._words
        if is_first:
            return words.say("order.safety-here")
        number = next((i for i, step in enumerate(bench.order.steps) if piece in step.pieces), 0)
        told = " ".join(self._naming.tell_work(one) for one in bench.work_before(number) if number)
        return words.say("window.work-before", work=told) if told else ""
