"""Set an observed practical on A4 as a PDF: its rubric to be marked by hand, or one that was held, as it is on file."""

from __future__ import annotations

import json
import tempfile
from pathlib import Path
from typing import Any

from trainer.handout.sheet_foot import split_hash
from trainer.lesson.practical import MARKS, Level, Rubric, RubricLine
from trainer.records import FiledSignOff, SignOff
from trainer.session.observing import judge_signed
from trainer.stage.look import find_letters_file
from trainer.words import Words
from trainer.words.speech import begin
from trainer.words.telling import tell_pump
from trainer.words.telling_practical import list_reasons, tell_critical, tell_line, tell_outcome

TEMPLATE = Path(__file__).with_name("practical.typ")
LETTERS = "DejaVuSans.ttf"
BLANKS = ("person", "observer", "pump", "date")
COLUMNS = ("line", *Level, "remark")
SIGNED = ("person", "observer", "verdict")
UNMARKED = ("", "")
"""No level, no remark."""


def tell_practical(
    words: Words, rubric: Rubric, build: str, filed: FiledSignOff | None = None
) -> dict[str, Any]:
    """Put a rubric into words, as plain values for the page; with a filed sign-off also how it went."""
    signed = filed.sign_off if filed else None
    marked = (
        {one.line: (_find_level(one.mark), one.remark) for one in signed.lines} if signed else {}
    )
    return {
        "language": words.language,
        "heading": words.say("practical.heading"),
        "title": words.say(
            "practical.title",
            what=begin(words.say(f"procedure.{rubric.name}")),
            pump=tell_pump(words, build),
        ),
        "rule": words.say("practical.rule", share=words.number(100.0 * rubric.pass_at, 0)),
        "never": words.say("practical.rule-never"),
        "blanks": [words.say(f"practical.{name}") for name in BLANKS],
        "filled": _tell_head(words, signed),
        "columns": [words.say(f"practical.{name}") for name in COLUMNS],
        "signatures": [words.say(f"practical.sign-{name}") for name in SIGNED],
        "signed": _tell_signatures(words, signed),
        "reasons": _tell_reasons(words, rubric, signed),
        "remark": signed.remark if signed else "",
        "filing": words.say("practical.on-file", number=filed.number, hash=split_hash(filed.hash))
        if filed
        else "",
        "safety": words.say("caution.procedure"),
        "levels": [str(level) for level in Level],
        "lines": [
            _tell_line(words, line, *marked.get(line.name, UNMARKED)) for line in rubric.lines
        ],
    }


def _tell_line(words: Words, line: RubricLine, level: str, remark: str) -> dict[str, Any]:
    return {
        "text": tell_line(words, line),
        "critical": tell_critical(words, line),
        "never": line.is_never,
        "level": level,
        "remark": remark,
    }


def _tell_head(words: Words, signed: SignOff | None) -> list[str]:
    if signed is None:
        return [""] * len(BLANKS)
    day = f"{signed.when.astimezone():%Y-%m-%d}"
    if signed.begun is not None:
        begun, ended = (f"{one.astimezone():%H:%M}" for one in (signed.begun, signed.when))
        day = words.say("practical.from-to", day=day, begun=begun, ended=ended)
    return [signed.person, signed.observer, tell_pump(words, signed.build), day]


def _tell_signatures(words: Words, signed: SignOff | None) -> list[str]:
    if signed is None:
        return [""] * len(SIGNED)
    outcome = tell_outcome(words, judge_signed(signed).score, has_passed=signed.passed)
    return [signed.person_signed, signed.observer_signed, outcome]


def _tell_reasons(words: Words, rubric: Rubric, signed: SignOff | None) -> list[str]:
    """Say why one that is on file was not passed."""
    return list_reasons(words, judge_signed(signed), rubric.pass_at) if signed else []


def _find_level(mark: float) -> str:
    """Find which level a mark that is on file stands for; "" where a rule before this one gave another."""
    return next((str(level) for level, worth in MARKS.items() if worth == mark), "")


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
