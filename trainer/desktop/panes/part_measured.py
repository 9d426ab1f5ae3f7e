"""What is measured at the part on the card: its clearances, each a way to its proof, and its fits."""

from __future__ import annotations

import textwrap
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from models.spec.build import Build
from models.spec.clearance import ClearanceKind
from trainer.core.measure.chain import MeasuredClearance
from trainer.desktop.pieces import GAP_PX, drop_widget, make_button, make_label
from trainer.handout.fit_texts import tell_between, tell_pair, tell_size
from trainer.session.fits import FitAnswer
from trainer.session.part_measures import PartMeasures, find_part_measures
from trainer.words import Words
from trainer.words.speech import begin
from trainer.words.telling import tell_clearance

LINE_LETTERS = 36
"""So many letters of a link stand in one line of the pane; buttons do not break lines by themselves."""
NOTHING = PartMeasures((), (), ())


class PartMeasured(QWidget):
    """List clearances and fits of a part; `asked` gives the name of a clearance to be proved."""

    asked = Signal(str)

    def __init__(self, words: Words) -> None:
        super().__init__()
        self._words = words
        self._lines: list[QWidget] = []
        self._told: list[str] = []
        self.links: dict[str, QPushButton] = {}
        self.setObjectName("measured")
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self.measures = NOTHING
        self.hide()

    def show_piece(self, build: Build | None, piece: str) -> None:
        """List what is measured at a piece; of somebody's assembly no dimension is known."""
        measures = NOTHING if build is None else find_part_measures(build, piece)
        self._clear()
        self.measures = measures
        if build is None:
            return
        if measures.bounded:
            self._add_heading("clearances")
            for one in measures.bounded:
                self._add_link(one.name)
                self._add_text(self._tell_bounded(one), name="" if one.is_inside else "before")
        if measures.linked:
            self._add_heading("linked")
            for name in measures.linked:
                self._add_link(name)
        if measures.fits:
            self._add_heading("fits")
            for fit in measures.fits:
                self._add_text(self._tell_fit(build, fit))
        self.setVisible(bool(self._lines))

    def text(self) -> str:
        """Give what it tells beside the links, line by line."""
        return "\n".join(self._told)

    def _tell_bounded(self, one: MeasuredClearance) -> str:
        words, is_share = self._words, one.kind is ClearanceKind.SHARE
        low, high = one.required_mm
        if is_share:
            fields = {
                "value": words.number(100.0 * one.in_service_mm, 1),
                "low": words.number(100.0 * low, 1),
                "high": words.number(100.0 * high, 1),
            }
        else:
            fields = {
                "value": words.millimetres(one.in_service_mm),
                "low": words.length(low),
                "high": words.length(high),
            }
        kind = "share" if is_share else "length"
        sign = "in" if one.is_inside else "out"
        return words.say(f"seeing.clearance-{kind}-{sign}", **fields)

    def _tell_fit(self, build: Build, fit: FitAnswer) -> str:
        words = self._words
        pair = tell_pair(words, build, fit)
        return words.say(
            "seeing.fit",
            pair=begin(pair),
            size=tell_size(words, fit),
            between=tell_between(words, fit.between),
        )

    # ------------------------------------------------------------------ lines
    def _clear(self) -> None:
        for line in self._lines:
            drop_widget(self._column, line)
        self._lines, self._told, self.links = [], [], {}
        self.hide()

    def _add(self, line: QWidget) -> None:
        self._column.addWidget(line)
        self._lines.append(line)

    def _add_heading(self, name: str) -> None:
        label = make_label("heading", self._words.say(f"seeing.{name}"))
        label.setContentsMargins(0, GAP_PX if self._lines else 0, 0, GAP_PX // 2)
        self._add(label)

    def _add_text(self, text: str, name: str = "") -> None:
        label = make_label(name, text)
        label.setContentsMargins(0, 0, 0, GAP_PX // 2)
        self._told.append(text)
        self._add(label)

    def _add_link(self, name: str) -> None:
        told = tell_clearance(self._words, name)
        told = begin(told)
        link = make_button(
            "\n".join(textwrap.wrap(told, LINE_LETTERS)),
            partial(self.asked.emit, name),
            name="link",
            spoken=self._words.say("seeing.clearance-spoken", clearance=told),
        )
        self.links[name] = link
        self._add(link)
