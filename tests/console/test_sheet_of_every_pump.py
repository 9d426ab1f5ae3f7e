"""The bench sheet of every pump of the covering sample: form, judgement, words, paper."""

from __future__ import annotations

import pytest

from models.builds import make_named_build
from tests.covering_sample import NAMES, SAMPLE, Chosen
from trainer.console.sheet_form_text import make_form_text
from trainer.handout.sheet_page import make_sheet_pdf
from trainer.handout.sheet_texts import tell_sheet
from trainer.session.sheet import Verdict, describe_sheet, read_sheet
from trainer.session.sheet_judging import judge_form
from trainer.session.sheet_plan import WHOLE, plan_sheet
from trainer.session.toml_form import parse_toml
from trainer.words import load_words

PUMPS = [
    pytest.param(name, chosen, id=key)
    for key, (name, chosen) in zip(NAMES, SAMPLE, strict=True)
    if make_named_build(name, chosen).has(*WHOLE)
]


@pytest.mark.parametrize(("name", "chosen"), PUMPS)
def test_written_form_reads_back_and_is_told_and_printed(name: str, chosen: Chosen) -> None:
    words, build = load_words("en"), make_named_build(name, chosen)
    text = make_form_text(words, plan_sheet(build), "form.toml")
    sheet = judge_form(parse_toml(text.encode(), "form.toml"))
    assert (sheet.build, sheet.verdict) == (name, Verdict.OPEN)
    assert sheet.options.items() <= build.options.items()
    assert read_sheet(describe_sheet(sheet)) == sheet
    told = tell_sheet(words, sheet)
    assert len(told.measured) == sum(line.is_needed for line in sheet.lines)
    assert make_sheet_pdf(told, words).startswith(b"%PDF")


def test_sample_has_both_families() -> None:
    assert {str(param.values[0]).partition("/")[0] for param in PUMPS} == {
        "end-suction",
        "self-priming",
    }
