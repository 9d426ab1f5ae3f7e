"""The pack that was found for a gap: a button puts it in, and another changes back to the one that was in before."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from trainer.desktop.flow import Flow
from trainer.desktop.pieces import GAP_PX, make_button
from trainer.words import Words
from trainer.words.telling_shims import tell_shim_shortly

SAME_MM = 1e-6


class PackOffer(QWidget):
    """Offer what can be done with a pack that was found; which button stands there follows from the pack that is in."""

    asked = Signal(tuple)

    def __init__(self, words: Words) -> None:
        super().__init__()
        self._words = words
        self._best: tuple[float, ...] = ()
        self._before: tuple[float, ...] = ()
        self._felt = ""
        self.put = make_button(words.say("packs.put"), self._put, name="main")
        self.back = make_button(words.say("packs.back", pack="…"), self._go_back)
        row = Flow(GAP_PX // 2, GAP_PX // 2)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.put)
        row.addWidget(self.back)
        self.setLayout(row)
        self.hide()

    def make(self, best: tuple[float, ...], before: tuple[float, ...], felt: str) -> None:
        """Offer a pack in place of the one that is in; `felt` is what was typed of the gap with that one."""
        self._best, self._before, self._felt = best, before, felt
        told = self._tell(before)
        self.put.setAccessibleName(self._words.say("packs.put-spoken", pack=self._tell(best)))
        self.back.setText(self._words.say("packs.back", pack=told))
        self.back.setAccessibleName(self.back.text())

    def drop(self) -> None:
        """Offer nothing any more."""
        self._best, self._before, self._felt = (), (), ""
        self.hide()

    def forget_found(self, pack: Sequence[float]) -> None:
        """Offer no pack that is not in: what told which it is stands there no more."""
        if not _is_same(pack, self._best):
            self.drop()

    def follow(self, pack: Sequence[float]) -> None:
        """Show the button that fits the pack that is in."""
        is_in = _is_same(pack, self._best)
        self.put.setVisible(not is_in)
        self.back.setVisible(is_in)
        self.setVisible(bool(self._best) and not _is_same(self._best, self._before))

    def find_felt(self, pack: Sequence[float]) -> str:
        """Give what was typed of the gap with a pack in, "" where nothing was."""
        return self._felt if _is_same(pack, self._before) else ""

    def _put(self) -> None:
        self.asked.emit(self._best)
        self.back.setFocus()

    def _go_back(self) -> None:
        self.asked.emit(self._before)
        self.put.setFocus()

    def _tell(self, pack: Sequence[float]) -> str:
        return " + ".join(tell_shim_shortly(self._words, shim) for shim in pack)


def _is_same(pack: Sequence[float], other: Sequence[float]) -> bool:
    return len(pack) == len(other) and all(
        abs(a - b) < SAME_MM for a, b in zip(sorted(pack), sorted(other), strict=True)
    )
