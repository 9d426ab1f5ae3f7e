"""Small pieces the panes are made of: labels, buttons, rules, each with a name for screen readers."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QTextDocument
from PySide6.QtWidgets import QFrame, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from trainer.desktop.theme import BODY_PX

MARGIN_PX = 18
GAP_PX = 12
MARKDOWN = "markdown"
TIGHT = "margin-top:0px; margin-bottom:0px;"
AIRY = "margin-top:0px; margin-bottom:9px;"
"""How Qt writes a paragraph without air, and how it should be."""


def make_label(name: str = "", text: str = "", *, markdown: bool = False) -> QLabel:
    """Make a label that wraps; `name` chooses its style."""
    label = QLabel()
    label.setObjectName(name)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.RichText if markdown else Qt.TextFormat.PlainText)
    label.setProperty(MARKDOWN, markdown)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    if text:
        set_text(label, text)
    return label


def make_button(
    text: str,
    pressed: Callable[[], object],
    *,
    main: bool = False,
    spoken: str = "",
    checkable: bool = False,
) -> QPushButton:
    """Make a button; `spoken` is its name for screen readers where the text is only a sign."""
    button = QPushButton(text)
    button.setAccessibleName(spoken or text)
    button.setToolTip(spoken)
    button.setCheckable(checkable)
    if main:
        button.setObjectName("main")
    button.clicked.connect(lambda _checked=False: pressed())
    return button


def make_rule() -> QFrame:
    """Make a thin line between two groups."""
    rule = QFrame()
    rule.setObjectName("rule")
    return rule


def set_text(label: QLabel, text: str) -> None:
    """Set a label's text and hide it when there is none; Markdown gets air between its paragraphs."""
    if label.property(MARKDOWN):
        document = QTextDocument()
        font = label.font()
        font.setPixelSize(BODY_PX)
        document.setDefaultFont(font)
        document.setMarkdown(text)
        text = document.toHtml().replace(TIGHT, AIRY) if text else ""
    label.setText(text)
    label.setVisible(bool(text))


class Pane(QScrollArea):
    """A column that scrolls when it is taller than the window."""

    def __init__(self, spoken: str) -> None:
        super().__init__()
        self.setAccessibleName(spoken)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        inside = QWidget()
        self.column = QVBoxLayout(inside)
        self.column.setContentsMargins(MARGIN_PX, MARGIN_PX, MARGIN_PX, MARGIN_PX)
        self.column.setSpacing(GAP_PX)
        self.setWidget(inside)
