"""Where the plane of a cut lies: a slider, a field to type it in, and which side is taken away."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from models.spec.errors import RefusalError
from trainer.desktop.pieces import GAP_PX, MARGIN_PX, make_button, make_label, set_text
from trainer.desktop.step_slider import StepSlider
from trainer.desktop.theme import PALETTE
from trainer.desktop.typing_in import read_typed_mm
from trainer.words import Words

PARTS_OF_MM = 10
"""The slider goes by tenths of a millimetre; its arrow keys by one millimetre, its page keys by ten."""
DIGITS = 1
LETTERS = 11
"""Room in the field, in letters."""


class PlaneSlider(StepSlider):
    """Slide a plane from one end of the pump to the other; a tick stands at the middle."""

    def __init__(self) -> None:
        super().__init__()
        self.middle = 0
        self.setSingleStep(PARTS_OF_MM)
        self.setPageStep(10 * PARTS_OF_MM)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the line, the tick at the middle, and the handle."""
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        left, right, y = self._ends()
        whole = max(self.maximum(), 1)
        at, middle = (left + (right - left) * n / whole for n in (self.value(), self.middle))
        painter.setPen(QPen(PALETTE.rule, 4, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
        painter.drawLine(QPointF(left, y), QPointF(right, y))
        painter.setPen(QPen(PALETTE.quiet_ink, 2))
        if 0 <= self.middle <= whole:
            painter.drawLine(QPointF(middle, 0.2 * self.height()), QPointF(middle, 2 * y * 0.8))
        self._paint_handle(painter, QPointF(at, y))
        painter.end()


class CutRow(QWidget):
    """Move a plane by slider and by typing; all values in mm on the plane's axis, of life size."""

    moved = Signal(float)
    turned = Signal()

    def __init__(self, words: Words) -> None:
        super().__init__()
        self._words = words
        self._ends_mm = (0.0, 1.0)
        self._is_showing = False
        self.slider = PlaneSlider()
        self.slider.setAccessibleName(words.say("seeing.cut-slider"))
        self.slider.setToolTip(words.say("seeing.cut-slider-tip"))
        self.slider.valueChanged.connect(self._slide)
        self.field = QLineEdit()
        self.field.setAccessibleName(words.say("seeing.cut-field"))
        self.field.setToolTip(words.say("seeing.cut-field-tip"))
        self.field.setMaxLength(40)
        self.field.editingFinished.connect(self._type)
        self.turn = make_button(
            words.say("seeing.cut-turn"),
            self.turned.emit,
            spoken=words.say("seeing.cut-turn-spoken"),
        )
        self.fault = make_label("before")
        row = QHBoxLayout()
        row.setSpacing(GAP_PX // 2)
        row.addWidget(self.slider, 1)
        row.addWidget(self.field)
        row.addWidget(self.turn)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(MARGIN_PX, 0, MARGIN_PX, GAP_PX // 2)
        whole.setSpacing(0)
        whole.addLayout(row)
        whole.addWidget(self.fault)
        self.setObjectName("tools")
        self.hide()

    def changeEvent(self, event: QEvent) -> None:
        """Give the field room for a length, however large the letters are."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.StyleChange, QEvent.Type.FontChange):
            letter_px = self.field.fontMetrics().averageCharWidth()
            self.field.setFixedWidth(LETTERS * letter_px + 2 * GAP_PX)

    def show_plane(self, at_mm: float, ends_mm: tuple[float, float], told: str) -> None:
        """Show where a plane lies between the ends of the pump, and tell it to whoever cannot see it."""
        self._ends_mm = ends_mm
        self._is_showing = True
        low, high = ends_mm
        self.slider.setRange(0, round((high - low) * PARTS_OF_MM))
        self.slider.setValue(round((at_mm - low) * PARTS_OF_MM))
        self.slider.middle = round(-low * PARTS_OF_MM)
        self._is_showing = False
        for widget in (self.slider, self.field):
            widget.setAccessibleDescription(told)
        self.field.setText(self._words.millimetres(at_mm, DIGITS))
        self.field.setModified(False)
        self._tell_fault("")

    def _slide(self, value: int) -> None:
        if not self._is_showing:
            self.moved.emit(self._ends_mm[0] + value / PARTS_OF_MM)

    def _type(self) -> None:
        if not self.field.isModified():
            return
        try:
            at_mm = self._read()
        except RefusalError as error:
            self._tell_fault(str(error))
        else:
            self._tell_fault("")
            self.moved.emit(at_mm)

    def _read(self) -> float:
        """Read what is typed. Raises RefusalError where it is no length, or none on the pump."""
        words, (low, high) = self._words, self._ends_mm
        at_mm = read_typed_mm(words, self.field.text(), "seeing.cut-no-length")
        if not low <= at_mm <= high:
            named = {
                "low": words.millimetres(low, DIGITS),
                "high": words.millimetres(high, DIGITS),
            }
            raise RefusalError(words.say("seeing.cut-outside", **named))
        return at_mm

    def _tell_fault(self, text: str) -> None:
        """Say what is wrong with what was typed, which stays there to be mended."""
        self.field.setObjectName("wrong" if text else "")
        self.field.style().unpolish(self.field)
        self.field.style().polish(self.field)
        set_text(self.fault, text)
