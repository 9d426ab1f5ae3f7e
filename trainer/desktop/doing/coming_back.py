"""Go on where it was left: the pump, how it was looked at, the page of the walk, and what was half written."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QRect
from PySide6.QtGui import QGuiApplication

from models.builds import list_builds
from models.spec.choosing import choose
from models.spec.errors import RefusalError
from models.spec.face import Axis
from trainer.desktop.bench_work import BenchChoice, StepChoice, name_choice
from trainer.desktop.doing.keeping import When
from trainer.session.as_left import (
    Plain,
    StrangeValueError,
    take_number,
    take_numbers,
    take_table,
    take_text,
    take_texts,
)
from trainer.session.bench import Bench
from trainer.session.step_bench import StepBench
from trainer.session.step_form import write_said
from trainer.session.typed import make_pack
from trainer.session.withheld import Withheld
from trainer.stage.camera import Camera
from trainer.stage.cut import HALF_SECTION, Cut

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow

UNIT_SLACK = 1e-6
SEEN_PX = 120
"""So much of the window must lie on a screen, or it begins where the screen puts it."""
WITHHELD = ("away", "glass", "alone")
SETTLING = (When.SOLIDS, When.ORDER, When.WALK, When.PAGE)


class ComingBack:
    """Say what of the window is kept, and put it back in the order in which it can be."""

    def __init__(self, window: PumpWindow) -> None:
        self._window = window
        self._usual = window.changing.first
        window.came.connect(lambda: window.keeping.reach(When.SOLIDS))
        window.order_came.connect(lambda: window.keeping.reach(When.ORDER))
        window.lesson.settled.connect(self._reach_page)
        keep = window.keeping.keep
        keep("window", self._read_place, self._put_place)
        keep("bench", self._read_bench, self._put_bench)
        keep("pane", lambda: window.chosen_pane, self._put_pane)
        keep(
            "felt",
            window.shims.found.text,
            lambda text: window.shims.found.setText(take_text(text)),
        )
        keep("sheets", window.sheet.read_drafts, window.sheet.put_drafts)
        keep("walk", window.lesson.read_place, window.lesson.put_place, When.WALK)
        keep("part", lambda: window.part.piece, self._put_part, When.ORDER)
        keep("apart", lambda: window.motion.apart, self._put_apart, *SETTLING[1:])
        keep("by-hand", self._read_by_hand, self._put_by_hand, *SETTLING[1:])
        keep("tried", window.service.read_tried, window.service.put_tried, When.SOLIDS)
        keep("withheld", self._read_withheld, self._put_withheld, When.SOLIDS)
        keep("view", self._read_view, self._put_view, *SETTLING)

    def _reach_page(self) -> None:
        """Put back once more what the question of the page, which comes after it, has put otherwise."""
        if self._window.keeping.has_reached(When.WALK):
            self._window.keeping.reach(When.PAGE)

    # ------------------------------------------------------------------ which pump
    def _read_bench(self) -> Plain:
        """Read what really stands there: it can be built, whatever was chosen since."""
        bench, choice = self._window.standing, self._window.changing.stands
        if isinstance(bench, StepBench) and isinstance(choice, StepChoice):
            # where it lies on this machine, and what was said of it: the guesses are made again
            return {"file": str(choice.path.resolve()), "said": write_said(bench.form)}
        if not isinstance(bench, Bench) or not isinstance(choice, BenchChoice):
            return self._window.keeping.find("bench")
        pack = [float(shim.middle) for shim in bench.build.pack] if choice.pack_mm else None
        return {"build": bench.build.name, "options": dict(bench.build.options), "pack_mm": pack}

    def _put_bench(self, value: Plain) -> None:
        """Choose the pump of the last time; one that is no more is told and the first one comes."""
        table = take_table(value)
        if "file" in table:
            self._put_file(Path(take_text(table["file"])), take_text(table.get("said")))
            return
        build = take_text(table.get("build"))
        options = {name: take_text(one) for name, one in take_table(table.get("options")).items()}
        pack = table.get("pack_mm")
        if pack is not None and not isinstance(pack, list):
            raise StrangeValueError("no pack")
        pack_mm = tuple(take_number(one) for one in pack) if pack else None
        family = list_builds().get(build)
        if family is None:
            self._tell_gone(build, self._window.words.say("desk.no-such-build"))
            return
        try:
            choose(family, options)
            if pack_mm:
                make_pack(pack_mm)
        except RefusalError as error:
            self._tell_gone(build, str(error))
            return
        self._window.changing.wanted = replace(
            self._usual, build=build, options=options, pack_mm=pack_mm
        )

    def _put_file(self, path: Path, said: str) -> None:
        """Choose the file of the last time; one that lies there no more is told."""
        if path.is_file():
            self._window.changing.wanted = StepChoice(path, said=said)
        else:
            self._tell_gone(path.name, self._window.words.say("choosing.file-gone"))

    def give_up(self, reason: str) -> bool:
        """Put the usual pump on the bench instead of that of the last time; False when it is the usual one already."""
        failed = self._window.changing.wanted
        if self._window.standing is not None or failed == self._usual:
            return False
        self._tell_gone(name_choice(self._window.words, failed), reason)
        self._window.changing.change(self._usual)
        return True

    def _tell_gone(self, build: str, reason: str) -> None:
        window = self._window
        window.noticing.tell(window.words.say("desk.build-gone", build=build, reason=reason))

    # ------------------------------------------------------------------ how it is looked at
    def _read_view(self) -> Plain:
        view, cut = self._window.view, self._window.view.cut
        camera = view.camera
        return {
            "focus_mm": camera.focus_mm.tolist(),
            "towards": camera.towards.tolist(),
            "up": camera.up.tolist(),
            "mm_per_px": float(camera.mm_per_px),
            "cut": None if cut is None else [str(cut.axis), cut.at_mm, cut.keeps],
        }

    def _put_view(self, value: Plain) -> None:
        table, window = take_table(value), self._window
        cut = _take_cut(table.get("cut"))
        camera = _take_camera(table)
        if window.view.cut != cut:
            window.section.setChecked(cut == HALF_SECTION)
            window.view.set_cut(cut)
        window.view.camera = camera
        window.view.redraw()

    def _read_withheld(self) -> Plain:
        state = self._window.withholding.state
        return {name: sorted(getattr(state, name)) for name in WITHHELD}

    def _put_withheld(self, value: Plain) -> None:
        table, withholding = take_table(value), self._window.withholding
        away, glass, alone = (frozenset(take_texts(table.get(name))) for name in WITHHELD)
        withholding.take(Withheld(away, glass, alone))

    def _put_apart(self, value: Plain) -> None:
        apart = take_number(value)
        if not 0.0 <= apart <= 1.0:
            raise StrangeValueError("apart")
        self._window.motion.set_apart(apart)

    def _read_by_hand(self) -> Plain:
        hand = self._window.dragging.hand
        return [[piece, *way] for piece, way in hand.ways] if hand is not None else []

    def _put_by_hand(self, value: Plain) -> None:
        window = self._window
        if not isinstance(value, list) or not all(isinstance(one, list) and one for one in value):
            raise StrangeValueError("no moves by hand")
        moves = [(take_text(one[0]), take_numbers(one[1:], 3)) for one in value]
        if not moves:
            return  # after it, the page of the walk says what is off
        window.dragging.retake(moves)
        window.tell_where_it_stands()

    def _put_part(self, value: Plain) -> None:
        self._window.part.show_piece(take_text(value))

    def _put_pane(self, value: Plain) -> None:
        self._window.show_pane(take_text(value, frozenset(self._window.choices)))

    # ------------------------------------------------------------------ where the window stands
    def _read_place(self) -> Plain:
        window = self._window
        rect = window.normalGeometry()
        place_px = [rect.x(), rect.y(), rect.width(), rect.height()]
        return {"place_px": place_px, "is_whole": window.isMaximized()}

    def _put_place(self, value: Plain) -> None:
        table, window = take_table(value), self._window
        rect = QRect(*(round(one) for one in take_numbers(table.get("place_px"), 4)))
        screens = [one.availableGeometry() for one in QGuiApplication.screens()]
        seen = [one.intersected(rect) for one in screens]
        window.resize(rect.size().expandedTo(window.minimumSize()))
        if any(one.width() > SEEN_PX and one.height() > SEEN_PX for one in seen):
            window.move(rect.topLeft())
        if table.get("is_whole") is True:
            window.showMaximized()


def _take_camera(table: Plain) -> Camera:
    table = take_table(table)
    focus, towards, up = (
        np.array(take_numbers(table.get(name), 3)) for name in ("focus_mm", "towards", "up")
    )
    mm_per_px = take_number(table.get("mm_per_px"))
    is_square = abs(float(towards @ up)) < UNIT_SLACK
    if not is_square or any(abs(float(one @ one) - 1.0) > UNIT_SLACK for one in (towards, up)):
        raise StrangeValueError("no directions of a view")
    if not 1e-6 < mm_per_px < 1e6:
        raise StrangeValueError("no scale of a view")
    return Camera(focus, towards, up, mm_per_px)


def _take_cut(value: Plain) -> Cut | None:
    if value is None:
        return None
    if not isinstance(value, list) or len(value) != 3:
        raise StrangeValueError("no cut")
    axis = take_text(value[0], frozenset(map(str, Axis)))
    keeps = take_number(value[2])
    if abs(keeps) != 1.0:
        raise StrangeValueError("no side of a cut")
    return Cut(Axis(axis), take_number(value[1]), round(keeps))
