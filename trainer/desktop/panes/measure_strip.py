"""Under the picture while a clearance is measured in it: the gap on its scale, and all that follows from it side by side."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QFrame, QPushButton, QVBoxLayout, QWidget

from trainer.desktop.band import Band
from trainer.desktop.flow import Flow
from trainer.desktop.panes.gap_scale import GapScale
from trainer.desktop.pieces import GAP_PX, MARGIN_PX, make_button, make_label, set_text
from trainer.words import Words

SCALE_LETTERS = 30
"""The scale is as wide as so many letters."""
LEAST_CELL_PX = 84
MOST_SCALE_SHARE = 0.5
"""A scale that would take more of the strip's width has the figures below it."""
MOST_SHARE = 0.42
"""What the strip may take of the window's height."""


@dataclass(frozen=True, slots=True)
class Told:
    """One number that follows: its name, the value with its unit, and what it was before anything was tried ("" if the same)."""

    name: str
    value: str
    before: str = ""


class Cell(QWidget):
    """One number under its name, large enough to be seen moving."""

    def __init__(self) -> None:
        super().__init__()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.name, self.value, self.before = (
            make_label(style) for style in ("small", "figure", "small")
        )
        for label in (self.name, self.value, self.before):
            label.setWordWrap(False)
            column.addWidget(label)
        column.addStretch(1)
        self.setMinimumWidth(LEAST_CELL_PX)

    def tell(self, told: Told) -> None:
        """Tell one number; what stood before it stays in its place, so that nothing jumps."""
        self.name.setText(told.name)
        self.value.setText(told.value)
        self.before.setText(told.before or " ")
        for label in (self.name, self.value, self.before):
            label.show()
        spoken = ", ".join(one for one in (told.name, told.value, told.before) if one)
        self.setAccessibleName(spoken)


class MeasureStrip(QFrame):
    """Show the clearance that is measured in the picture. Everything that follows from it moves here together."""

    tried = Signal(float, object)
    factor_chosen = Signal(float)
    framed = Signal(bool)
    pack_stepped = Signal(int)
    proof_asked = Signal()
    reset_asked = Signal()
    left = Signal()

    def __init__(self, words: Words) -> None:
        super().__init__()
        self.setObjectName("motion")
        self._words = words
        self.setAccessibleName(words.say("measure.strip"))
        self.scale = GapScale(words)
        self.scale.moved.connect(lambda: self.tried.emit(self.scale.gap_mm, self.scale.limits_mm))
        self.cells: list[Cell] = []
        self.note = make_label("small")
        self.thinner = self._make("thinner", lambda: self.pack_stepped.emit(-1))
        self.thicker = self._make("thicker", lambda: self.pack_stepped.emit(+1))
        self.whole = self._make("whole-chain", lambda: self.framed.emit(False), checkable=True)
        self.close_by = self._make("gap-closely", lambda: self.framed.emit(True), checkable=True)
        self.as_built = self._make("as-built", self.reset_asked.emit)
        self.proof = self._make("proof", self.proof_asked.emit)
        self.back = self._make("back", self.left.emit, name="main")
        self.factors: dict[float, QPushButton] = {}
        self._arrange()
        self.hide()

    def _make(
        self, key: str, act: Callable[[], object], *, name: str = "", checkable: bool = False
    ) -> QPushButton:
        text, spoken = (self._words.say(f"measure.{key}{end}") for end in ("", "-spoken"))
        return make_button(text, act, name=name, spoken=spoken, checkable=checkable)

    def _arrange(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(MARGIN_PX, GAP_PX // 2, MARGIN_PX, GAP_PX // 2)
        column.setSpacing(GAP_PX // 2)
        inside = QWidget()
        within = QVBoxLayout(inside)
        within.setContentsMargins(0, 0, 0, 0)
        within.setSpacing(GAP_PX // 2)
        inside.setObjectName("tools")
        self.beside = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self.beside.setSpacing(GAP_PX)
        self.beside.addWidget(self.scale, 0, Qt.AlignmentFlag.AlignTop)
        self.figures = Flow(5 * GAP_PX // 3, GAP_PX // 2)
        self.beside.addLayout(self.figures, 1)
        within.addLayout(self.beside)
        within.addWidget(self.note)
        self.tools = Flow(3, GAP_PX // 2)
        for button in (self.back, self.proof, self.as_built):
            self.tools.addWidget(button)
        self.tools.add_gap()
        for button in (self.thinner, self.thicker):
            self.tools.addWidget(button)
        self.tools.add_gap()
        for button in (self.whole, self.close_by):
            self.tools.addWidget(button)
        self.tools.add_gap()
        self.larger = make_label("small", self._words.say("measure.shown-larger"))
        self.larger.setWordWrap(False)
        self.tools.addWidget(self.larger)
        within.addLayout(self.tools)
        self._band = Band(inside)
        column.addWidget(self._band)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the picture its share of the window: with large letters the strip scrolls."""
        super().resizeEvent(event)
        self._fit_scale()
        self._band.set_most(round(MOST_SHARE * self.window().height()))

    def changeEvent(self, event: QEvent) -> None:
        """Keep the scale as wide as its letters ask."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._fit_scale()

    def _fit_scale(self) -> None:
        """Let the figures stand beside the scale, or below it where the strip is narrow for its letters."""
        scale_px = round(SCALE_LETTERS * self.fontMetrics().averageCharWidth())
        is_narrow = self.width() < scale_px / MOST_SCALE_SHARE
        ways = QBoxLayout.Direction
        self.beside.setDirection(ways.TopToBottom if is_narrow else ways.LeftToRight)
        self.scale.setFixedWidth(min(scale_px, max(self.width() - 4 * MARGIN_PX, 1)))

    # ------------------------------------------------------------------ what it says
    def offer_factors(self, factors: Sequence[float], chosen: float) -> None:
        """Offer to show the gap so many times its size; none where that cannot be shown."""
        words = self._words
        for factor in factors:
            if factor not in self.factors:
                told = words.say("measure.times", factor=words.number(factor, 0))
                button = make_button(
                    told,
                    partial(self.factor_chosen.emit, factor),
                    spoken=words.say("measure.times-spoken", factor=words.number(factor, 0)),
                    checkable=True,
                )
                self.factors[factor] = button
                self.tools.addWidget(button)
        for factor, button in self.factors.items():
            button.setVisible(factor in factors and len(factors) > 1)
            button.setChecked(factor == chosen)
        self.larger.setVisible(len(factors) > 1)

    def show_frame(self, *, is_close: bool) -> None:
        """Show which of the two is framed."""
        self.whole.setChecked(not is_close)
        self.close_by.setChecked(is_close)

    def tell(self, cells: Sequence[Told], note: str = "") -> None:
        """Tell the numbers that follow, all at once."""
        while len(self.cells) < len(cells):
            cell = Cell()
            self.figures.addWidget(cell)
            self.cells.append(cell)
        for number, cell in enumerate(self.cells):
            cell.setVisible(number < len(cells))
        for cell, told in zip(self.cells, cells, strict=False):
            cell.tell(told)
        set_text(self.note, note)
