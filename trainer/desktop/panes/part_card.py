"""The card of the part that was picked: of what it is, why it is there, how it wears, what holds it, how it leaves."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from models.spec.build import TABLES, Build
from models.spec.material_choices import find_choices, read_material_choices
from trainer.core.order.leaving import find_leaving
from trainer.desktop.panes.part_measured import PartMeasured
from trainer.desktop.panes.part_showing import PartShowing
from trainer.desktop.pieces import (
    GAP_PX,
    Box,
    Pane,
    make_button,
    make_label,
    make_rule,
    set_text,
)
from trainer.desktop.signs import set_sign
from trainer.desktop.theme import PALETTE
from trainer.session.on_bench import OnBench
from trainer.words import Words
from trainer.words.naming import Naming, StepNaming
from trainer.words.speech import begin
from trainer.words.telling_part import tell_after, tell_along, tell_caution, tell_choice


class Swatch(QWidget):
    """A sample of a material as the pictures show it: its tone, and its hatched cut."""

    def __init__(self) -> None:
        super().__init__()
        self._material = ""

    def show_material(self, material: str) -> None:
        """Show a material."""
        self._material = material
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Be two squares of the height of a line."""
        side = round(1.3 * self.fontMetrics().height())
        return QSize(2 * side, side)

    def minimumSizeHint(self) -> QSize:
        """Never be less."""
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint surface and cut side by side."""
        del event
        if not self._material:
            return
        painter = QPainter(self)
        side = self.sizeHint().height() - 2
        top = (self.height() - side) / 2
        left, right = QRectF(1, top, side, side), QRectF(side, top, side, side)
        painter.fillRect(left, QColor(*PALETTE.look.find_tone(self._material)))
        painter.fillRect(right, QColor(*PALETTE.look.find_cut_tone(self._material)))
        painter.setClipRect(right)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(PALETTE.quiet_ink, 1))
        for shift in range(-side, side, 6):
            painter.drawLine(
                right.bottomLeft() + QPointF(shift, 0),
                right.topRight() + QPointF(shift, 0),
            )
        painter.setClipping(False)
        painter.setPen(QPen(PALETTE.ink, 1.3))
        painter.drawRect(left)
        painter.drawRect(right)
        painter.end()


class Passage:
    """A heading with a text below it; both are hidden while there is nothing to tell."""

    def __init__(self, column: QVBoxLayout, heading: str) -> None:
        self._heading = make_label("heading", heading)
        self._text = make_label(markdown=True)
        column.addWidget(self._heading)
        column.addWidget(self._text)
        self.tell()

    def tell(self, *lines: str) -> None:
        """Tell some lines, each begun as a sentence is; nothing hides the passage."""
        told = [begin(line) for line in lines if line]
        set_text(self._text, "\n\n".join(told))
        self._heading.setVisible(bool(told))

    def text(self) -> str:
        """Give what it tells."""
        return self._text.text()


class PartCard(Pane):
    """Show one part of what stands on the bench."""

    step_asked = Signal(int)
    try_asked = Signal(str)
    back_asked = Signal()
    shown = Signal()
    proof_asked = Signal(str)

    def __init__(self, words: Words) -> None:
        super().__init__(words.say("window.part-pane"))
        self._words = words
        self._bench: OnBench | None = None
        self._naming: Naming | None = None
        self._is_ordered = False
        self._choices = read_material_choices(TABLES)
        self._step = 0
        self.piece = ""
        self.title = make_label("paneTitle", words.say("window.part-none"))
        self.swatch = Swatch()
        self.material = make_label(text=" ")
        self.hint = make_label(text=words.say("window.part-hint"))
        self.caution = Box("cautionBox", words.say("window.caution"))
        self.go = make_button(words.say("window.part-go"), self._ask_step)
        self.try_now = make_button(
            words.say("replay.button"),
            self._try_or_put_back,
            spoken=words.say("replay.button-spoken"),
            sign="play",
        )
        self._is_off = False
        row = QHBoxLayout()
        row.setSpacing(GAP_PX)
        row.addWidget(self.swatch)
        row.addWidget(self.material, 1)
        self.column.addWidget(self.title)
        self.column.addLayout(row)
        self.showing = PartShowing(words)
        self.column.addWidget(self.showing)
        self.column.addWidget(self.hint)
        self.rule = make_rule()
        self.column.addWidget(self.rule)
        self.column.addWidget(self.caution)
        self.duty, self.wear, self.held, self.off, self.along, self.materials = (
            Passage(self.column, words.say(f"window.part-{name}"))
            for name in ("duty", "wear", "held", "off", "along", "materials")
        )
        self.measured = PartMeasured(words)
        self.measured.asked.connect(self.proof_asked)
        self.column.insertWidget(self.column.count() - 2, self.measured)
        self.column.addStretch(1)
        self.foot_column.insertWidget(0, self.try_now)
        self.foot_row.addWidget(self.go)
        self.rule.hide()
        self.swatch.hide()

    def show_bench(self, bench: OnBench, naming: Naming) -> None:
        """Know what stands on the bench; its order is told later by `set_order`."""
        self._bench, self._naming, self._is_ordered = bench, naming, False
        if self.piece in bench.assembly.by_name:
            self.show_piece(self.piece)

    def forget(self) -> None:
        """Show no part and know no order: another pump comes."""
        self._is_ordered, self.piece = False, ""
        set_text(self.title, self._words.say("window.part-none"))
        set_text(self.material, "")
        for passage in (self.duty, self.wear, self.held, self.off, self.along, self.materials):
            passage.tell()
        self.caution.tell("")
        self.measured.show_piece(None, "")
        self.hint.show()
        self.rule.hide()
        self.swatch.hide()
        self.foot.hide()
        self.shown.emit()

    def set_order(self) -> None:
        """Say from now on when a part comes off: the order of what stands here has been found."""
        self._is_ordered = True
        if self.piece:
            self.show_piece(self.piece)

    def show_piece(self, name: str) -> None:
        """Show the part of a piece."""
        bench, naming = self._bench, self._naming
        if bench is None or naming is None or name not in bench.assembly.by_name:
            return
        part = naming.find_part(name)
        self.piece = name
        told = naming.tell_piece(name)
        set_text(self.title, begin(told))
        self.setAccessibleDescription(told)
        self.swatch.show_material(bench.assembly.by_name[name].material)
        if isinstance(naming, StepNaming):
            self._tell_guessed(naming, part)
        elif bench.build is not None:
            self._tell_known(bench.build, name)
        self.held.tell(*naming.tell_held(part))
        self.measured.show_piece(bench.build, name)
        self.hint.hide()
        self.rule.show()
        self.swatch.show()
        self._tell_step(bench, naming, name)
        self.show_top()
        self.shown.emit()

    def _tell_known(self, build: Build, name: str) -> None:
        """Tell what is known of a part of ours."""
        words, piece = self._words, build.pieces[name]
        place, material = piece.place.name, piece.part.material.value
        many = len(build.places[place])
        named = words.say(f"material.{material}.name")
        set_text(self.material, words.count("window.part-count", many, material=named))
        self.duty.tell(words.say(f"part.{place}.duty"))
        self.wear.tell(words.say(f"part.{place}.wear"))
        choices = find_choices(self._choices, place, piece.part.kind)
        self.materials.tell(*(tell_choice(words, one) for one in choices))
        self.caution.tell(tell_caution(words, place))

    def _tell_guessed(self, naming: StepNaming, part: str) -> None:
        """Tell what a part of somebody's assembly is taken for, and why: nothing else is known of it."""
        words, many = self._words, len(naming.sets[part])
        kind = naming.tell_kind(part)
        set_text(self.material, words.count("choosing.part-count", many, kind=kind))
        self.duty.tell()
        self.wear.tell()
        self.materials.tell()
        self.caution.tell("")

    def _tell_step(self, bench: OnBench, naming: Naming, name: str) -> None:
        words = self._words
        steps = bench.order.steps if self._is_ordered else ()
        found = [number for number, step in enumerate(steps) if name in step.pieces]
        self.foot.setVisible(bool(found))
        self.off.tell()
        self.along.tell()
        if self._is_ordered and name == bench.base:
            self.off.tell(words.say("choosing.stays-put"))
        if not found:
            return
        self._step = found[0]
        taken = next(one for one in steps[found[0]].taken if one.piece == name)
        way = naming.tell_taken(taken)
        step = words.say("window.part-step", number=found[0] + 1, last=len(steps), way=way)
        leaving = find_leaving(bench.assembly, bench.blocking, bench.order, naming.find_part(name))
        if leaving is None:
            self.off.tell(step)
        else:
            self.off.tell(step, tell_after(words, naming, leaving))
            self.along.tell(tell_along(words, naming, leaving))

    def show_off(self, *, is_off: bool) -> None:
        """Offer to put the part back where it is off as the pump stands, else to try to take it off."""
        if is_off == self._is_off:
            return
        self._is_off, words = is_off, self._words
        key = "dragging.card-back" if is_off else "replay.button"
        self.try_now.setText(words.say(key))
        self.try_now.setAccessibleName(words.say(f"{key}-spoken"))
        self.try_now.setToolTip(words.say(f"{key}-spoken"))
        set_sign(self.try_now, "reverse" if is_off else "play")

    def _try_or_put_back(self) -> None:
        if self._is_off:
            self.back_asked.emit()
        else:
            self.try_asked.emit(self.piece)

    def _ask_step(self) -> None:
        self.step_asked.emit(self._step)
