"""Find a part: what is chosen in the list is lit in the picture, what is chosen in the picture is found in the list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QRectF, QTimer

from trainer.desktop.doing.labelling import Labelling
from trainer.desktop.doing.reaching import Reaching
from trainer.desktop.panes.parts_model import GroupRows, PartRow
from trainer.words.naming import StepNaming

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow

SETTLE_MS = 120
"""So long a line must stay the current one before its part is lit: arrows run over many."""
NONE: frozenset[str] = frozenset()


class Finding(QObject):
    """Keep list and picture of one mind: `labelling` numbers the picture, `reaching` shows the way to a part."""

    def __init__(self, window: PumpWindow) -> None:
        super().__init__(window)
        self._window = window
        # It numbers what came before the list is filled, and the card's button stands on what the list chose.
        self.labelling = Labelling(window)
        self.reaching = Reaching(window, self.search)
        self._next = ""
        self._settled = QTimer(self, singleShot=True, interval=SETTLE_MS)
        self._settled.timeout.connect(lambda: self.light(self._next))
        pane = window.parts
        pane.taken.connect(self.take)
        pane.gone_to.connect(self._go_to)
        pane.tree.pointed.connect(self._point)
        window.add_key("Ctrl+F", self.search)
        window.came.connect(self._take_bench)
        window.part.shown.connect(self._show_card)
        window.view.picked.connect(lambda _piece: pane.show_card())
        window.view.hovered.connect(self._hover)
        window.withholding.changed.connect(self._mark_withheld)

    def wait(self) -> None:
        """Let no search for a way outlive the window."""
        self.reaching.wait()

    def search(self) -> None:
        """Go to the search from wherever one is."""
        self._window.show_pane("part")
        self._window.parts.find_part()

    # ------------------------------------------------------------------ the list
    def _take_bench(self) -> None:
        window = self._window
        words, naming = window.words, window.naming
        named = not isinstance(naming, StepNaming)
        numbers = self.labelling.numbering.numbers
        groups = [
            GroupRows(
                words.say(f"group.{group.name}") if named and group.name else group.name,
                tuple(
                    PartRow(part, numbers[part], naming.tell_part(part), len(naming.sets[part]))
                    for part in group.parts
                ),
            )
            for group in self.labelling.numbering.groups
        ]
        window.parts.fill(groups)
        self._mark_withheld()
        self._show_card()

    def _mark_withheld(self) -> None:
        """Say in the list what is not shown as it is."""
        window = self._window
        if window.standing is None:
            return
        told = {}
        for part, names in window.naming.sets.items():
            for way, pieces in (("away", window.view.hidden), ("glass", window.view.ghosted)):
                if pieces & set(names):
                    is_whole = pieces >= set(names)
                    told[part] = window.words.say(
                        f"finding.{way}" if is_whole else f"finding.{way}-some"
                    )
                    break
        window.parts.tree.parts.mark_withheld(told)

    def _show_card(self) -> None:
        """Find the part of the card in the list."""
        window = self._window
        piece = window.part.piece
        if window.standing is not None and piece in window.standing.assembly.by_name:
            window.parts.show_part(window.naming.find_part(piece))

    def _hover(self, piece: str) -> None:
        """Light the line of what the pointer is on in the picture."""
        window = self._window
        known = window.standing is not None and bool(piece)
        window.parts.tree.parts.light(window.naming.find_part(piece) if known else "")

    # ------------------------------------------------------------------ the picture
    def _point(self, part: str) -> None:
        """Make the number of the line under the pointer stand out in the picture."""
        tracing = self.labelling.tracing
        if tracing.hovered != part:
            tracing.hovered = part
            self._window.view.update()

    def _go_to(self, part: str) -> None:
        self._next = part
        self._settled.start()

    def take(self, part: str) -> None:
        """Light a part and show its card."""
        self._settled.stop()
        window = self._window
        if window.standing is None:
            return
        window.forget_tried()
        self.light(part)
        window.part.show_piece(window.naming.sets[part][0])
        window.parts.show_card()

    def light(self, part: str) -> None:
        """Light all pieces of a part, through what covers them, and bring them into the picture."""
        window = self._window
        if window.standing is None or part not in window.naming.sets:
            return
        window.trying.stop()
        pieces = frozenset(window.naming.sets[part])
        view = window.view
        if not self._is_in_picture(pieces):
            window.fit_view()
        withheld = (view.marks.hidden | view.hidden) - pieces
        glass = view.find_in_front(pieces, withheld) - pieces
        window.speak_of(window.naming.sets[part], ghosted=glass)

    def _is_in_picture(self, pieces: frozenset[str]) -> bool:
        """Is the middle of any of the pieces in the picture, clear of what is written at its rim?"""
        view = self._window.view
        across, down = view.kept_px
        area = QRectF(view.rect()).adjusted(across, down, -across, -down)
        return any(area.contains(view.find_middle(name)) for name in pieces)
