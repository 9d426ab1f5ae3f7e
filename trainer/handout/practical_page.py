"""Set the rubric of an observed practical on A4 as a PDF, to be marked by hand and signed by both."""

from __future__ import annotations

import json
import tempfile
from pathlib import Path
from typing import Any

from trainer.lesson.practical import Level, Rubric
from trainer.stage.look import find_letters_file
from trainer.words import Words
from trainer.words.speech import begin
from trainer.words.telling import tell_pump

TEMPLATE = Path(__file__).with_name("practical.typ")
LETTERS = "DejaVuSans.ttf"
BLANKS = ("person", "observer", "pump", "date")
COLUMNS = ("line", *Level, "remark")
SIGNED = ("person", "observer", "verdict")


def tell_practical(words: Words, rubric: Rubric, build: str) -> dict[str, Any]:
    """Put a rubric into words, as plain values for the page."""
    return {
        "language": words.language,
        "heading": words.say("practical.heading"),
        "title": words.say(
            "practical.title",
            what=begin(words.say(f"procedure.{rubric.name}")),
            pump=tell_pump(words, build),
        ),
        "rule": words.say("practical.rule", share=words.number(100.0 * rubric.pass_at, 0)),
        "critical": words.say("practical.critical"),
        "blanks": [words.say(f"practical.{name}") for name in BLANKS],
        "columns": [words.say(f"practical.{name}") for name in COLUMNS],
        "signatures": [words.say(f"practical.sign-{name}") for name in SIGNED],
        "safety": words.say("caution.procedure"),
        "lines": [
            {
                "text": words.say("practical.never", step=words.say(f"step.{line.name}"))
                if line.is_never
                else words.say(f"step.{line.name}"),
                "critical": line.is_critical,
            }
            for line in rubric.lines
        ],
    }


def make_practical_pdf(told: dict[str, Any]) -> bytes:
    """Make the PDF of a rubric."""
    (pdf,) = _set(told, is_picture=False)
    return pdf


def make_practical_pages(told: dict[str, Any], ppi: int = 110) -> list[bytes]:
    """Make each of its pages as a PNG, to be looked at on a screen."""
    return _set(told, is_picture=True, ppi=ppi)


def _set(told: dict[str, Any], *, is_picture: bool, ppi: int = 144) -> list[bytes]:
    import typst

    with tempfile.TemporaryDirectory(prefix="pumpwright-") as name:
        folder = Path(name)
        (folder / "data.json").write_text(json.dumps(told), encoding="utf-8")
        (folder / "page.typ").write_bytes(TEMPLATE.read_bytes())
        made: Any = typst.compile(
            str(folder / "page.typ"), root=str(folder), format="png" if is_picture else "pdf", ppi=float(ppi),
            font_paths=[str(find_letters_file(LETTERS).parent)], ignore_system_fonts=True,
        )  # fmt: skip
    # One page of PNG comes by itself, several as a list.
    return [bytes(page) for page in (made if isinstance(made, list) else [made])]
