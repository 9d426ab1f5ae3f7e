"""Diagrams: every form opens, the same diagram is the same file, the house's letters are large enough to read."""

from __future__ import annotations

import io
from pathlib import Path
from threading import Thread

import matplotlib as mpl
import pytest
from matplotlib.figure import Figure
from PIL import Image

from models.spec.errors import RefusalError, SurroundingsError
from trainer.stage.diagram import FORMS, draw_figure, mark_required, write_figure

BEGINNINGS = {".png": b"\x89PNG", ".svg": b"<?xml", ".pdf": b"%PDF"}


def paint(figure: Figure) -> None:
    axes = figure.subplots()
    axes.plot([0.0, 1.0], [0.0, 2.0])
    mark_required(axes, 0.2, 0.8, "required")


@pytest.mark.parametrize("form", FORMS)
def test_each_form_is_written_and_twice_the_same(form: str) -> None:
    drawn = draw_figure(paint, form, title="Gap", caption="What to see")
    assert drawn.startswith(BEGINNINGS[form])
    assert drawn == draw_figure(paint, form, title="Gap", caption="What to see")


def test_what_is_painted_shows_on_the_ground_of_the_house() -> None:
    picture = Image.open(io.BytesIO(draw_figure(paint, ".png", title="Gap")))
    assert picture.size == (2560, 1440)
    assert picture.convert("RGB").getpixel((5, 5)) == (246, 244, 238)
    empty = draw_figure(lambda _: None, ".png", title="Gap")
    assert empty != draw_figure(paint, ".png", title="Gap")


def test_letters_are_the_house_s_whatever_somebody_s_settings_say() -> None:
    sizes: list[float] = []

    def ask(figure: Figure) -> None:
        paint(figure)
        sizes.extend(
            float(text.get_fontsize()) for text in figure.findobj(mpl.text.Text) if text.get_text()
        )

    with mpl.rc_context({"font.size": 4.0, "axes.facecolor": "red"}):
        drawn = draw_figure(ask, ".svg", title="Gap")
        assert mpl.rcParams["font.size"] == 4.0  # and they are left as they were
    assert drawn == draw_figure(ask, ".svg", title="Gap")
    assert min(sizes) >= 15.0  # 20 px of a picture 720 px high


def test_two_threads_draw_one_after_the_other_each_in_its_own_look() -> None:
    """The library keeps its settings once for all threads; the window draws beside its own thread."""
    done: list[str] = []

    def draw_second() -> None:
        draw_figure(lambda _: done.append("second"), ".svg", title="")

    def paint_first(_: Figure) -> None:
        other.start()
        other.join(0.3)  # time enough to paint, if it may
        done.append("first")

    other = Thread(target=draw_second)
    draw_figure(paint_first, ".svg", title="")
    other.join()
    assert done == ["first", "second"]


def test_another_form_and_a_folder_that_cannot_be_are_refused(tmp_path: Path) -> None:
    with pytest.raises(RefusalError, match=r"\.png, \.svg, \.pdf"):
        draw_figure(paint, ".gif", title="Gap")
    (tmp_path / "file").touch()
    with pytest.raises(SurroundingsError, match="cannot write"):
        write_figure(tmp_path / "file" / "gap.png", paint, "Gap")
