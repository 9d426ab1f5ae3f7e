"""Every component, criterion and duty of the tables of what suits what can be said."""

from __future__ import annotations

from models.spec.build import TABLES
from models.spec.fitting import read_fitting
from trainer.words import load_words


def test_every_row_of_what_suits_what_has_its_words() -> None:
    words, fitting = load_words(), read_fitting(TABLES)
    wanted = set[str]()
    for name, components in fitting.suits.items():
        wanted.add(f"ask.fit-{name}")
        for component, rows in components.items():
            wanted |= {f"component.{name}.{component}", f"component.{name}.{component}.good-for"}
            wanted |= {f"suits.{name}.{component}.{criterion}" for criterion in rows}
    for duty in fitting.duties.values():
        wanted.add(f"fitting.{duty.set}.{duty.name}")
        for criterion, asked in duty.asks.items():
            wanted |= {f"asked.{criterion}.{level}" for level in asked.levels}
            wanted |= {f"asked.{criterion}"} if asked.between else set()
    assert sorted(key for key in wanted if not words.has(key)) == []
    said = {
        key
        for key in words.texts
        if key.split(".")[0] in {"component", "suits", "fitting", "asked"}
    }
    assert sorted(said - wanted) == []
