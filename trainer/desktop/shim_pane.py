"""The shims: what pack is in, what it makes of every gap, and which pack would be best."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QListWidget

from models.spec.errors import PumpwrightError
from trainer.core.measure.shims import PACK_PREFIX, StockShim
from trainer.desktop.pieces import Pane, make_button, make_label, make_rule, set_text
from trainer.session.bench import Bench, open_bench
from trainer.session.shims import DEPOT_DRAWER, answer_shims
from trainer.session.typed import make_pack, read_stock
from trainer.words import Words

GAP_TO_SET = "back-vane"
DIGITS = 3


class ShimPane(Pane):
    """Choose shims; clearances follow at once, the picture as soon as it is made."""

    pack_chosen = Signal(tuple)

    def __init__(self, words: Words) -> None:
        super().__init__(words.say("window.shim-pane"))
        self._words = words
        self._bench: Bench | None = None
        self._stock: tuple[StockShim, ...] = ()
        self.pack: tuple[float, ...] = ()
        self.list = QListWidget()
        self.list.setAccessibleName(words.say("window.shim-list"))
        self.list.setMaximumHeight(170)
        self.stock = QComboBox()
        self.stock.setAccessibleName(words.say("window.shim-stock"))
        self.add = make_button(words.say("window.shim-add"), self._add)
        self.remove = make_button(words.say("window.shim-remove"), self._remove)
        self.best = make_button(words.say("window.shim-best"), self._choose_best, main=True)
        self.total = make_label("stepName")
        self.gaps = make_label(markdown=True)
        self.note = make_label("caution")
        row = QHBoxLayout()
        row.addWidget(self.stock, 1)
        row.addWidget(self.add)
        row.addWidget(self.remove)
        self.column.addWidget(make_label("paneTitle", words.say("window.shim-title")))
        self.column.addWidget(make_label("small", words.say("window.shim-where")))
        self.column.addWidget(self.list)
        self.column.addLayout(row)
        self.column.addWidget(self.best)
        self.column.addWidget(make_rule())
        self.column.addWidget(self.total)
        self.column.addWidget(self.gaps)
        self.column.addWidget(self.note)
        self.column.addStretch(1)
        set_text(self.note, "")

    def show_bench(self, bench: Bench) -> None:
        """Show a bench's pack and its gaps."""
        self._bench = bench
        if not self._stock:
            self._stock = read_stock(DEPOT_DRAWER)
            for shim in self._stock:
                text = self._words.millimetres(shim.thickness_mm, DIGITS)
                self.stock.addItem(text, shim.thickness_mm)
        self.pack = tuple(float(shim.middle) for shim in bench.build.pack)
        self._refresh(bench)

    def _refresh(self, bench: Bench) -> None:
        words = self._words
        self.list.clear()
        self.list.addItems([words.millimetres(thickness, DIGITS) for thickness in self.pack])
        self.list.setCurrentRow(len(self.pack) - 1)
        self.total.setText(
            words.say("window.shim-total", total=words.millimetres(sum(self.pack), DIGITS))
        )
        lines = []
        for one in bench.clearances:
            if any(link.piece.startswith(PACK_PREFIX) for link in one.chain):
                key = "window.shim-gap-inside" if one.is_inside else "window.shim-gap-outside"
                lines.append(
                    words.say(
                        key,
                        name=words.say(f"clearance.{one.name}"),
                        value=words.millimetres(one.in_service_mm, DIGITS),
                        low=words.number(one.required_mm[0], 2),
                        high=words.number(one.required_mm[1], 2),
                    )
                )
        set_text(self.gaps, "\n\n".join(lines))

    def _add(self) -> None:
        self._change((*self.pack, float(self.stock.currentData())))

    def _remove(self) -> None:
        row = self.list.currentRow()
        if row >= 0:
            self._change(tuple(t for i, t in enumerate(self.pack) if i != row))

    def _choose_best(self) -> None:
        if self._bench is not None:
            self._change(answer_shims(self._bench, GAP_TO_SET, self._stock).best.shims_mm)

    def _change(self, pack: tuple[float, ...]) -> None:
        """Take a pack if a pump can be built with it; the numbers follow from dimensions alone, at once."""
        if self._bench is None:
            return
        try:
            build = self._bench.build
            changed = open_bench(build.name, build.options, pack=make_pack(pack))
        except PumpwrightError as error:
            set_text(self.note, str(error))
            return
        set_text(self.note, "")
        self.pack = pack
        self._refresh(changed)
        self.pack_chosen.emit(pack)
