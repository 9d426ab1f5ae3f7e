"""Make the tour: pictures, lists and sample answers of the demonstration pump, in one folder."""

from __future__ import annotations

import io
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from rich.console import Console

from models.spec.mesh import Mesh
from trainer.console import orders, show
from trainer.console.drawing import draw_bench, write_picture
from trainer.console.progress import make_progress
from trainer.console.shims import show_shims
from trainer.console.writing import write_text
from trainer.core.measure.rests import MeasuredGap
from trainer.core.order.directions import Direction
from trainer.session.bench import Bench, open_bench
from trainer.session.ordering import mark_whole_order
from trainer.session.shims import answer_shims
from trainer.session.typed import DEPOT_DRAWER, read_stock
from trainer.words import Words
from trainer.words.telling import tell_part, tell_pieces

if TYPE_CHECKING:
    from PIL import Image

TOUR_BUILD = "end-suction/100-250"
PICTURE_PX = (1600, 900)
CELL_PX = (800, 500)
COLUMNS = 4
FOUND_GAP_MM = 0.70
"""The gap that the demonstration shim answer starts from: invented."""
DRAWN_MM = 160.0
"""How far along its way a part is drawn in the teardown sheet at most."""
TEXT_WIDTH = 110
UNLABELLED = frozenset(
    {"o-ring", "key", "plug", "hex-screw", "lock-washer", "tab-washer", "seal-ring"}
)
"""Kinds of part that get no label on the half section."""


def make_tour(words: Words, folder: Path) -> list[Path]:
    """Fill the folder and print what lies where.

    Raises:
        SurroundingsError: the folder cannot be written.
    """
    bench = open_bench(TOUR_BUILD, progress=make_progress(words))
    makers: dict[str, Callable[[Path], None]] = {
        "assembled.png": lambda path: _write_still(words, bench, path, "assembled"),
        "half-section.png": lambda path: _write_still(words, bench, path, "section"),
        "exploded.png": lambda path: _write_still(words, bench, path, "exploded"),
        "teardown.png": lambda path: write_picture(words, _draw_sheet(words, bench), path),
        "parts.txt": lambda path: _write_text(
            words, path, lambda out: show.show_parts(words, bench.build, out)
        ),
        "order.txt": lambda path: _write_text(
            words, path, lambda out: _show_sample_order(words, bench, out)
        ),
        "shims.txt": lambda path: _write_text(
            words, path, lambda out: _show_sample_shims(words, bench, out)
        ),
    }
    told = ("assembled", "section", "exploded", "sheet", "parts", "order", "shims")
    made = []
    for name, make in makers.items():
        sys.stderr.write(words.say("tour.drawing", file=name) + "\n")
        make(folder / name)
        made.append(folder / name)
    sys.stdout.write(
        words.say("tour.done", build=bench.build.name, folder=str(folder.resolve())) + "\n"
    )
    for path, key in zip(made, told, strict=True):
        sys.stdout.write(f"  {path.name:18} {words.say(f'tour.file-{key}')}\n")
    return made


def _write_still(words: Words, bench: Bench, path: Path, kind: str) -> None:
    apart = 1.0 if kind == "exploded" else 0.0
    camera = "side" if kind == "section" else ""
    title = words.say(f"tour.title-{kind}", size=bench.build.size.size)
    caption = words.say("tour.caption")
    image = draw_bench(
        bench,
        apart,
        section=kind == "section",
        labels=_find_labels(words, bench) if kind == "section" else None,
        camera=camera,
        size=PICTURE_PX,
        title=title,
        caption=caption,
    )
    write_picture(words, image, path)


def _find_labels(words: Words, bench: Bench) -> dict[str, str]:
    """Name the parts that a half section cuts; what is standard or repeated would only crowd it."""
    return {
        names[0]: tell_part(words, place)
        for place, names in bench.build.places.items()
        if len(names) == 1
        and bench.build.pieces[names[0]].part.kind not in UNLABELLED
        and _is_cut(bench.assembly.by_name[names[0]].mesh)
    }


def _is_cut(mesh: Mesh) -> bool:
    """Say whether a part lies on both sides of the upright plane through the shaft."""
    low, high = mesh.bounds
    return bool(low[1] < 0.0 < high[1])


def _draw_sheet(words: Words, bench: Bench) -> Image.Image:
    """Draw each step of the teardown: what is still together, and the part that leaves part of its way out."""
    from trainer.core.order.state import State
    from trainer.stage.picture import draw_picture
    from trainer.stage.scene import Finish, Stage
    from trainer.stage.sheet import draw_contact_sheet

    stage = Stage(bench.assembly)
    state = State(bench.assembly, bench.blocking)
    cells = []
    for moves, step in zip(bench.layout.steps, bench.order.steps, strict=True):
        lot = state.lot_of(step.pieces[0])
        offsets = {
            name: move.shift * _part_way(move.shift) for move in moves for name in move.along
        }
        # what is stripped at the bench is seen from the end at which it leaves
        at_bench = len(lot) < len(bench.assembly.pieces) / 2
        from_drive = at_bench and step.direction is Direction.DRIVE
        image = draw_picture(
            bench.assembly,
            size=CELL_PX,
            camera="iso-drive" if from_drive else "iso",
            offsets=offsets,
            lit=frozenset(step.pieces),
            hidden=frozenset(bench.assembly.by_name) - lot,
            stage=stage,
            finish=Finish.REST,
        )
        cells.append((image, tell_pieces(words, bench.build, step.pieces)))
        for piece in step.pieces:
            state.take(piece)
    return draw_contact_sheet(
        cells, columns=COLUMNS, title=words.say("tour.title-sheet", build=bench.build.name)
    )


def _part_way(shift: npt.NDArray[np.float64]) -> float:
    """Give the share of its way at which a part is drawn: far enough to be seen as leaving, near enough to fit."""
    far = float(np.abs(shift).max())
    return min(1.0, DRAWN_MM / far) if far else 0.0


def _write_text(words: Words, path: Path, fill: Callable[[Console], None]) -> None:
    text = io.StringIO()
    fill(Console(file=text, width=TEXT_WIDTH, highlight=False, color_system=None))
    write_text(words, text.getvalue(), path)


def _show_sample_order(words: Words, bench: Bench, out: Console) -> None:
    """Show the order, then one with two slips: the impeller before the cover, the volute before the bracket's nuts."""
    orders.show_order(words, bench, out)
    lines = [step.part for step in bench.order.steps]
    for early, late in (("impeller", "suction-cover"), ("back-plate", "bracket-nut")):
        lines.remove(early)
        lines.insert(lines.index(late), early)
    out.print()
    out.print(words.say("tour.sample-order"), style="bold")
    orders.show_marked(words, bench.build, mark_whole_order(bench, lines), out)


def _show_sample_shims(words: Words, bench: Bench, out: Console) -> None:
    pack = tuple(float(shim.nominal) for shim in bench.build.pack)
    told = " + ".join(words.number(shim) for shim in pack) + " mm"
    out.print(words.say("tour.sample-gap", gap=words.millimetres(FOUND_GAP_MM), pack=told))
    answer = answer_shims(
        bench, "back-vane", read_stock(DEPOT_DRAWER), MeasuredGap(FOUND_GAP_MM, pack)
    )
    show_shims(words, answer, out)
