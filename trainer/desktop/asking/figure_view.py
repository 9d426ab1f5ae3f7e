"""The drawing beside a question: a gauge, a damaged part; as wide as the pane, and as large as the screen when asked."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QEvent, QPoint, QRect, QSize, Qt
from PySide6.QtGui import QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import QDialog, QSizePolicy, QVBoxLayout, QWidget

from trainer.desktop.asking.form import Asking
from trainer.desktop.later import do_later
from trainer.desktop.pieces import GAP_PX, make_button
from trainer.desktop.theme import PALETTE
from trainer.lesson.item import Figure
from trainer.stage.look import Look

MOST_HIGH_SHARE = 0.75
"""A drawing is no higher than this share of its width."""
LARGE_SHARE = 0.8
"""How much of the screen it takes when it is looked at closely."""
RIM_PX = 12


def draw_figure(figure: Figure, look: Look) -> QImage:
    """Draw a figure, and cut off what is empty round it; the library that draws takes a while to load."""
    from trainer.stage.item_figure import draw_item_figure

    made = draw_item_figure(figure.drawing, figure.values, ".png", title="", look=look)
    return cut_empty(QImage.fromData(made))


def cut_empty(image: QImage) -> QImage:
    """Cut off all round what is of the colour of the corner, but for a rim."""
    import numpy as np

    picture = image.convertToFormat(QImage.Format.Format_RGB32)
    pixels = np.frombuffer(picture.constBits(), np.uint32).reshape(picture.height(), -1)
    filled = pixels != pixels[0, 0]
    rows, columns = (np.flatnonzero(filled.any(axis=axis)) for axis in (1, 0))
    if not len(rows):
        return image
    top, bottom, left, right = (int(one) for one in (rows[0], rows[-1], columns[0], columns[-1]))
    inside = QRect(left, top, right - left + 1, bottom - top + 1)
    return picture.copy(inside.adjusted(-RIM_PX, -RIM_PX, RIM_PX, RIM_PX) & picture.rect())


def find_paper() -> Look:
    """Find the look a drawing is made in: metal is light, so its lines need dark ink in any look of the window."""
    look = PALETTE.look
    return look if sum(look.ground) > sum(look.ink) else Look()


class Sheet(QWidget):
    """Paint a drawing as large as there is room, on its own paper."""

    def __init__(self, spoken: str, waiting: str = "") -> None:
        super().__init__()
        self.image, self._waiting = QImage(), waiting
        self.setAccessibleName(spoken)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def show_image(self, image: QImage) -> None:
        """Show a drawing."""
        self.image = image
        self.updateGeometry()
        self.update()

    def hasHeightForWidth(self) -> bool:
        """Its height depends on its width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Be as high as the drawing at a width."""
        share = self.image.height() / self.image.width() if self.image.width() else MOST_HIGH_SHARE
        return round(width * min(share, MOST_HIGH_SHARE))

    def sizeHint(self) -> QSize:
        """Ask for little; it takes the width there is."""
        return QSize(200, self.heightForWidth(200))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint it."""
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.fillRect(self.rect(), PALETTE.faint)
        if self.image.isNull():
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, self._waiting)
        else:
            painter.fillRect(self.rect(), self.image.pixelColor(0, 0))
            size = self.image.size().scaled(self.size(), Qt.AspectRatioMode.KeepAspectRatio)
            spot = QRect(QPoint(), size)
            spot.moveCenter(self.rect().center())
            painter.drawImage(spot, self.image)
        painter.end()


class FigureView(QWidget):
    """Show a figure, and offer it larger."""

    def __init__(self, asking: Asking, figure: Figure) -> None:
        super().__init__()
        self._asking, self._figure = asking, figure
        self._look: Look | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP_PX // 2)
        words = asking.words
        self.sheet = Sheet(asking.tell_plain(figure.spoken), words.say("answering.is-drawn"))
        self.larger = make_button(
            words.say("answering.larger"),
            self.show_large,
            spoken=words.say("answering.larger-spoken"),
        )
        column.addWidget(self.sheet)
        column.addWidget(self.larger, 0, Qt.AlignmentFlag.AlignRight)
        self._draw()

    def changeEvent(self, event: QEvent) -> None:
        """Draw it anew in another look."""
        super().changeEvent(event)
        if (
            event.type() == QEvent.Type.StyleChange
            and self._look is not None
            and self._look != find_paper()
        ):
            self._draw()

    def _draw(self) -> None:
        self._look = find_paper()
        do_later(partial(draw_figure, self._figure, self._look), self.sheet.show_image)

    def show_large(self) -> QDialog:
        """Show it as large as the screen lets it; Escape closes it."""
        large = QDialog(self)
        large.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        large.setWindowTitle(self.sheet.accessibleName())
        column = QVBoxLayout(large)
        sheet = Sheet(self.sheet.accessibleName())
        sheet.show_image(self.sheet.image)
        column.addWidget(sheet, 1)
        room = self.screen().availableGeometry().size() * LARGE_SHARE
        large.resize(self.sheet.image.size().scaled(room, Qt.AspectRatioMode.KeepAspectRatio))
        close = make_button(self._asking.words.say("answering.smaller"), large.close)
        column.addWidget(close, 0, Qt.AlignmentFlag.AlignRight)
        large.open()
        return large
