"""The shims: what pack is in, what it makes of every gap, and which pack would be best."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton

from models.spec.errors import PumpwrightError, RefusalError
from models.spec.making import change_pack
from models.systems.inspection_cover import FEELER_SPREAD_MM
from trainer.core.measure.chain import MeasuredClearance
from trainer.core.measure.packs import MOST_SHIMS, StockShim
from trainer.core.measure.rests import MeasuredGap, is_moved
from trainer.core.measure.shims import ShimAnswer
from trainer.desktop.flow import Flow
from trainer.desktop.hinted import HintedEdit
from trainer.desktop.panes.gauge import Gauge
from trainer.desktop.panes.pack_offer import PackOffer
from trainer.desktop.pieces import (
    GAP_PX,
    Box,
    Choice,
    Pane,
    drop_widget,
    make_button,
    make_label,
    set_text,
)
from trainer.desktop.typing_in import add_unit, read_typed_mm, tell_typed_unit
from trainer.session.bench import Bench
from trainer.session.shims import READINGS_SIGN, answer_shims, find_possible_mm
from trainer.session.typed import DEPOT_DRAWER, make_pack, read_stock
from trainer.words import Words
from trainer.words.telling import tell_clearance
from trainer.words.telling_shims import find_thou, tell_packet, tell_shim_shortly

GAP_TO_SET = "back-vane"
SAME_MM = 1e-6
MOST_DIGITS = 3
"""Wide enough for readings at four places."""


class ShimPane(Pane):
    """Choose shims; clearances follow at once, the picture as soon as it is made."""

    pack_chosen = Signal(tuple)
    close_up_asked = Signal(str)
    proof_asked = Signal(str)

    def __init__(self, words: Words) -> None:
        super().__init__(words.say("window.shim-pane"))
        self._words = words
        self._bench: Bench | None = None
        self._stock: tuple[StockShim, ...] = ()
        self.pack: tuple[float, ...] = ()
        self.gauges: dict[str, Gauge] = {}
        self.shims: list[QPushButton] = []
        self.total = make_label("large")
        self.row = Flow(GAP_PX // 2, GAP_PX // 2)
        self.row.setContentsMargins(0, 0, 0, 0)
        self.stock = Choice(words.say("window.shim-stock"))
        self.add = make_button(words.say("window.shim-add"), self._add)
        self.found = HintedEdit()
        self.found.setAccessibleName(words.say("window.shim-found"))
        self.found.setMaxLength(24)
        self.found.returnPressed.connect(self._choose_best)
        self.best = make_button(words.say("window.shim-best"), self._choose_best, name="main")
        self.note = Box("box")
        self.offer = PackOffer(words)
        self.offer.asked.connect(self._swap)
        self._unit, self._told = words.unit, ""
        self._arrange()

    def _arrange(self) -> None:
        words = self._words
        choose = Flow(GAP_PX // 2, GAP_PX // 2, fills=True)
        choose.setContentsMargins(0, 0, 0, 0)
        choose.addWidget(self.stock, 1)
        choose.addWidget(self.add)
        self.column.addWidget(make_label("paneTitle", words.say("window.shim-title")))
        self.column.addWidget(make_label("small", words.say("window.shim-where")))
        self.column.addWidget(self.total)
        self.column.addLayout(self.row)
        self.column.addLayout(choose)
        self.column.addWidget(self.note)
        self.column.addWidget(self.offer)
        self.column.addWidget(make_label("heading", words.say("window.shim-moves")))
        self._after_gauges = self.column.count()
        self.column.addStretch(1)
        measured = QHBoxLayout()
        label = make_label("small", words.say("window.shim-found"))
        label.setBuddy(self.found)
        measured.addWidget(self.found, 1)
        self.unit = make_label(text=tell_typed_unit(words))
        self.unit.setWordWrap(False)
        measured.addWidget(self.unit)
        self.foot_column.insertLayout(0, measured)
        self.foot_column.insertWidget(0, label)
        self.foot_row.addWidget(self.best)

    def show_bench(self, bench: Bench) -> None:
        """Show a bench's pack and its gaps."""
        known, self._bench = self._bench, bench
        if known is not None and known.build.name != bench.build.name:
            self.offer.drop()  # it was about another pump
            self._say("")
        self.foot.show()
        if self._unit != self._words.unit:
            self.found.setText(add_unit(self.found.text(), self._unit))
            self._unit = self._words.unit
            self._say("")  # it was told in the other unit
            self.offer.forget_found(self.pack)
        set_text(self.unit, tell_typed_unit(self._words))
        unit = self._words.lengths.unit
        self.found.setPlaceholderText(self._words.say(f"window.shim-found-{unit}"))
        if not self._stock:
            self._stock = read_stock(DEPOT_DRAWER)
        self.pack = tuple(float(shim.middle) for shim in bench.build.pack)
        self._refresh(bench.clearances)

    def _refresh(self, clearances: tuple[MeasuredClearance, ...]) -> None:
        """Show the pack, what is left in the drawer, and the gaps that the pack moves."""
        words = self._words
        total = words.millimetres(sum(self.pack), 2)
        set_text(self.total, words.say("window.shim-total", total=total))
        self.offer.follow(self.pack)
        for shim in self.shims:
            drop_widget(self.row, shim)
        self.shims = [
            make_button(
                words.say("window.shim-chip", thickness=self._write(thickness)),
                partial(self._take_out, place),
                name="pack",
                spoken=words.say("window.shim-take-out", thickness=words.millimetres(thickness)),
            )
            for place, thickness in enumerate(self.pack)
        ]
        for shim in self.shims:
            self.row.addWidget(shim)
        self._list_stock()
        moved = {one.name: one for one in clearances if is_moved(one)}
        for name, one in moved.items():
            self._find_gauge(name).show_clearance(one)
        for name, gauge in self.gauges.items():
            gauge.setVisible(name in moved)  # another pump may lack a gap

    def _list_stock(self) -> None:
        """List what is left in the drawer; names of the lines are places in the stock."""
        left = {
            str(place): shim.in_drawer - self._count(shim.thickness_mm)
            for place, shim in enumerate(self._stock)
        }
        names = [name for name, number in left.items() if number > 0]
        texts = [
            self._words.count(
                "window.shim-left",
                left[name],
                thickness=self._write_with_unit(self._stock[int(name)].thickness_mm),
            )
            for name in names
        ]
        self.stock.fill(names, texts)
        self.add.setEnabled(bool(names) and len(self.pack) < MOST_SHIMS)

    def _count(self, thickness_mm: float) -> int:
        return sum(abs(thickness_mm - used) < SAME_MM for used in self.pack)

    def _write(self, thickness_mm: float) -> str:
        """Write a thickness as its packet does; one of no whole hundredth with as many digits as it needs."""
        if _is_odd(thickness_mm):
            is_plain = not self._words.lengths.is_inch
            write = self._words.number if is_plain else self._words.millimetres
            return write(thickness_mm, MOST_DIGITS)
        return tell_shim_shortly(self._words, thickness_mm)

    def _write_with_unit(self, thickness_mm: float) -> str:
        """Write a thickness with its unit, as its packet does where there is one."""
        if _is_odd(thickness_mm):
            return self._words.millimetres(thickness_mm, MOST_DIGITS)
        return tell_packet(self._words, thickness_mm)

    def _find_gauge(self, name: str) -> Gauge:
        if name not in self.gauges:
            gauge = Gauge(self._words, name)
            gauge.clicked.connect(lambda _checked=False: self._look(name))
            gauge.proof_asked.connect(self.proof_asked)
            self.gauges[name] = gauge
            self.column.insertWidget(self._after_gauges, gauge)
            self._after_gauges += 1
        return self.gauges[name]

    def _look(self, name: str) -> None:
        chosen = name if self.gauges[name].isChecked() else ""
        self.mark_close_up(chosen)
        self.close_up_asked.emit(chosen)

    def mark_close_up(self, name: str) -> None:
        """Let the gauge of a clearance be chosen, and no other; "" for none."""
        for other, gauge in self.gauges.items():
            gauge.setChecked(other == name)

    def read_drawer(self) -> tuple[StockShim, ...]:
        """Give what shims there are in the drawer."""
        return self._stock

    def leave_close_up(self) -> None:
        """Let no gauge be chosen."""
        self.mark_close_up("")

    @property
    def close_up(self) -> str:
        """The clearance that is looked at closely; "" for none."""
        return next((name for name, gauge in self.gauges.items() if gauge.isChecked()), "")

    # ------------------------------------------------------------------ changing
    def _add(self) -> None:
        self.change((*self.pack, self._stock[int(self.stock.name)].thickness_mm))

    def _take_out(self, place: int) -> None:
        self.change(tuple(t for i, t in enumerate(self.pack) if i != place))

    def _choose_best(self) -> None:
        """Choose the best pack, from a gap measured with this pack if one is given."""
        if self._bench is None:
            return
        self.offer.drop()
        try:
            found = self._read_felt(self._bench)
            answer = answer_shims(self._bench, GAP_TO_SET, self._stock, found)
        except RefusalError as error:
            self._say(str(error), is_fault=True)
            return
        if answer.fits:
            self.offer.make(answer.best.shims_mm, self.pack, self.found.text())
        if found is None and answer.fits:
            self.change(answer.best.shims_mm)
        self.offer.follow(self.pack)
        self._say(self._tell_answer(answer), is_fault=not answer.fits)

    def _read_felt(self, bench: Bench) -> MeasuredGap | None:
        """Read what was felt with the pack that is in; None when nothing is typed. Raises RefusalError."""
        words, typed = self._words, self.found.text().strip()
        if not typed:
            return None
        possible = find_possible_mm(bench, GAP_TO_SET, self.pack)
        read_mm = [
            read_typed_mm(words, one, "window.no-gap", possible)
            for one in typed.split(READINGS_SIGN)
        ]
        if max(read_mm) - min(read_mm) > FEELER_SPREAD_MM:
            raise RefusalError(
                words.say("shims.caution-crooked", most=words.millimetres(FEELER_SPREAD_MM))
            )
        return MeasuredGap(min(read_mm), self.pack)

    def _tell_answer(self, answer: ShimAnswer) -> str:
        words, best = self._words, answer.best
        told = words.say(
            "window.shim-answer" if answer.fits else "window.shim-answer-none",
            pack=" + ".join(tell_shim_shortly(words, shim) for shim in best.shims_mm),
            total=words.millimetres(best.total_mm),
            result=words.millimetres(best.result_mm),
            chance=words.number(100 * best.chance, 1),
            alone=words.number(100 * best.alone, 1),
            name=tell_clearance(words, GAP_TO_SET),
        )
        if not answer.from_gap:
            return told
        # The real pump differs from the drawing, and the picture must not pretend.
        return f"{told}\n\n{words.say('packs.from-gap')}"

    def _swap(self, pack: tuple[float, ...]) -> None:
        """Put the pack in that was found, or the one that was in before; what was felt counts with that one alone."""
        told = self._told
        self.change(pack)
        if self.pack == pack:
            self.found.setText(self.offer.find_felt(pack))
            self._say(told)

    def change(self, pack: tuple[float, ...]) -> None:
        """Take a pack if a pump can be built with it; the numbers follow from dimensions alone, at once."""
        if self._bench is None:
            return
        try:
            changed = self._bench.open_other(change_pack(self._bench.build, make_pack(pack)))
        except PumpwrightError as error:
            self._say(str(error), is_fault=True)
            return
        self._say("")
        self.pack = pack
        self._refresh(changed.clearances)
        self.pack_chosen.emit(pack)

    def _say(self, text: str, *, is_fault: bool = False) -> None:
        self._told = text
        self.note.tell(text, name="cautionBox" if is_fault else "rightBox")
        if text:
            QTimer.singleShot(0, self._look_at_note)  # it has its height only once it is laid out

    def _look_at_note(self) -> None:
        """Bring what was said, and what can be done with it, into sight; its beginning goes before."""
        below = self.offer if self.offer.isVisible() else self.note
        bar, high = self.scroller.verticalScrollBar(), self.scroller.viewport().height()
        least = below.geometry().bottom() + GAP_PX - high
        bar.setValue(min(self.note.y() - GAP_PX, max(bar.value(), least)))


def _is_odd(thickness_mm: float) -> bool:
    """Is it neither of whole hundredths of a millimetre nor of whole thousandths of an inch?"""
    is_fine = abs(round(thickness_mm, 2) - thickness_mm) > SAME_MM
    return is_fine and not find_thou(thickness_mm)
