"""Measure in the picture: a clearance with its chain over the section, and what follows from it below, all moving together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QEvent, QObject, QRectF, Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QWidget

from models.spec.clearance import ClearanceKind
from models.spec.face import Axis
from models.spec.turning import AXES
from trainer.core.measure.chain import MeasuredClearance
from trainer.core.measure.rests import is_moved
from trainer.desktop.doing.enlarging import Enlarging
from trainer.desktop.doing.following import list_told
from trainer.desktop.doing.repacking import Repacking
from trainer.desktop.panes.measure_strip import MeasureStrip
from trainer.desktop.picture.chain_layout import find_section as find_room
from trainer.desktop.picture.chain_tracing import ChainTracing, measure_letters
from trainer.desktop.picture.overlay import NameTag
from trainer.stage.camera import Region, ViewName
from trainer.stage.chain_drawing import ChainDrawing
from trainer.stage.chain_view import find_section, frame_chain
from trainer.stage.close_up import find_spot_above, find_spot_on
from trainer.stage.told_chain import find_near, make_chain_drawing, name_dimensions
from trainer.words.speech import begin
from trainer.words.telling import tell_clearance

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow
    from trainer.session.bench import Bench
    from trainer.session.service import Service, Setting

SAME_MM = 1e-6


class Measuring(QObject):
    """Show one clearance at a time.

    `shown` tells its name, "" when none is measured any more; `drawn` that its two faces are seen elsewhere now.
    """

    shown = Signal(str)
    drawn = Signal()

    def __init__(self, window: PumpWindow) -> None:
        super().__init__(window)
        self._window = window
        self.name = ""
        self._is_close = False
        self._factor = 1.0
        self._away: list[QWidget] = []
        self.repacking = Repacking(self, window)
        self.tracing = ChainTracing(self.repacking.pull, self.repacking.drop)
        self.tracing.turn_text = window.words.say("measure.turn")
        window.view.tracings.append(self.tracing)
        self.enlarging = Enlarging(window, self.tracing)
        self.strip = MeasureStrip(window.words)
        window.below.addWidget(self.strip)
        self.strip.tried.connect(self._try)
        self.strip.factor_chosen.connect(self._enlarge)
        self.strip.framed.connect(self._frame_anew)
        self.strip.pack_stepped.connect(self.repacking.step)
        self.strip.reset_asked.connect(window.service.reset)
        self.strip.left.connect(window.fit_view)
        window.service.followed.connect(self._follow)
        window.service.refused.connect(self._tell_refused)
        window.came.connect(self.refresh)
        window.shims.close_up_asked.connect(self.choose)
        window.motion.moved.connect(self._leave_for_motion)
        window.view.installEventFilter(self)
        self.leave = QShortcut(QKeySequence(Qt.Key.Key_Escape), window)
        self.leave.activated.connect(self._leave_by_key)

    # ------------------------------------------------------------------ begin and end
    @property
    def is_on(self) -> bool:
        """Is a clearance measured in the picture?"""
        return bool(self.name)

    @property
    def clearance(self) -> MeasuredClearance:
        """The clearance that is measured."""
        return self._bench.clearance(self.name)

    @property
    def _bench(self) -> Bench:
        bench = self._window.bench
        assert bench is not None
        return bench

    def choose(self, name: str) -> None:
        """Measure a clearance; "" goes back to the whole pump."""
        if name:
            self.show(name)
        else:
            self._window.fit_view()

    def show(self, name: str) -> None:
        """Measure a clearance of the build on the bench; a name that it does not have is passed over."""
        window = self._window
        if window.bench is None or not window.bench.build.has_clearance(name):
            return
        is_other = name != self.name
        self._put_together()
        self.name = name
        if is_other:
            self._is_close = False
        self._show_chain()
        window.shims.mark_close_up(name)
        window.motion.hide()
        self.strip.show()
        self._clear_above()
        self._begin_strip()
        window.service.prepare()
        window.service.follow()
        self._offer_factors()
        self._frame_anew(self._is_close)
        self.shown.emit(name)

    def _put_together(self) -> None:
        """Put the pump together at once: gaps are those of a pump that is built."""
        window = self._window
        if self.is_on:
            return  # it is; and what is drawn out for one gap stays until the next is
        window.trying.stop()
        if window.dragging.hand is not None and window.dragging.hand.moves:
            window.dragging.put_all_back()
        window.motion.set_apart(0.0)
        window.dragging.gliding.stop()
        window.accompanying.following.stop()
        window.view.set_offsets({})

    def refresh(self) -> None:
        """Show the same clearance of the bench that stands here now, from where it is looked at."""
        if not self.is_on:
            return
        bench = self._window.bench
        if bench is None or not bench.build.has_clearance(self.name):
            self.stop()
            return
        factor, camera = self._factor, self._window.view.camera
        self._show_chain(keep_view=True)
        self._begin_strip()
        self._window.service.prepare()
        self._offer_factors()
        self._enlarge(factor if factor in self.enlarging.factors else 1.0)
        self._window.view.stay_at(camera)
        self.shown.emit(self.name)

    def stop(self) -> None:
        """Measure nothing any more; where the camera stands stays."""
        if not self.is_on:
            return
        self.name = ""
        self.enlarging.stop()
        self.tracing.clear()
        self._window.shims.leave_close_up()
        self.strip.hide()
        self._window.motion.show()
        self._bring_tools_back()
        self._window.view.release_close_up()
        self._window.view.update()
        self.shown.emit("")

    def _clear_above(self) -> None:
        """Put away the tools that a pump which stands still has no use for: the chain needs the room."""
        window = self._window
        kept = {*window.views.values(), window.fit}
        items = (window.tools.itemAt(number) for number in range(window.tools.count()))
        tools = [widget for item in items if item and (widget := item.widget())]
        self._away += [one for one in tools if one not in kept and not one.isHidden()]
        if window.is_large:  # with large letters the views need more room than can be spared
            self._away.append(window.tool_band)
        for widget in (*self._away, window.cutting.row):
            widget.hide()
        self._settle_tools()

    def _settle_tools(self) -> None:
        """Let the rows of tools be as high as what is in them now."""
        self._window.tools.invalidate()
        QCoreApplication.postEvent(self._window.above, QEvent(QEvent.Type.LayoutRequest))

    def _bring_tools_back(self) -> None:
        for widget in self._away:
            widget.show()
        self._away = []
        self._window.cutting.show_row()
        self._settle_tools()

    def _leave_by_key(self) -> None:
        if self.is_on:
            self._window.fit_view()
        else:
            self._window.leave_pane()

    def _leave_for_motion(self, apart: float) -> None:
        """A pump that is taken apart has no gap to show."""
        if apart > 0.0 and self.is_on:
            self._window.fit_view()

    # ------------------------------------------------------------------ the picture
    def _show_chain(self, *, keep_view: bool = False) -> None:
        window, bench = self._window, self._bench
        clearance = bench.build.clearance(self.name)
        if clearance.is_plain:
            drawing = make_chain_drawing(window.words, bench, self.name)
            self.tracing.show_chain(drawing, self._find_pack_row(drawing))
            self.tracing.shares_head = window.words.say("measure.spread")
        else:
            named = name_dimensions(window.words, bench, self.name)
            tags = {piece: NameTag(text) for piece, text in named.items()}
            spots = {piece: find_spot_above(bench.assembly, piece) for piece in named}
            for end in (clearance.low, clearance.high):
                piece = bench.build.piece_at(end[0])
                spot = find_spot_on(piece, end[1])
                if spot is not None:
                    spots[piece.name] = spot
            self.tracing.show_named(tags, spots)
        if keep_view:
            return
        view, cut = (ViewName.SIDE, None) if self.tracing.drawing is None else find_section(self.tracing.drawing)  # fmt: skip
        window.section.setChecked(True)
        window.view.set_section(True)
        if cut is not None:
            window.view.set_cut(cut)
        window.views[view].setChecked(True)
        window.view.set_marks(
            type(window.view.marks)()
        )  # in their own tones both faces are seen best

    def _find_pack_row(self, drawing: ChainDrawing) -> int:
        pieces = self._bench.build.pieces
        rows = [n for n, row in enumerate(drawing.rows) if pieces[row.pieces[0]].place.pack]
        return rows[0] if rows else -1

    def frame(self, is_close: bool) -> None:  # noqa: FBT001 - a signal's argument
        """Look at the whole chain, or at its gap closely."""
        self._is_close = is_close
        self.strip.show_frame(is_close=is_close)
        view, drawing = self._window.view, self.tracing.drawing
        width, height = view.size_px
        if drawing is None:
            self._frame_named()
            return
        area = QRectF(0, 0, width, height).adjusted(8, 6, -8, -4)
        letters = measure_letters(view.font())
        is_across = drawing.axis is Axis.X
        room = find_room(area, letters, len(drawing.rows) + 1, is_across=is_across)
        region = Region(room.left(), room.top() + 6, room.right(), room.bottom() - 6)
        view.stay_at(
            frame_chain(drawing, self.tracing.ends, view.size_px, region, is_close=is_close)
        )

    def _frame_anew(self, is_close: bool) -> None:  # noqa: FBT001 - a signal's argument
        """Look at the chain or at the gap, as much larger as it takes to see the gap."""
        self._is_close = is_close
        self._plan(1.0)  # how small the gap is in the picture is known only then
        self._enlarge(
            self.enlarging.choose(self._find_gap_mm(), self._window.view.camera.mm_per_px)
        )

    def _frame_named(self) -> None:
        """Look at the parts whose dimensions are named, from the side."""
        view, bench = self._window.view, self._bench
        view.look_from(ViewName.SIDE)
        near = find_near(bench, list(self.tracing.named)) if self.tracing.named else None
        camera = view.camera
        if near is not None:
            width, height = view.size_px
            rim = 0.12 * min(width, height)
            camera = camera.fitted(near, (width, height), Region(rim, rim, width - rim, height - rim))  # fmt: skip
        view.stay_at(camera)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Frame the chain anew when the picture gets another size."""
        if self.is_on and event.type() == QEvent.Type.Resize:
            self.frame(is_close=self._is_close)
        return super().eventFilter(watched, event)

    # ------------------------------------------------------------------ larger than it is
    def _find_gap_mm(self) -> float:
        """Give how wide the gap is in the picture, of a bore on one side."""
        if self.tracing.drawing is None:
            return 0.0
        low, high = self.tracing.drawing.gap
        return float(abs(high - low)[AXES.index(self.tracing.drawing.axis)])

    def _offer_factors(self) -> None:
        self.strip.offer_factors(self.enlarging.offer(self.name), 1.0)

    def _enlarge(self, factor: float) -> None:
        """Show the gap larger; the arrows end where the faces are seen then."""
        self._factor = factor
        self._plan(factor)
        self.strip.offer_factors(self.enlarging.factors, factor)
        self.enlarging.show()
        self.drawn.emit()

    def _plan(self, factor: float) -> None:
        """Lay the arrows to where the faces will be seen, and frame them."""
        self.enlarging.plan(self.name, factor)
        drawing = self.tracing.drawing
        if drawing is not None:
            shift, rows = self.enlarging.shift, drawing.rows
            ends = [
                (shift(row.pieces[0], row.start), shift(row.pieces[-1], row.end)) for row in rows
            ]
            gap = (
                shift(rows[0].pieces[0], drawing.gap[0]),
                shift(rows[-1].pieces[-1], drawing.gap[1]),
            )
            self.tracing.ends = [*ends, gap]
        self.frame(is_close=self._is_close)

    # ------------------------------------------------------------------ what follows
    def _begin_strip(self) -> None:
        words, one, strip = self._window.words, self.clearance, self.strip
        title = tell_clearance(words, self.name)
        strip.scale.title = begin(title)
        is_length = one.kind is not ClearanceKind.SHARE
        strip.scale.setVisible(is_length)
        strip.scale.setEnabled(False)
        low, high = one.required_mm
        beyond = max(high - low, abs(one.in_service_mm - high), SAME_MM)
        strip.scale.show_gap(one.in_service_mm, (low, high), (min(low - beyond, one.in_service_mm), high + beyond))  # fmt: skip
        self._tell_scale(one.in_service_mm, one.required_mm)
        strip.tell(list_told(words, one, None, None, self.repacking.find_built_mm()), "")
        has_pack = is_moved(one)
        strip.thinner.setVisible(has_pack)
        strip.thicker.setVisible(has_pack)
        for button in (strip.whole, strip.close_by):
            button.setVisible(self.tracing.drawing is not None)

    def _tell_scale(self, value_mm: float, limits_mm: tuple[float, float]) -> None:
        words, (low, high) = self._window.words, limits_mm
        told = words.say("measure.allowed", low=words.length(low), high=words.millimetres(high))
        self.strip.scale.tell(told, is_inside=low <= value_mm <= high)

    def _tell_refused(self, reason: str) -> None:
        if self.is_on:
            words, one = self._window.words, self.clearance
            told = list_told(words, one, None, None, self.repacking.find_built_mm())
            self.strip.tell(told, words.say("measure.no-service", reason=reason))

    def _try(self, gap_mm: float, limits_mm: tuple[float, float]) -> None:
        self._window.service.try_gap(self.name, gap_mm, limits_mm)

    def _follow(self, service: Service, setting: Setting) -> None:
        """Let scale, numbers, and the texts at the arrows move together."""
        if not self.is_on:
            return
        words, one, gap = self._window.words, self.clearance, service.gap(self.name)
        self.strip.scale.setEnabled(True)
        reach = self._window.service.find_reach(self.name)
        self.strip.scale.show_gap(gap.value_mm, gap.required_mm, reach)
        self._tell_scale(gap.value_mm, gap.required_mm)
        pack = self.repacking.find_built_mm() + setting.pack_change_mm
        self.strip.tell(list_told(words, one, service, self._window.service.built, pack))
        self.write_gap(gap.value_mm)

    def write_gap(self, value_mm: float) -> None:
        """Write at the gap what it is, or what it would be as tried."""
        drawing = self.tracing.drawing
        if drawing is None:
            return
        text = drawing.gap_text
        if abs(value_mm - self.clearance.in_service_mm) > SAME_MM:
            words = self._window.words
            name, value = tell_clearance(words, self.name), words.millimetres(value_mm, 3)
            text = words.say("measure.tried", name=name, value=value)
        self.tracing.texts[-1] = text
        self._window.view.update()
