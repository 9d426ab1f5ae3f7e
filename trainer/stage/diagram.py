"""The look of every diagram: off-white ground, ink lines, the house's letters, large enough to read from the back.

A diagram is painted by a function that fills a figure; `draw_figure` gives it the look, the title over a rule
and the caption, and hands back the file's bytes. Colour is never the only sign: lines differ by their dashes
too (`DASHES`), areas by their hatching, and each is named where it stands.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Any

from models.spec.errors import RefusalError, SurroundingsError
from trainer.session.writing import write_whole
from trainer.stage.lettering import wrap
from trainer.stage.look import Colour, Look, find_letters_file, make_letters

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

FORMS = (".png", ".svg", ".pdf")
"""What a diagram can be written as: a picture for screens, lines for a page, a page."""
SIZE_IN = (40.0 / 3.0, 7.5)
"""Inches of a diagram, as wide as a projected screen: 720 pixels high at LOOK_DPI."""
LOOK_DPI = 96.0
PNG_DPI = 192.0
PAD_PX = 26.0
LINE_PX = 2.2
DASHES = ("-", (0, (7, 3)), (0, (2, 2)), (0, (8, 2, 2, 2)))
"""Whole, dashed, dotted, dash and dot: the second sign beside a line's colour."""
POINTS_PER_PX = 72.0 / LOOK_DPI
_WEARING = Lock()


def draw_figure(
    paint: Callable[[Figure], None],
    form: str,
    *,
    title: str,
    caption: str = "",
    look: Look | None = None,
) -> bytes:
    """Draw a diagram and give it as the bytes of a file.

    Args:
        paint: fills the figure; everything it draws takes the house's letters and ink.
        form: ".png", ".svg" or ".pdf", as a file's name ends.
        title: written over a rule at the top; "" leaves both away.
        caption: what to see, below.
        look: colours and sizes.

    Raises:
        RefusalError: a form that is not one of FORMS.
    """
    form = form.lower()
    if form not in FORMS:
        raise RefusalError(
            f"a diagram is not written as {form!r}; name the file {', '.join(FORMS)}"
        )
    look = look or Look()
    with _wear(look):
        from matplotlib.figure import Figure

        figure = Figure(figsize=SIZE_IN, dpi=LOOK_DPI)
        top, foot = _letter(figure, look, title, caption)
        side = PAD_PX / LOOK_DPI / SIZE_IN[0]
        figure.set_layout_engine(
            "constrained", rect=(side, foot, 1.0 - 2.0 * side, top - foot), w_pad=0.15, h_pad=0.1
        )
        paint(figure)
        file = BytesIO()
        # Without a date the same diagram is the same file.
        about = {".png": {"Software": None}, ".svg": {"Date": None}, ".pdf": {"CreationDate": None}}
        figure.savefig(
            file, format=form[1:], dpi=PNG_DPI if form == ".png" else "figure", metadata=about[form]
        )
    return file.getvalue()


def write_figure(
    file: Path, paint: Callable[[Figure], None], title: str, caption: str = ""
) -> None:
    """Draw a diagram into a file, in the form that its name ends with.

    Raises:
        RefusalError: the name ends otherwise. SurroundingsError: it could not be written.
    """
    drawn = draw_figure(paint, file.suffix, title=title, caption=caption)
    try:
        write_whole(drawn, file)
    except OSError as error:
        raise SurroundingsError(f"cannot write {file}: {error.strerror}") from error


def to_ink(colour: Colour) -> tuple[float, float, float]:
    """Turn a colour of the look into one of a diagram."""
    red, green, blue = colour
    return red / 255.0, green / 255.0, blue / 255.0


def mark_required(axes: Axes, low: float, high: float, text: str, look: Look | None = None) -> None:
    """Show what is required along x: a pale band with a firm line at each end, and its name above it."""
    look = look or Look()
    ink = to_ink(look.ink)
    axes.axvspan(low, high, facecolor=to_ink(look.accent), alpha=0.09, zorder=0)
    for end in (low, high):
        axes.axvline(end, color=ink, linewidth=LINE_PX, zorder=4)
    axes.annotate(
        text,
        ((low + high) / 2.0, 1.0),
        (0.0, 6.0),
        xycoords=axes.get_xaxis_transform(),
        textcoords="offset points",
        ha="center",
        va="bottom",
        weight="bold",
    )


@contextmanager
def _wear(look: Look) -> Iterator[None]:
    """Let everything that is drawn meanwhile have the look, whatever somebody's own settings say.

    The library keeps its settings once for all threads: who would draw meanwhile waits.
    """
    import matplotlib as mpl
    from matplotlib import font_manager

    with _WEARING, mpl.rc_context():
        mpl.rcdefaults()
        mpl.rcParams.update(_list_settings(look))
        family = font_manager.FontProperties(fname=find_letters_file(look.letters)).get_name()
        mpl.rcParams["font.family"] = [family]
        yield


def _list_settings(look: Look) -> dict[Any, Any]:
    from cycler import cycler

    ink, ground = to_ink(look.ink), to_ink(look.ground)
    label = look.label_px * POINTS_PER_PX
    settings: dict[Any, Any] = {
        "font.size": label,
        "axes.labelsize": label,
        "xtick.labelsize": label,
        "ytick.labelsize": label,
        "legend.fontsize": label,
        "axes.linewidth": 1.2,
        "lines.linewidth": LINE_PX,
        "axes.prop_cycle": cycler(color=[to_ink(look.accent), to_ink(look.in_the_way), ink]),
        "hatch.linewidth": 0.9,
        "axes.spines.top": False,
        "axes.spines.right": False,
        "legend.frameon": False,
        "figure.facecolor": ground,
        "savefig.facecolor": ground,
        "axes.facecolor": ground,
        "svg.hashsalt": "pumpwright",
    }
    inked = ("text.color", "axes.edgecolor", "axes.labelcolor", "xtick.color", "ytick.color")
    return settings | dict.fromkeys(inked, ink)


def _letter(figure: Figure, look: Look, title: str, caption: str) -> tuple[float, float]:
    """Write title, rule and caption; give the room left between them as shares of the height."""
    wide_px, high_px = (inches * LOOK_DPI for inches in SIZE_IN)
    ink = to_ink(look.ink)
    from_top = PAD_PX
    for line in wrap(title, make_letters(look.heavy_letters, look.title_px), wide_px - 2 * PAD_PX):
        at = (PAD_PX / wide_px, 1.0 - from_top / high_px)
        points = look.title_px * POINTS_PER_PX
        figure.text(*at, line, ha="left", va="top", weight="bold", size=points)
        from_top += look.title_px * 1.22
    from_top += 6.0
    if title:
        from matplotlib.lines import Line2D

        rule = 1.0 - from_top / high_px
        ends = [PAD_PX / wide_px, 1.0 - PAD_PX / wide_px]
        figure.add_artist(Line2D(ends, [rule, rule], color=ink, linewidth=1.5 * POINTS_PER_PX))
    lines = wrap(caption, make_letters(look.letters, look.caption_px), wide_px - 2 * PAD_PX)
    step = look.caption_px * 1.3
    from_foot = PAD_PX + step * len(lines)
    for index, line in enumerate(lines):
        at = (PAD_PX / wide_px, (from_foot - step * index) / high_px)
        figure.text(*at, line, ha="left", va="top", size=look.caption_px * POINTS_PER_PX)
    return 1.0 - (from_top + 14.0) / high_px, (from_foot + 10.0) / high_px
