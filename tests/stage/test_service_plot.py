"""Diagrams of consequences: one panel each, with band and mark; a form that is none is refused."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from models.spec.errors import RefusalError
from trainer.stage.service_plot import Panel, PlotLine, draw_service

PANEL = Panel(
    "gap, mm",
    "thrust, N",
    (PlotLine("as built", (0.0, 1.0), (-100.0, 900.0)), PlotLine("plain", (0.0, 1.0), (2e4, 2e4))),
    (0.4, 0.8),
    "allowed",
    (0.5, 400.0),
    "as set: 400 N",
)


def test_each_panel_is_drawn_and_a_changed_one_looks_otherwise(tmp_path: Path) -> None:
    one, other = tmp_path / "one.png", tmp_path / "other.png"
    draw_service(one, "title", "caption", [PANEL, PANEL])
    draw_service(other, "title", "caption", [PANEL, replace(PANEL, band=(0.2, 0.3))])
    with Image.open(one) as drawn:
        assert drawn.size == (2560, 1440)
    assert one.read_bytes() != other.read_bytes()


def test_letters_stay_letters_in_lines(tmp_path: Path) -> None:
    file = tmp_path / "one.svg"
    draw_service(file, "title", "caption", [PANEL])
    assert file.read_text(encoding="utf-8").startswith("<?xml")


def test_another_form_is_refused(tmp_path: Path) -> None:
    with pytest.raises(RefusalError, match="is not written as"):
        draw_service(tmp_path / "one.gif", "title", "caption", [PANEL])
