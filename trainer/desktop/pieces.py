"""Small pieces the panes are made of: labels, buttons, boxes, each with a name for screen readers."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QPointF, QRect, QSize, Qt
from PySide6.QtGui import (
    QHelpEvent,
    QPainter,
    QPaintEvent,
    QPolygonF,
    QResizeEvent,
    QTextDocument,
    QWheelEvent,
)
from PySide6.QtWidgets import (
    QButtonGroup,
    QComboBox,
    QFrame,
    QLabel,
    QLayout,
    QPushButton,
    QScrollArea,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionComboBox,
    QStylePainter,
    QToolTip,
    QVBoxLayout,
    QWidget,
)

from trainer.desktop.flow import Flow
from trainer.desktop.signs import set_sign
from trainer.desktop.speaking import speak
from trainer.desktop.theme import PALETTE
from trainer.desktop.wrapping import TextButton
from trainer.words import Words

MARGIN_PX = 20
GAP_PX = 12
MOST_FOOT_SHARE = 0.45
"""A foot higher than this share of its pane leaves the rest too little room."""
ROUNDED_PX = 2
"""Widths of texts are rounded; a line must not be cut for less than this."""
TIGHT = "margin-top:0px; margin-bottom:0px;"
AIRY = "margin-top:0px; margin-bottom:10px; line-height:122%;"
"""How Qt writes a paragraph without air, and how it should be."""
HEAD_LINES = 5
"""What of a box has to be in sight for it to be read as one: its rim, its heading and the first lines."""
BODY = re.compile(r"<body style=[^>]*>")


def make_label(name: str = "", text: str = "", *, markdown: bool = False) -> TextLabel:
    """Make a label that wraps; `name` chooses its style."""
    label = TextLabel(name, markdown=markdown)
    set_text(label, text)
    return label


def set_text(label: TextLabel, text: str) -> None:
    """Set a label's text and hide it when there is none; Markdown gets air between its paragraphs."""
    if label.is_markdown:
        document = QTextDocument()
        document.setMarkdown(text)
        # Its own type would win over the window's, which grows with the window.
        text = BODY.sub("<body>", document.toHtml()).replace(TIGHT, AIRY) if text else ""
    label.setText(text)
    # One that lies nowhere yet is shown with what it is laid in; shown now it would open a window of its own.
    if label.parentWidget() is not None or not text:
        label.setVisible(bool(text))


def make_button(
    text: str,
    pressed: Callable[[], object],
    *,
    name: str = "",
    spoken: str = "",
    sign: str = "",
    checkable: bool = False,
) -> QPushButton:
    """Make a button.

    Args:
        text: what stands on it; may be "" where there is a sign.
        pressed: called on a click.
        name: chooses its style: "main", "link", "pack".
        spoken: its name for screen readers and its tip, where the text alone does not say enough.
        sign: name of a sign drawn on it.
        checkable: whether it stays down.
    """
    button = TextButton(text)
    button.setObjectName(name)
    button.setAccessibleName(spoken or text)
    button.setToolTip(spoken)
    button.setCheckable(checkable)
    if sign:
        set_sign(button, sign)
    button.clicked.connect(lambda _checked=False: pressed())
    return button


def set_style(widget: QWidget, name: str) -> None:
    """Give a widget, and what a style sheet says of things in it, the style of another name."""
    if widget.objectName() == name:
        return
    widget.setObjectName(name)
    for one in (widget, *widget.findChildren(QWidget)):
        one.style().unpolish(one)
        one.style().polish(one)


def make_switch(words: Words, key: str, pressed: Callable[[], object]) -> QPushButton:
    """Make a button that stays down: `key` says what stands on it, `key`-spoken its name for screen readers."""
    return make_button(words.say(key), pressed, spoken=words.say(f"{key}-spoken"), checkable=True)


def make_rule() -> QFrame:
    """Make a thin line between two groups."""
    rule = QFrame()
    rule.setObjectName("rule")
    return rule


def make_choice(buttons: Sequence[QPushButton], parent: QWidget, gap_px: int = 0) -> Flow:
    """Set buttons side by side of which one at a time stays down, in rows where they find no room in one."""
    group = QButtonGroup(parent)
    row = Flow(gap_px, gap_px, fills=True)
    row.setContentsMargins(0, 0, 0, 0)
    for button in buttons:
        button.setCheckable(True)
        group.addButton(button)
        row.addWidget(button)
    return row


def let_up(group: QButtonGroup) -> None:
    """Let none of the buttons be down of which one at a time stays so."""
    group.setExclusive(False)
    for button in group.buttons():
        button.setChecked(False)
    group.setExclusive(True)


def show_widget(scroller: QScrollArea, widget: QWidget) -> None:
    """Scroll to a widget, once all that has changed its size is laid out anew."""
    QCoreApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest)
    scroller.ensureWidgetVisible(widget)


def show_both(scroller: QScrollArea, upper: QWidget, y_px: int, lower: QWidget) -> None:
    """Scroll to a widget, and back up to a line of one above it as far as the head of the lower one stays in sight."""
    show_widget(scroller, lower)
    port, bar = scroller.viewport(), scroller.verticalScrollBar()
    line_px = upper.mapTo(port, QPoint(0, y_px)).y() - GAP_PX
    head_px = lower.mapTo(port, QPoint(0, HEAD_LINES * lower.fontMetrics().height())).y()
    up_px = min(line_px, 0)
    bar.setValue(bar.value() + max(up_px, min(head_px - port.height(), 0)))


def drop_widget(layout: QLayout, widget: QWidget) -> None:
    """Take a widget out of a layout and out of sight, for good."""
    layout.removeWidget(widget)
    widget.hide()
    widget.deleteLater()


class TextLabel(QLabel):
    """A label that wraps, and knows whether its text is Markdown."""

    def __init__(self, name: str, *, markdown: bool) -> None:
        super().__init__()
        self.is_markdown = markdown
        self.setObjectName(name)
        self.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.RichText if markdown else Qt.TextFormat.PlainText)


class ShortLabel(TextLabel):
    """A label of one line that is cut short where there is no room; its text and its tip stay whole."""

    def __init__(self, name: str) -> None:
        super().__init__(name, markdown=False)
        self.setWordWrap(False)

    @property
    def is_cut(self) -> bool:
        """Is there no room for the whole line?"""
        return self.fontMetrics().horizontalAdvance(self.text()) > self.width()

    def event(self, event: QEvent) -> bool:
        """Tell the whole line, and what its tip says besides, where it is cut short."""
        if isinstance(event, QHelpEvent) and self.is_cut:
            told = "\n".join(one for one in (self.text(), self.toolTip()) if one)
            QToolTip.showText(event.globalPos(), told, self)
            return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint as much of the line as there is room for."""
        del event
        painter = QPainter(self)
        painter.setPen(self.palette().windowText().color())
        shown = self.fontMetrics().elidedText(
            self.text(), Qt.TextElideMode.ElideRight, self.width()
        )
        painter.drawText(
            self.rect(), Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, shown
        )
        painter.end()


class Box(QFrame):
    """A framed paragraph with a heading; its name chooses the style: box, cautionBox, rightBox."""

    def __init__(self, name: str, heading: str = "") -> None:
        super().__init__()
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(GAP_PX + 2, GAP_PX, GAP_PX + 2, GAP_PX)
        self.column.setSpacing(GAP_PX // 2)
        self.heading = make_label("heading", heading)
        self.text = make_label(markdown=True)
        self.column.addWidget(self.heading)
        self.column.addWidget(self.text)
        self.setObjectName(name)
        self.hide()

    def tell(self, text: str, *, name: str = "", heading: str | None = None) -> None:
        """Say something in it, or hide it when there is nothing to say."""
        if name:
            set_style(self, name)
        if heading is not None:
            set_text(self.heading, heading)
        set_text(self.text, text)
        self.setVisible(bool(text))
        if self.isVisible():
            speak(self, f"{self.heading.text()}. {text}" if self.heading.text() else text)


class Choice(QComboBox):
    """A list that opens, with a sign that says so; style sheets take the system's own away.

    Names that belong to its lines are kept here, beside Qt. With `least_letters` it asks for room for so many,
    however long its lines are.
    """

    def __init__(self, spoken: str, least_letters: int = 0) -> None:
        super().__init__()
        self.setAccessibleName(spoken)
        self.setItemDelegate(QStyledItemDelegate(self))  # the usual one passes the style sheet by
        if least_letters:
            self.setSizeAdjustPolicy(self.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            self.setMinimumContentsLength(least_letters)
        self.names: list[str] = []

    def fill(self, names: Sequence[str], texts: Sequence[str]) -> None:
        """Fill it anew; the line of the same name stays chosen."""
        chosen = self.name
        self.names = list(names)
        self.clear()
        self.addItems(list(texts))
        self.choose(chosen)

    @property
    def name(self) -> str:
        """The name that belongs to the chosen line; "" for none."""
        row = self.currentIndex()
        return self.names[row] if 0 <= row < len(self.names) else ""

    def choose(self, name: str) -> None:
        """Choose the line of a name, or the first."""
        self.setCurrentIndex(self.names.index(name) if name in self.names else 0)

    def sizeHint(self) -> QSize:
        """Like as much room as the longest line takes, and a little more than Qt counts."""
        hint = super().sizeHint()
        if self.sizeAdjustPolicy() is self.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon:
            return hint
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        option.rect = QRect(QPoint(), hint)
        letters = self.fontMetrics()
        texts = (self.itemText(row) for row in range(self.count()))
        longest = max((letters.horizontalAdvance(text) for text in texts), default=0)
        missing = longest + ROUNDED_PX - self._find_field(option).width()
        return hint + QSize(max(missing, 0), 0)

    def _find_field(self, option: QStyleOptionComboBox) -> QRect:
        """Find where the chosen line is written."""
        part = self.style().SubControl.SC_ComboBoxEditField
        box = QStyle.ComplexControl.CC_ComboBox
        return self.style().subControlRect(box, option, part, self)

    @property
    def is_cut(self) -> bool:
        """Is the chosen line too long for the box?"""
        return self._find_shown().currentText != self.currentText()

    def _find_shown(self) -> QStyleOptionComboBox:
        """Find how the box is drawn: what is too long for it ends in dots."""
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        right, wide_px = Qt.TextElideMode.ElideRight, self._find_field(option).width()
        option.currentText = self.fontMetrics().elidedText(self.currentText(), right, wide_px)
        return option

    def event(self, event: QEvent) -> bool:
        """Tell the whole line where the box cuts it short."""
        if isinstance(event, QHelpEvent) and self.is_cut:
            QToolTip.showText(event.globalPos(), self.currentText(), self)
            return True
        return super().event(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Let the pane scroll: a value is never changed by the way."""
        event.ignore()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the box, and the sign over it."""
        del event
        shown = self._find_shown()
        painter = QStylePainter(self)
        painter.drawComplexControl(QStyle.ComplexControl.CC_ComboBox, shown)
        painter.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, shown)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(PALETTE.ink if self.isEnabled() else PALETTE.idle)
        side = 0.3 * self.fontMetrics().height()
        x, y = self.width() - 3.0 * side, self.height() / 2 - 0.4 * side
        corners = ((x - side, y), (x + side, y), (x, y + side))
        painter.drawPolygon(QPolygonF([QPointF(*corner) for corner in corners]))
        painter.end()


class Pane(QWidget):
    """A column that scrolls when it is taller than the window, over a foot that stays in place."""

    most_foot_share = MOST_FOOT_SHARE

    def __init__(self, spoken: str) -> None:
        super().__init__()
        self.setAccessibleName(spoken)
        self.scroller = QScrollArea()
        self.scroller.setWidgetResizable(True)
        self.scroller.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        inside = QWidget()
        inside.setObjectName("paper")
        self.column = QVBoxLayout(inside)
        self.column.setContentsMargins(MARGIN_PX, MARGIN_PX, MARGIN_PX, MARGIN_PX)
        self.column.setSpacing(GAP_PX)
        self.scroller.setWidget(inside)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.scroller, 1)
        self.foot = QFrame()
        self.foot.setObjectName("foot")
        self.foot_column = QVBoxLayout(self.foot)
        self.foot_column.setContentsMargins(MARGIN_PX, GAP_PX, MARGIN_PX, GAP_PX)
        self.foot_column.setSpacing(GAP_PX)
        self.foot_row = Flow(GAP_PX, GAP_PX // 2, fills=True)
        self.foot_row.setContentsMargins(0, 0, 0, 0)
        self.foot_column.addLayout(self.foot_row)
        whole.addWidget(self.foot)
        self._whole, self._is_foot_inside = whole, False
        self.foot.hide()

    def show_top(self) -> None:
        """Show what is at the top of the column."""
        self.scroller.verticalScrollBar().setValue(0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the foot."""
        super().resizeEvent(event)
        self.fit_foot()

    def fit_foot(self) -> None:
        """Let the foot scroll with the rest where it would leave too little room: in a low window, with large letters."""
        foot_px = self.foot_column.heightForWidth(self.width())
        is_inside = foot_px > self.most_foot_share * self.height()
        if is_inside != self._is_foot_inside:
            self._is_foot_inside = is_inside
            (self._whole if is_inside else self.column).removeWidget(self.foot)
            (self.column if is_inside else self._whole).addWidget(self.foot)
            rim = 0 if is_inside else MARGIN_PX
            self.foot_column.setContentsMargins(rim, GAP_PX, rim, GAP_PX)
