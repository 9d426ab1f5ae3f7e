"""What is written on a sheet and not filed yet, as plain values: so that it comes back after a crash."""

from __future__ import annotations

import json

from trainer.desktop.panes.sheet_fields import SheetFields
from trainer.session.as_left import Plain, StrangeValueError, take_table, take_text, take_texts
from trainer.session.sheet import Condition


def describe_fields(fields: SheetFields) -> dict[str, Plain]:
    """Describe what stands in the fields."""
    return {
        "texts": {json.dumps(path): edit.text() for path, edit in fields.edits.items()},
        "unit": fields.unit.name,
        "outcomes": {name: choice.name for name, choice in fields.outcomes.items()},
        "parts": {place: [one.value, why] for place, (one, why) in fields.parts.said.items()},
        "others": fields.parts.others.isChecked(),
    }


def fill_fields(fields: SheetFields, value: Plain) -> None:
    """Fill the fields as they were described; what a newer form has more stays as it is.

    Raises:
        StrangeValueError: it does not describe fields.
    """
    table = take_table(value)
    texts = {path: take_text(text) for path, text in take_table(table.get("texts")).items()}
    outcomes = {name: take_text(one) for name, one in take_table(table.get("outcomes")).items()}
    parts = {place: _take_part(one) for place, one in take_table(table.get("parts")).items()}
    for path, edit in fields.edits.items():
        edit.setText(texts.get(json.dumps(path), edit.text()))
    fields.unit.choose(take_text(table.get("unit")))
    for name, choice in fields.outcomes.items():
        choice.choose(outcomes.get(name, choice.name))
    fields.parts.fill(parts, is_rest_used=table.get("others") is True)


def _take_part(value: Plain) -> tuple[Condition, str]:
    condition, why = take_texts(value)
    try:
        return Condition(condition), why
    except ValueError as error:
        raise StrangeValueError(str(error)) from error
