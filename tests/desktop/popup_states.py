"""States of the window in which something stands open over it: lists, menus, a drawing looked at closely, a file asked for."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QPixmap
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QPushButton, QToolTip, QWidget

from tests.desktop.driving import wait_until
from tests.desktop.question_states import ask
from trainer.desktop.doing.withholding import Way
from trainer.desktop.pieces import Choice, show_widget
from trainer.desktop.window import PumpWindow
from trainer.lesson.kinds import QuestionKind

State = Callable[[PumpWindow], None]
SETTLED_MS = 400
MANY = 9


def find_seen(parent: QWidget) -> list[Choice]:
    """Find the choices in something that are seen."""
    return [one for one in parent.findChildren(Choice) if one.isVisible()]


def open_choice(parent: QWidget, row: int = 0) -> None:
    """Open the list of the first choice that is seen in something."""
    wait_until(lambda: bool(find_seen(parent)))
    choice = find_seen(parent)[0]
    choice.setFocus()
    choice.showPopup()
    choice.view().setCurrentIndex(choice.model().index(row, 0))


def _open_pace(window: PumpWindow) -> None:
    window.show_pane("lesson")
    open_choice(window.motion, 1)


def _open_values(window: PumpWindow) -> None:
    window.show_pane("build")
    window.builds.choose("drive-end", "bell-housing")
    barred = next(one for one in find_seen(window.builds) if getattr(one, "reasons", None))
    show_widget(window.builds.scroller, barred)
    barred.showPopup()


def _open_pairs(window: PumpWindow) -> None:
    ask(window, QuestionKind.MATCH)
    open_choice(window.practising.pane, 1)


def _open_sizes(window: PumpWindow) -> None:
    window.showing.saving.show_sizes()


def _open_piece(window: PumpWindow) -> None:
    at = window.view.find_middle("cover-nut-1").toPoint()
    menu = window.withholding.make_menu("cover-nut-1")
    menu.popup(window.view.mapToGlobal(at))
    menu.setActiveAction(menu.actions()[2])


def find_menus(window: PumpWindow) -> list[QPushButton]:
    """Find the buttons that open a menu."""
    buttons = window.findChildren(QPushButton)
    return [one for one in buttons if one.isVisible() and one.menu() is not None]


def _open_rest(window: PumpWindow) -> None:
    """Open the list of what is out of sight besides what has found room in the row above the picture."""
    assert window.bench is not None
    for name in list(window.bench.build.places)[:MANY]:
        window.withholding.change(Way.AWAY, window.bench.find_pieces(name))
    wait_until(lambda: bool(find_menus(window)))
    more = find_menus(window)[0]
    more.menu().popup(more.mapToGlobal(more.rect().bottomLeft()))


def complete_name(window: PumpWindow, stand: State) -> None:
    """Let a name be completed; somebody's assembly is put on the bench for it."""
    stand(window)
    joints = window.guessing.pane.joints
    joints.add.click()
    show_widget(window.guessing.pane.scroller, joints.apply)
    joints.first.setFocus()
    QTest.qWait(50)
    names = joints.first.completer()
    names.setCompletionPrefix("o")
    names.complete()


def _open_tip(window: PumpWindow) -> None:
    button = next(one for one in window.findChildren(QPushButton) if one.isVisible() and one.toolTip())  # fmt: skip
    QToolTip.showText(button.mapToGlobal(QPoint(10, 40)), button.toolTip(), button)


def _look_closely(window: PumpWindow) -> None:
    ask(window, QuestionKind.READ_GAUGE)
    figure = window.practising.pane.question.figure
    assert figure is not None
    wait_until(lambda: not figure.sheet.image.isNull())
    figure.show_large()


def grab_screen(window: PumpWindow) -> QPixmap:
    """Grab the window with what stands over it, as the screen shows it."""
    QTest.qWait(SETTLED_MS)
    place = window.frameGeometry()
    for one in (QApplication.activePopupWidget(), QApplication.activeModalWidget()):
        place = place.united(one.frameGeometry()) if one is not None else place
    return window.screen().grabWindow(0, place.x(), place.y(), place.width(), place.height())


def _ask_file(window: PumpWindow) -> None:
    """Ask where to, as the window does where the system has no dialog of its own."""
    words = window.words
    dialog = QFileDialog(
        window, words.say("look.save"), str(Path.home()), words.say("look.save-kind")
    )
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.selectFile("pump.png")
    dialog.open()


def close_all() -> None:
    """Close whatever stands open."""
    QToolTip.hideText()
    while (popup := QApplication.activePopupWidget()) is not None:
        popup.close()
    while (modal := QApplication.activeModalWidget()) is not None:
        modal.close()
    QTest.qWait(50)


POPUPS: dict[str, State] = {
    "open-pace": _open_pace,
    "open-values": _open_values,
    "open-pairs": _open_pairs,
    "open-sizes": _open_sizes,
    "open-piece": _open_piece,
    "open-rest": _open_rest,
    "open-tip": _open_tip,
    "open-file": _ask_file,
    "open-drawing": _look_closely,
}
