"""Forms for the tests of the bench sheet: the depot's filled one, changed where a test wants it otherwise."""

from __future__ import annotations

import re
from functools import cache

from trainer.session.sheet import BenchSheet
from trainer.session.sheet_judging import EXAMPLE, judge_form
from trainer.session.toml_form import TomlForm, parse_toml


@cache
def read_example() -> str:
    return EXAMPLE.read_text(encoding="utf-8")


def change_form(*changes: tuple[str, str, str]) -> str:
    """Change lines of the example: each (table, key, what stands behind the equals sign)."""
    lines = read_example().splitlines()
    for table, key, said in changes:
        start = lines.index(f"[{table}]") + 1 if table else 0
        for at in range(start, len(lines)):
            if re.match(rf"{re.escape(key)} *=", lines[at]):
                lines[at] = f"{key} = {said}"
                break
            if lines[at].startswith("["):
                lines.insert(start, f"{key} = {said}")
                break
        else:
            lines.append(f"{key} = {said}")
    return "\n".join(lines) + "\n"


def parse_form(text: str) -> TomlForm:
    return parse_toml(text.encode(), "form.toml")


def judge_changed(*changes: tuple[str, str, str]) -> BenchSheet:
    return judge_form(parse_form(change_form(*changes)))
