"""Names over the picture stay inside it, off each other and off what they point at."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QImage, QPainter, QPixmap
from PySide6.QtWidgets import QApplication

from trainer.desktop.picture.overlay import NameTag, find_inner_spot, paint_tags

AREA = QRectF(0, 0, 800, 400)


@pytest.mark.parametrize(
    "spots",
    [
        [(400, 200), (405, 205), (410, 195), (395, 210)],
        [(10, 10), (790, 10), (10, 390), (790, 390)],
        [(400, 5), (400, 395)],
    ],
)
def test_names_do_not_cover_each_other_or_leave_the_picture(
    qapp: QApplication, spots: list[tuple[float, float]]
) -> None:
    assert qapp is not None
    pixmap = QPixmap(800, 400)
    painter = QPainter(pixmap)
    tags = {str(n): NameTag(f"drive-end lip seal {n}", n % 2 == 0) for n in range(len(spots))}
    at = {str(n): QPointF(*spot) for n, spot in enumerate(spots)}
    frames = paint_tags(painter, at, tags, AREA)
    painter.end()
    assert len(frames) == len(spots)
    for n, frame in enumerate(frames):
        assert AREA.contains(frame)
        assert not frame.contains(at[str(n)])
        assert not any(frame.intersects(other) for other in frames[:n])


def test_leaders_cross_no_leader_and_no_name_where_there_is_room(qapp: QApplication) -> None:
    assert qapp is not None
    image = QImage(800, 400, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    at = {
        "back plate": QPointF(372, 208),
        "bracket": QPointF(412, 213),
        "volute": QPointF(341, 341),
    }
    frames = paint_tags(painter, at, {name: NameTag(name) for name in at}, AREA)
    painter.end()
    lines = [QLineF(spot, frame.center()) for spot, frame in zip(at.values(), frames, strict=True)]
    for n, line in enumerate(lines):
        for other in lines[:n]:
            assert line.intersects(other)[0] != QLineF.IntersectionType.BoundedIntersection


def test_inner_spot_lies_on_the_patch_and_off_its_rim() -> None:
    seen = np.zeros((60, 80), dtype=np.bool_)
    seen[10:50, 10:70] = True
    seen[15:45, 20:60] = False  # a frame: its middle is not on it
    spot = find_inner_spot(seen)
    assert spot is not None
    across, down = spot
    assert seen[down, across]
    assert seen[down - 1 : down + 2, across - 1 : across + 2].all()
    assert find_inner_spot(np.zeros((5, 5), dtype=np.bool_)) is None
