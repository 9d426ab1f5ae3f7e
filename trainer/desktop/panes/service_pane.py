"""In service: drag a gap or its limits, and thrust, bearing life, leakage and the chance to lie inside follow at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, TypeAlias

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from models.spec.build import Build
from models.spec.errors import PumpwrightError
from trainer.desktop.flow import Flow
from trainer.desktop.panes.consequence_chart import ConsequenceChart
from trainer.desktop.panes.gap_scale import GapScale
from trainer.desktop.pieces import GAP_PX, Box, Pane, make_button, make_label, set_text
from trainer.desktop.work import ServiceWork
from trainer.session.as_left import Plain, StrangeValueError, take_numbers, take_table
from trainer.words import Words
from trainer.words.telling_service import tell_amount, tell_duty

if TYPE_CHECKING:
    from trainer.session.service import Curve, Service, ServiceBench, Setting

SHOWN: Mapping[str, tuple[str, ...]] = {
    "back-vane": ("thrust_n", "life_h"),
    "wear-ring": ("leakage_m3_per_h", "lost_percent"),
    "hub-ring": ("hub_leakage_m3_per_h", "lost_percent"),
}
"""Which consequences stand below each clearance."""
SET_BY_SHIMS = "back-vane"
SAME_MM = 1e-6
TriedGaps: TypeAlias = "dict[str, tuple[float, float, float]]"
"""By clearance what is tried, in mm: the gap, and its limits."""
FORMULAS = ("leakage", "rim-pressure", "thrust", "back-vanes", "bearing-life", "bearing-rating", "radial-load", "growth")  # fmt: skip
"""Those of the formulas that this pane uses, in the order in which they are told."""


class Group(QWidget):
    """One clearance: its scale, and below it the charts of what it leads to, side by side."""

    def __init__(self, scale: GapScale, charts: Mapping[str, ConsequenceChart]) -> None:
        super().__init__()
        self.scale, self.charts = scale, charts
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP_PX // 2)
        column.addWidget(scale)
        row = Flow(
            GAP_PX // 2, GAP_PX // 2, fills=True
        )  # one below the other where letters are large
        row.setContentsMargins(0, 0, 0, 0)
        for chart in charts.values():
            row.addWidget(chart, 1)
        column.addLayout(row)


class ServicePane(Pane):
    """Ask what follows from a gap; the numbers need no solid.

    What is set here is the one state of what is tried; `followed` tells what follows of it, as (service, setting), and
    `refused` why nothing can be told of a build.
    """

    followed = Signal(object, object)
    refused = Signal(str)
    proof_asked = Signal(str)

    def __init__(self, words: Words) -> None:
        super().__init__(words.say("service.pane"))
        self._words = words
        self._build: Build | None = None
        self._works: list[ServiceWork] = []
        self._bench: ServiceBench | None = None
        self._others: dict[str, tuple[float, float, float]] = {}
        self._left: TriedGaps = {}
        self._is_asking = False
        self.built: Service | None = None
        self.groups = {name: self._make_group(name) for name in SHOWN}
        self.note = Box("box")
        self.moved = make_label("small")
        self.told = Box("box")
        self.as_built = make_button(
            words.say("service.as-built"), self.reset, spoken=words.say("service.as-built-spoken")
        )
        self.why = make_button(words.say("service.why"), self._tell_why, checkable=True)
        self.column.addWidget(make_label("paneTitle", words.say("service.pane-title")))
        self.column.addWidget(make_label("small", words.say("service.pane-where")))
        self.column.addWidget(self.note)
        for group in self.groups.values():
            self.column.addWidget(group)
            group.hide()
        self.column.addWidget(self.moved)
        self.column.addWidget(self.told)
        self.column.addStretch(1)
        self.foot_row.addWidget(self.as_built)
        self.foot_row.addWidget(self.why, 1)

    def _make_group(self, name: str) -> Group:
        scale = GapScale(self._words, name)
        scale.moved.connect(self.follow)
        scale.proof_asked.connect(self.proof_asked)
        charts = {
            amount: ConsequenceChart(self._words.say(f"service.short-{amount}"))
            for amount in SHOWN[name]
        }
        return Group(scale, charts)

    # ------------------------------------------------------------------ which pump
    def show_build(self, build: Build) -> None:
        """Show another build, or the same with other shims; what follows is asked for once the pane is seen."""
        self._build, self._bench, self._others, self._left = build, None, {}, {}
        self.built = None
        self._is_asking = False
        self.foot.hide()
        for group in self.groups.values():
            group.setEnabled(False)
        if self.isVisible():
            self.prepare()

    def showEvent(self, event: QShowEvent) -> None:
        """Ask for what follows, the first time that this build is looked at here."""
        super().showEvent(event)
        self.prepare()

    def prepare(self) -> None:
        """Ask for what follows, unless that is known or on its way."""
        if self._bench is None and self._build is not None and not self._is_asking:
            self._ask()

    def _ask(self) -> None:
        """Let what follows be worked out in the background, once for a build."""
        assert self._build is not None
        self._is_asking = True
        self.note.tell(self._words.say("service.working"), name="box")
        work = ServiceWork(self._build, self)
        work.ready.connect(self.take)
        work.failed.connect(self.refuse)
        self._works = [one for one in self._works if one.isRunning()]
        self._works.append(work)
        work.start()

    def wait(self) -> None:
        """Let the work in the background end."""
        for work in self._works:
            work.wait()

    def refuse(self, build: Build, reason: str) -> None:
        """Say why nothing can be told of a build."""
        if build is self._build:
            self._show_groups({})
            set_text(self.moved, "")
            self.note.tell(reason, name="cautionBox")
            self.refused.emit(reason)

    def take(self, bench: ServiceBench, curves: Mapping[str, Curve]) -> None:
        """Take what was worked out, if it is still wanted."""
        if bench.build is not self._build:
            return
        self._bench, self.built = bench, bench.look()
        self._show_groups(curves)
        self.note.tell("")
        self.foot.show()
        self.reset()
        left, self._left = self._left, {}
        self._try_again(left)
        self._tell_why()

    def _show_groups(self, curves: Mapping[str, Curve]) -> None:
        from trainer.session.consequences import READERS

        for name, group in self.groups.items():
            group.setVisible(name in curves)
            group.setEnabled(True)
            if name not in curves:
                continue
            curve = curves[name]
            for amount, chart in group.charts.items():
                read: Callable[[Service], float] = READERS[amount]
                chart.show_curve(curve.gaps_mm, [read(service) for service in curve.services])

    # ------------------------------------------------------------------ what follows
    def reset(self) -> None:
        """Go back to the pump as built and the limits as written."""
        if self._bench is None:
            return
        self._others = {}
        for name, group in self.groups.items():
            if not group.isHidden():
                one = self._bench.measured[name]
                ends = self._bench.find_reach(name)
                group.scale.show_gap(one.in_service_mm, one.required_mm, ends)
        self.follow()

    # ------------------------------------------------------------------ what is tried
    @property
    def tried(self) -> TriedGaps:
        """What is dragged away from the pump as built: the gap and its limits in mm, by clearance."""
        if self._bench is None:
            return self._left
        found = dict(self._others)
        for name, group in self.groups.items():
            if not group.isHidden():
                one, scale = self._bench.measured[name], group.scale
                now = (scale.gap_mm, *scale.limits_mm)
                built = (one.in_service_mm, *one.required_mm)
                if any(abs(a - b) > SAME_MM for a, b in zip(now, built, strict=True)):
                    found[name] = now
        return found

    def read_tried(self) -> Plain:
        """Read what is tried, to be kept."""
        return {name: list(gap) for name, gap in self.tried.items()}

    def put_tried(self, value: Plain) -> None:
        """Try again what was left, as soon as it is known what follows. Raises StrangeValueError for what is none."""
        left = {name: take_numbers(one, 3) for name, one in take_table(value).items()}
        if any(low > high for _, low, high in left.values()):
            raise StrangeValueError("limits that are none")
        self._left = {name: (gap, low, high) for name, (gap, low, high) in left.items()}
        if self._bench is not None:
            self._try_again(self._left)
            self._left = {}

    def _try_again(self, left: TriedGaps) -> None:
        assert self._bench is not None
        for name, (gap, low, high) in left.items():
            if name in self._bench.measured:
                self.try_gap(name, gap, (low, high))

    @property
    def setting(self) -> Setting:
        """What is dragged: the pack by the gap that it sets, the rings by themselves, and all limits."""
        from trainer.session.service import Setting

        assert self._bench is not None
        shown = {name: group.scale for name, group in self.groups.items() if not group.isHidden()}
        change = self._bench.find_pack_change(SET_BY_SHIMS, shown[SET_BY_SHIMS].gap_mm)
        values = {name: scale.gap_mm for name, scale in shown.items() if name != SET_BY_SHIMS}
        values |= {name: gap for name, (gap, _, _) in self._others.items() if not self._is_by_shims(name)}  # fmt: skip
        limits = {name: scale.limits_mm for name, scale in shown.items()}
        limits |= {name: (low, high) for name, (_, low, high) in self._others.items()}
        return Setting(change, values, limits)

    def find_reach(self, name: str) -> tuple[float, float]:
        """Find over which values a clearance is looked at, in mm; only once what follows is known."""
        assert self._bench is not None
        return self._bench.find_reach(name)

    def _is_by_shims(self, name: str) -> bool:
        from trainer.core.measure.rests import is_moved

        assert self._bench is not None
        return is_moved(self._bench.measured[name])

    def try_gap(self, name: str, gap_mm: float, limits_mm: tuple[float, float]) -> None:
        """Try a gap and limits of any clearance, in mm; one that the shims set is tried by another pack."""
        if self._bench is None:
            return
        group = self.groups.get(name)
        if group is not None and not group.isHidden():
            group.scale.show_gap(gap_mm, limits_mm, self._bench.find_reach(name))
        else:
            self._others[name] = (gap_mm, *limits_mm)
            if self._is_by_shims(name):
                self._set_pack(self._bench.find_pack_change(name, gap_mm))
        self.follow()

    def try_pack(self, change_mm: float) -> None:
        """Try a pack that is thicker than the build's by so many mm."""
        if self._bench is not None:
            self._set_pack(change_mm)
            self.follow()

    def _set_pack(self, change_mm: float) -> None:
        from trainer.core.measure.rests import find_shim_sensitivity

        assert self._bench is not None
        one, scale = self._bench.measured[SET_BY_SHIMS], self.groups[SET_BY_SHIMS].scale
        gap = one.in_service_mm + change_mm * find_shim_sensitivity(one)
        scale.show_gap(gap, scale.limits_mm, self._bench.find_reach(SET_BY_SHIMS))

    def follow(self) -> None:
        """Let every number follow what was dragged, and tell them; without a solid, in a few milliseconds.

        As long as nothing is known yet of what follows, nothing happens.
        """
        if self._bench is None:
            return
        setting = self.setting
        try:
            service = self._bench.look(setting)
        except PumpwrightError as error:
            self.note.tell(str(error), name="cautionBox")
            return
        self.note.tell("")
        for name, group in self.groups.items():
            if not group.isHidden():
                self._tell_group(name, group, service, setting)
        self._tell_moved(service)
        self.followed.emit(service, setting)

    def _tell_group(self, name: str, group: Group, service: Service, setting: Setting) -> None:
        from trainer.session.consequences import READERS

        words, gap = self._words, service.gap(name)
        told = words.say(
            "service.scale-told",
            low=words.length(gap.required_mm[0]),
            high=words.length(gap.required_mm[1]),
            unit=words.unit,
            percent=words.number(100 * gap.chance, 1),
        )
        if name == SET_BY_SHIMS and self._bench is not None:
            pack = sum(float(shim.middle) for shim in self._bench.build.pack)
            total = words.millimetres(pack + setting.pack_change_mm)
            told = words.say("service.scale-pack", told=told, total=total)
        group.scale.tell(told, is_inside=gap.is_inside)
        for amount, chart in group.charts.items():
            value = READERS[amount](service)
            if amount == "thrust_n":
                to = "service.short-to-suction" if value >= 0.0 else "service.short-to-drive"
                chart.name, value_told = words.say(to), abs(value)
            else:
                value_told = value
            text = words.say(
                "service.amount",
                value=tell_amount(words, amount, value_told),
                unit=words.say(f"service.unit-{amount}"),
            )
            chart.show_mark(gap.value_mm, value, gap.required_mm, text)

    def _tell_moved(self, service: Service) -> None:
        """Tell of the other gaps that the shims set, whether each is still inside its limits."""
        from trainer.core.measure.rests import is_moved

        assert self._bench is not None
        words = self._words
        others = [
            words.say(
                "service.moved-inside" if gap.is_inside else "service.moved-outside",
                name=words.say(f"clearance.{gap.name}"),
                value=words.millimetres(gap.value_mm),
            )
            for gap in service.gaps
            if gap.name != SET_BY_SHIMS and is_moved(self._bench.measured[gap.name])
        ]
        set_text(self.moved, words.say("service.moved", gaps="; ".join(others)) if others else "")

    # ------------------------------------------------------------------ what stands behind it
    def _tell_why(self) -> None:
        """Say what is assumed and where the formulas come from, while the button is down."""
        if self._bench is None or not self.why.isChecked():
            self.told.tell("")
            return
        words = self._words
        assumed = [
            words.say(f"service.assumed-{key}")
            for key in self._bench.list_assumptions()
            if not key.startswith("bolts")
        ]
        sources = [words.say(f"service.formula-{key}") for key in FORMULAS]
        runs = tell_duty(words, self._bench.duty)
        lists = ["\n".join(f"- {one}" for one in told) for told in (assumed, sources)]
        text = "\n\n".join((words.say("service.teaching"), runs, lists[0], words.say("service.formulas"), lists[1]))  # fmt: skip
        self.told.tell(text, heading=words.say("service.assumptions"))
        QTimer.singleShot(0, self._look_at_why)  # it has its height only once it is laid out

    def _look_at_why(self) -> None:
        self.scroller.verticalScrollBar().setValue(self.told.y() - GAP_PX)
