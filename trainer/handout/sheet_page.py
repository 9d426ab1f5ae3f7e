"""Set the bench sheet on A4 as a PDF: own letters, nothing fetched, texts handed over as data."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable
from dataclasses import asdict, replace
from pathlib import Path
from typing import TYPE_CHECKING

from models.spec.errors import PumpwrightError
from trainer.handout.sheet_texts import tell_sheet
from trainer.handout.told_sheet import ToldSheet
from trainer.records import FiledSheet, Json
from trainer.session.bench import open_bench
from trainer.session.sheet import BenchSheet, read_sheet
from trainer.session.sheet_plan import SET_BY_SHIMS
from trainer.session.typed import make_pack
from trainer.session.writing import write_whole
from trainer.stage.look import find_letters_file
from trainer.words import Words, load_words

if TYPE_CHECKING:
    from PIL.Image import Image

TEMPLATE = Path(__file__).with_name("bench-sheet.typ")
LETTERS = "DejaVuSans.ttf"
DRAWING_PX = (1800, 1010)


def draw_sheet_chain(
    words: Words, sheet: BenchSheet, progress: Callable[[str, int, int], None] | None = None
) -> Image | None:
    """Draw how the gap comes about that the pack sets, with the pack that was fitted; None where shims set none.

    Raises:
        SurroundingsError: this machine cannot draw.
    """
    line = next((one for one in sheet.lines if one.name == SET_BY_SHIMS), None)
    if line is None:
        return None
    from trainer.stage.chain_drawing import draw_chain
    from trainer.stage.told_chain import make_chain_drawing

    pack = make_pack(sheet.pack.fitted_mm) if sheet.pack.fitted_mm else None
    bench = open_bench(sheet.build, sheet.options, pack=pack, progress=progress)
    drawn_mm = bench.clearance(SET_BY_SHIMS).value_mm
    drawing = make_chain_drawing(words, bench, SET_BY_SHIMS)
    told = {"drawn": words.millimetres(drawn_mm)}
    key = "drawn"
    if line.left and sheet.pack.fitted_mm:
        key = "left"
        told["left"] = words.millimetres(line.left.counts_mm)
        told["off"] = words.millimetres(abs(line.left.counts_mm - drawn_mm))
    drawing = replace(
        drawing,
        title="",
        gap_text=words.say(f"sheet.chain-gap-{key}", **told),
        caption=words.say(f"sheet.chain-caption-{key}", **told),
    )
    return draw_chain(bench.assembly, drawing, size=DRAWING_PX)


def make_sheet_pdf(told: ToldSheet, words: Words, picture: Image | None = None) -> bytes:
    """Make the PDF of a sheet, with the drawing of its chain where one is given."""
    return _set(told, words, picture, is_picture=False)[0]


def make_sheet_pages(
    told: ToldSheet, words: Words, picture: Image | None = None, ppi: int = 110
) -> list[bytes]:
    """Make each page of a sheet as a PNG, to be looked at on a screen."""
    return _set(told, words, picture, is_picture=True, ppi=ppi)


def write_sheet_pdf(
    content: Json, filed: FiledSheet | None, path: Path, language: str, *, drawing: bool
) -> str:
    """Write a sheet's PDF from the plain values it is filed as; what went wrong comes back as a text, "" for nothing.

    All arguments are plain, so that a process of its own can do it: solids and letters take seconds.
    """
    words = load_words(language)
    sheet = read_sheet(content)
    try:
        picture = draw_sheet_chain(words, sheet) if drawing else None
        write_whole(make_sheet_pdf(tell_sheet(words, sheet, filed), words, picture), path)
    except (PumpwrightError, OSError) as error:
        return str(error)
    return ""


def _set(
    told: ToldSheet, words: Words, picture: Image | None, *, is_picture: bool, ppi: int = 144
) -> list[bytes]:
    import typst

    if picture is not None:
        told = replace(told, drawing_title=words.say("sheet.chain-title"))
    data = asdict(told) | {
        "page": words.say("sheet.foot-page", page="{page}", pages="{pages}"),
        "language": words.language,
        "author": told.signatures[0][1],
    }
    with tempfile.TemporaryDirectory(prefix="pumpwright-") as name:
        folder = Path(name)
        (folder / "data.json").write_text(json.dumps(data), encoding="utf-8")
        (folder / "sheet.typ").write_bytes(TEMPLATE.read_bytes())
        if picture is not None:
            picture.save(folder / "chain.png")
        made: object = typst.compile(
            str(folder / "sheet.typ"),
            root=str(folder),
            format="png" if is_picture else "pdf",
            ppi=float(ppi),
            font_paths=[str(find_letters_file(LETTERS).parent)],
            ignore_system_fonts=True,
        )
    # One page of PNG comes by itself, several as a list.
    return [bytes(page) for page in made] if isinstance(made, list) else [_check_bytes(made)]


def _check_bytes(made: object) -> bytes:
    if not isinstance(made, bytes):
        raise TypeError(f"the compiler gave {type(made).__name__}, not bytes")
    return made
