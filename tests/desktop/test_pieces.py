"""Small pieces of the panes, each by itself."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from trainer.desktop.completing import NameCompleter
from trainer.desktop.pieces import Choice, make_button, set_style


@pytest.mark.parametrize("letters_px", [17, 23, 26, 27, 34, 43])
def test_a_choice_likes_room_for_its_longest_line(qtbot: QtBot, letters_px: int) -> None:
    choice = Choice("pace")
    qtbot.addWidget(choice)
    choice.fill(["slow", "usual"], ["Slow pace", "Usual pace"])
    for style in ("", "QComboBox {{ border: 1px solid; padding: 7px 9px; }}"):
        choice.setStyleSheet(f"{style.format()} QWidget {{ font-size: {letters_px}px; }}")
        choice.resize(choice.sizeHint())
        choice.choose("usual")
        assert not choice.is_cut, style


def test_names_are_completed_in_the_look_of_the_field_as_it_is_now(qtbot: QtBot) -> None:
    page = QWidget()
    qtbot.addWidget(page)
    field = QLineEdit(page)
    completer = NameCompleter(["cover nut", "volute"], field)
    field.setCompleter(completer)
    page.show()
    popup = completer.popup()
    assert popup is not None
    for sheet in ("QListView { color: #102030; }", "QListView { color: #a0b0c0; }"):
        page.setStyleSheet(sheet)
        completer.setCompletionPrefix("nut")
        completer.complete()
        assert popup.isVisible()
        assert popup.styleSheet() == sheet
        assert field.styleSheet() == "", "the field has its look from where it lies"
        assert completer.currentCompletion() == "cover nut"
        popup.hide()


def test_a_style_is_given_to_a_widget_and_taken_again(qtbot: QtBot) -> None:
    button = make_button("Mark it", lambda: None, name="main")
    qtbot.addWidget(button)
    button.setStyleSheet("QPushButton { color: #000000; } QPushButton#main { color: #ff0000; }")
    button.show()
    for name, red in (("", 0), ("main", 255)):
        set_style(button, name)
        assert button.palette().buttonText().color().red() == red
