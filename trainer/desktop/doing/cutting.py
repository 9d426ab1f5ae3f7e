"""Cut the pump along one of three axes: choose, drag, slide or type where, and which side is taken away."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QObject, Qt

from models.spec.face import Axis
from trainer.desktop.picture.cut_handle import CutHandle, lies_across, put_inside
from trainer.desktop.picture.cut_row import CutRow
from trainer.desktop.picture.hands import HandTold
from trainer.desktop.pieces import make_switch
from trainer.stage.camera import ViewName
from trainer.stage.cut import EDGE_ON, Cut

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow

KEY_MM = 1.0
KEY_FAR_MM = 10.0
SHOWN_MM = 0.05
"""Less than this beside the middle is told as the middle."""
NAMES = {Axis.X: "across", Axis.Z: "level"}
KEYS = {Axis.X: "Ctrl+K", Axis.Z: "Ctrl+J"}
TURN_KEY = "Ctrl+Shift+K"


class Cutting(QObject):
    """Look after the cut of the window's picture; what is cut is `view.cut`, whoever sets it."""

    def __init__(self, window: PumpWindow) -> None:
        super().__init__(window)
        self._window = window
        words = window.words
        self._last_mm: dict[Axis, float] = {}
        self._by_hand = False
        self.handle = CutHandle(self.move_to)
        window.view.tracings.append(self.handle)
        self.buttons = {
            axis: make_switch(words, f"seeing.cut-{name}", partial(self.choose, axis))
            for axis, name in NAMES.items()
        }
        self.row = CutRow(words)
        for axis in (Axis.Z, Axis.X):
            window.tools.addWidget(self.buttons[axis])
            window.add_key(KEYS[axis], self.buttons[axis].click)
        window.add_row(self.row)
        window.add_key(TURN_KEY, self.turn)
        window.section.clicked.connect(self._take_hold)
        self.row.moved.connect(lambda at_mm: self.move_to(at_mm / self._life))
        self.row.turned.connect(self.turn)
        window.view.cut_changed.connect(self._show)
        window.came.connect(self._measure)
        self._add_letters()

    def _add_letters(self) -> None:
        for key, sign in ((Qt.Key.Key_PageUp, 1.0), (Qt.Key.Key_PageDown, -1.0)):
            for far in (False, True):
                step = sign * (KEY_FAR_MM if far else KEY_MM)
                self._window.view.add_letter(key, partial(self._step, step), shift=far)
        self._window.view.told += [
            HandTold(f"seeing.how-{how}", f"seeing.does-{how}")
            for how in ("page", "shift-page", "drag-cut")
        ]

    # ------------------------------------------------------------------ what is cut
    def _take_hold(self) -> None:
        """Lay out what moves a cut: somebody works with it, it is not only shown by a lesson or a measurement."""
        self._by_hand = True
        self._show()

    def choose(self, axis: Axis) -> None:
        """Cut square to an axis where it was cut last, or show the whole again where that is cut already."""
        view = self._window.view
        if view.cut is not None and view.cut.axis is axis:
            view.set_cut(None)
            return
        self._by_hand = True
        cut = Cut(axis, self._last_mm.get(axis, self._find_start_mm(axis)))
        self._window.leave_close_up()
        view.set_cut(cut.facing(view.camera.towards))
        if abs(view.camera.towards[cut.number]) < EDGE_ON:
            # Seen edge on, a cut shows nothing.
            self._window.views[ViewName.ISO].setChecked(True)
            view.set_cut(cut.facing(np.array([-1.0, -1.0, 1.0])))
            view.glide_from(ViewName.ISO)

    def move_to(self, at_mm: float) -> None:
        """Move the plane along its axis, as far as the pump reaches."""
        view = self._window.view
        if view.cut is not None:
            self._by_hand = True
            view.set_cut(put_inside(view.cut, at_mm, self.handle.bounds_mm))

    def turn(self) -> None:
        """Take away the other side."""
        view = self._window.view
        if view.cut is not None:
            view.set_cut(view.cut.turned)

    def _step(self, by_mm: float) -> None:
        if self._window.view.cut is not None:
            self.move_to(self._window.view.cut.at_mm + by_mm / self._life)

    def _find_start_mm(self, axis: Axis) -> float:
        """Find where a cut begins: through the shaft, and across it through the impeller, or the middle of what stands there."""
        standing = self._window.standing
        build = standing.build if standing else None
        if build is not None and axis is not Axis.X:
            return 0.0
        number = list(Axis).index(axis)
        bounds = self.handle.bounds_mm
        if standing is not None and "impeller" in standing.assembly.by_name:
            bounds = np.array(standing.assembly.by_name["impeller"].mesh.bounds)
        return float(bounds[:, number].mean())

    # ------------------------------------------------------------------ what is shown of it
    @property
    def _life(self) -> float:
        """Life size of one mm of what stands on the bench."""
        return self._window.naming.to_life_mm(1.0) if self._window.standing else 1.0

    def _measure(self) -> None:
        """Find how far what stands on the bench reaches."""
        assembly = self._window.assembly
        if assembly is None:
            return
        # Those are asked whose bounds were found in the background.
        ends = [piece.mesh.bounds for piece in assembly.pieces if len(piece.mesh.points)]
        bounds = np.array(ends, dtype=np.float64)
        self.handle.bounds_mm = np.stack([bounds[:, 0].min(axis=0), bounds[:, 1].max(axis=0)])
        self._last_mm = {}
        self._window.half_section = Cut(Axis.Y, self._find_start_mm(Axis.Y))
        cut = self._window.view.cut
        if cut is not None:
            self._window.view.set_cut(put_inside(cut, cut.at_mm, self.handle.bounds_mm))
        self._show()

    def write_anew(self) -> None:
        """Write where the plane lies anew: lengths are written otherwise now."""
        self._show()

    def _show(self) -> None:
        """Show on buttons, slider and handle what is cut."""
        window, cut = self._window, self._window.view.cut
        window.section.setChecked(cut is not None and cut.axis is Axis.Y)
        for axis, button in self.buttons.items():
            button.setChecked(cut is not None and cut.axis is axis)
        self._by_hand = self._by_hand and cut is not None and not window.view.is_close_up
        self.handle.is_laid_out = self._by_hand
        self.show_row()
        if cut is None:
            return
        self._last_mm[cut.axis] = cut.at_mm
        life = self._life
        low, high = self.handle.bounds_mm[:, cut.number]
        told = self._tell(cut)
        self.handle.text = told
        if not lies_across(window.view, cut):
            self.handle.text += "\n" + window.words.say("seeing.cut-deeper")
        self.row.show_plane(cut.at_mm * life, (float(low) * life, float(high) * life), told)

    def show_row(self) -> None:
        """Lay out the row that moves the cut where somebody works with it, and only there."""
        self.row.setVisible(self._by_hand)

    def _tell(self, cut: Cut) -> str:
        """Tell where a plane lies: in our own pumps by the shaft and the casing face, else along its axis alone."""
        window = self._window
        words = window.words
        value = cut.at_mm * self._life
        if window.bench is None:
            return words.say("seeing.cut-at", distance=words.millimetres(value, 1))
        if abs(value) < SHOWN_MM:
            return words.say(f"seeing.cut-at-{cut.axis.value}")
        side = "high" if value > 0 else "low"
        distance = words.millimetres(abs(value), 1)
        return words.say(f"seeing.cut-at-{cut.axis.value}-{side}", distance=distance)
